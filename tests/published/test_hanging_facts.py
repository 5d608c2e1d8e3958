"""Courses, openings, round holes, framing and layers against where the figures are published, or marked as practice."""

from fractions import Fraction

import pytest

from fieldvoice.cutting.solving import solve
from fieldvoice.cutting.tables import BASE_COVERS, BOXES, FLOOR_LEAST, LAYERS_APART, LEG, OFF_STUD, SLIVER
from fieldvoice.records.board import Board, Framing, Lies
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import BoxKind, Coordinate, Course, Edge, Neighbor, Opening, OpeningKind, Point
from fieldvoice.records.plan import Does, Method
from tests.cutting.rooms import box, heights, sides, widths

EVEN = widths("40", "40", "40")


@pytest.mark.parametrize("high", ["96 1/4", "96 1/2", "96 5/8", "97"])
def test_a_sheet_of_eight_feet_covers_a_wall_of_a_little_more(high: str) -> None:
    """GA-216 asks for 1/4 in at the floor at least (from memory); 1/2 in is quoted as practice (greenyplace.com, a weak
    page); that a base covers an inch is common practice, no source.
    """
    plan = solve(Board("1", widths=EVEN, heights=heights(high)))
    assert plan.sheet.length == Length(96)
    (gap,) = (gap.gap for gap in plan.proof.gaps if gap.edge is Edge.BOTTOM)
    assert Length("1/4") == FLOOR_LEAST
    assert FLOOR_LEAST <= gap <= BASE_COVERS


def test_two_courses_of_four_feet_hang_from_the_ceiling_down() -> None:
    """Trade pages: a ceiling first, then walls from the top (civilengineeringx.com; National Gypsum guide p. 103). Long
    edges meet in contact, not forced (ASTM C840 as reported in trade articles), and the foot lift is common practice,
    no source.
    """
    taken = {"widths": widths("120", None, "120"), "lies": Lies.LYING}
    upper = solve(Board("1", course=Course.UPPER, **taken))  # type: ignore[arg-type]
    lower = solve(Board("2", course=Course.LOWER, heights=heights("48 1/2"), **taken))  # type: ignore[arg-type]
    for plan in (upper, lower):
        assert [cut.edge for cut in plan.cuts] == [Edge.RIGHT]
        put = next(step.stand_offs for step in plan.steps if step.does is Does.HANG)
        assert [one.off for one in put if one.edge is Edge.TOP] == [Length(0)]


def test_a_window_is_cut_out_once_the_board_hangs() -> None:
    """A detail of GA-216-2016 keeps joints off the corners of openings (its wording not read; from memory): the sheet
    runs over the opening. That it is then cut along the framing is common practice, no source.
    """
    window = Opening(
        OpeningKind.WINDOW,
        (Coordinate(Point.NEAR, Length(6), Edge.LEFT),),
        (Coordinate(Point.NEAR, Length(30), Edge.TOP),),
        Length(28),
        Length(40),
        None,
        "window 1",
    )
    plan = solve(Board("1", widths=EVEN, heights=heights("95"), openings=(window,)))
    assert plan.openings[0].method is Method.IN_PLACE
    assert Length(2) < LEG


@pytest.mark.parametrize("kind", [BoxKind.ROUND, BoxKind.OCTAGON])
def test_a_ceiling_box_takes_the_hole_saw_of_its_size(kind: BoxKind) -> None:
    """NEMA OS 1, from memory: a 4 in box takes a hole of 4 1/8 to 4 1/4 in; NEC 314.21 as quoted: 1/8 in at most."""
    plan = solve(Board("1", widths=EVEN, heights=heights("95"), boxes=(box("box 1", "20", "40", kind=kind),)))
    (hole,) = plan.openings
    assert hole.radius is not None
    assert Length("4 1/8") <= hole.radius * 2 <= Length("4 1/4")
    assert hole.radius - BOXES[kind].width / 2 <= Length("1/8")


def test_an_end_bears_on_half_a_stud() -> None:
    """IRC Table R702.3.6 note d: 3/8 in from an end to its fasteners; on a stud of 1 1/2 in, shared by two ends, that
    leaves 3/8 in either way.
    """
    assert OFF_STUD.inches == Fraction(3, 2) / 2 - Fraction(3, 8)
    free = sides(Neighbor.BOARD, Neighbor.OPEN)
    board = Board("1", lies=Lies.LYING, course=Course.UPPER, edges=free)
    near, far = (
        Board("1", lies=board.lies, course=board.course, edges=free, framing=Framing(studs=(Length(80), stud)))
        for stud in (Length("95 5/8"), Length("95 1/2"))
    )
    assert solve(near).cuts == ()
    assert [str(mark.distance) for mark in solve(far).cuts[0].marks] == ["95 1/2", "95 1/2"]


def test_joints_of_two_layers_are_two_feet_apart() -> None:
    """Trade habit for butt joints, 24 in at least (engineerfix.com, how to stagger drywall seams)."""
    assert Length(24) == LAYERS_APART
    free = sides(Neighbor.BOARD, Neighbor.OPEN)
    one, two = (
        solve(
            Board(
                "1",
                lies=Lies.LYING,
                course=Course.UPPER,
                edges=free,
                framing=Framing(called=True),
                layers=2,
                layer=layer,
            )
        )
        for layer in (1, 2)
    )
    assert one.cuts == ()
    assert Length(96) - two.cuts[0].marks[0].distance >= LAYERS_APART


def test_a_strip_thinner_than_the_board_is_sawn() -> None:
    """Common practice, no source: a strip narrower than the board is thick doesn't snap."""
    assert Length("1/2") == SLIVER
    thin = solve(Board("1", widths=widths("47 7/8", "47 7/8", "47 7/8"), heights=heights("96 1/2")))
    assert [step.tool for step in thin.steps if step.does is Does.CUT] == ["saw"]
