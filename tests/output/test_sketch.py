"""A board, a wall or a ceiling in a few cells."""

from __future__ import annotations

import random
from fractions import Fraction

import pytest

from fieldvoice.errors import CannotCut
from fieldvoice.output.sketch import (
    ASCII,
    UNICODE,
    WALL_ASCII,
    WALL_UNICODE,
    Ink,
    Outline,
    Sketched,
    sketch,
    wall_sketch,
)
from fieldvoice.records.length import Unit
from fieldvoice.records.room_plan import SurfacePlan
from tests.layout.houses import house_of, house_text, plan_at_once


def outline(*corners: tuple[float, float]) -> Outline:
    """Corners in inches."""
    return tuple((Fraction(x), Fraction(y)) for x, y in corners)


SHEET = outline((0, 0), (48, 0), (48, 96), (0, 96))
BOARD = outline((0, 0), (44, 0), (36, 95), (0, 95))
BOX = outline((20, 40), (26, 40), (26, 48), (20, 48))
HOOKS = (((Fraction(0), Fraction(1)), Ink.HOOK_LEFT),)
WHOLE = Sketched(SHEET, BOARD, (BOX,), HOOKS, ((Fraction(44), Fraction(0)),))


@pytest.mark.parametrize(("columns", "rows"), [(10, 8), (26, 16), (40, 24), (100, 60)])
@pytest.mark.parametrize("inks", [UNICODE, ASCII])
def test_the_sketch_keeps_to_its_room(columns: int, rows: int, inks: dict[Ink, str]) -> None:
    """No larger than it may be, with waste, edge, hook and mark in it, and in ASCII nothing else."""
    lines = sketch(WHOLE, columns, rows, inks)
    assert 0 < len(lines) <= rows
    assert max(map(len, lines)) <= columns
    drawn = "".join(lines)
    for ink in (Ink.WASTE, Ink.EDGE, Ink.HOOK_LEFT, Ink.MARK):
        assert inks[ink] in drawn
    assert inks is UNICODE or drawn.isascii()


def test_waste_is_where_the_sheet_is_cut_away() -> None:
    """On the right, and wider at the bottom, where the taper leaves less."""
    lines = sketch(WHOLE, 40, 24)
    assert lines[2].count("░") < lines[-3].count("░")
    assert all(line.rstrip("░").find("░") == -1 for line in lines)


def test_the_hook_stands_outside_the_edge_it_hooks_on() -> None:
    """Left of the sheet, pointing the way the tape runs."""
    assert any(line.startswith("▶█") for line in sketch(WHOLE, 40, 24))


def test_no_room_is_no_sketch() -> None:
    """Rather than a shape that nobody can make out."""
    assert sketch(WHOLE, 4, 3) == ()
    assert sketch(Sketched(outline((0, 0)), outline((0, 0))), 40, 20) == ()


SIZES = ((30, 8), (60, 12), (80, 18), (120, 32), (200, 50))


def planned(text: str) -> tuple[SurfacePlan, ...]:
    """The surfaces of a house written down; none where no layout keeps the rules."""
    try:
        return plan_at_once(house_of(text)).surfaces
    except CannotCut:
        return ()


@pytest.mark.parametrize("seed", range(30))
def test_every_board_is_named_once_and_nothing_is_outside(seed: int) -> None:
    """Or there is no sketch at all: one that leaves a board out would be believed."""
    drawn = 0
    for surface in planned(house_text(random.Random(seed))):
        for layer in range(1, surface.surface.layers + 1):
            pieces = [piece.name for piece in surface.pieces if piece.layer == layer]
            names = {name: f"{{{number}}}" for number, name in enumerate(pieces)}
            for columns, rows in SIZES:
                lines = wall_sketch(surface, names, columns, rows, WALL_ASCII, Unit.INCH, layer)
                assert len(lines) <= rows
                assert all(len(line) <= columns and line.isascii() for line in lines)
                text = "\n".join(lines)
                assert not lines or all(text.count(name) == 1 for name in names.values())
                assert bool(lines) == bool(wall_sketch(surface, names, columns, rows, WALL_UNICODE, Unit.INCH, layer))
                drawn += bool(lines)
    assert drawn or not planned(house_text(random.Random(seed)))


SLOPE = """
[job]
sheets = ["48 x 144"]
[[wall]]
room = "attic"
name = "gable"
width = "120"
height = "{left}"
top_right_height = "{right}"
studs = "16 on center from left"
"""


@pytest.mark.parametrize(("left", "right", "line"), [("60", "110", "/"), ("110", "60", "\\")])
def test_under_a_slope_nothing_stands_above_it(left: str, right: str, line: str) -> None:
    """The top is one line that rises or falls to the right, and no name is on it or over it."""
    (surface,) = planned(SLOPE.format(left=left, right=right))
    names = {piece.name: str(piece.name.number) for piece in surface.pieces}
    lines = [each.ljust(80) for each in wall_sketch(surface, names, 80, 24, WALL_ASCII, Unit.INCH)]
    for column in zip(*lines, strict=True):
        tops = [row for row, ink in enumerate(column) if ink == line]
        if tops:
            assert not "".join(column[: tops[0]]).strip()
            assert len(tops) == 1
    assert any(line in each for each in lines)
