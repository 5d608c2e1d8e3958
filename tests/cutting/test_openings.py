"""Boxes and other openings: references, edges, conversions, and what a spoiled plan is caught at."""

from dataclasses import replace

import pytest

from fieldvoice.cutting.oddities import oddities
from fieldvoice.cutting.proof import prove
from fieldvoice.cutting.solving import solve
from fieldvoice.cutting.tables import BOXES
from fieldvoice.records.board import Board
from fieldvoice.records.facts import Odd
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Box, BoxKind, Circuit, Coordinate, Edge, Opening, OpeningKind, Point
from fieldvoice.records.plan import Code, CutPlan, Does, Flaw, Hook, Method, OpeningPlan, Point2, Tool, Way
from fieldvoice.wording.steps import heed
from tests.cutting.rooms import SIDES_SWAPPED, box, heights, no_plan, notes, says, widths

SIXTEENTH = Length("1/16")


def room(*boxes: Box, openings: tuple[Opening, ...] = (), high: str = "95 1/2") -> Board:
    """A board 46 7/8 wide from the last board to a wall."""
    return Board("1", widths=widths("47", "47", "47"), heights=heights(high), boxes=boxes, openings=openings)


def center(value: str, start: Edge) -> Coordinate:
    """A center."""
    return Coordinate(Point.CENTER, Length(value), start)


def opening(kind: OpeningKind, x: str, y: str, **size: Length) -> Opening:
    """An opening by its center."""
    return Opening(kind, (center(x, Edge.LEFT),), (center(y, Edge.TOP),), name="hole", **size)


def test_a_box_from_the_right_wall_is_marked_from_both_sides() -> None:
    """10 from the wall is 9 7/8 from the cut edge, and 37 from the left factory edge."""
    (plan,) = solve(room(box("box 1", "10", "40", x_from=Edge.RIGHT))).openings
    assert str(plan.center.x) == "37"
    assert plan.alternates == (Way(Length("9 7/8"), Hook.RIGHT_CUT),)


@pytest.mark.parametrize(("point", "middle"), [(Point.NEAR, "21 1/16"), (Point.FAR, "18 15/16"), (Point.CENTER, "20")])
def test_a_side_of_the_box_will_do(point: Point, middle: str) -> None:
    """The near side at 20 puts the center half a box (1 1/16) on, the far side as much back."""
    at = Box(BoxKind.SINGLE, Coordinate(point, Length(20), Edge.LEFT), center("40", Edge.TOP), "box 1")
    assert str(solve(room(at)).openings[0].center.x) == middle


def test_a_reading_from_the_floor_is_converted_and_says_so() -> None:
    """16 up in a height of 95 1/2 is 79 1/2 down. The height that was measured there counts; floor to ceiling, said to
    be another, is asked about.
    """
    board = room(box("box 1", "20", "16", y_from=Edge.BOTTOM))
    plan = solve(board)
    assert str(plan.openings[0].center.y) == "79 1/2"
    assert any("converted with the height there" in warning for warning in notes(plan))
    called = replace(board, floor_to_ceiling=Length(90))
    assert str(solve(called).openings[0].center.y) == "79 1/2"
    assert [odd.odd for odd in oddities(called)] == [Odd.FLOOR_TO_CEILING]
    assert oddities(replace(board, floor_to_ceiling=Length("95 5/8"))) == ()


def test_a_reading_from_below_with_nothing_known_is_refused() -> None:
    """No height, nothing below: the mark would shift."""
    from fieldvoice.records.meaning import Neighbor
    from tests.cutting.rooms import sides

    board = Board(
        "1",
        edges=sides(Neighbor.BOARD, Neighbor.WALL, Neighbor.CEILING, Neighbor.OPEN),
        widths=widths("40", "40", "40"),
        boxes=(box("box 1", "20", "16", y_from=Edge.BOTTOM),),
    )
    with no_plan("above the floor"):
        solve(board)


@pytest.mark.parametrize("kind", list(BOXES))
def test_every_kind_of_box_gets_a_hole_it_passes_through(kind: BoxKind) -> None:
    """1/16 in all round: the hole is 1/8 wider and higher than the box."""
    (plan,) = solve(room(box("box 1", "20", "40", kind=kind))).openings
    assert plan.right - plan.left == BOXES[kind].width + Length("1/8")
    assert plan.bottom - plan.top == BOXES[kind].height + Length("1/8")


@pytest.mark.parametrize("kind", [BoxKind.CALLED, BoxKind.SINGLE])
@pytest.mark.parametrize("start", [Edge.LEFT, Edge.RIGHT])
def test_a_box_by_its_four_sides_is_as_large_as_they_say(kind: BoxKind, start: Edge) -> None:
    """14 1/8 to 16 1/2 across and 40 to 42 down, whatever the kind: 1/16 in stays all round, and the proof holds."""
    near = (Coordinate(Point.NEAR, Length("14 1/8"), start), Coordinate(Point.NEAR, Length(40), Edge.TOP))
    far = (Coordinate(Point.FAR, Length("16 1/2"), start), Coordinate(Point.FAR, Length(42), Edge.TOP))
    solved = solve(room(Box(kind, *near, "box 1", far=far)))
    (hole,) = solved.openings
    assert prove(solved).ok
    assert (hole.right - hole.left, hole.bottom - hole.top) == (Length("2 1/2"), Length("2 1/8"))
    assert str(hole.left if start is Edge.LEFT else hole.right) == {Edge.LEFT: "14 1/16", Edge.RIGHT: "32 15/16"}[start]


def test_a_box_of_no_kind_and_no_size_has_no_hole() -> None:
    """Neither its kind nor its sides were called."""
    with no_plan("what kind of box it is, for box 1"):
        solve(room(box("box 1", "20", "40", kind=BoxKind.CALLED)))


def test_a_box_over_the_edge_belongs_to_two_boards() -> None:
    """Half a box at the joint: the hole ends at the edge, and the neighbor's half is spoken of."""
    plan = solve(room(box("box 1", "0", "40")))
    (hole,) = plan.openings
    assert (hole.left, str(hole.right)) == (Length(0), "1 1/8")
    assert any("runs over the left edge" in warning for warning in notes(plan))


def test_a_narrow_web_is_warned_about() -> None:
    """An inch between a box and the edge, an inch between two boxes; three inches are quiet."""
    near = notes(solve(room(box("box 1", "2 1/8", "40"))))
    assert any("Only 1 in of board stays between box 1 and the left edge" in warning for warning in near)
    two = notes(solve(room(box("box 1", "10", "40"), box("box 2", "13 1/4", "40"))))
    assert any("Only 1 in of board stays between box 1 and box 2" in warning for warning in two)
    assert not any("Only" in warning for warning in notes(solve(room(box("box 1", "20", "40")))))


def test_a_pipe_gets_a_hole_an_eighth_larger_all_round() -> None:
    """A 2 in pipe: 2 1/4."""
    (hole,) = solve(room(openings=(opening(OpeningKind.PIPE, "20", "40", diameter=Length(2)),))).openings
    assert str(hole.right - hole.left) == "2 1/4"
    assert hole.method is Method.COMPASS
    assert hole.radius == Length("1 1/8")


@pytest.mark.parametrize("diameter", ["2", "3 1/2", "3 3/16", "6"])
def test_a_hole_is_as_wide_as_it_was_called(diameter: str) -> None:
    """Nothing is free round it; a plan that has it elsewhere or of another size isn't proved."""
    plan = solve(room(openings=(opening(OpeningKind.HOLE, "20", "40", diameter=Length(diameter)),)))
    (hole,) = plan.openings
    assert hole.method is Method.COMPASS
    assert hole.radius is not None
    assert abs(hole.radius * 2 - Length(diameter)) <= Length("1/16")
    at = next(place for place, step in enumerate(plan.steps) if step.hole is not None)
    marks = plan.steps[at].hole
    assert marks is not None
    assert marks.radius is not None
    assert marks.center is not None
    x, y = marks.center
    for by in map(Length, ("1/8", "-1/8")):
        wide, aside = replace(marks, radius=marks.radius + by), replace(x, distance=x.distance + by)
        for wrong in (wide, replace(marks, center=(aside, y))):
            steps = [*plan.steps]
            steps[at] = replace(steps[at], hole=wrong)
            assert not prove(replace(plan, steps=tuple(steps))).ok


def test_a_window_is_cut_in_place_and_a_corner_that_can_be_carried_is_sawn_first() -> None:
    """Hung over, a window follows its framing, at an edge as well, where thin legs would break; an L with legs a foot
    wide goes to the saw. Nobody marks the center of a window.
    """
    size = {"width": Length(24), "height": Length(30)}
    inside = solve(room(openings=(opening(OpeningKind.WINDOW, "23", "50", **size),)))
    assert inside.openings[0].method is Method.IN_PLACE
    at_edge = solve(room(openings=(opening(OpeningKind.WINDOW, "40", "50", **size),)))
    assert at_edge.openings[0].method is Method.IN_PLACE
    assert any("along its framing" in text for text in says(at_edge))
    assert any("goes on past the right edge" in text for text in notes(at_edge))
    corner = solve(room(openings=(opening(OpeningKind.WINDOW, "40", "12", **size),)))
    assert corner.openings[0].method is Method.SAW
    assert any("short sides first" in text for text in says(corner))
    assert not any("center" in text for text in says(corner) if "hole" in text)
    thin = solve(room(openings=(opening(OpeningKind.WINDOW, "20", "12", **size),)))
    assert thin.openings[0].method is Method.IN_PLACE


def test_a_box_with_a_device_in_it_gets_no_bit() -> None:
    """Dead and tested, but something is plugged in: by hand, with a caution of its own."""
    at = replace(box("box 1", "20", "40"), plugged_in=True)
    plan = solve(replace(room(at), circuits={"box 1": Circuit.DEAD}))
    assert plan.openings[0].method is Method.BEFOREHAND
    assert any("device sits in box 1" in (heed(step) or "") for step in plan.steps)


def test_a_corner_of_a_box_may_lie_on_the_board() -> None:
    """The center is beyond the joint, its right side is not: what is on the board is cut."""
    (hole,) = solve(room(box("box 1", "-1/2", "40"))).openings
    assert (str(hole.left), str(hole.right)) == ("0", "5/8")


def test_both_sides_of_a_duct_may_be_called() -> None:
    """From 10 to 22 across and 30 to 36 down is 12 by 6, with an eighth all round."""
    sides = (Coordinate(Point.NEAR, Length(10), Edge.LEFT), Coordinate(Point.FAR, Length(22), Edge.LEFT))
    ends = (Coordinate(Point.NEAR, Length(30), Edge.TOP), Coordinate(Point.FAR, Length(36), Edge.TOP))
    (hole,) = solve(room(openings=(Opening(OpeningKind.DUCT, sides, ends, name="duct"),))).openings
    marked = [str(one) for one in (hole.left, hole.right, hole.top, hole.bottom)]
    assert marked == ["9 7/8", "22 1/8", "29 7/8", "36 1/8"]


def test_sides_called_from_opposite_edges_are_refused() -> None:
    """Their difference is no width."""
    sides = (center("10", Edge.LEFT), center("22", Edge.RIGHT))
    duct = Opening(OpeningKind.DUCT, sides, (center("30", Edge.TOP),), height=Length(6), name="duct")
    with no_plan("opposite edges"):
        solve(room(openings=(duct,)))


def test_an_opening_without_a_size_is_still_needed() -> None:
    """A duct by its center alone."""
    with no_plan("the width of hole"):
        solve(room(openings=(opening(OpeningKind.DUCT, "20", "40"),)))


def test_steps_come_in_working_order() -> None:
    """Cuts, rasp, marks, by hand before hanging, the router after it."""
    board = room(box("box 1", "10", "40"), box("box 2", "30", "40"))
    plan = solve(replace(board, circuits={"box 1": Circuit.DEAD}))
    texts = says(plan)
    order = ["Lean", "Bottom edge", "Right edge", "Rasp", "Mark box 1", "Cut box 2 by hand", "Hang", "Rout box 1"]
    places = [next(i for i, text in enumerate(texts) if text.startswith(start)) for start in order]
    assert places == sorted(places)


def spoiled(plan: CutPlan, **changes: object) -> CutPlan:
    """The plan with its first opening changed."""
    return replace(plan, openings=(replace(plan.openings[0], **changes), *plan.openings[1:]))  # type: ignore[arg-type]


def moved(one: OpeningPlan, by: Length) -> dict[str, object]:
    """The opening a little to the right."""
    return {
        "left": one.left + by,
        "right": one.right + by,
        "center": Point2(one.center.x + by, one.center.y),
        "corners": tuple(Point2(p.x + by, p.y) for p in one.corners),
    }


def test_a_spoiled_opening_never_passes() -> None:
    """Moved, grown, shrunk, off center, with a tool in a live box, left out, or with a wrong second way."""
    plan = solve(room(box("box 1", "10", "40", x_from=Edge.RIGHT)))
    one = plan.openings[0]
    assert prove(plan).ok
    for by in ("1/8", "-1/8", "3"):
        assert not prove(spoiled(plan, **moved(one, Length(by)))).ok
    assert not prove(spoiled(plan, left=one.left - Length("1/8"))).ok
    assert not prove(spoiled(plan, bottom=one.bottom - Length("1/8"))).ok
    assert not prove(spoiled(plan, center=Point2(one.center.x, one.center.y + Length("1/8")))).ok
    assert not prove(spoiled(plan, method=Method.ROUT)).ok
    assert not prove(spoiled(plan, alternates=(Way(Length("9 3/4"), Hook.RIGHT_CUT),))).ok
    assert not prove(replace(plan, openings=())).ok


def test_a_box_from_a_wall_that_bows_beyond_its_plate_waits() -> None:
    """Between two readings the wall may be anywhere by more than the plate covers: its step is withheld and it is to be
    measured from the joint. A plan that keeps that to itself fails.
    """
    board = Board(
        "B",
        edges=SIDES_SWAPPED,
        widths=widths("46 7/8", "44 3/4", "46 1/4"),
        heights=heights("95 1/2"),
        boxes=(box("box 1", "20", "24"),),
    )
    plan = solve(board)
    assert plan.openings[0].held
    assert [step.does for step in plan.steps if step.opening == "box 1"] == [Does.WAIT]
    (held,) = (one for one in plan.warnings if one.code is Code.HELD)
    assert held.holds_cut
    assert any(one.flaw is Flaw.UNTOLD for one in prove(replace(plan, warnings=())).failures)
    near = solve(replace(board, boxes=(box("box 1", "20", "48"),)))
    assert not near.openings[0].held


def test_a_spoiled_outline_or_sheet_never_passes() -> None:
    """A corner moved by 1/16; a sheet that is too short."""
    plan = solve(room())
    for i, corner in enumerate(plan.outline):
        other = Point2(corner.x + SIXTEENTH, corner.y)
        outline = (*plan.outline[:i], other, *plan.outline[i + 1 :])
        if corner.x:
            assert not prove(replace(plan, outline=outline)).ok
    assert not prove(replace(plan, sheet=replace(plan.sheet, length=Length(90)))).ok
    assert not prove(replace(plan, cuts=tuple(replace(cut, origin=cut.edge) for cut in plan.cuts))).ok


def test_readings_changed_behind_the_plan_are_noticed() -> None:
    """The same marks in a room 1/16 narrower are too tight."""
    plan = solve(room())
    board = replace(plan.board, widths=widths("47", "46 15/16", "47"))
    assert any(one.flaw is Flaw.TIGHT for one in prove(replace(plan, board=board)).failures)


def test_a_side_that_runs_out_ends_at_a_mark_of_the_tape() -> None:
    """Across a tapered edge the board ends between two marks: the side is the next one, never 46 47/76."""
    tapered = Board("1", widths=widths("46 7/8", "46 3/4", "46 1/4"), heights=heights("95 1/2"))
    plan = solve(replace(tapered, boxes=(box("box 1", "46 1/2", "20"),)))
    assert str(plan.openings[0].right) == "46 5/8"
    assert any("runs over the right edge" in warning for warning in notes(plan))


@pytest.mark.parametrize("way", ["across", "down"])
@pytest.mark.parametrize("apart", ["1/2", "2 1/2", "5", "12"])
@pytest.mark.parametrize("other", [Circuit.UNKNOWN, Circuit.LIVE, Circuit.DEAD, None])
def test_no_router_goes_round_a_box_beside_one_that_may_be_live(other: Circuit | None, apart: str, way: str) -> None:
    """Tested as it is itself: the bit runs round its outside. What is farther off is no matter, and a light counts."""
    x, y = (apart, "0") if way == "across" else ("0", apart)
    there = (str(Length(20) + Length(x)), str(Length(40) + Length(y)))
    boxes = (box("box 1", "20", "40"), box("box 2", *there))
    circuits = {"box 1": Circuit.DEAD} | ({} if other is None else {"box 2": other})
    plan = solve(replace(room(*boxes), circuits=circuits))
    method = {each.name: each.method for each in plan.openings}
    near = apart != "12"
    assert (method["box 1"] is Method.ROUT) is (other is Circuit.DEAD or not near)
    routed = [step for step in plan.steps if step.opening == "box 1" and step.tool is Tool.ROUTER]
    assert [set(step.near) for step in routed] == ([{"box 2"} if near else set()] if routed else [])
    light = opening(OpeningKind.LIGHT, *there, diameter=Length(4))
    beside = solve(replace(room(boxes[0], openings=(light,)), circuits={"box 1": Circuit.DEAD}))
    assert (beside.openings[0].method is Method.ROUT) is not near
