"""A way to divide a surface, made into what the planner chooses from: spans, and the pieces that may lie in each. And
the same with less left open: a joint that has to be there, or may not.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import ceil

from fieldvoice.layout.courses import CourseBand, Way
from fieldvoice.layout.frame import Frame, FrameHole, Steps
from fieldvoice.stock.needs import PieceSize, Stock, fits


@dataclass(frozen=True, slots=True)
class InPlace:
    """A piece that hangs already, in the frame's coordinates."""

    u0: int
    u1: int
    v0: int
    v1: int
    layer: int


@dataclass(frozen=True, slots=True)
class Arc:
    """A piece that may lie from `start` to `end` of a row; `need` None for one that hangs already. Across the row it
    runs from `near` to `far`: as far as there is board on it, where an opening takes the whole of a side.
    """

    start: int
    end: int
    need: PieceSize | None
    near: int
    far: int


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of a row between walls or jambs, with every piece that may lie in it."""

    start: int
    end: int
    arcs: tuple[Arc, ...]

    @property
    def nodes(self) -> tuple[int, ...]:
        """Where its butt joints may be."""
        return tuple(sorted({arc.start for arc in self.arcs} - {self.start}))


@dataclass(frozen=True, slots=True)
class Row:
    """A course, or a column of standing sheets: its band, its layer, and its spans. `butts` is how long a butt joint at
    each node is; `fixed` are the joints that hang already. `bent`: the line of its top breaks on a piece of it, since
    no joint may be under that place.
    """

    layer: int
    band: CourseBand
    spans: tuple[Span, ...]
    butts: dict[int, int]
    fixed: frozenset[int] = frozenset()
    bent: bool = False


@dataclass(frozen=True, slots=True)
class Arrangement:
    """A way with all its rows, layer by layer; no two of its joints in a row of `clashes` may be used together."""

    rows: tuple[Row, ...]
    clashes: tuple[tuple[tuple[int, int], ...], ...]
    """Each a set of (row, node) of which one alone may be a joint."""
    cut_joints: int = 0
    """How long the joints with a cut long edge are, openings left out."""


def arrangement(
    frame: Frame,
    layers: Sequence[Way],
    stocks: Sequence[Stock],
    steps: Steps,
    hung: Sequence[InPlace],
    *,
    begin: bool,
    past_openings: bool,
    at_breaks: bool,
) -> Arrangement | None:
    """The rows of a way, or None where a span can't be filled or what hangs doesn't fit it. `begin` asks for a whole
    sheet at the start of the first row of each layer, `past_openings` for no piece that ends at both sides over an
    opening, where a sheet reaches past it, `at_breaks` for a joint where the slope of the top changes: in every other
    layer from the outermost on, since joints of one don't lie over those of the next.
    """
    rows = []
    for layer, way in enumerate(layers, 1):
        here = [piece for piece in hung if piece.layer == layer]
        if not all(any(_fills(frame, piece, band) for band in way) for piece in here):
            return None
        for index, band in enumerate(way):
            inside = [piece for piece in here if _fills(frame, piece, band)]
            first = begin and index == 0
            outer = at_breaks and (len(layers) - layer) % 2 == 0
            row = _Builder(frame, band, layer, stocks, steps, tuple(inside), first, past_openings, outer).row()
            if row is None:
                return None
            if row.spans:
                rows.append(row)
    return Arrangement(tuple(rows), _clashes(rows, steps), sum(_cut(frame, *both) for both in pairwise(rows)))


def _fills(frame: Frame, piece: InPlace, band: CourseBand) -> bool:
    """Whether it is as wide as the band, or as what openings or a slope leave of it."""
    near, far = board_in(frame, band, piece.u0, piece.u1) or (band.near, band.far)
    under = frame.courses_slope and piece.v0 > band.near
    return piece.v1 in (band.far, far) and (piece.v0 in (band.near, near) or under)


def board_in(frame: Frame, band: CourseBand, start: int, end: int) -> tuple[int, int] | None:
    """From where to where across a row there is board between two places along it, None where openings take it all."""
    holes = [hole for hole in frame.holes if hole.u0 < end and start < hole.u1]
    places = sorted({start, end, *(side for hole in holes for side in (hole.u0, hole.u1) if start < side < end)})
    nearest, farthest = band.far, band.near
    for left, right in pairwise(places):
        over = sorted((hole.v0, hole.v1) for hole in holes if hole.u0 <= left and hole.u1 >= right)
        near, far = band.near, band.far
        for low, high in over:
            near = max(near, high) if low <= near else near
        for low, high in sorted(over, key=lambda hole: -hole[1]):
            far = min(far, low) if high >= far else far
        if near < far:
            nearest, farthest = min(nearest, near), max(farthest, far)
    return (nearest, farthest) if nearest < farthest else None


def meets(band: CourseBand, near: int, far: int) -> tuple[bool, bool]:
    """Whether a piece that runs from `near` to `far` across a row meets others there in factory edges."""
    before = band.near > 0 and not band.at_jamb and band.tapered > 0
    return before and near == band.near, band.tapered > before and far == band.far


def _cut(frame: Frame, row: Row, after: Row) -> int:
    """How long the joint of a row whose far edge is cut is with the one after it."""
    if not row.band.cut_joints or row.layer != after.layer or not (row.spans and after.spans):
        return 0
    at = max(row.spans[0].start, after.spans[0].start, ceil(frame.over(row.band.far, row.band.far)[0]))
    end = min(row.spans[-1].end, after.spans[-1].end)
    long = 0
    for left, right in sorted((hole.u0, hole.u1) for hole in frame.holes if hole.v0 <= row.band.far <= hole.v1):
        long += max(0, min(left, end) - at)
        at = max(at, right)
    return long + max(0, end - at)


@dataclass(frozen=True, slots=True)
class _Builder:
    """One row in the making."""

    frame: Frame
    band: CourseBand
    layer: int
    stocks: Sequence[Stock]
    steps: Steps
    hung: tuple[InPlace, ...]
    whole_first: bool
    past_openings: bool
    at_breaks: bool

    def row(self) -> Row | None:
        spans, stretches = [], self._stretches()
        if not all(any(start <= one.u0 and one.u1 <= end for start, end in stretches) for one in self.hung):
            return None
        for start, end in stretches:
            span = self._span(start, end)
            if span is None:
                return None
            spans.append(span)
        butts = {node: self._butt(node) for span in spans for node in span.nodes}
        hanging = {side for piece in self.hung for side in (piece.u0, piece.u1)}
        bent = any(arc.need is not None and self._bends(arc.start, arc.end) for span in spans for arc in span.arcs)
        return Row(self.layer, self.band, tuple(spans), butts, frozenset(hanging & butts.keys()), bent)

    def _touching(self) -> Iterable[FrameHole]:
        return (hole for hole in self.frame.holes if hole.v0 <= self.band.far and hole.v1 >= self.band.near)

    def _stretches(self) -> list[tuple[int, int]]:
        """Between the openings that leave nothing of the row, by themselves or with those over and under them."""
        start, end = self._reach()
        sides = (side for hole in self._touching() for side in (hole.u0, hole.u1))
        places = sorted({start, end, *(side for side in sides if start < side < end)})
        stretches: list[tuple[int, int]] = []
        for left, right in pairwise(places):
            if board_in(self.frame, self.band, left, right) is None:
                continue
            begun = stretches.pop()[0] if stretches and stretches[-1][1] == left else left
            stretches.append((begun, right))
        return stretches

    def _reach(self) -> tuple[int, int]:
        """How far the row runs: standing sheets stop above the floor, a course under a slope at the slope."""
        frame, steps = self.frame, self.steps
        if frame.courses_slope:
            return frame.reach_of(frame.depth - self.band.far)
        if frame.wall and self._stands:
            start = int(frame.over(self.band.near, self.band.far)[0])
            return start, start + _above_floor(frame.length - start, self.stocks, self.band, steps)
        return 0, frame.length

    @property
    def _stands(self) -> bool:
        from fieldvoice.records.board import Lies

        return self.frame.lies is Lies.STANDING

    def _span(self, start: int, end: int) -> Span | None:
        inside = [piece for piece in self.hung if start <= piece.u0 and piece.u1 <= end]
        longest, breaks = self._longest(start, end), [place for place in self._breaks() if start < place < end]
        if not inside and end - start <= longest:
            parted = self._at_breaks(start, end, breaks)
            return Span(start, end, parted or (self._arc(start, end),))
        nodes = [start, *self._nodes(start, end, inside), end]
        open_ = [
            (a, b)
            for index, a in enumerate(nodes)
            for b in nodes[index + 1 :]
            if b - a <= longest and self._may(a, b, start, end, inside)
        ]
        there = [Arc(piece.u0, piece.u1, None, piece.v0, piece.v1) for piece in inside]
        over = self._bridged(start, end, longest) if self.past_openings else []
        past = [(a, b) for a, b in open_ if not any(left <= a and b <= right for left, right in over)]
        straight = [(a, b) for a, b in past if not any(a < place < b for place in breaks)] if breaks else []
        kept: tuple[Arc, ...] = ()
        for allowed in (straight, past, open_):
            kept = kept or connected([*(self._arc(*each) for each in allowed), *there], start, end)
        return Span(start, end, kept) if kept else None

    def _breaks(self) -> list[int]:
        """Where a joint is wanted: the slope of the top changes there, on the pieces of this row."""
        if not (self.at_breaks and self.frame.courses_slope):
            return []
        return [place for place in self.frame.breaks if self._is_under(place)]

    def _is_under(self, place: int) -> bool:
        """Whether the top of the wall is no higher there than that of the row, and above its lower side."""
        top = self.frame.top_at(place) - (self.frame.depth - self.band.far)
        return 0 < top <= self.band.far - self.band.near

    def _bends(self, start: int, end: int) -> bool:
        """Whether the slope of the top changes on a piece from one place to another."""
        frame = self.frame
        return frame.courses_slope and any(start < place < end and self._is_under(place) for place in frame.breaks)

    def _at_breaks(self, start: int, end: int, breaks: Sequence[int]) -> tuple[Arc, ...]:
        """What one sheet would reach over, in pieces that meet where the slope changes; nothing where a joint may not
        be at one of these places.
        """
        if not breaks or not {*breaks} <= {*self._nodes(start, end, ())}:
            return ()
        places = (start, *breaks, end)
        if not all(self._may(a, b, start, end, ()) for a, b in pairwise(places)):
            return ()
        return tuple(self._arc(a, b) for a, b in pairwise(places))

    def _bridged(self, start: int, end: int, longest: int) -> list[tuple[int, int]]:
        """The openings of the row, those that touch taken together, that one sheet reaches past on both sides: no piece
        ends at both sides over such a one.
        """
        inside = sorted((hole.u0, hole.u1) for hole in self._touching() if start < hole.u1 and hole.u0 < end)
        joined: list[tuple[int, int]] = []
        for left, right in inside:
            before = joined.pop() if joined and joined[-1][1] >= left else (left, right)
            joined.append((min(before[0], left), max(before[1], right)))
        away = self.steps.past_opening
        return [(left, right) for left, right in joined if min(right + away, end) - max(left - away, start) <= longest]

    def _may(self, a: int, b: int, start: int, end: int, inside: Sequence[InPlace]) -> bool:
        if any(a < piece.u1 and piece.u0 < b for piece in inside):
            return False
        beside = {start, end, *(piece.u0 for piece in inside), *(piece.u1 for piece in inside)}
        if b - a < self.steps.least_piece and not (a in beside and b in beside):
            return False
        whole_first = self.whole_first and a == start and not inside
        return not whole_first or b - a in self._whole_lengths(start, end)

    def _whole_lengths(self, start: int, end: int) -> frozenset[int]:
        """The sheets' own lengths, where one of them ends at a place for a joint; else the longest that does."""
        nodes = set(self._nodes(start, end, ()))
        lengths = {stock.length for stock in self.stocks if stock.available is None and start + stock.length in nodes}
        longest = self._longest(start, end)
        reach = [node - start for node in nodes if node - start <= longest]
        return frozenset(lengths or {max(reach, default=end - start)})

    def _nodes(self, start: int, end: int, inside: Sequence[InPlace]) -> list[int]:
        """Where a butt joint may be: on framing, clear of openings and of what hangs."""
        steps = self.steps
        places = self.frame.members if self.frame.across else _modules(start, end, steps.module)
        first = max(start + steps.least_piece, self._below_slope())
        free = {place for place in places if first <= place <= end - steps.least_piece and self._clear(place)}
        fixed = {side for piece in inside for side in (piece.u0, piece.u1)} - {start, end}
        return sorted(free | fixed)

    def _below_slope(self) -> int:
        """From where on a joint of standing sheets is so far under a slope that the piece over it has four sides."""
        if not (self._stands and self.frame.sloped):
            return 0
        return ceil(self.frame.over(self.band.near, self.band.far)[1]) + self.steps.least_strip

    def _clear(self, place: int) -> bool:
        away = self.steps.past_opening
        return all(abs(place - side) >= away for hole in self._touching() for side in (hole.u0, hole.u1))

    def _longest(self, start: int, end: int) -> int:
        """The longest piece that a sheet to be had can give, as wide as there is board between two places."""
        near, far = board_in(self.frame, self.band, start, end) or (self.band.near, self.band.far)
        probe = PieceSize(1, far - near, sum(meets(self.band, near, far)))
        if self.frame.courses_slope:
            probe = PieceSize(1, self.band.far - self.band.near, self.band.tapered)
            whole = any(stock.width == probe.width for stock in self.stocks if stock.available is None)
            probe = PieceSize(1, probe.width, 2 if whole else 1)
        return max((s.length for s in self.stocks if s.available is None and fits(probe, s)), default=0)

    def _arc(self, a: int, b: int) -> Arc:
        band = self.band
        near, far = board_in(self.frame, band, a, b) or (band.near, band.far)
        if not self.frame.courses_slope:
            return Arc(a, b, PieceSize(b - a, far - near, sum(meets(band, near, far))), near, far)
        below = far == band.far and self.frame.depth - far > self.steps.gap_most
        rise, full = self.frame.highest_in(a, b) - (self.frame.depth - far), far - near
        above = rise > full
        step = self.steps.slope_step
        width = full if above else min(full, int(-(-rise // step)) * step)
        return Arc(a, b, PieceSize(b - a, width, int(above and near == band.near) + int(below)), near, far)

    def _butt(self, node: int) -> int:
        """How long a butt joint there is: the row's width less what lies in openings."""
        near, far = self.band.near, self.band.far
        if self.frame.courses_slope:
            near = max(near, self.frame.depth - int(self.frame.top_at(node)))
        inside = (hole for hole in self.frame.holes if hole.u0 < node < hole.u1)
        return max(0, far - near) - sum(max(0, min(far, h.v1) - max(near, h.v0)) for h in inside)


def _above_floor(length: int, stocks: Sequence[Stock], band: CourseBand, steps: Steps) -> int:
    """Where a standing sheet ends: at a whole sheet where the gap then is as good, else at the gap that is aimed at."""
    probe = PieceSize(1, band.far - band.near, band.tapered)
    whole = [s.length for s in stocks if fits(probe, s) and steps.gap_least <= length - s.length <= steps.gap_most]
    return max(whole, default=length - steps.gap)


def _modules(start: int, end: int, module: int) -> list[int]:
    """Whole modules from either end."""
    return sorted({*range(start + module, end, module), *range(end - module, start, -module)})


def connected(arcs: Iterable[Arc], start: int, end: int) -> tuple[Arc, ...]:
    """The arcs that lie on a way from one end to the other."""
    ordered = sorted(arcs, key=lambda arc: (arc.start, arc.end))
    reached = {start}
    for arc in ordered:
        if arc.start in reached:
            reached.add(arc.end)
    useful = {end}
    for arc in sorted(ordered, key=lambda arc: -arc.end):
        if arc.end in useful:
            useful.add(arc.start)
    kept = tuple(arc for arc in ordered if arc.start in reached and arc.end in useful)
    return kept if start in useful and end in reached else ()


def _clashes(rows: Sequence[Row], steps: Steps) -> tuple[tuple[tuple[int, int], ...], ...]:
    """Joints of neighboring courses, and of one layer over another, that are too near each other. Of rows that all are
    beside each other, as two courses and the one that covers their seam, one joint in all is used in a stretch: said
    pair by pair the linear program would take half a joint of each.
    """
    found = []
    for together in _all_beside(rows):
        found += _windows({number: rows[number] for number in together}, steps.stagger)
    return tuple(dict.fromkeys(found))


def _all_beside(rows: Sequence[Row]) -> Iterator[tuple[int, ...]]:
    """The largest sets of rows that all are beside each other."""
    beside = [
        {other for other in range(len(rows)) if other != one and _beside(rows[one], rows[other])}
        for one in range(len(rows))
    ]

    def grown(together: tuple[int, ...], more: set[int], seen: set[int]) -> Iterator[tuple[int, ...]]:
        if not more and not seen:
            yield tuple(sorted(together))
        for one in sorted(more):
            yield from grown((*together, one), more & beside[one], seen & beside[one])
            more, seen = more - {one}, seen | {one}

    return grown((), set(range(len(rows))), set())


def _beside(one: Row, other: Row) -> bool:
    if one.layer == other.layer:
        return one.band.far == other.band.near or other.band.far == one.band.near
    if abs(one.layer - other.layer) > 1:
        return False
    return one.band.near < other.band.far and other.band.near < one.band.far


def _windows(rows: Mapping[int, Row], stagger: int) -> list[tuple[tuple[int, int], ...]]:
    """Every stretch shorter than the stagger that holds joints of several rows: one of them at most is used. Of joints
    that hang already no more than one is held against the others.
    """
    nodes = sorted((node, number) for number, row in rows.items() for node in row.butts)
    fixed = {(node, number) for number, row in rows.items() for node in row.fixed}
    windows, last = [], -1
    for index, (at, _) in enumerate(nodes):
        end = index
        while end < len(nodes) and nodes[end][0] - at < stagger:
            end += 1
        if end == last:
            continue
        last = end
        hanging = [node for node in nodes[index:end] if node in fixed]
        inside = [(row, node) for node, row in nodes[index:end] if (node, row) not in hanging[1:]]
        if len({row for row, _ in inside}) > 1:
            windows.append(tuple(inside))
    return windows


Joint = tuple[int, int]
"""A row's number and the place."""


def with_joint(one: Arrangement, joint: Joint) -> Arrangement | None:
    """The arrangement with that joint, and without those that are too near it; None where that can't be."""
    row, place = joint
    narrowed = _narrowed(one, row, lambda start, end: not start < place < end)
    for clash in one.clashes:
        if joint in clash:
            for other in clash:
                if other != joint and narrowed is not None:
                    narrowed = without_joint(narrowed, other)
    return narrowed


def without_joint(one: Arrangement, joint: Joint) -> Arrangement | None:
    """The arrangement without that joint; None where that can't be."""
    row, place = joint
    return _narrowed(one, row, lambda start, end: place not in (start, end))


def open_joints(one: Arrangement) -> tuple[Joint, ...]:
    """The joints that may be there and don't have to be, the ones in the middle of their row first."""
    found = [
        (abs(2 * place - span.start - span.end), (number, place))
        for number, row in enumerate(one.rows)
        for span in row.spans
        for place in span.nodes
        if any(arc.start < place < arc.end for arc in span.arcs)
    ]
    return tuple(joint for _, joint in sorted(found))


def _narrowed(one: Arrangement, number: int, keeps: Callable[[int, int], bool]) -> Arrangement | None:
    """One row with the pieces alone that are kept and still lie on a way through their span."""
    row = one.rows[number]
    spans = []
    for span in row.spans:
        kept = connected((arc for arc in span.arcs if keeps(arc.start, arc.end)), span.start, span.end)
        if not kept:
            return None
        spans.append(replace(span, arcs=kept))
    rows: tuple[Row, ...] = (*one.rows[:number], replace(row, spans=tuple(spans)), *one.rows[number + 1 :])
    return replace(one, rows=rows)
