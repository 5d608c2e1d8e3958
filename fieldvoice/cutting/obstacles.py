"""What the board is cut out around, a box or an opening: its middle and its size, from what was called at the wall."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from fieldvoice.cutting.axis import ACROSS, DOWN, Axis, axis_of
from fieldvoice.cutting.hole import MeasuredHole
from fieldvoice.cutting.lines import Polyline, value_at
from fieldvoice.cutting.outline import meet
from fieldvoice.cutting.tables import BOX_GAP, OPENING_GAPS, size_of
from fieldvoice.errors import NotPlanned
from fieldvoice.records.board import Board
from fieldvoice.records.meaning import OPPOSITE, Box, BoxKind, Coordinate, Edge, Opening, OpeningKind, Point
from fieldvoice.records.plan import Missing, Need, No, NoPlan

ZERO = Fraction(0)
_SQUARE = frozenset({OpeningKind.WINDOW, OpeningKind.DOOR, OpeningKind.NOTCH})


@dataclass(frozen=True, slots=True)
class Obstacle:
    """A box or an opening in the hole: its middle, half its size each way, the gap round it, and the edges that it was
    called from. `radius` is there where it is round.
    """

    name: str
    what: Box | Opening
    x: Fraction
    y: Fraction
    half_width: Fraction
    half_height: Fraction
    gap: Fraction
    x_start: Edge
    y_start: Edge
    radius: Fraction | None = None


def called(what: Box | Opening) -> tuple[tuple[Coordinate, ...], tuple[Coordinate, ...]]:
    """What was called across and down: one coordinate each, or both sides."""
    if isinstance(what, Opening):
        return what.xs, what.ys
    if what.far is None:
        return (what.x,), (what.y,)
    return (what.x, what.far[0]), (what.y, what.far[1])


def obstacle_of(board: Board, hole: MeasuredHole, what: Box | Opening) -> Obstacle:
    """Where it is in the hole. Raises NotPlanned where its size or what it was called from isn't known."""
    xs, ys = called(what)
    width, height = (_size(board, what, axis, said) for axis, said in ((ACROSS, xs), (DOWN, ys)))
    dx, dy = _middle(board, what.name, xs, width), _middle(board, what.name, ys, height)
    side, level = (_reference(board, hole, what.name, said[0].start) for said in (xs, ys))
    x, y = meet(
        side,
        level,
        dx if xs[0].start is Edge.LEFT else -dx,
        dy if ys[0].start is Edge.TOP else -dy,
    )
    gap = BOX_GAP if isinstance(what, Box) else OPENING_GAPS[what.kind]
    radius = width / 2 if is_round(what) else None
    return Obstacle(what.name, what, x, y, width / 2, height / 2, gap.inches, xs[0].start, ys[0].start, radius)


def has_circuit(what: Box | Opening) -> bool:
    """Whether wires are behind it: behind every box, and behind a light."""
    return isinstance(what, Box) or what.kind is OpeningKind.LIGHT


def is_round(what: Box | Opening) -> bool:
    """Whether it is a circle: a round box by its kind, a pipe or a light by its diameter."""
    if isinstance(what, Box):
        return what.far is None and what.kind in {BoxKind.ROUND, BoxKind.OCTAGON}
    return what.diameter is not None and what.kind not in _SQUARE and len(what.xs) == len(what.ys) == 1


def _size(board: Board, what: Box | Opening, axis: Axis, said: tuple[Coordinate, ...]) -> Fraction:
    if isinstance(what, Box):
        size = size_of(what)
        return (size.width if axis is ACROSS else size.height).inches
    if len(said) == 2:
        return abs(said[1].value.inches - said[0].value.inches)
    given = (what.width if axis is ACROSS else what.height) or what.diameter
    if given is None:
        missing = Missing(Need.SIZE, about=what.name, dimension=axis.dimension)
        raise NotPlanned(NoPlan(No.NEEDS, missing=(missing,), unit=board.unit))
    return given.inches


def _middle(board: Board, name: str, said: tuple[Coordinate, ...], size: Fraction) -> Fraction:
    """How far its middle is from what it was called from."""
    first, value = said[0], said[0].value.inches
    if len(said) == 2:
        if said[1].start is not first.start:
            raise NotPlanned(NoPlan(No.OPPOSITE_EDGES, about=name, edge=first.start, unit=board.unit))
        return (value + said[1].value.inches) / 2
    if first.point is Point.CENTER:
        return value
    return value + (size / 2 if first.point is Point.NEAR else -size / 2)


def _reference(board: Board, hole: MeasuredHole, name: str, edge: Edge) -> Polyline:
    """The line that a distance was measured from."""
    line = hole.floor if edge is Edge.BOTTOM else hole.lines[edge]
    if line is None:
        need = Need.FLOOR_HEIGHT if edge is Edge.BOTTOM else Need.MEASURE_AGAIN
        missing = Missing(need, about=name, edge=OPPOSITE[edge])
        raise NotPlanned(NoPlan(No.NEEDS, missing=(missing,), unit=board.unit))
    return line


def in_doubt(hole: MeasuredHole, obstacle: Obstacle) -> tuple[Edge, Fraction] | None:
    """The edge that a box was called from and by how much the readings leave it open there, where that is more than the
    gap round it: between two readings a bowed wall may run otherwise than straight from one to the next.
    """
    if not isinstance(obstacle.what, Box):
        return None
    for edge, t in ((obstacle.x_start, obstacle.y), (obstacle.y_start, obstacle.x)):
        open_by = unsure(hole, edge, t)
        if open_by > obstacle.gap:
            return edge, open_by
    return None


def unsure(hole: MeasuredHole, edge: Edge, t: Fraction) -> Fraction:
    """By how much a line through the three nearest readings differs at `t` from one straight between two of them."""
    line = hole.lines[edge]
    if line is None or len(hole.spots(axis_of(edge))) < 3 or len(line) < 3:
        return ZERO
    near = sorted(line, key=lambda point: abs(point[0] - t))[:3]
    return abs(_through(near, t) - value_at(line, t))


def _through(points: list[tuple[Fraction, Fraction]], t: Fraction) -> Fraction:
    total = ZERO
    for i, (ti, vi) in enumerate(points):
        weight = Fraction(1)
        for j, (tj, _) in enumerate(points):
            if i != j:
                weight *= (t - tj) / (ti - tj)
        total += vi * weight
    return total
