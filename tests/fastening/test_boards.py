"""A board of the job, from its cut plan: its fasteners, its marks, its weight, and the record of all that."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from fieldvoice.cutting.solving import solve
from fieldvoice.cutting.tables import stand_off
from fieldvoice.errors import NoRule
from fieldvoice.fastening.panels import situation_of
from fieldvoice.fastening.plans import fasten_plan
from fieldvoice.fastening.rules import schedule
from fieldvoice.fastening.table import Preference, built_in
from fieldvoice.output.fastening import board_fastening, fastening_text, plan_fastening
from fieldvoice.records.board import Board, Framing, Lies, Surface
from fieldvoice.records.fastening import Crew, Fastener, Location, Stage
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Circuit, Course, Edge, Neighbor
from fieldvoice.records.plan import CutPlan
from tests.cutting.rooms import box, heights, sides, widths


def planned(board: Board) -> CutPlan:
    """The proved plan of a board that stands between a wall at the left and a board at the right."""
    return solve(board)


STUDS = Framing(studs=tuple(Length(center) for center in ("15 1/4", "31 1/4", "47 1/4")))
LEFT_WALL = Board(
    "1",
    edges=sides(Neighbor.WALL, Neighbor.BOARD),
    widths=widths("47 1/4", "47 1/4", "47 1/4"),
    heights=heights("96 1/2"),
    boxes=(box("box 1", "28", "70"),),
    framing=STUDS,
)


def test_studs_are_marked_less_the_clearance_at_the_left() -> None:
    """Called from the wall, which the board stands 1/8 in off: 15 1/4 is 15 1/8 on the board."""
    plan = planned(LEFT_WALL)
    assert stand_off(plan.board, Edge.LEFT) == Length("1/8")
    found = fasten_plan(plan, stand_off(plan.board, Edge.LEFT))
    marks = [tuple(map(str, mark.distances)) for mark in found.marks]
    assert marks[:2] == [("15 1/8", "15 1/8"), ("31 1/8", "31 1/8")]
    assert {str(spot.x) for spot in found.spots if not spot.along_edge} == {"15 1/8", "31 1/8"}
    assert found.framing_called
    assert found.off_framing == ()


def test_a_joint_past_its_stud_is_told() -> None:
    """The stud at 44 1/4 is three inches short of the joint."""
    studs = Framing(studs=tuple(Length(center) for center in ("15 1/4", "31 1/4", "44 1/4")))
    found = fasten_plan(planned(replace(LEFT_WALL, framing=studs)), Length("1/8"))
    assert found.off_framing == (Edge.RIGHT,)


def test_no_fastener_at_its_box() -> None:
    """The box beside the stud at 31 1/8 on the board keeps the row half an inch off its hole."""
    plan = planned(LEFT_WALL)
    (hole,) = plan.openings
    for spot in fasten_plan(plan, Length("1/8")).spots:
        dx = max(hole.left - spot.x, spot.x - hole.right, Length(0)).inches
        dy = max(hole.top - spot.y, spot.y - hole.bottom, Length(0)).inches
        assert dx * dx + dy * dy >= Fraction(9, 64)
        if spot.stage is Stage.FIRST:
            assert dx * dx + dy * dy >= 144


def test_a_routed_box_is_lifted_with_the_board() -> None:
    """Cut out once it hangs, it weighs with the board; cut beforehand it doesn't."""
    plans = [planned(replace(LEFT_WALL, circuits={"box 1": state})) for state in (Circuit.DEAD, Circuit.UNKNOWN)]
    routed, beforehand = (fasten_plan(plan, Length(0)).weight for plan in plans)
    assert routed.piece == beforehand.piece == beforehand.lifted
    assert routed.lifted > routed.piece


@pytest.mark.parametrize(("course", "limit"), [(Course.LOWER, 39), (Course.UPPER, 31)])
def test_the_upper_course_is_one_persons_sooner_too_much(course: Course, limit: int) -> None:
    """The equation gives 39 lb low and 31 lb up to 48 in."""
    board = replace(
        LEFT_WALL,
        lies=Lies.LYING,
        widths=widths("90", "90", "90"),
        heights=heights("48", right="48"),
        course=course,
        boxes=(),
    )
    hanging = fasten_plan(planned(board), Length(0)).hanging
    assert hanging.limit is not None
    assert int(hanging.limit) == limit
    assert hanging.crew is Crew.TWO


@pytest.mark.parametrize(("lies", "most"), [(Lies.STANDING, 16), (Lies.LYING, 24)])
def test_a_ceiling_board_along_its_joists(lies: Lies, most: int) -> None:
    """A standing sheet's long edges run along joists that run up: 5/8 in may span 16 in so, and 24 across."""
    board = Board("1", surface=Surface.CEILING, lies=lies, thickness=Length("5/8"), framing=Framing(spacing=Length(24)))
    case = situation_of(board, lies, Preference())
    allowed = [one.allowed for one in schedule(case, built_in()).concerns]
    assert [str(one.value) for one in allowed if one is not None] == (["16"] if most == 16 else [])


@pytest.mark.parametrize(("fastener", "doubled"), [(Fastener.NAIL, True), (Fastener.SCREW, False)])
@pytest.mark.parametrize(
    ("room", "surface", "location"),
    [
        ("garage", Surface.WALL, Location.GARAGE_WALL),
        ("garage/shop", Surface.CEILING, Location.GARAGE_CEILING),
        ("The Garage", Surface.CEILING, Location.GARAGE_CEILING),
        ("hall", Surface.WALL, Location.WALL),
        (None, Surface.CEILING, Location.CEILING),
        ("garages", Surface.WALL, Location.WALL),
    ],
)
def test_where_a_board_hangs_and_what_holds_it(
    room: str | None, surface: Surface, location: Location, fastener: Fastener, *, doubled: bool
) -> None:
    """A garage is one by its name; screws are never doubled, whatever was chosen for nails."""
    board = Board("1", surface=surface, room=room)
    case = situation_of(board, Lies.LYING, Preference(fastener, double_nailing=True))
    assert (case.location, case.double_nailing) == (location, doubled)


def test_what_no_rule_is_known_for() -> None:
    """Framing that is neither wood nor steel: said so, and nothing marked."""
    plan = planned(replace(LEFT_WALL, framing=replace(STUDS, material="brick")))
    with pytest.raises(NoRule, match="brick framing"):
        fasten_plan(plan, Length(0))
    assert isinstance(plan_fastening(plan), NoRule)
    assert list(board_fastening(plan, Unit.INCH)) == ["why"]


def test_its_record() -> None:
    """Every figure with who asks for it, every place, and the text."""
    plan = planned(LEFT_WALL)
    found = fasten_plan(plan, stand_off(plan.board, Edge.LEFT))
    record = board_fastening(plan, Unit.INCH)
    assert (record["fastener"], record["grip"], record["count"]) == ("screw", "coarse thread", found.count)
    edge = record["edge_spacing"]
    assert isinstance(edge, dict)
    assert edge["value"] == "12"
    assert [(one["value"], one["by"]) for one in edge["asked"]] == [("12", "practice"), ("16", "code")]
    places = record["places"]
    assert isinstance(places, list)
    assert len(places) == found.count
    marks = record["framing_marks"]
    assert isinstance(marks, list)
    assert marks[0] == {"top": "15 1/8", "bottom": "15 1/8"}
    assert record["text"] == fastening_text(found, Unit.INCH)


def test_in_millimeters_places_are_whole_ones() -> None:
    """A job in millimeters has its marks on them."""
    mm = Unit.MM
    board = replace(
        LEFT_WALL,
        unit=mm,
        widths=tuple(replace(one, value=Length.of(1190, mm)) for one in LEFT_WALL.widths),
        heights=tuple(replace(one, value=Length.of(2410, mm)) for one in LEFT_WALL.heights),
        framing=Framing(studs=(Length.of(400, mm), Length.of(800, mm))),
        boxes=(),
    )
    found = fasten_plan(planned(board), Length.of(3, mm))
    assert {str(spot.x.in_unit(mm)) for spot in found.spots if not spot.along_edge} == {"397", "797"}
    assert all(spot.y.in_unit(mm).denominator == 1 for spot in found.spots)
