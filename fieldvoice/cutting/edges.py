"""Which edges are cut, and along which lines."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from fieldvoice.cutting.axis import ACROSS, DOWN, Axis, Measured, leaning, measured
from fieldvoice.cutting.lines import Point, Polyline, broken, scribed, straight, value_at, widest_gap
from fieldvoice.cutting.tables import BASE_COVERS, BRIDGED, CUT_RANK, UNCOVERED, neighbour, stand_off, step_of
from fieldvoice.errors import NotPlanned
from fieldvoice.records.board import Board
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Edge, Neighbour, Place, Slot
from fieldvoice.records.plan import CutLine, Mark, Missing, Need, No, NoPlan, Shape

ZERO = Fraction(0)


@dataclass(frozen=True, slots=True)
class Run:
    """One direction solved. `near` and `far` are the board's edges as marked, from the board's outermost near point;
    `size` is the most it measures. `cuts` and `broken` are ready but for a cut at both edges, whose first marks count
    from the sheet's far edge and are moved by what the sheet has to spare.
    """

    axis: Axis
    extent: Fraction
    readings: tuple[Measured, ...]
    near: Polyline
    far: Polyline
    size: Fraction
    cuts: tuple[CutLine, ...] = ()
    broken: tuple[CutLine, ...] = ()
    widest: Fraction = ZERO


def run(board: Board, axis: Axis, extent: Fraction) -> Run:
    """Solve one direction of a board whose edges are `extent` long that way."""
    readings = measured(board, axis, extent)
    edges = edges_to_cut(board, axis, readings)
    if len(edges) == 2:
        return _both(board, axis, extent, readings)
    return _single(board, axis, extent, readings, edges[0])


def edges_to_cut(board: Board, axis: Axis, readings: tuple[Measured, ...]) -> tuple[Edge, ...]:
    """The side that was asked for; else what is out of plumb; else the wall rather than the joint."""
    if board.taper in {axis.near, axis.far}:
        return (board.taper,)
    out = {plumb.edge: abs(plumb.value) for plumb in board.plumbs if plumb.edge in {axis.near, axis.far}}
    leaning_edges = tuple(edge for edge in (axis.near, axis.far) if out.get(edge))
    if leaning_edges:
        return leaning_edges
    return (_by_neighbour(board, axis, readings, plumb_known=frozenset(out)),)


def _by_neighbour(board: Board, axis: Axis, readings: tuple[Measured, ...], *, plumb_known: frozenset[Edge]) -> Edge:
    near, far = neighbour(board, axis.near), neighbour(board, axis.far)
    if (
        axis is DOWN
        and far is Neighbour.FLOOR
        and not _base_covers(board, readings)
        and CUT_RANK[near] >= CUT_RANK[Neighbour.WALL]
    ):
        return Edge.TOP
    if CUT_RANK[near] != CUT_RANK[far]:
        return axis.near if CUT_RANK[near] > CUT_RANK[far] else axis.far
    if CUT_RANK[far] < CUT_RANK[Neighbour.WALL] or len({one.bound for one in readings}) == 1:
        return axis.far
    unknown = [edge for edge in (axis.near, axis.far) if edge not in plumb_known]
    if len(unknown) == 1:
        return unknown[0]
    need = Missing(Need.SIDE if axis is ACROSS else Need.END, neighbours=(near, far))
    raise NotPlanned(NoPlan(No.NEEDS, missing=(need,), unit=board.unit))


def _base_covers(board: Board, readings: tuple[Measured, ...]) -> bool:
    bounds = [one.bound for one in readings]
    return max(bounds) - min(bounds) + stand_off(board, Edge.BOTTOM).inches <= BASE_COVERS.inches


def _square_to_shortest(board: Board, axis: Axis, edge: Edge, readings: tuple[Measured, ...]) -> bool:
    at_floor = axis is DOWN and edge is Edge.BOTTOM and neighbour(board, edge) is Neighbour.FLOOR
    return at_floor and board.taper is not edge and _base_covers(board, readings)


def _single(board: Board, axis: Axis, extent: Fraction, readings: tuple[Measured, ...], edge: Edge) -> Run:
    bounds = tuple((one.t, one.bound) for one in readings)
    if _square_to_shortest(board, axis, edge, readings):
        shortest = min(v for _, v in bounds)
        bounds = ((ZERO, shortest), (extent, shortest))
    shape, line, other, widest = _fit(bounds, extent)
    origin = axis.far if edge is axis.near else axis.near
    cut = _cut_line(board, axis, readings, extent, edge, origin, shape, line)
    marked = _marked(line, step_of(board))
    size = max(v for _, v in marked)
    flat: Polyline = ((ZERO, ZERO), (extent, ZERO))
    if edge is axis.far:
        near, far = flat, marked
    else:
        # The factory edge lies where the readings along it were taken from, so that height readings keep their places.
        kept = max(v for _, v in bounds) if axis is ACROSS else size
        near, far = tuple((t, kept - v) for t, v in marked), tuple((t, kept) for t, _ in flat)
    instead = () if other is None else (_cut_line(board, axis, readings, extent, edge, origin, *other),)
    return Run(axis, extent, readings, near, far, size, (cut,), instead, widest)


def _both(board: Board, axis: Axis, extent: Fraction, readings: tuple[Measured, ...]) -> Run:
    """Both neighbours lean: the near edge follows its plumb reading, the far one the readings from there."""
    step = step_of(board)
    lean = leaning(board, axis, axis.near, extent)
    assert lean is not None
    near: Polyline = tuple((t, -v) for t, v in _marked(tuple((t, -v) for t, v in lean), step))
    bounds = tuple((one.t, one.bound + value_at(lean, one.t) - value_at(near, one.t)) for one in readings)
    shape, line, other, widest = _fit(bounds, extent)
    marked = _marked(line, step)
    far = tuple((t, v + value_at(near, t)) for t, v in marked)
    first = _cut_line(
        board, axis, readings, extent, axis.near, axis.far, Shape.STRAIGHT, tuple((t, -v) for t, v in lean)
    )
    second = _cut_line(board, axis, readings, extent, axis.far, axis.near, shape, line)
    instead = () if other is None else (_cut_line(board, axis, readings, extent, axis.far, axis.near, *other),)
    return Run(axis, extent, readings, near, far, max(v for _, v in far), (first, second), instead, widest)


def _fit(
    bounds: tuple[Point, ...], extent: Fraction
) -> tuple[Shape, Polyline, tuple[Shape, Polyline] | None, Fraction]:
    """The cut, what is offered instead, and the cut's widest gap over the clearance."""
    line = straight(bounds, ZERO, extent)
    gap = widest_gap(line, bounds)
    if gap <= BRIDGED.inches:
        return Shape.STRAIGHT, line, None, gap
    other = closer(bounds, extent)
    if gap <= UNCOVERED.inches:
        return Shape.STRAIGHT, line, other, gap
    return *other, None, widest_gap(other[1], bounds)


def closer(bounds: tuple[Point, ...], extent: Fraction) -> tuple[Shape, Polyline]:
    """Two straight pieces where they come close enough, else a scribe through every reading."""
    pieces = broken(bounds, ZERO, extent)
    if pieces is not None and widest_gap(pieces, bounds) <= BRIDGED.inches:
        return Shape.BROKEN, pieces
    return Shape.SCRIBE, scribed(bounds, ZERO, extent)


def _marked(line: Polyline, step: Length) -> Polyline:
    return tuple((t, Length(v).rounded_down(step).inches) for t, v in line)


def _cut_line(
    board: Board,
    axis: Axis,
    readings: tuple[Measured, ...],
    extent: Fraction,
    edge: Edge,
    origin: Edge,
    shape: Shape,
    line: Polyline,
) -> CutLine:
    places: dict[Fraction, Place] = {one.t: one.at for one in readings}
    places |= {ZERO: Slot(axis.start.value), extent: Slot(axis.end.value)}
    step = step_of(board)
    marks = tuple(Mark(places[t], Length(v).rounded_down(step), Length(v)) for t, v in line)
    return CutLine(edge, origin, shape, marks)
