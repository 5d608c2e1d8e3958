"""Planned pieces as boards of the job."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest

from fieldvoice.layout.boards import PlannedBoard, far_from_layout, planned_board
from fieldvoice.layout.planning import plan
from fieldvoice.records.board import Known, Lies
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Course, Dimension, Edge, Neighbor, Reading, Slot
from fieldvoice.records.room_plan import Piece
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
    found = far_from_layout(lower, Reading(Length(read), dimension, Slot.MIDDLE))
    assert (found is not None) is asked
    if found is not None:
        assert found.planned == (lower.width if dimension is Dimension.WIDTH else lower.height)


def test_under_a_slope_each_side_has_its_own_height() -> None:
    """What is called at a side is held against that side, what is called between them against both."""
    gable = boards(JOB + wall("gable", "96", "96", more='top_right_height = "120"'))
    top = next(one for one in gable if one.piece.slopes)
    left, right = top.piece.left_height, top.piece.right_height
    for at, high, odd in (
        (Slot.LEFT, left, right),
        (Slot.RIGHT, right, left),
        (Slot.MIDDLE, (left + right) / 2, max(left, right) + Length(2)),
    ):
        assert far_from_layout(top, Reading(high, Dimension.HEIGHT, at)) is None
        assert far_from_layout(top, Reading(odd, Dimension.HEIGHT, at)) is not None


SLOPES = [(60, 60, 90), (100, 60, 110), (100, 48, 90), (40, 96, 110), (96, 110, 60), (120, 96, 100), (144, 97, 96)]


@pytest.mark.parametrize(("width", "left", "right"), SLOPES)
def test_a_piece_under_a_slope_has_the_top_of_its_wall(width: int, left: int, right: int) -> None:
    """Everywhere as high as the wall is there, and no higher than its sheet."""
    more = f'top_right_height = "{right}"'
    for one in boards(JOB + wall("gable", str(width), str(left), more=more)):
        piece = one.piece
        there = [Fraction(left) + Fraction(right - left, width) * (piece.x.inches + each) for each in _steps(piece)]
        tops = [min(piece.height.inches, max(Fraction(0), high - piece.y.inches)) for high in there]
        straight = all(
            2 * middle == before + after for before, middle, after in zip(tops, tops[1:], tops[2:], strict=False)
        )
        assert piece.four_sided == (straight and min(tops) > 0)
        if min(tops) > 0:  # the end of a point is told as far as pieces go, which may be less than where the slope is
            assert tops == [_top(piece, each) for each in _steps(piece)]


def _steps(piece: Piece) -> list[Fraction]:
    return [piece.width.inches * Fraction(number, 32) for number in range(33)]


def _top(piece: Piece, across: Fraction) -> Fraction:
    """How high its top is, from its corners."""
    corners = [(one.across.inches, one.height.inches) for one in piece.top_corners]
    (x0, y0), (x1, y1) = next(pair for pair in pairwise(corners) if pair[0][0] <= across <= pair[1][0])
    return y0 + (y1 - y0) * (across - x0) / (x1 - x0)
