"""Thousands of rooms that nobody has seen: whatever is measured, the board fits, and the plan says what stays open."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from shapely import Polygon

from fieldvoice.cutting.proof import prove
from fieldvoice.cutting.solving import missing, solve
from fieldvoice.cutting.tables import stand_off
from fieldvoice.records.board import Board
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Circuit, Dimension, Edge, Neighbor, Plumb, Reading, Slot
from fieldvoice.records.plan import CutPlan, Need
from tests.cutting.mirror import mirrored
from tests.cutting.rooms import box, heights, no_plan, sides, widths

QUICK = settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
SIDES = st.sampled_from(
    [
        sides(Neighbor.BOARD, Neighbor.WALL),
        sides(Neighbor.WALL, Neighbor.BOARD),
        sides(Neighbor.TRIM, Neighbor.OUTSIDE_CORNER),
        sides(Neighbor.BOARD, Neighbor.MASONRY),
    ]
)


def sixteenths(low: int, high: int) -> st.SearchStrategy[Length]:
    """Lengths between two whole inches, as a tape shows them."""
    return st.integers(low * 16, high * 16).map(lambda n: Length(Fraction(n, 16)))


@st.composite
def rooms(draw: st.DrawFn) -> Board:
    """A board at a leaning, bowed wall under a ceiling a little out of level, with boxes well inside."""
    base = draw(sixteenths(30, 46))
    width = [base + draw(sixteenths(-1, 1)) for _ in range(3)]
    height = draw(sixteenths(80, 95))
    names = draw(st.lists(st.sampled_from(["box 1", "box 2", "box 3"]), unique=True))
    return Board(
        "1",
        edges=draw(SIDES),
        widths=tuple(
            Reading(w, Dimension.WIDTH, at) for at, w in zip((Slot.TOP, Slot.MIDDLE, Slot.BOTTOM), width, strict=True)
        ),
        heights=(
            Reading(height, Dimension.HEIGHT, Slot.LEFT),
            Reading(height + draw(sixteenths(-2, 1)), Dimension.HEIGHT, Slot.RIGHT),
        ),
        boxes=tuple(
            box(
                name,
                str(draw(sixteenths(8, 20))),
                str(draw(sixteenths(10, 60))),
                x_from=draw(st.sampled_from([Edge.LEFT, Edge.RIGHT])),
            )
            for name in names
        ),
        circuits={name: draw(st.sampled_from(list(Circuit))) for name in names},
    )


def polygon(plan: CutPlan) -> Polygon:
    """The outline for shapely, which is an outside check and works in floats."""
    return Polygon([(float(p.x.inches), float(p.y.inches)) for p in plan.outline])


@QUICK
@given(rooms())
def test_no_board_is_tighter_than_its_clearances(board: Board) -> None:
    """Every gap is at least the clearance, and the proof says nothing else."""
    plan = solve(board)
    assert plan.proof.ok
    assert plan.proof.gaps
    assert all(gap.gap >= stand_off(board, gap.edge) for gap in plan.proof.gaps)


@QUICK
@given(rooms())
def test_a_straight_cut_leaves_no_more_than_the_best_line_can(board: Board) -> None:
    """Over three readings the best line leaves at most half of what the middle one is off the row of the others."""
    plan = solve(board)
    top, middle, bottom = (one.value for one in board.widths)
    bend = abs(middle - (top + bottom) / 2)
    side = [gap for gap in plan.proof.gaps if gap.edge in {Edge.LEFT, Edge.RIGHT}]
    most = max(gap.gap - stand_off(board, gap.edge) for gap in side)
    assert most <= bend + Length("1/16")


@QUICK
@given(rooms())
def test_shapely_agrees_that_the_pieces_make_the_sheet(board: Board) -> None:
    """Board and offcuts together have the sheet's area, and do not lie on each other."""
    plan = solve(board)
    piece = polygon(plan)
    rest = [Polygon([(float(p.x.inches), float(p.y.inches)) for p in one]) for one in plan.offcut]
    whole = float(plan.sheet.width.inches * plan.sheet.length.inches)
    assert piece.is_valid
    assert piece.area + sum(one.area for one in rest) == pytest.approx(whole)
    assert all(piece.intersection(one).area == pytest.approx(0, abs=1e-6) for one in rest)


@QUICK
@given(rooms())
def test_shapely_agrees_that_openings_lie_on_the_board(board: Board) -> None:
    """Each hole lies inside the outline and is as large as its marks say."""
    plan = solve(board)
    for opening in plan.openings:
        hole = Polygon([(float(p.x.inches), float(p.y.inches)) for p in opening.corners])
        size = (opening.right - opening.left).inches * (opening.bottom - opening.top).inches
        assert hole.area == pytest.approx(float(size))
        assert polygon(plan).buffer(1e-9).contains(hole)


@QUICK
@given(rooms())
def test_a_mirrored_room_gives_the_mirrored_plan(board: Board) -> None:
    """Left and right change places, and no mark changes."""
    plan, other = solve(board), solve(mirrored(board))
    swap = {"left": "right", "right": "left"}
    there = [(c.edge.value, c.origin.value, {str(m.at): m.distance for m in c.marks}) for c in plan.cuts]
    back = [
        (
            swap.get(c.edge.value, c.edge.value),
            swap.get(c.origin.value, c.origin.value),
            {swap.get(str(m.at), str(m.at)): m.distance for m in c.marks},
        )
        for c in other.cuts
    ]
    assert there == back
    assert mirrored(mirrored(board)) == board


@QUICK
@given(rooms())
def test_millimeters_agree_with_inches_to_the_rounding(board: Board) -> None:
    """The same room marked in millimeters is the same board, each mark down to its own graduation."""
    inches, metric = solve(board), solve(replace(board, sheet=solve(board).sheet, step=Length.of(1, Unit.MM)))
    for one, other in zip(inches.cuts, metric.cuts, strict=True):
        assert one.edge is other.edge
        for a, b in zip(one.marks, other.marks, strict=True):
            assert abs(a.exact - b.exact) <= Length("1/16")
            assert abs(a.distance - b.distance) <= Length("1/8")


@QUICK
@given(rooms(), st.integers(-6, 6), st.integers(-6, 6))
def test_both_sides_are_cut_when_both_lean(board: Board, left: int, right: int) -> None:
    """With both sides out of plumb, and readings that say so too, the plan cuts both and still fits."""
    if abs(left) < 3 or abs(right) < 3:
        return
    leans = (Plumb(Edge.LEFT, Length(Fraction(left, 8))), Plumb(Edge.RIGHT, Length(Fraction(right, 8))))
    top = board.widths[0].value
    taken = (top, top + Length(Fraction(left + right, 16)), top + Length(Fraction(left + right, 8)))
    said = tuple(replace(one, value=value) for one, value in zip(board.widths, taken, strict=True))
    plan = solve(replace(board, widths=said, plumbs=leans, boxes=()))
    assert {cut.edge for cut in plan.cuts} >= {Edge.LEFT, Edge.RIGHT}
    assert plan.proof.ok


@QUICK
@given(rooms(), st.integers(2, 6), st.integers(2, 6))
def test_leans_that_the_readings_deny_are_asked_about(board: Board, left: int, right: int) -> None:
    """Both walls lean in and yet the board is wider at the top than at the bottom: one of them was misheard."""
    leans = (Plumb(Edge.LEFT, Length(Fraction(left, 8))), Plumb(Edge.RIGHT, Length(Fraction(right, 8))))
    top, middle, bottom = board.widths
    said = (top, replace(middle, value=top.value), replace(bottom, value=top.value - Length("1/4")))
    odd = replace(board, widths=said, plumbs=leans, boxes=())
    assert [one.need for one in missing(odd) if one.required] == [Need.PLUMBS]


@QUICK
@given(rooms(), st.data())
def test_a_spoiled_mark_never_passes(board: Board, data: st.DataObject) -> None:
    """Any mark shifted by 1/16 either way fails the proof."""
    plan = solve(board)
    which = data.draw(st.integers(0, len(plan.cuts) - 1))
    cut = plan.cuts[which]
    index = data.draw(st.integers(0, len(cut.marks) - 1))
    shift = data.draw(st.sampled_from([Length("1/16"), Length("-1/16")]))
    marks = tuple(
        replace(mark, distance=mark.distance + shift) if i == index else mark for i, mark in enumerate(cut.marks)
    )
    cuts = tuple(replace(cut, marks=marks) if i == which else one for i, one in enumerate(plan.cuts))
    assert prove(plan).ok
    assert not prove(replace(plan, cuts=cuts)).ok


@QUICK
@given(rooms(), st.integers(0, 30), st.sampled_from([Edge.TOP, Edge.BOTTOM]), st.sampled_from([Edge.LEFT, Edge.RIGHT]))
def test_boxes_under_a_slope_are_where_they_were_measured(board: Board, rise: int, y_from: Edge, x_from: Edge) -> None:
    """Under a ceiling that rises to the right, from above or from the floor: the proof finds every box in its hole."""
    left = board.heights[0].value - Length(20)
    under = replace(
        board,
        heights=(
            Reading(left, Dimension.HEIGHT, Slot.LEFT),
            Reading(left + Length(rise), Dimension.HEIGHT, Slot.RIGHT),
        ),
        boxes=(box("box 1", "12", "20", x_from=x_from, y_from=y_from),),
    )
    plan = solve(under)
    assert plan.proof.ok
    assert len(plan.openings) == 1


def test_a_box_that_is_not_on_the_board_is_refused_by_name() -> None:
    """60 from the left of a board 40 wide."""
    board = Board("1", widths=widths("40", "40", "40"), heights=heights("95"), boxes=(box("box 1", "60", "40"),))
    with no_plan("Box 1 is not on this board"):
        solve(board)
