"""Which edges are cut, and along which lines: one direction of a board, before it lies on a sheet."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from fieldvoice.cutting.geometry import XY, Polyline, broken, negated, scribed, straight, widest_gap
from fieldvoice.cutting.hole import DOWN, Axis, MeasuredHole, axis_of, off, rank, told
from fieldvoice.cutting.tables import BRIDGED, UNCOVERED, base_covers, floor_least, neighbor, stand_off
from fieldvoice.records.board import Board
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Edge, Neighbor
from fieldvoice.records.plan import Shape

ZERO = Fraction(0)
LEVEL = Length("1/8")
"""A lean no larger than this is left to the clearance, where the table has none (our own rule, no source)."""


@dataclass(frozen=True, slots=True)
class WantedEdge:
    """A wanted edge in the hole: `shape` through `points`; what is offered instead, and the widest gap over the
    clearance that it leaves.
    """

    points: Polyline
    shape: Shape = Shape.STRAIGHT
    instead: tuple[Shape, Polyline] | None = None
    widest: Fraction = ZERO


@dataclass(frozen=True, slots=True)
class SolvedDirection:
    """One direction solved. `near` and `far` are the wanted edges in the hole, None where nothing bounds them;
    `leaning` are the edges that are cut whatever the sheet. `size` is the most that the board measures, None where the
    sheet decides; `least` and `most` are what it may measure uncut, which nothing does where its ends differ.
    """

    axis: Axis
    near: WantedEdge | None
    far: WantedEdge | None
    leaning: tuple[Edge, ...]
    size: Fraction | None
    least: Fraction
    most: Fraction

    def line(self, edge: Edge) -> WantedEdge | None:
        """The wanted line of an edge."""
        return self.near if edge is self.axis.near else self.far

    def uncut(self, sheet: Fraction) -> bool:
        """Whether a sheet of that measure needs no cut this way."""
        return not self.leaning and (self.size is None or self.least <= sheet <= self.most)

    def fits(self, sheet: Fraction) -> bool:
        """Whether the board may come out of a sheet of that measure; where an edge leans only its corners tell."""
        return bool(self.leaning) or self.size is None or self.size <= sheet or self.uncut(sheet)


def run(board: Board, axis: Axis, hole: MeasuredHole) -> SolvedDirection:
    """Solve one direction of a hole."""
    leaning = tuple(edge for edge in axis.edges if _leans(board, edge, hole))
    near, far = (_line(board, edge, hole, leaning) for edge in axis.edges)
    if near is None or far is None or hole.lines[axis.near] is None or hole.lines[axis.far] is None:
        return SolvedDirection(axis, near, far, leaning, None, ZERO, ZERO)
    if not hole.spots(axis):
        return SolvedDirection(axis, near, far, leaning, None, ZERO, ZERO)
    size = max(v for _, v in far.points) - min(v for _, v in near.points)
    square = min(v for _, v in far.points) - max(v for _, v in near.points)
    least, most = _uncut(board, axis, hole, leaning, size) if square == size else (size, square)
    return SolvedDirection(axis, near, far, leaning, size, least, most)


def to_cut(board: Board, solved: SolvedDirection, sheet: Fraction) -> tuple[Edge, ...]:
    """The edges that are cut on a sheet of that measure, the near one first: those that lean, and that which was told
    or, for the size alone, the one that stands at a wall rather than at a joint.
    """
    if solved.uncut(sheet):
        return ()
    if solved.leaning:
        asked = told(board, solved.axis)
        wanted = (edge for edge in solved.axis.edges if edge in solved.leaning or edge is asked)
        return tuple(edge for edge in wanted if solved.line(edge) is not None)
    if solved.size is None:
        return ()
    return (for_size(board, solved.axis),)


def for_size(board: Board, axis: Axis) -> Edge:
    """The edge that is cut where only the size asks for it."""
    asked = told(board, axis)
    if asked is not None:
        return asked
    near, far = axis.edges
    return near if rank(board, near) > rank(board, far) else far


def _leans(board: Board, edge: Edge, hole: MeasuredHole) -> bool:
    line = hole.lines[edge]
    if line is None or edge in hole.square:
        return False
    values = [v for _, v in line]
    return max(values) - min(values) > _left_open(board, edge)


def _left_open(board: Board, edge: Edge) -> Fraction:
    """How much an edge may lean before it is cut to follow."""
    if board.taper is edge or board.end is edge:
        return ZERO
    stands = neighbor(board, edge)
    if stands is Neighbor.FLOOR:
        return max(ZERO, base_covers(board).inches - off(board, edge))
    if stands is Neighbor.CEILING:
        return BRIDGED.inches
    return max(off(board, edge), LEVEL.inches)


def _line(board: Board, edge: Edge, hole: MeasuredHole, leaning: tuple[Edge, ...]) -> WantedEdge | None:
    """The wanted line of an edge: along its neighbor where that leans or the edge is cut, else straight."""
    line = hole.lines[edge]
    if line is None:
        return None
    far = edge in {Edge.RIGHT, Edge.BOTTOM}
    sign = 1 if far else -1
    bounds = tuple((t, sign * v - off(board, edge)) for t, v in line)
    if edge in hole.square or not _follows(board, edge, leaning):
        least = min(v for _, v in bounds)
        return _signed(WantedEdge(((bounds[0][0], least), (bounds[-1][0], least))), sign)
    if board.breaks and edge is Edge.TOP:
        return _signed(WantedEdge(scribed(bounds, bounds[0][0], bounds[-1][0]), Shape.BROKEN), sign)
    return _signed(_fit(bounds), sign)


def _follows(board: Board, edge: Edge, leaning: tuple[Edge, ...]) -> bool:
    """Whether the edge is cut along its neighbor: it leans, or it is the one that is cut for the size. A floor that
    the base covers is left to the base.
    """
    axis = axis_of(edge)
    if edge in leaning or told(board, axis) is edge:
        return True
    if neighbor(board, edge) is Neighbor.FLOOR:
        return False
    return not set(axis.edges) & set(leaning) and for_size(board, axis) is edge


def _signed(line: WantedEdge, sign: int) -> WantedEdge:
    if sign > 0:
        return line
    turned = None if line.instead is None else (line.instead[0], negated(line.instead[1]))
    return WantedEdge(negated(line.points), line.shape, turned, line.widest)


def _fit(bounds: tuple[XY, ...]) -> WantedEdge:
    """The cut under its bounds, and what is offered instead where that leaves more than joint treatment bridges."""
    start, end = bounds[0][0], bounds[-1][0]
    if start == end:
        return WantedEdge(bounds)
    line = straight(bounds, start, end)
    gap = widest_gap(line, bounds)
    if gap <= BRIDGED.inches:
        return WantedEdge(line, widest=gap)
    other = closer(bounds, start, end)
    if gap <= UNCOVERED.inches:
        return WantedEdge(line, Shape.STRAIGHT, other, gap)
    return WantedEdge(other[1], other[0], None, widest_gap(other[1], bounds))


def closer(bounds: tuple[XY, ...], start: Fraction, end: Fraction) -> tuple[Shape, Polyline]:
    """Two straight pieces where they come close enough, else a scribe through every reading."""
    pieces = broken(bounds, start, end)
    if pieces is not None and widest_gap(pieces, bounds) <= BRIDGED.inches:
        return Shape.BROKEN, pieces
    return Shape.SCRIBE, scribed(bounds, start, end)


def _uncut(
    board: Board, axis: Axis, hole: MeasuredHole, leaning: tuple[Edge, ...], size: Fraction
) -> tuple[Fraction, Fraction]:
    """What the board may measure without a cut: its size, and at the floor whatever the base covers."""
    floor = axis is DOWN and neighbor(board, Edge.BOTTOM) is Neighbor.FLOOR
    top, bottom = hole.lines[axis.near], hole.lines[axis.far]
    if not floor or leaning or told(board, axis) is not None or top is None or bottom is None:
        return size, size
    above = max(v for _, v in top) + off(board, axis.near)
    lowest, highest = max(v for _, v in bottom) - above, min(v for _, v in bottom) - above
    least = lowest - base_covers(board).inches
    most = highest - min(floor_least(board), stand_off(board, axis.far)).inches
    return min(least, size), max(most, size)
