"""Planned pieces as boards of the job."""

from __future__ import annotations

import pytest

from fieldvoice.layout.boards import PlannedBoard, far_from_layout, planned_board
from fieldvoice.layout.planning import plan
from fieldvoice.records.board import Known, Lies
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Course, Dimension, Edge, Neighbor
from tests.layout.houses import house_of
from tests.layout.test_plans import JOB, wall


def boards(text: str) -> list[PlannedBoard]:
    """Every piece of a plan as a board."""
    made = plan(house_of(text))
    return [planned_board(piece, one.surface, Unit.INCH) for one in made.surfaces for piece in one.pieces]


def test_two_courses_beside_a_door() -> None:
    """The upper board hangs from wall to wall over two lower ones that end at the door."""
    upper, left, right = boards(JOB + wall("south", "144", "96 1/2", "door 54 0 36 82"))
    assert [one.board.course for one in (upper, left, right)] == [Course.UPPER, Course.LOWER, Course.LOWER]
    assert [upper.board.edges[edge].neighbor for edge in (Edge.LEFT, Edge.RIGHT, Edge.TOP, Edge.BOTTOM)] == [
        Neighbor.WALL,
        Neighbor.WALL,
        Neighbor.CEILING,
        Neighbor.BOARD,
    ]
    assert left.board.edges[Edge.RIGHT].neighbor is Neighbor.JAMB
    assert right.board.edges[Edge.BOTTOM].neighbor is Neighbor.FLOOR
    assert all(setting.known is Known.CARRIED for setting in upper.board.edges.values())
    assert (upper.board.above_floor, left.board.above_floor) == (Length("48 1/2"), None)
    assert right.board.framing.studs == (Length(6), Length(22), Length(38))
    assert all(one.board.lies is Lies.LYING and one.board.sheet is not None for one in (upper, left, right))


def test_the_lower_hole_is_read_down_to_the_floor() -> None:
    """The lower board is 48 in high, and its hole reads half an inch more."""
    upper, lower = boards(JOB + wall("north", "144"))
    assert (upper.width, upper.height) == (Length(144), Length(48))
    assert (lower.width, lower.height) == (Length(144), Length("48 1/2"))


@pytest.mark.parametrize(
    ("dimension", "read", "asked"),
    [
        (Dimension.WIDTH, "144", False),
        (Dimension.WIDTH, "143 1/4", False),
        (Dimension.WIDTH, "144 3/4", False),
        (Dimension.WIDTH, "114", True),
        (Dimension.WIDTH, "140", True),
        (Dimension.HEIGHT, "48 1/4", False),
        (Dimension.HEIGHT, "84", True),
    ],
)
def test_a_reading_far_from_the_layout_is_asked_about(dimension: Dimension, read: str, asked: bool) -> None:
    """Walls are out by less than an inch; fourteen for forty is out by more."""
    _, lower = boards(JOB + wall("north", "144"))
    found = far_from_layout(lower, dimension, Length(read))
    assert (found is not None) is asked
    if found is not None:
        assert found.planned == (lower.width if dimension is Dimension.WIDTH else lower.height)


def test_under_a_slope_a_height_may_be_any_between_the_ends() -> None:
    """A gable's upper board is lower at one end."""
    gable = boards(JOB + wall("gable", "96", "96", more='top_right_height = "120"'))
    top = next(one for one in gable if one.piece.left_height != one.piece.right_height)
    least, most = sorted((top.piece.left_height, top.piece.right_height))
    assert far_from_layout(top, Dimension.HEIGHT, (least + most) / 2) is None
    assert far_from_layout(top, Dimension.HEIGHT, most + Length(2)) is not None
