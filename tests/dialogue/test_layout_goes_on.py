"""While boards come out as they are laid out nothing is planned anew; where a cut spoils that, the rest is."""

from __future__ import annotations

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldvoice.dialogue.finishing import plan_now
from fieldvoice.dialogue.layouts import comes_out, planned, standing_plan
from fieldvoice.dialogue.new_boards import ALONG, context_of
from fieldvoice.dialogue.rooms import rooms
from fieldvoice.records.board import Lies, Offcut, Sheet
from fieldvoice.records.facts import key_of
from fieldvoice.records.length import ZERO, Length, Unit
from fieldvoice.records.meaning import Context, Edge, Neighbor, Topic
from fieldvoice.records.room import SurfaceName
from fieldvoice.records.room_plan import Piece, PieceEdge, PieceName
from fieldvoice.stock.rack import LEAST, uncut
from tests.dialogue.talk import Wall, wall_after
from tests.dialogue.test_house_taken import takes
from tests.layout.houses import lake_house, lake_plan


def cut_as_planned(wall: Wall, off: Length = ZERO) -> None:
    """The board at hand measured as the layout has it, or so much off and out of square, and done."""
    known = planned(wall.session.state, wall.session.state.board)
    assert known is not None
    gap, unit = known.height - known.piece.height + off, wall.view.unit
    left, right = ((side + gap).text(unit) for side in (known.piece.left_height, known.piece.right_height))
    top, bottom = (known.width + off).text(unit), (known.width + off / 2).text(unit)
    wall.types(f"top {top}", f"bottom {bottom}", f"left {left}", f"right {right}", "done")
    while wall.asks:
        wall.types("yes")


def test_boards_cut_as_planned_leave_every_number_and_every_sheet_as_it_was() -> None:
    """The kitchen's walls and the bath, twelve boards: one layout from the first to the last."""
    wall = Wall()
    takes(wall, lake_house())
    first, before = wall.session.state.laying, standing_plan(wall.session.state)
    wall.types("kitchen north wall")
    for _ in range(12):
        assert "Laid out" not in wall.types("next board")
        cut_as_planned(wall)
    assert len(wall.session.state.cut) >= 10
    assert wall.session.state.laying is first
    assert standing_plan(wall.session.state) is before


@pytest.mark.parametrize("seed", range(3))
def test_the_rack_holds_what_the_steps_leave(seed: int) -> None:
    """Boards a bit off from the layout, one after the other: each offcut is named after its board, is what its plan
    leaves, and stands so after a restart, with the steps in the order that it goes by.
    """
    draw, wall = random.Random(seed), Wall()
    takes(wall, lake_house())
    wall.types("kitchen north wall")
    for _ in range(6):
        wall.types("next board")
        cut_as_planned(wall, Length(draw.choice(("0", "-1/8", "-1/4", "-5/8"))))
    state = wall.session.state
    assert len(state.cut) >= 3
    names = [one.name for cut in state.cut.values() for one in cut.left]
    assert len(set(names)) == len(names)
    plans = {board: plan_now(state, board, wall.now, rooms()) for board in state.cut}
    for board, cut in state.cut.items():
        made = plans[board]
        assert [one.name for one in cut.left] == [f"{board}{letter}" for letter in "ABCD"[: len(cut.left)]]
        on_tape = [one.on_tape(Unit.INCH) for one in made.left]
        sizes = [sorted(map(str, size)) for size in on_tape if min(size) >= LEAST]
        assert [sorted((str(one.length), str(one.width))) for one in cut.left] == sizes
        assert (made.from_offcut, made.board.sides_first) == (cut.offcut, cut.sides_first)
        assert made.board.cut_before == cut.cut_before
        assert not made.board.taped & made.board.cut_before
    wall.restart()
    state = wall.session.state
    assert {board: plan_now(state, board, wall.now, rooms()).cuts for board in state.cut} == {
        board: made.cuts for board, made in plans.items()
    }


def test_a_cut_that_leaves_too_little_plans_the_rest_anew() -> None:
    """A board reads as long as its whole sheet, from which the next one was to come as well."""
    wall = Wall()
    takes(wall, lake_house())
    first = wall.session.state.laying
    before = standing_plan(wall.session.state)
    assert before is not None
    lying = {piece.name for piece in before.pieces if piece.lies is Lies.LYING}
    two = next(
        one
        for one in before.patterns
        if len(one.pieces) > 1 and one.pieces[0].name in lying and one.pieces[0].name != one.pieces[1].name
    )
    surface = two.pieces[0].name.surface
    wall.types(f"{surface}" if surface.name == "ceiling" else f"go to the {surface}")
    opened = ""
    while wall.session.state.pieces.get(wall.view.board) != two.pieces[0].name:
        opened = wall.types("next board")
        assert "Board" in opened
    known = planned(wall.session.state, wall.view.board)
    assert known is not None
    most = known.piece.sheet.length
    wall.types(f"top {most.text()}", "yes", f"bottom {most.text()}", "yes")
    wall.types(f"left {known.height.text()}", f"right {known.height.text()}", "done")
    while wall.asks:
        wall.types("yes")
    assert wall.view.board in wall.session.state.cut
    wall.types("next board")
    assert wall.session.state.laying is not first


CHANGES = {
    Unit.INCH: (
        "north wall thirteen foot by eight foot",
        "north wall sixteen foot by nine foot",
        "north wall six foot by eight foot",
        "north wall fourteen foot by four foot",
        "stand them up",
        "two layers",
        "scratch the studs",
        "studs twenty four on center from the left",
        "five eighths board",
        "ten footers only",
        "door twenty from left thirty six by eighty",
        "undo",
    ),
    Unit.MM: (
        "north wall 3950 by 2400",
        "north wall 4800 by 2700",
        "north wall 1700 by 2400",
        "north wall 4200 by 1200",
        "stand them up",
        "two layers",
        "studs 400 on center from the left",
        "15 millimeter board",
        "door 500 from left 900 by 2000",
        "undo",
    ),
}


@pytest.mark.parametrize("unit", Unit)
@pytest.mark.parametrize("seed", range(4))
def test_what_a_board_has_of_the_layout_is_what_the_layout_has(seed: int, unit: Unit) -> None:
    """A wall is called otherwise, laid out otherwise and called off while one board of it is cut and two are measured:
    each of these has what the plan now has of its place and nothing that it had before, nothing of it changes unsaid,
    and what the cut one left stays on the rack.
    """
    draw, wall = random.Random(seed), Wall()
    if unit is Unit.INCH:
        wall.types("north wall fourteen foot by eight foot", "studs sixteen on center from the left", "yes")
    else:
        wall.types("millimeters", "north wall 4200 by 2400", "studs 600 on center from the left", "yes")
    wall.types("next board")
    cut_as_planned(wall)
    left = wall.session.state.cut["1"].left
    for top in ("100", "90") if unit is Unit.INCH else ("2500", "2200"):
        wall.types("next board", f"top {top}", "yes")
        while wall.session.state.doubts:
            wall.types("yes")
    for change in draw.sample(CHANGES[unit], 8):
        before = in_hand(wall)
        said = " ".join(wall.types(line) for line in ("north wall", change, "yes"))
        while wall.session.state.doubts:  # a value of any of its boards may be odd beside what it is now
            said += wall.types("yes")
        state, now = wall.session.state, in_hand(wall)
        for board in before.keys() | now.keys():
            assert before.get(board) == now.get(board) or f"Board {board} " in said, (change, board)
        for board, facts in now.items():
            known = planned(state, board)
            assert known is not None
            mine = {call.key for call in state.settled(board).values() if not call.carried}
            wanted = {fact for fact in context_of(known.board) if key_of(fact) not in mine}
            assert facts == {fact for fact in wanted if fact.topic is not Topic.SHEET}, (change, board)
        assert state.cut["1"].left == left
        assert left == tuple(one for one in wall.view.rack if one.name.startswith("1"))
        names = list(state.pieces.values())
        assert len(set(names)) == len(names)


@pytest.mark.parametrize("became", ["cut", "measured"])
@pytest.mark.parametrize("left", [20, 60, 100])
def test_a_door_called_over_a_board_of_the_lower_course_is_laid_out(left: int, became: str) -> None:
    """The course ends at the door now, so that the board has no place: that is told, and what it left stays."""
    wall = wall_after("north wall twelve foot by eight foot", "studs sixteen on center from the left", "yes")
    wall.types("next board", "next board")
    if became == "cut":
        cut_as_planned(wall)
    else:
        wall.types("top 144")
    rack = wall.view.rack
    wall.types("north wall", f"door {left} from left 36 by 80")
    said = wall.types("yes")
    assert "Laid out: " in said
    assert "Board 2 counts as cut and has no place" in said if became == "cut" else "Board 2 has no place" in said
    assert "2" not in wall.session.state.pieces
    assert wall.view.rack == rack


@pytest.mark.parametrize("ticked", [0, 2])
def test_what_stands_otherwise_beside_a_settled_board_is_told_with_its_plan(ticked: int) -> None:
    """Each time, whether or not a step of it was done: it goes by what was beside it then."""
    wall = wall_after("north wall 12 by 8 feet, studs 16 on center", "next board", "top 144", "bottom 144", "done")
    wall.types("understood", *["next"] * ticked)
    for line in ("north wall 13 by 8 feet", "yes"):
        said = wall.types(line)
    assert "Board 1 counts as cut" in said
    for _ in range(2):
        wall.types("board one")
        assert "the layout has changed there: right edge board" in wall.types("done")
    wall.types("right edge is a board")
    assert "layout has changed there" not in wall.types("done")


@pytest.mark.parametrize(("framing", "told"), [("24 on center", True), ("16 on center from the right", False)])
def test_studs_behind_a_settled_board_are_told_where_they_moved(framing: str, *, told: bool) -> None:
    """Those at its end are the joint's: twelve feet have the same studs from either end."""
    wall = wall_after("north wall 12 by 8 feet, studs 16 on center", "next board", "top 144", "bottom 144", "done")
    wall.types("north wall", framing, "board one")
    assert ("the layout has changed there" in wall.types("done")) is told, wall.said


def in_hand(wall: Wall) -> dict[str, set[Context]]:
    """What stands on each board of the layout that isn't cut, and came from there."""
    state = wall.session.state
    return {
        board: {
            call.fact
            for call in state.settled(board).values()
            if call.carried and isinstance(call.fact, Context) and call.fact.topic not in {*ALONG, Topic.SHEET}
        }
        for board in state.pieces
        if board not in state.cut
    }


def test_every_planned_sheet_gives_its_pieces() -> None:
    """Cut one after the other from edge to edge, each with the factory edges that it needs."""
    pieces = {piece.name: piece for piece in lake_plan().pieces}
    for pattern in lake_plan().patterns:
        assert comes_out([pieces[one.name] for one in pattern.pieces], [uncut(pattern.sheet)]), pattern


sizes = st.integers(6, 60).map(Length)


def a_piece(number: int, run: Length, rise: Length, tapered: int) -> Piece:
    """A lying piece with so many factory long edges."""
    taped = (Edge.TOP, Edge.BOTTOM)[:tapered]
    edges = {edge: PieceEdge(Neighbor.BOARD, edge in taped, (), edge in taped) for edge in Edge}
    name, sheet = PieceName(SurfaceName("", "north wall"), number), Sheet(Length(48), Length(96))
    return Piece(name, 1, Length(0), Length(0), run, rise, Lies.LYING, 1, sheet, edges, rise, rise)


@given(st.lists(st.tuples(sizes, sizes, st.integers(0, 2)), max_size=4), st.lists(st.tuples(sizes, sizes), max_size=3))
def test_no_more_comes_out_than_there_is(
    wanted: list[tuple[Length, Length, int]], left: list[tuple[Length, Length]]
) -> None:
    """Neither in square inches nor in length nor in tapered edges, whatever is asked for."""
    pieces = [a_piece(number, *size) for number, size in enumerate(wanted)]
    offcuts = [Offcut(str(number), *size, frozenset({Edge.TOP})) for number, size in enumerate(left)]
    if comes_out(pieces, offcuts):
        area = sum(piece.run.inches * piece.rise.inches for piece in pieces)
        assert area <= sum(one.length.inches * one.width.inches for one in offcuts)
        for piece in pieces:
            assert any(one.length >= piece.run and one.width >= piece.rise for one in offcuts)
        assert all(tapered < 2 for *_, tapered in wanted), "an offcut of one tapered edge gives no piece two"


@pytest.mark.parametrize(("height", "below"), [("97", "about 144 wide by 49 high"), ("108 1/2", "middle course")])
def test_a_wall_read_higher_after_its_upper_board_is_cut_leaves_that_at_the_ceiling(height: str, below: str) -> None:
    """It had kept its place from the floor, where no layout went round it."""
    wall = wall_after("north wall 144 by 96 1/2", "studs 16 on center from the left", "yes", "next board")
    cut_as_planned(wall)
    said = wall.types(f"north wall is 144 by {height}", "yes")
    assert "Laid out" in said
    assert below in wall.types("next board")
    (cut,) = wall.session.state.cut.values()
    made = planned(wall.session.state, cut.board)
    assert made is not None
    assert made.piece.top == Length(height)
