"""The two directions of measuring, and the readings of a board brought onto them as bounds.

`v` runs across the board from its near edge (left, top) to its far one; `t` runs along those edges from the start edge.
Everything inside the room is a plain `Fraction` of an inch.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from fieldvoice.cutting.lines import Polyline, value_at
from fieldvoice.cutting.tables import stand_off
from fieldvoice.errors import NotPlanned
from fieldvoice.records.board import Board
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Dimension, Edge, Place, Reading, Slot
from fieldvoice.records.plan import No, NoPlan

ZERO = Fraction(0)


@dataclass(frozen=True, slots=True)
class Axis:
    """A direction: readings run from `near` to `far`, and are taken at places between `start` and `end`."""

    dimension: Dimension
    near: Edge
    far: Edge
    start: Edge
    end: Edge


ACROSS = Axis(Dimension.WIDTH, Edge.LEFT, Edge.RIGHT, Edge.TOP, Edge.BOTTOM)
DOWN = Axis(Dimension.HEIGHT, Edge.TOP, Edge.BOTTOM, Edge.LEFT, Edge.RIGHT)


@dataclass(frozen=True, slots=True)
class Measured:
    """A reading in its place: `at` as said, `t` along the board, `bound` the reading less both stand-offs."""

    at: Place
    t: Fraction
    reading: Fraction
    bound: Fraction


def readings_of(board: Board, axis: Axis) -> tuple[Reading, ...]:
    """The readings that run in this direction."""
    return board.widths if axis.dimension is Dimension.WIDTH else board.heights


def stand_offs(board: Board, axis: Axis) -> Fraction:
    """What both edges of this direction take off a reading."""
    return stand_off(board, axis.near).inches + stand_off(board, axis.far).inches


def largest_bound(board: Board, axis: Axis) -> Fraction | None:
    """The most that the board may measure in this direction; None without a reading."""
    off = stand_offs(board, axis)
    return max((reading.value.inches - off for reading in readings_of(board, axis)), default=None)


def measured(board: Board, axis: Axis, extent: Fraction) -> tuple[Measured, ...]:
    """The readings along edges that are `extent` long, in order along them; of two at one place the last one said."""
    off = stand_offs(board, axis)
    places = {
        position(board, axis, reading.place, extent): reading for reading in readings_of(board, axis)
    }  # a later reading of the same place takes the earlier one's
    return tuple(
        Measured(reading.place, t, reading.value.inches, reading.value.inches - off)
        for t, reading in sorted(places.items(), key=lambda item: item[0])
    )


def position(board: Board, axis: Axis, at: Place, extent: Fraction) -> Fraction:
    """Where a place is along the board's edges; a called distance counts from the neighbour at the start edge."""
    if isinstance(at, Length):
        return _called(board, axis, at, extent)
    if at.value == axis.start.value:
        return ZERO
    if at.value == axis.end.value:
        return extent
    if at is Slot.MIDDLE:
        return extent / 2
    raise NotPlanned(NoPlan(No.NO_SUCH_PLACE, dimension=axis.dimension, at=at, unit=board.unit))


def _called(board: Board, axis: Axis, at: Length, extent: Fraction) -> Fraction:
    t = at.inches - stand_off(board, axis.start).inches
    if t > extent + 1:
        values = (at, Length(extent))
        raise NotPlanned(NoPlan(No.PLACE_BEYOND, dimension=axis.dimension, values=values, unit=board.unit))
    return min(max(t, ZERO), extent)


def leaning(board: Board, axis: Axis, edge: Edge, extent: Fraction) -> Polyline | None:
    """How far the neighbour at `edge` stands into the opening along it, from its plumb reading; None without one.

    Positive readings narrow a width towards the top (the start) and a height towards the right (the end).
    """
    lean = next((plumb.value.inches for plumb in reversed(board.plumbs) if plumb.edge is edge), None)
    if lean is None:
        return None
    at_start = (lean > 0) == (axis.dimension is Dimension.WIDTH)
    first, last = (abs(lean), ZERO) if at_start else (ZERO, abs(lean))
    return ((ZERO, first), (extent, last))


def reading_at(readings: tuple[Measured, ...], t: Fraction) -> Fraction:
    """What the tape would have read at `t`: straight from one reading to the next, and on beyond the last ones."""
    return value_at(tuple((one.t, one.reading) for one in readings), t)
