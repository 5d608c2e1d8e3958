"""What a hanger calls on an ordinary wall, and what the partner cuts for it."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from random import Random

import pytest

from fieldvoice.cutting.solving import missing, solve
from fieldvoice.errors import CannotCut
from fieldvoice.records.board import Board, EdgeSetting, Framing, Lies, MarksBy, Surface
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import (
    BoxKind,
    Circuit,
    Coordinate,
    Course,
    Edge,
    Neighbor,
    Opening,
    OpeningKind,
    Plumb,
    Point,
)
from fieldvoice.records.plan import Code, CutPlan, Does, Method, Need, StandOff, Tool, Where
from fieldvoice.wording.forms import Form
from fieldvoice.wording.needs import ask
from tests.cutting.nonsense import nonsense
from tests.cutting.rooms import SIDES_SWAPPED, SIDES_WALLED, box, cut_at, heights, notes, says, sides, widths

EVEN = widths("40", "40", "40")


def marks(plan: CutPlan, edge: Edge) -> list[str]:
    """The marks of the cut at that edge."""
    return [str(mark.distance) for mark in cut_at(plan, edge).marks]


def needs(board: Board) -> list[Need]:
    """What is asked for before there is a plan."""
    return [one.need for one in missing(board) if one.required]


def codes(plan: CutPlan) -> list[Code]:
    """What the plan warns of."""
    return [one.code for one in plan.warnings]


def hung(plan: CutPlan) -> tuple[StandOff, ...]:
    """How it is put."""
    return next(step.stand_offs for step in plan.steps if step.does is Does.HANG)


class TestSlopesThatAreSaid:
    """A value that was said is used, for the edge it was said of and for the one across."""

    def test_a_ceiling_that_drops_is_cut_along_the_drop(self) -> None:
        """Left height 95 1/2, ceiling drops 1 to the right: 95 at the left, 94 at the right."""
        plan = solve(Board("1", widths=EVEN, heights=heights("95 1/2"), plumbs=(Plumb(Edge.TOP, Length(1)),)))
        assert marks(plan, Edge.TOP) == ["95", "94"]

    def test_a_wall_that_leans_is_followed_though_the_other_side_is_open(self) -> None:
        """Left wall leans in 1/2: half an inch comes off at the top."""
        board = Board(
            "1",
            edges=sides(Neighbor.WALL, Neighbor.OPEN),
            heights=heights("95 1/2"),
            plumbs=(Plumb(Edge.LEFT, Length("1/2")),),
        )
        plan = solve(board)
        assert marks(plan, Edge.LEFT) == ["47 1/2", "48"]
        assert [(one.edge, str(one.off)) for one in hung(plan)] == [(Edge.LEFT, "1/8"), (Edge.TOP, "0")]

    def test_the_other_wall_follows_from_the_widths(self) -> None:
        """The left one leans in 3/4 and the widths grow by 1/4 only: the right one leans out 1/2, and is cut so."""
        board = Board(
            "1",
            edges=SIDES_WALLED,
            widths=widths("40", None, "40 1/4"),
            heights=heights("95 1/2"),
            plumbs=(Plumb(Edge.LEFT, Length("3/4")),),
        )
        plan = solve(board)
        assert {cut.edge for cut in plan.cuts} == {Edge.LEFT, Edge.RIGHT, Edge.BOTTOM}
        assert all(gap.gap >= Length("1/8") for gap in plan.proof.gaps)

    def test_leans_that_the_widths_deny_are_asked_about(self) -> None:
        """Both lean in by 1/2 and the board is as wide at the top: one of the three was misheard."""
        leans = (Plumb(Edge.LEFT, Length("1/2")), Plumb(Edge.RIGHT, Length("1/2")))
        assert needs(Board("1", edges=SIDES_WALLED, widths=EVEN, heights=heights("95"), plumbs=leans)) == [Need.PLUMBS]


class TestWhereMarksGo:
    """On what is there, from an edge that is kept."""

    @pytest.mark.parametrize("end", [None, Edge.BOTTOM])
    def test_marks_beside_a_slanted_end_count_from_the_kept_one(self, end: Edge | None) -> None:
        """A floor that falls, cut at the bottom: the side's lower mark counts down from the ceiling's edge."""
        board = Board("1", widths=widths("46 7/8", "46 1/2", "46 1/8"), heights=heights("60", None, "58"), end=end)
        plan = solve(board)
        side = cut_at(plan, Edge.RIGHT)
        sloped = Edge.TOP if end is None else Edge.BOTTOM
        kept = Edge.BOTTOM if end is None else Edge.TOP
        assert {cut.edge for cut in plan.cuts} == {Edge.RIGHT, sloped}
        assert {mark.start for mark in side.marks} == {kept}
        assert plan.proof.ok

    def test_a_stand_off_is_said(self) -> None:
        """Between walls the marks go by 1/8 off the left wall, and so does the hanging."""
        board = Board("1", edges=SIDES_WALLED, widths=EVEN, heights=heights("95"), boxes=(box("box 1", "20", "40"),))
        plan = solve(board)
        assert [(one.edge, str(one.off), one.neighbor) for one in hung(plan)] == [
            (Edge.LEFT, "1/8", Neighbor.WALL),
            (Edge.TOP, "0", Neighbor.CEILING),
        ]
        assert any("left edge 1/8 in off the wall" in text for text in says(plan))
        assert str(plan.openings[0].center.x) == "19 7/8"

    def test_an_open_edge_is_put_to_nothing(self) -> None:
        """Whole sheet after the last board: it is put to that."""
        plan = solve(Board("1", edges=sides(Neighbor.BOARD, Neighbor.OPEN), heights=heights("95")))
        assert {one.edge for one in hung(plan)} == {Edge.LEFT, Edge.TOP}

    def test_overhead_it_is_said_where_left_is_left(self) -> None:
        """A sheet for a ceiling is marked on its face and turned over one's head."""
        board = Board("1", surface=Surface.CEILING, widths=EVEN, heights=heights("90", None, "90"))
        assert "Seen from below" in says(solve(board))[0]

    @pytest.mark.parametrize("by", list(MarksBy))
    def test_a_box_is_marked_as_the_crew_likes(self, by: MarksBy) -> None:
        """By its four sides, by its center, or both; from the edge it was called from where that is kept."""
        board = Board("1", widths=EVEN, heights=heights("95"), boxes=(box("box 1", "20", "40"),), marks_by=by)
        (hole,) = (step.hole for step in solve(board).steps if step.does is Does.MARK_OPENING)
        assert hole is not None
        assert (hole.center is not None) == (by is not MarksBy.SIDES)
        assert hole.sides


class TestCourses:
    """Lying sheets, one row under the other."""

    def lying(self, course: Course | None, high: str | None, **more: object) -> Board:
        """A lying board 120 in wide from the last one to a wall."""
        taken = heights(high) if high is not None else ()
        lower = Board("1", lies=Lies.LYING, course=course, widths=widths("120", None, "120"), heights=taken)
        return replace(lower, **more)  # type: ignore[arg-type]

    def test_a_lying_sheet_of_no_course_is_asked_about(self) -> None:
        """It may hang under the ceiling or stand over the floor; what was called at its edges says so too."""
        board = self.lying(None, "48 1/2")
        assert needs(board) == [Need.COURSE]
        assert "upper course" in ask(next(one for one in missing(board) if one.need is Need.COURSE), Form(Unit.INCH))

    def test_the_upper_one_needs_no_height(self) -> None:
        """Its lower edge is the joint to come."""
        plan = solve(self.lying(Course.UPPER, None))
        assert [cut.edge for cut in plan.cuts] == [Edge.RIGHT]
        assert hung(plan)[-1] == StandOff(Edge.TOP, Length(0), Neighbor.CEILING)

    def test_the_lower_one_is_lifted_to_the_joint_and_not_ripped(self) -> None:
        """48 5/8 from the upper sheet to the floor: 48 as it is, tight to the joint, 5/8 open at the floor."""
        plan = solve(self.lying(Course.LOWER, "48 5/8"))
        assert [cut.edge for cut in plan.cuts] == [Edge.RIGHT]
        assert hung(plan)[-1] == StandOff(Edge.TOP, Length(0), Neighbor.BOARD)
        assert any("foot lift" in text and "5/8 in stays open" in text for text in says(plan))
        assert [str(gap.gap) for gap in plan.proof.gaps if gap.edge is Edge.BOTTOM] == ["5/8"]

    def test_a_switch_up_from_the_floor_needs_the_height_of_the_course(self) -> None:
        """48 up, on the upper course: with nothing known of the floor it can't be placed."""
        board = self.lying(Course.UPPER, None, boxes=(box("box 1", "30", "56", y_from=Edge.BOTTOM),))
        assert needs(board) == [Need.FLOOR_HEIGHT]
        by_course = replace(board, above_floor=Length("48 5/8"))
        assert str(solve(by_course).openings[0].center.y) == "40 5/8"  # 48 5/8 + 48 - 56
        by_ceiling = replace(board, floor_to_ceiling=Length(96))
        assert str(solve(by_ceiling).openings[0].center.y) == "40"
        by_height = replace(board, heights=heights("96 5/8"))
        assert str(solve(by_height).openings[0].center.y) == "40 5/8"


class TestNoNeedlessCut:
    """No rip of an eighth over twelve feet, and no larger sheet for what the base covers."""

    def test_the_usual_wall_takes_the_usual_sheet(self) -> None:
        """96 5/8 floor to ceiling: 8 ft as it is."""
        plan = solve(Board("1", widths=EVEN, heights=heights("96 5/8")))
        assert (plan.sheet.length, [cut.edge for cut in plan.cuts]) == (Length(96), [Edge.RIGHT])

    def test_what_the_base_covers_can_be_said(self) -> None:
        """A low base covers half an inch: then 96 5/8 needs a longer sheet."""
        low = Board("1", widths=EVEN, heights=heights("96 5/8"), base_covers=Length("1/2"))
        assert solve(low).sheet.length == Length(108)

    def test_two_walls_and_a_square_board(self) -> None:
        """A closet: cut square to the shortest where the clearances take up the rest, and nobody is asked."""
        closet = Board("1", edges=SIDES_WALLED, widths=widths("40", "39 7/8", "39 15/16"), heights=heights("95"))
        plan = solve(closet)
        assert marks(plan, Edge.RIGHT) == ["39 5/8", "39 5/8"]
        beyond = replace(closet, widths=widths("40", "39 3/4", "39 1/2"))
        (one,) = (one for one in missing(beyond) if one.required)
        assert one.need is Need.SIDE
        assert "cut the left" in ask(one, Form(Unit.INCH))

    def test_side_and_end_are_two_questions(self) -> None:
        """Overhead between four walls: which side and which end, and each answer counts."""
        hall = Board(
            "1",
            surface=Surface.CEILING,
            edges=SIDES_WALLED,
            widths=widths("40", None, "39 1/2"),
            heights=heights("90", None, "89 1/2"),
        )
        assert needs(hall) == [Need.SIDE, Need.END]
        assert needs(replace(hall, taper=Edge.RIGHT)) == [Need.END]
        plan = solve(replace(hall, taper=Edge.RIGHT, end=Edge.BOTTOM))
        assert {cut.edge for cut in plan.cuts} == {Edge.RIGHT, Edge.BOTTOM}

    def test_one_width_will_do_between_two_joints(self) -> None:
        """A lying sheet to a joint: what stands there is straight."""
        board = Board(
            "1",
            lies=Lies.LYING,
            course=Course.LOWER,
            edges=sides(Neighbor.BOARD, Neighbor.BOARD),
            widths=widths("110", None, None),
            heights=heights("48 1/2"),
        )
        assert marks(solve(board), Edge.RIGHT) == ["110", "110"]


def opening(kind: OpeningKind, x: str, y: str, wide: str, high: str) -> Opening:
    """An opening by its near sides and its size."""
    return Opening(
        kind,
        (Coordinate(Point.NEAR, Length(x), Edge.LEFT),),
        (Coordinate(Point.NEAR, Length(y), Edge.TOP),),
        Length(wide),
        Length(high),
        None,
        f"{kind.value} 1",
    )


class TestOpenings:
    """Windows, pipes, notches, and what breaks."""

    def board(self, *openings: Opening, **more: object) -> Board:
        """A board 46 wide with openings."""
        board = Board("1", widths=widths("46", "46", "46"), heights=heights("95"), openings=openings)
        return replace(board, **more)  # type: ignore[arg-type]

    def test_a_window_is_hung_over_and_cut_in_place(self) -> None:
        """No mark on the sheet; the step comes after the hanging, along the framing."""
        plan = solve(self.board(opening(OpeningKind.WINDOW, "8", "30", "30", "40")))
        (make,) = (step for step in plan.steps if step.does is Does.MAKE_OPENING)
        assert (make.tool, make.where) == (Tool.SAW, Where.WALL)
        assert not any(step.does is Does.MARK_OPENING for step in plan.steps)

    def test_a_box_that_may_be_live_beside_a_window_keeps_the_saw_off_the_wall(self) -> None:
        """Then it is sawn before; said dead and tested, it is cut in place, and the step names the box."""
        live = self.board(opening(OpeningKind.WINDOW, "8", "30", "24", "30"), boxes=(box("box 1", "36", "40"),))
        assert solve(live).openings[1].method is Method.SAW
        dead = replace(live, circuits={"box 1": Circuit.DEAD})
        step = next(step for step in solve(dead).steps if step.opening == "window 1")
        assert (step.where, step.near) == (Where.WALL, ("box 1",))

    def test_thin_legs_are_told_where_it_is_sawn_all_the_same(self) -> None:
        """Two inches beside a window that can't be cut in place: nobody carries that whole."""
        board = self.board(opening(OpeningKind.WINDOW, "2", "30", "30", "40"), boxes=(box("box 1", "36", "40"),))
        plan = solve(board)
        assert Code.CARRY in codes(plan)
        assert any("can't be carried whole" in text for text in notes(plan))

    def test_a_window_over_the_edge_says_so(self) -> None:
        """The next board is cut along the same framing."""
        plan = solve(self.board(opening(OpeningKind.WINDOW, "30", "30", "30", "40")))
        assert Code.ACROSS_BOARDS in codes(plan)

    @pytest.mark.parametrize("kind", [BoxKind.ROUND, BoxKind.OCTAGON])
    def test_what_is_round_is_a_circle(self, kind: BoxKind) -> None:
        """Center and radius, a compass, and no short sides first."""
        board = Board("1", widths=EVEN, heights=heights("95"), boxes=(box("box 1", "20", "40", kind=kind),))
        plan = solve(board)
        (hole,) = (step.hole for step in plan.steps if step.does is Does.MARK_OPENING)
        assert hole is not None
        assert hole.radius == Length("2 1/16")
        assert any("compass" in text for text in says(plan))
        assert not any("short sides" in text for text in says(plan))

    def test_a_notch_keeps_its_edge(self) -> None:
        """A beam in the corner: two lines, and no strip of an eighth at the wall."""
        board = self.board(opening(OpeningKind.NOTCH, "0", "0", "6", "8"), edges=SIDES_SWAPPED)
        (hole,) = (step.hole for step in solve(board).steps if step.does is Does.MARK_OPENING)
        assert hole is not None
        assert {edge for edge, _ in hole.sides} == {Edge.RIGHT, Edge.BOTTOM}

    def test_webs_are_told_once_and_only_where_they_break(self) -> None:
        """Two holes an inch apart are; an ordinary board has no note at all."""
        two = Board(
            "1", widths=EVEN, heights=heights("95"), boxes=(box("box 1", "10", "40"), box("box 2", "13 1/4", "40"))
        )
        assert codes(solve(two)).count(Code.WEB) == 1
        assert codes(solve(Board("1", widths=EVEN, heights=heights("95"), boxes=(box("box 1", "20", "40"),)))) == []


class TestFraming:
    """Where an end may lie."""

    def board(self, **more: object) -> Board:
        """A lying sheet after the last board, its right end free."""
        free = sides(Neighbor.BOARD, Neighbor.OPEN)
        board = Board("1", lies=Lies.LYING, course=Course.UPPER, edges=free)
        return replace(board, **more)  # type: ignore[arg-type]

    def test_a_free_end_goes_on_a_stud_that_was_called(self) -> None:
        """Studs at 14 1/2 and every 16: a sheet of 96 ends at 94 1/2."""
        studs = tuple(Length("14 1/2") + Length(16 * n) for n in range(9))
        assert marks(solve(self.board(framing=Framing(studs=studs))), Edge.RIGHT) == ["94 1/2", "94 1/2"]

    def test_a_called_spacing_counts_from_the_neighbor(self) -> None:
        """16 on center from the joint: 96 lies on one; 19 3/16 too; 24 too; nothing called, nothing cut."""
        for spacing in ("16", "24", "19 1/5"):
            assert solve(self.board(framing=Framing(spacing=Length(spacing), called=True))).cuts == ()
        assert marks(solve(self.board(framing=Framing(spacing=Length(20), called=True))), Edge.RIGHT) == ["80", "80"]
        assert solve(self.board()).cuts == ()

    def test_a_joint_off_the_framing_is_told_with_the_stud(self) -> None:
        """The next board hangs at 43: the nearest stud is at 48, and there is nothing to cut for it."""
        board = Board(
            "1",
            edges=sides(Neighbor.BOARD, Neighbor.BOARD),
            widths=widths("43", "43", "43"),
            heights=heights("95"),
            framing=Framing(called=True),
        )
        (told,) = (one for one in solve(board).warnings if one.code is Code.OFF_FRAMING)
        assert told.values == (Length(48),)

    def test_the_next_layer_ends_two_feet_away(self) -> None:
        """The first layer's joint is at 96: the second one's is at 64, and its screws are longer."""
        board = self.board(framing=Framing(spacing=Length(16), called=True), layers=2, layer=2)
        plan = solve(board)
        assert marks(plan, Edge.RIGHT) == ["64", "64"]
        assert Code.LAYERS in codes(plan)

    def test_butt_ends_are_beveled_by_the_crew_s_word(self) -> None:
        """The free end of a lying sheet; nothing where nobody asked for it."""
        (step,) = (step for step in solve(self.board(beveled=True)).steps if step.does is Does.BEVEL)
        assert step.edges == (Edge.LEFT, Edge.RIGHT)
        assert not any(step.does is Does.BEVEL for step in solve(self.board()).steps)


class TestSaid:
    """What stands at an edge, and the hanger's own clearance."""

    def test_a_clearance_at_the_floor_that_was_said_holds(self) -> None:
        """Three quarters: 96 5/8 can't keep that with 96 in, and the sheet is cut."""
        edges = sides(Neighbor.BOARD, Neighbor.WALL)
        edges[Edge.BOTTOM] = EdgeSetting(Neighbor.FLOOR, Length("3/4"))
        plan = solve(Board("1", edges=edges, widths=EVEN, heights=heights("96 5/8")))
        assert marks(plan, Edge.BOTTOM) == ["95 7/8", "95 7/8"]


def test_nonsense_ends_in_a_plan_or_a_reason() -> None:
    """Fields at random: never a fault of our own, and a plan only where its steps give the board."""
    plans = 0
    for seed in range(250):
        board = nonsense(Random(seed))
        missing(board)
        with suppress(CannotCut):
            plans += solve(board).proof.ok
    assert plans
