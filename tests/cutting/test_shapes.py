"""Shapes that rooms really have: slopes, gables, triangles, bows, leaning pairs, and sheets of every size."""

from dataclasses import replace
from itertools import product

import pytest

from fieldvoice.cutting.geometry import broken, scribed, straight, widest_gap
from fieldvoice.cutting.solving import missing, solve
from fieldvoice.errors import CannotCut
from fieldvoice.records.board import Board, Framing, Lies, Sheet, Surface
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Course, Diagonal, Dimension, Edge, Neighbor, Plumb, Reading, Slot
from fieldvoice.records.plan import CutLine, Shape
from fieldvoice.wording.forms import Form
from fieldvoice.wording.needs import what
from tests.cutting.rooms import SIDES_WALLED, cut_at, heights, no_plan, notes, says, sides, widths


def marks(cut: CutLine) -> list[str]:
    """The marks in order along the cut."""
    return [str(mark.distance) for mark in cut.marks]


def mm(value: int) -> Length:
    """Millimeters."""
    return Length.of(value, Unit.MM)


EVEN = widths("40", "40", "40")


def test_a_floor_a_little_out_is_cut_square_to_the_shortest() -> None:
    """Heights within what floor gap and base cover: one square cut, and the rest stays open at the floor."""
    plan = solve(Board("1", widths=EVEN, heights=heights("95 1/2", "95 5/8", "95 3/4")))
    assert marks(cut_at(plan, Edge.BOTTOM)) == ["95", "95"]
    assert [str(gap.gap) for gap in plan.proof.gaps if gap.edge is Edge.BOTTOM] == ["1/2", "5/8", "3/4"]


def test_a_sloped_ceiling_is_cut_at_the_top() -> None:
    """60 at the left and 90 at the right, less the floor gap, measured up from the factory end, after the sides. The
    tape was at the wall: an eighth before it the ceiling is 3/32 lower.
    """
    plan = solve(Board("1", widths=EVEN, heights=heights("60", None, "90")))
    top = cut_at(plan, Edge.TOP)
    assert top.origin is Edge.BOTTOM
    assert marks(top) == ["59 1/2", "89 3/8"]
    assert [cut.edge for cut in plan.cuts] == [Edge.RIGHT, Edge.TOP]
    assert len(plan.outline) == 4


def test_a_gable_is_five_sided() -> None:
    """A peak in the middle is no bow to be bridged: the cut breaks there."""
    plan = solve(Board("1", widths=EVEN, heights=heights("80", "100", "80")))
    top = cut_at(plan, Edge.TOP)
    assert top.shape is Shape.BROKEN
    assert marks(top) == ["79 1/2", "99 1/2", "79 5/8"]
    assert len(plan.outline) == 5
    assert plan.sheet.length == Length(108)


def test_under_a_stair_the_board_is_a_triangle() -> None:
    """Nothing at the left, 60 at the right: three corners."""
    plan = solve(Board("1", widths=EVEN, heights=heights("1/2", None, "60")))
    assert len(plan.outline) == 3


def test_two_walls_and_a_taper_ask_which_side() -> None:
    """Nothing tells which wall is out, so nothing is guessed; a word settles it."""
    board = Board("1", edges=SIDES_WALLED, widths=widths("46", "45 3/4", "45 1/2"), heights=heights("95"))
    assert [what(one, Form(Unit.INCH)) for one in missing(board) if one.required] == [
        "which side to cut, or how far each side is out of plumb"
    ]
    with no_plan("which side to cut"):
        solve(board)
    assert {cut.edge for cut in solve(replace(board, taper=Edge.LEFT)).cuts} == {Edge.LEFT, Edge.BOTTOM}
    told = replace(board, plumbs=(Plumb(Edge.LEFT, Length("-1/2")),))
    assert {cut.edge for cut in solve(told).cuts} == {Edge.LEFT, Edge.BOTTOM}
    other = replace(board, plumbs=(Plumb(Edge.LEFT, Length("1/2")),))  # then the right wall leans out by an inch
    assert {cut.edge for cut in solve(other).cuts} == {Edge.LEFT, Edge.RIGHT, Edge.BOTTOM}


def test_both_sides_leaning_in_are_both_cut() -> None:
    """Left leans in 1/4 and right 1/4 at the top: widths 1/2 less there; the second cut counts from the first."""
    board = Board(
        "1",
        edges=SIDES_WALLED,
        widths=widths("40", "40 1/4", "40 1/2"),
        heights=heights("95 1/2"),
        plumbs=(Plumb(Edge.LEFT, Length("1/4")), Plumb(Edge.RIGHT, Length("1/4"))),
    )
    plan = solve(board)
    left, right = cut_at(plan, Edge.LEFT), cut_at(plan, Edge.RIGHT)
    assert marks(left) == ["45 3/4", "46"]
    assert marks(right) == ["39 3/4", "40 1/4"]
    assert right.origin is Edge.LEFT
    assert {str(gap.gap) for gap in plan.proof.gaps if gap.edge in {Edge.LEFT, Edge.RIGHT}} == {"1/8"}


def test_a_wall_like_a_wave_is_scribed() -> None:
    """Five readings that no two straight pieces come near: a mark at each."""
    values = ("46", "45 1/4", "46", "45 1/4", "46")
    places: tuple[Slot | Length, ...] = (Slot.TOP, Length(24), Slot.MIDDLE, Length(72), Slot.BOTTOM)
    taken = tuple(Reading(Length(value), Dimension.WIDTH, at) for at, value in zip(places, values, strict=True))
    plan = solve(Board("1", widths=taken, heights=heights("95 1/2")))
    (instead,) = plan.broken
    assert instead.shape is Shape.SCRIBE
    assert len(instead.marks) == 5


def test_the_best_line_is_the_best_of_a_thousand() -> None:
    """No line with its ends on a fine grid leaves a smaller largest gap than the enumerated one."""
    bounds = [
        (Length(t).inches, Length(v).inches) for t, v in (("0", "10"), ("3", "9 1/2"), ("7", "9 7/8"), ("9", "9"))
    ]
    zero, end = Length(0).inches, Length(9).inches
    best = straight(bounds, zero, end)
    least = widest_gap(best, bounds)
    assert min(v - (best[0][1] + (best[1][1] - best[0][1]) * t / end) for t, v in bounds) == 0
    for i in range(40):
        for j in range(40):
            line = (
                (zero, Length(10).inches - Length("1/16").inches * i),
                (end, Length(9).inches - Length("1/16").inches * j),
            )
            fits = all(v >= line[0][1] + (line[1][1] - line[0][1]) * t / end for t, v in bounds)
            assert not fits or widest_gap(line, bounds) >= least


def test_a_broken_line_needs_a_reading_between_the_ends() -> None:
    """Two readings can't be broken; a scribe goes through them."""
    ends = [(Length(0).inches, Length(9).inches), (Length(4).inches, Length(8).inches)]
    assert broken(ends, ends[0][0], ends[1][0]) is None
    assert scribed(ends, ends[0][0], ends[1][0]) == tuple(ends)


def test_the_smallest_sheet_that_holds_the_piece() -> None:
    """What the base covers is no reason to buy a larger sheet: 96 1/4 to 97 take one of 8 ft as it is, 97 1/16 needs
    one of 9 ft; lying, the width may run to 16 ft.
    """
    board = Board("1", widths=EVEN, heights=heights("96 1/2"))
    plan = solve(board)
    assert plan.sheet.length == Length(96)
    assert [cut.edge for cut in plan.cuts] == [Edge.RIGHT]
    for high in ("96 1/4", "96 5/8", "97"):
        as_it_is = solve(replace(board, heights=heights(high)))
        assert (as_it_is.sheet.length, [cut.edge for cut in as_it_is.cuts]) == (Length(96), [Edge.RIGHT])
    assert solve(replace(board, heights=heights("97 1/16"))).sheet.length == Length(108)
    lying = replace(
        board,
        lies=Lies.LYING,
        course=Course.LOWER,
        widths=widths("130", "130", "130"),
        heights=heights("48 1/2"),
    )
    assert (solve(lying).sheet.width, solve(lying).sheet.length) == (Length(48), Length(144))


def test_a_piece_that_no_sheet_holds_is_split_on_framing() -> None:
    """On the last stud called that a 54 in sheet reaches; on none that nobody called."""
    board = Board("1", widths=widths("100", "100", "100"), heights=heights("95"))
    with no_plan("No stud is known"):
        solve(board)
    with no_plan("stud centered 39 1/2 in"):
        solve(replace(board, framing=Framing(studs=(Length("39 1/2"), Length("55 1/2")))))


def test_a_sheet_that_was_named_and_is_too_small_is_refused() -> None:
    """Nothing larger is taken in silence."""
    board = Board("1", widths=EVEN, heights=heights("100"), sheet=Sheet(Length(48), Length(96)))
    with no_plan("sheet"):
        solve(board)


def test_an_open_side_takes_the_whole_sheet() -> None:
    """No width, nothing at the right: no cut there."""
    plan = solve(Board("1", edges=sides(Neighbor.WALL, Neighbor.OPEN), heights=heights("95")))
    assert [cut.edge for cut in plan.cuts] == [Edge.BOTTOM]


def test_metric_boards_are_marked_in_whole_millimeters() -> None:
    """1190, 1187 and 1180 less a wall's 1/8 in (3.175): 1186 and 1176, on a 1200 sheet."""
    taken = tuple(
        Reading(mm(v), Dimension.WIDTH, at) for at, v in ((Slot.TOP, 1190), (Slot.MIDDLE, 1187), (Slot.BOTTOM, 1180))
    )
    plan = solve(Board("1", unit=Unit.MM, widths=taken, heights=(Reading(mm(2400), Dimension.HEIGHT, Slot.LEFT),)))
    assert [mark.distance.text(Unit.MM) for mark in cut_at(plan, Edge.RIGHT).marks] == ["1186", "1176"]
    assert plan.sheet.width == mm(1200)


def test_marks_may_be_asked_for_in_thirty_seconds() -> None:
    """A strong 46 3/4 loses nothing at 1/32 and 1/32 at 1/16."""
    board = Board("1", widths=widths("46 25/32", "46 25/32", "46 25/32"), heights=heights("95"))
    assert marks(cut_at(solve(board), Edge.RIGHT))[0] == "46 5/8"
    assert marks(cut_at(solve(replace(board, step=Length("1/32"))), Edge.RIGHT))[0] == "46 21/32"


def test_on_a_ceiling_all_four_neighbors_are_walls_or_boards() -> None:
    """No floor gap overhead: 1/8 off at each wall."""
    plan = solve(Board("1", surface=Surface.CEILING, widths=EVEN, heights=heights("90", None, "90")))
    assert marks(cut_at(plan, Edge.BOTTOM)) == ["89 3/4", "89 3/4"]


def test_a_tapered_piece_between_four_walls_overhead_asks_for_both() -> None:
    """On a ceiling the ends are walls too: which side and which end are asked for before anything is cut."""
    board = Board(
        "1",
        surface=Surface.CEILING,
        edges=SIDES_WALLED,
        widths=widths("40", "40", "39 1/2"),
        heights=heights("90", None, "89"),
    )
    assert [what(one, Form(Unit.INCH)) for one in missing(board) if one.required] == [
        "which side to cut, or how far each side is out of plumb",
        "which end to cut, top or bottom",
    ]


def test_no_room_to_turn_the_board_in_is_said() -> None:
    """Tight at floor and ceiling, the diagonal of the board's thickness doesn't pass."""
    edges = sides(Neighbor.BOARD, Neighbor.WALL)
    edges[Edge.BOTTOM] = replace(edges[Edge.BOTTOM], clearance=Length(0))
    tight = solve(Board("1", edges=edges, widths=EVEN, heights=heights("95")))
    assert any("no room to turn" in warning for warning in notes(tight))
    loose = solve(Board("1", widths=EVEN, heights=heights("95")))
    assert not any("no room to turn" in warning for warning in notes(loose))


def test_a_sliver_is_sawn_and_a_strip_is_snapped() -> None:
    """A quarter inch all along is sawn; where the strip runs out to nothing it is told; an inch and eight are quiet."""
    thin = solve(Board("1", widths=widths("47 7/8", "47 7/8", "47 7/8"), heights=heights("90")))
    assert any("saw along it" in text for text in says(thin))
    assert not any("saw along it" in text for text in says(solve(Board("1", widths=EVEN, heights=heights("90")))))
    assert any(
        "right edge is only 1/4" in w
        for w in notes(solve(Board("1", widths=widths("47 7/8", "47 1/2", "47 1/8"), heights=heights("90"))))
    )
    assert not any("right edge is only" in w for w in notes(solve(Board("1", widths=EVEN, heights=heights("90")))))


def test_an_opening_out_of_square_is_cut_to_the_drop_of_its_ceiling() -> None:
    """Diagonals 99 1/2 and 100 1/4 over 40 by 91 1/2: the ceiling drops to the right and is cut; so does the floor, and
    the base covers that.
    """
    diagonals = (Diagonal(Length("99 1/2"), rising=True), Diagonal(Length("100 1/4"), rising=False))
    plan = solve(Board("1", widths=EVEN, heights=heights("91 1/2"), diagonals=diagonals))
    assert {cut.edge for cut in plan.cuts} == {Edge.TOP, Edge.RIGHT}
    top = cut_at(plan, Edge.TOP)
    assert top.marks[0].distance - top.marks[1].distance == Length("7/16")
    assert max(gap.gap for gap in plan.proof.gaps if gap.edge is Edge.BOTTOM) <= Length(1)


@pytest.mark.parametrize(
    ("board", "says"),
    [
        (Board("1"), "Still needed"),
        (Board("1", widths=widths("46", None, None), heights=heights("95")), "the width at the bottom"),
        (Board("1", widths=EVEN), "a height"),
        (Board("1", widths=widths("1/8", "1/8", "1/8"), heights=heights("95")), "leave nothing"),
        (
            Board(
                "1",
                widths=(Reading(Length(4), Dimension.WIDTH, Slot.LEFT), Reading(Length(4), Dimension.WIDTH, Slot.TOP)),
                heights=heights("95"),
            ),
            "bottom",
        ),
    ],
)
def test_what_makes_no_plan_says_why(board: Board, says: str) -> None:
    """Each refusal names what to do now."""
    with no_plan(says):
        solve(board)


ENDS = ("95", "95 3/4", "96", "96 1/4", "96 7/8")


@pytest.mark.parametrize("left", ENDS)
@pytest.mark.parametrize("below", [Neighbor.FLOOR, Neighbor.BOARD])
def test_a_cut_along_the_sheets_own_edge_takes_nothing_off(left: str, below: Neighbor) -> None:
    """Wherever heights around a sheet's own length bring the cut, it is planned or refused, and no piece is a line."""
    for middle, right, wide in product(ENDS, ENDS, ("46 7/8", "48")):
        board = Board(
            "1",
            widths=widths(wide, wide, wide),
            heights=heights(left, middle, right),
            edges=sides(Neighbor.BOARD, Neighbor.WALL, bottom=below),
        )
        try:
            plan = solve(board)
        except CannotCut:
            continue
        assert all(len(set(piece)) > 2 for piece in plan.offcut), (middle, right, wide)
