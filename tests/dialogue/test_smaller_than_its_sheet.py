"""What the layout has smaller than its sheet is cut: no board is final with the side uncut, whatever was measured."""

from __future__ import annotations

import random

import pytest

from fieldvoice.dialogue.layouts import planned, planned_piece
from fieldvoice.records.board import Lies
from fieldvoice.records.meaning import Dimension, Edge
from fieldvoice.records.plan import CutPlan
from fieldvoice.records.room_plan import Piece
from tests.dialogue.talk import Wall, wall_after

CUT_AT = {Dimension.WIDTH: (Edge.LEFT, Edge.RIGHT), Dimension.HEIGHT: (Edge.TOP, Edge.BOTTOM)}


def smaller(piece: Piece) -> set[Dimension]:
    """The directions in which a piece doesn't take its sheet whole."""
    sheet = piece.sheet
    long, short = Dimension.WIDTH, Dimension.HEIGHT
    if piece.lies is Lies.STANDING:
        long, short = short, long
    least = {Dimension.WIDTH: piece.width, Dimension.HEIGHT: min(piece.left_height, piece.right_height)}
    return {each for each, there in ((long, sheet.length), (short, sheet.width)) if least[each] < there}


def comes_ready(plan: CutPlan, piece: Piece) -> set[Dimension]:
    """The directions in which a plan leaves what it cuts from as it is."""
    cut = {one.edge for one in plan.cuts} | plan.board.cut_before
    return {each for each in smaller(piece) if not cut & set(CUT_AT[each])}


def final(wall: Wall) -> CutPlan | None:
    """The plan once nothing is open."""
    view = wall.view
    return None if view.draft else view.plan


def sides(wall: Wall, *, heights: bool) -> list[str]:
    """The lines of a board measured as the layout has it, its widths alone or its heights as well."""
    known = planned(wall.session.state, wall.session.state.board)
    assert known is not None
    unit, piece = wall.view.unit, known.piece
    gap = known.height - piece.height
    width = known.width.text(unit)
    left, right = ((side + gap).text(unit) for side in (piece.left_height, piece.right_height))
    return [f"left {left}", f"right {right}"] if heights else [f"top {width}", f"bottom {width}"]


def settles(wall: Wall) -> None:
    """Done, and every read-back is right."""
    wall.types("done")
    while wall.asks:
        wall.types("yes")


def some_walls() -> list[tuple[str, ...]]:
    """Walls of every height that is ripped somewhere, in inches and millimeters, of both widths of sheet and layers."""
    of = random.Random(7)
    found: list[tuple[str, ...]] = []
    for height in range(84, 133, 6):
        sheet, layers = of.choice(("48 inch board", "54 inch board")), of.choice(("one layer", "two layers"))
        found.append((f"north wall {of.choice((100, 144, 190))} by {height}", sheet, layers))
    for height in range(2100, 3400, 260):
        layers = of.choice(("one layer", "two layers"))
        found.append(("millimeters", f"north wall {of.choice((2500, 3600))} by {height}", layers))
    return found


@pytest.mark.parametrize("lines", some_walls(), ids=" ".join)
def test_every_side_that_the_piece_is_smaller_by_is_cut(lines: tuple[str, ...]) -> None:
    """With its widths alone no board is final that the layout rips, and measured whole all are, each side cut."""
    wall = wall_after(*lines, "400 on center" if lines[0] == "millimeters" else "16 on center", "next board")
    while (board := wall.session.state.board) in wall.session.state.pieces:
        piece = planned_piece(wall.session.state, wall.session.state.pieces[board])
        assert piece is not None
        wall.types(*sides(wall, heights=False))
        settles(wall)
        plan = final(wall)
        if plan is None:
            assert Dimension.HEIGHT in smaller(piece), lines
            wall.types(*sides(wall, heights=True))
            settles(wall)
            plan = final(wall)
        assert plan is not None, (lines, piece)
        assert not comes_ready(plan, piece), (lines, piece)
        assert not {one.edge for one in plan.cuts} & piece.taped, (lines, piece)
        wall.types("next board")
        if wall.session.state.board == board:
            break
