"""A board laid out on its sheet: the four edges as the rounded marks make them, in the hole as it hangs. The marks of
each cut go from the line that is wanted to figures on a tape, rounded toward the side that still fits.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction

from fieldvoice.cutting.edges import SolvedDirection, WantedEdge, run, to_cut
from fieldvoice.cutting.geometry import Polygon, Polyline, meet, outline, value_at
from fieldvoice.cutting.hole import ACROSS, DOWN, Axis, MeasuredHole, axis_of, hole_of, is_open, off, rank
from fieldvoice.cutting.sheets import across_and_down, candidates, refused, with_end_on_framing
from fieldvoice.cutting.tables import NARROW, step_of
from fieldvoice.errors import NotPlanned
from fieldvoice.records.board import Board, Sheet
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import OPPOSITE, Dimension, Edge, Place, Slot
from fieldvoice.records.plan import CutLine, Mark, No, NoPlan, Remnant

ZERO = Fraction(0)
TRIES = 8
HAIR = Fraction(1, 256)
"""What a clearance takes up before a mark is put one graduation shorter: far below any graduation."""


@dataclass(frozen=True, slots=True)
class Marked:
    """The marks, and the line that they make."""

    marks: tuple[Mark, ...]
    line: Polyline


@dataclass(frozen=True, slots=True)
class _MarkPlace:
    """A place for a mark: `along` from the edge `start`, called `at`; the line is wanted there at `t`."""

    at: Place
    start: Edge
    along: Length
    t: Fraction


def marked(
    edges: Mapping[Edge, Polyline],
    done: set[Edge] | frozenset[Edge],
    wanted: Polyline,
    edge: Edge,
    step: Length,
    places: Mapping[Fraction, Place],
    spare: Fraction,
) -> Marked:
    """The marks of a cut on the sheet as it is now. `done` are the edges that stay as they are: at those the marks go
    to the very end, else so far from one of them that they come where the board's corner will be. `spare` is the
    clearance, which takes up a hair.
    """
    axis = axis_of(edge)
    spots = _spots(edges, done, wanted, axis, step, places)
    exact = [_across(edges, edge, wanted, spot) for spot in spots]
    hair = HAIR if spare > 0 else ZERO
    marks = [Length(value + hair).rounded_down(step) for value in exact]
    line = _line(edges, edge, spots, marks)
    for _ in range(TRIES):
        wrong = next((t for t, v in wanted if _beyond(line, edge, t, v, hair)), None)
        if wrong is None:
            break
        nearest = min(range(len(spots)), key=lambda i: abs(spots[i].t - wrong))
        marks[nearest] = marks[nearest] - step
        line = _line(edges, edge, spots, marks)
    found = zip(spots, marks, exact, strict=True)
    return Marked(tuple(Mark(one.at, mark, Length(value), one.along, one.start) for one, mark, value in found), line)


def _beyond(line: Polyline, edge: Edge, t: Fraction, v: Fraction, hair: Fraction) -> bool:
    there = value_at(line, t)
    return there > v + hair if edge in {Edge.RIGHT, Edge.BOTTOM} else there < v - hair


def _spots(
    edges: Mapping[Edge, Polyline],
    done: set[Edge] | frozenset[Edge],
    wanted: Polyline,
    axis: Axis,
    step: Length,
    places: Mapping[Fraction, Place],
) -> list[_MarkPlace]:
    first = _end(edges, done, wanted, axis, axis.start, step)
    last = _end(edges, done, wanted, axis, axis.end, step)
    inner = [t for t, _ in wanted[1:-1] if first.t < t < last.t]
    kept = axis.start if axis.start in done else axis.end
    return [first, *(_inside(edges, wanted, kept, t, step, places) for t in inner), last]


def _end(
    edges: Mapping[Edge, Polyline],
    done: set[Edge] | frozenset[Edge],
    wanted: Polyline,
    axis: Axis,
    end: Edge,
    step: Length,
) -> _MarkPlace:
    at = Slot(end.value)
    corner = _t(edges, wanted, axis, end)
    if end in done or len({v for _, v in wanted}) == 1:  # a line along the sheet is marked at its very ends
        return _MarkPlace(at, end, Length(0), corner)
    other = OPPOSITE[end]
    start = other if other in done else end
    target = wanted[0][0] if end is axis.start else wanted[-1][0]
    hook = _t(edges, wanted, axis, start)
    along = Length(abs(target - hook)).rounded(step)
    t = hook + along.inches if start is axis.start else hook - along.inches
    if _outside(t, corner, axis, end):
        return _MarkPlace(at, end, Length(0), corner)
    return _MarkPlace(at, start, along, t)


def _outside(t: Fraction, corner: Fraction, axis: Axis, end: Edge) -> bool:
    return t < corner if end is axis.start else t > corner


def _inside(
    edges: Mapping[Edge, Polyline],
    wanted: Polyline,
    start: Edge,
    t: Fraction,
    step: Length,
    places: Mapping[Fraction, Place],
) -> _MarkPlace:
    hook = value_at(edges[start], value_at(wanted, t))
    along = Length(abs(t - hook)).rounded(step)
    there = hook + along.inches if t >= hook else hook - along.inches
    return _MarkPlace(places.get(t, along), start, along, there)


def _t(edges: Mapping[Edge, Polyline], wanted: Polyline, axis: Axis, end: Edge) -> Fraction:
    """Where the wanted line meets an end edge."""
    if axis.near is Edge.LEFT:
        return meet(wanted, edges[end])[1]
    return meet(edges[end], wanted)[0]


def _across(edges: Mapping[Edge, Polyline], edge: Edge, wanted: Polyline, spot: _MarkPlace) -> Fraction:
    """How far the wanted line is from the edge across at a place."""
    return abs(value_at(wanted, spot.t) - value_at(edges[OPPOSITE[edge]], spot.t))


def _line(edges: Mapping[Edge, Polyline], edge: Edge, spots: list[_MarkPlace], marks: list[Length]) -> Polyline:
    """The line through the marks, each where its two distances say."""
    points = [_point(edges, edge, spot, mark) for spot, mark in zip(spots, marks, strict=True)]
    if edge in {Edge.LEFT, Edge.RIGHT}:
        return tuple((y, x) for x, y in points)
    return tuple(points)


def _point(edges: Mapping[Edge, Polyline], edge: Edge, spot: _MarkPlace, mark: Length) -> tuple[Fraction, Fraction]:
    origin = edges[OPPOSITE[edge]]
    away = mark.inches if edge in {Edge.RIGHT, Edge.BOTTOM} else -mark.inches
    along = spot.along.inches if spot.start in {Edge.LEFT, Edge.TOP} else -spot.along.inches
    if edge in {Edge.LEFT, Edge.RIGHT}:
        return meet(origin, edges[spot.start], away, along)
    return meet(edges[spot.start], origin, along, away)


Edges = dict[Edge, Polyline]


@dataclass(frozen=True, slots=True)
class BoardOnSheet:
    """A board laid out. `edges` are the finished board's, `sheet_edges` the sheet's round it; `cuts` are in cutting
    order, `instead` what is offered in place of one of them. `by` are the edges that the board is hung by.
    """

    board: Board
    hole: MeasuredHole
    runs: dict[Edge, SolvedDirection]
    sheet: Sheet
    edges: Edges
    sheet_edges: Edges
    cuts: tuple[CutLine, ...]
    instead: tuple[CutLine, ...]
    by: tuple[Edge, Edge]
    cut: frozenset[Edge]

    def cut_edges(self) -> frozenset[Edge]:
        """The edges that are no factory edges: cut here, or before."""
        return self.cut | self.board.cut_before

    def outline(self) -> Polygon:
        """The finished board in the hole."""
        return _polygon(self.edges)

    def comes_out(self) -> bool:
        """Whether the whole board lies on the sheet."""
        xs = [self.sheet_edges[edge][0][1] for edge in ACROSS.edges]
        ys = [self.sheet_edges[edge][0][1] for edge in DOWN.edges]
        if not any(solved.leaning for solved in self.runs.values()):
            return True
        return all(xs[0] <= x <= xs[1] and ys[0] <= y <= ys[1] for x, y in self.outline())

    def offcuts(self) -> tuple[Polygon, ...]:
        """What each cut takes off the sheet, in cutting order."""
        now = dict(self.sheet_edges)
        pieces = []
        for cut in self.cuts:
            kept = self.edges[cut.edge]
            pieces.append(_polygon(now | {OPPOSITE[cut.edge]: kept}))
            now[cut.edge] = kept
        return tuple(piece for piece in pieces if len(piece) > 2)

    def left(self) -> tuple[Remnant, ...]:
        """The same squared, each with the edges that are cut, as far as anything remains."""
        now, cut_so_far = dict(self.sheet_edges), self.board.cut_before
        found = []
        for cut in self.cuts:
            kept = self.edges[cut.edge]
            lines = now | {OPPOSITE[cut.edge]: kept}
            wide, high = (_within(_polygon(lines), lines, axis) for axis in (ACROSS, DOWN))
            if wide > 0 and high > 0:
                edges = cut_so_far | {OPPOSITE[cut.edge]}
                found.append(Remnant(cut.edge, Length(wide), Length(high), edges))
            now[cut.edge] = kept
            cut_so_far |= {cut.edge}
        return tuple(found)


def _polygon(edges: Edges) -> Polygon:
    return outline(edges[Edge.LEFT], edges[Edge.RIGHT], edges[Edge.TOP], edges[Edge.BOTTOM])


def _within(polygon: Polygon, lines: Edges, axis: Axis) -> Fraction:
    """How much is free between two edges of a polygon all along: 0 where there is nothing."""
    if len(polygon) < 3:
        return ZERO
    near, far = lines[axis.near], lines[axis.far]
    places = polygon if axis is ACROSS else tuple((y, x) for x, y in polygon)
    last = [v for v, t in places if v == value_at(far, t)]
    first = [v for v, t in places if v == value_at(near, t)]
    return min(last) - max(first) if first and last else ZERO


def lay_out(board: Board) -> BoardOnSheet:
    """Solve both directions, choose the sheet and mark the cuts. Raises NotPlanned."""
    for sheet in candidates(board):
        reach = across_and_down(sheet, board.lies)
        ended = with_end_on_framing(board, reach[0])
        hole = hole_of(ended, reach)
        across, down = run(ended, ACROSS, hole), run(ended, DOWN, hole)
        for solved in (across, down):
            if solved.size is not None and solved.size <= 0:
                raise NotPlanned(NoPlan(No.NOTHING_LEFT, dimension=solved.axis.dimension, unit=board.unit))
        if across.fits(reach[0]) and down.fits(reach[1]):
            frame = _on_sheet(ended, hole, across, down, sheet)
            if len(frame.outline()) < 3:
                raise NotPlanned(NoPlan(No.NOTHING_LEFT, dimension=Dimension.WIDTH, unit=board.unit))
            if frame.comes_out():
                return frame
    raise refused(board, _size(across, reach[0]), _size(down, reach[1]))


def _size(solved: SolvedDirection, reach: Fraction) -> Fraction:
    return reach if solved.size is None else solved.size


def hung_by(board: Board, axis: Axis, cut: frozenset[Edge]) -> Edge:
    """The edge of a direction that is put to its neighbor: one that is kept and has one, a joint before a wall; else
    one that is cut and has one. On a wall the ceiling, or the course above, before what is below.
    """
    near, far = axis.edges
    if axis is DOWN and not is_open(board, near):
        return near

    def order(edge: Edge) -> tuple[bool, bool, int, bool]:
        return (is_open(board, edge), edge in cut, rank(board, edge), edge is far)

    return min(axis.edges, key=order)


@dataclass(slots=True)
class _MarkedSheet:
    """The sheet while it is marked and cut."""

    board: Board
    hole: MeasuredHole
    edges: Edges
    sheet_edges: Edges
    done: set[Edge] = field(default_factory=set)
    cuts: list[CutLine] = field(default_factory=list)
    instead: list[CutLine] = field(default_factory=list)

    def move(self, axis: Axis, by: Fraction) -> None:
        """Move the board across the hole."""
        if not by:
            return
        for edges in (self.edges, self.sheet_edges):
            for edge, line in edges.items():
                if edge in axis.edges:
                    edges[edge] = tuple((t, v + by) for t, v in line)
                else:
                    edges[edge] = tuple((t + by, v) for t, v in line)

    def push(self, axis: Axis, edge: Edge) -> None:
        """Push the board to where that edge stands off its neighbor as it should, at the place where it is nearest."""
        line = self.hole.lines[edge]
        if line is None:
            return
        sign = 1 if edge is axis.near else -1
        nearest = min(sign * (value_at(self.edges[edge], t) - v) for t, v in line)
        self.move(axis, sign * (off(self.board, edge) - nearest))


def _on_sheet(
    board: Board, hole: MeasuredHole, across: SolvedDirection, down: SolvedDirection, sheet: Sheet
) -> BoardOnSheet:
    reach = across_and_down(sheet, board.lies)
    cut = {ACROSS: to_cut(board, across, reach[0]), DOWN: to_cut(board, down, reach[1])}
    every = frozenset((*cut[ACROSS], *cut[DOWN]))
    by = (hung_by(board, ACROSS, every), hung_by(board, DOWN, every))
    x0, y0 = _placed(across, cut[ACROSS], by[0], reach[0]), _placed(down, cut[DOWN], by[1], reach[1])
    x1, y1 = x0 + reach[0], y0 + reach[1]
    flat: Edges = {Edge.LEFT: ((y0, x0), (y1, x0)), Edge.RIGHT: ((y0, x1), (y1, x1))}
    flat |= {Edge.TOP: ((x0, y0), (x1, y0)), Edge.BOTTOM: ((x0, y1), (x1, y1))}
    bench = _MarkedSheet(board, hole, dict(flat), dict(flat), set(Edge) - every)
    for solved, hung in zip((across, down), by, strict=True):
        if hung not in every:
            bench.push(solved.axis, hung)
    runs = {edge: solved for solved in (across, down) for edge in solved.axis.edges}
    for edge in _in_order(runs, cut, sides_first=board.sides_first):
        _cut(bench, runs[edge], edge, by)
    cuts, instead = tuple(bench.cuts), tuple(bench.instead)
    return BoardOnSheet(board, hole, runs, sheet, bench.edges, bench.sheet_edges, cuts, instead, by, every)


def _placed(solved: SolvedDirection, cut: tuple[Edge, ...], hung: Edge, sheet: Fraction) -> Fraction:
    """Where the sheet's near edge lies in the hole before anything is cut."""
    near, far = solved.near, solved.far
    first = ZERO if near is None else min(v for _, v in near.points)
    last = first + sheet if far is None else max(v for _, v in far.points)
    if solved.axis.near not in cut:
        return first if near is not None and (hung is solved.axis.near or solved.axis.far in cut) else last - sheet
    if solved.axis.far not in cut:
        return (first + sheet if far is None else min(v for _, v in far.points)) - sheet
    spare = min(NARROW.inches, (sheet - (last - first)) / 2)
    return first - spare


def _in_order(
    runs: dict[Edge, SolvedDirection], cut: dict[Axis, tuple[Edge, ...]], *, sides_first: bool
) -> tuple[Edge, ...]:
    """Level cuts first, so that the sides' marks go on the finished ends, unless the rest of the sheet is needed
    otherwise; a rake after the sides.
    """
    if sides_first:
        return (*cut[ACROSS], *cut[DOWN])
    level = tuple(edge for edge in cut[DOWN] if _is_level(runs[edge].line(edge)))
    return (*level, *cut[ACROSS], *(edge for edge in cut[DOWN] if edge not in level))


def _is_level(line: WantedEdge | None) -> bool:
    return line is None or len({v for _, v in line.points}) == 1


def _cut(bench: _MarkedSheet, solved: SolvedDirection, edge: Edge, by: tuple[Edge, Edge]) -> None:
    """Mark and cut one edge; where the board hangs by it, push it to its place before anything is measured from it."""
    line = solved.line(edge)
    assert line is not None
    step, places, spare = step_of(bench.board), _places(bench, edge), off(bench.board, edge)
    found = marked(bench.edges, bench.done, line.points, edge, step, places, spare)
    bench.cuts.append(CutLine(edge, OPPOSITE[edge], line.shape, found.marks))
    before = dict(bench.edges)
    bench.edges[edge] = found.line
    bench.done.add(edge)
    if line.instead is not None:
        shape, points = line.instead
        other = marked(before, bench.done - {edge}, points, edge, step, places, spare)
        bench.instead.append(CutLine(edge, OPPOSITE[edge], shape, other.marks))
    if edge in by:
        bench.push(solved.axis, edge)


def _places(bench: _MarkedSheet, edge: Edge) -> dict[Fraction, Slot | Length]:
    return {spot.t: spot.at for spot in bench.hole.spots(axis_of(edge))}
