"""The two directions of measuring.

`v` runs across the board from its near edge (left, top) to its far one; `t` runs along those edges from the start edge.
Everything inside the room is a plain `Fraction` of an inch.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from fieldvoice.cutting.tables import COURSE_HIGH, CUT_RANK, neighbor, stand_off
from fieldvoice.records.board import AT_THE_FLOOR, Board, Lies, Surface
from fieldvoice.records.meaning import Dimension, Edge, Neighbor, Reading

ZERO = Fraction(0)


@dataclass(frozen=True, slots=True)
class Axis:
    """A direction: readings run from `near` to `far`, and are taken at places between `start` and `end`."""

    dimension: Dimension
    near: Edge
    far: Edge
    start: Edge
    end: Edge

    @property
    def edges(self) -> tuple[Edge, Edge]:
        """Both edges."""
        return (self.near, self.far)


ACROSS = Axis(Dimension.WIDTH, Edge.LEFT, Edge.RIGHT, Edge.TOP, Edge.BOTTOM)
DOWN = Axis(Dimension.HEIGHT, Edge.TOP, Edge.BOTTOM, Edge.LEFT, Edge.RIGHT)


def axis_of(edge: Edge) -> Axis:
    """The direction that an edge bounds."""
    return ACROSS if edge in ACROSS.edges else DOWN


def readings_of(board: Board, axis: Axis) -> tuple[Reading, ...]:
    """The readings that bound the board in this direction, the last one said of each place. A height beyond any course
    at a lying board that doesn't stand on the floor was measured from floor to ceiling and bounds nothing.
    """
    taken = board.widths if axis is ACROSS else board.heights
    if axis is DOWN and in_course(board):
        taken = tuple(one for one in taken if one.value <= COURSE_HIGH)
    return tuple({one.place: one for one in taken}.values())


def wall_heights(board: Board) -> tuple[Reading, ...]:
    """The heights that were measured from floor to ceiling at a board of a course."""
    if not in_course(board):
        return ()
    return tuple({one.place: one for one in board.heights if one.value > COURSE_HIGH}.values())


def in_course(board: Board) -> bool:
    """Whether the board is one row of several on a wall."""
    if board.surface is not Surface.WALL or board.lies is not Lies.LYING:
        return False
    return Neighbor.FLOOR is not neighbor(board, Edge.BOTTOM) or Neighbor.CEILING is not neighbor(board, Edge.TOP)


def off_the_floor(board: Board) -> bool:
    """Whether the board hangs on a wall and its lower edge isn't at the floor, from which "up" counts all the same."""
    if board.surface is not Surface.WALL:
        return False
    raised = board.above_floor is not None and board.above_floor >= AT_THE_FLOOR
    return raised or neighbor(board, Edge.BOTTOM) is not Neighbor.FLOOR


def sides_are_short(board: Board) -> bool:
    """Whether the sides are so short, as those of one course are, that two widths show all that matters of a bow."""
    high = max((one.value for one in readings_of(board, DOWN)), default=None)
    return in_course(board) or (high is not None and high <= COURSE_HIGH)


def lean_of(board: Board, edge: Edge) -> Fraction | None:
    """How far the neighbor at an edge is out, as was said last; None where nothing was said.

    Positive readings narrow a width toward the top (the start) and a height toward the right (the end).
    """
    return next((plumb.value.inches for plumb in reversed(board.plumbs) if plumb.edge is edge), None)


def told(board: Board, axis: Axis) -> Edge | None:
    """The edge of this direction that the hanger said to cut."""
    return next((edge for edge in (board.taper, board.end) if edge in axis.edges), None)


def is_open(board: Board, edge: Edge) -> bool:
    """Whether nothing stands at an edge."""
    return neighbor(board, edge) is Neighbor.OPEN


def rank(board: Board, edge: Edge) -> int:
    """How much rather this edge is cut than another."""
    return CUT_RANK[neighbor(board, edge)]


def is_hard(board: Board, edge: Edge) -> bool:
    """Whether what stands at the edge was built by others, and so may be out of plumb."""
    return rank(board, edge) >= CUT_RANK[Neighbor.WALL]


def off(board: Board, edge: Edge) -> Fraction:
    """The stand-off at an edge in inches."""
    return stand_off(board, edge).inches


def spread(board: Board, axis: Axis) -> Fraction:
    """How much the readings of a direction differ."""
    values = [one.value.inches for one in readings_of(board, axis)]
    return max(values) - min(values) if values else ZERO
