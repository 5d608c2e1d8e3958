"""Carries a plan's step records out on a sheet, in order, as a person would who knows nothing else: hooks where they
say, marks, cuts, and says where the board hangs. Shares nothing with the solver but records.

The sheet lies as it will hang, its top left corner at 0, 0; `x` runs to the right and `y` down.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import pairwise

from fieldvoice.records.board import Lies
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import OPPOSITE, Edge
from fieldvoice.records.plan import (
    Does,
    Failure,
    Flaw,
    HoleMarks,
    Hook,
    Mark,
    Offset,
    Remnant,
    StandOff,
    Step,
    Tool,
    Where,
)

ZERO = Fraction(0)
Spot = tuple[Fraction, Fraction]
_UPRIGHT = (Edge.LEFT, Edge.RIGHT)


@dataclass(frozen=True, slots=True)
class Cutout:
    """A hole as it was marked: the distances of its sides (None where it runs out over the edge), or its middle and
    radius. `center` is the marked middle, None where none was.
    """

    sides: dict[Edge, Fraction]
    center: Spot | None = None
    radius: Fraction | None = None
    tool: Tool | None = None
    where: Where = Where.STAND
    near: tuple[str, ...] = ()

    def middle(self) -> Spot:
        """Its middle: as marked, else between its sides."""
        if self.center is not None:
            return self.center
        return self._between(Edge.LEFT, Edge.RIGHT), self._between(Edge.TOP, Edge.BOTTOM)

    def _between(self, one: Edge, other: Edge) -> Fraction:
        found = [self.sides[edge] for edge in (one, other) if edge in self.sides]
        return sum(found, ZERO) / len(found)


@dataclass(slots=True)
class Workpiece:
    """What lies on the bench: its four edges as points in order along them, which of them were cut when it came and
    which since, its holes, and what came off.
    """

    wide: Fraction
    high: Fraction
    edges: dict[Edge, tuple[Spot, ...]]
    came_cut: frozenset[Edge] = frozenset()
    cut: set[Edge] = field(default_factory=set)
    left: list[Remnant] = field(default_factory=list)
    pencil: dict[Edge, tuple[Spot, ...]] = field(default_factory=dict)
    drawn: dict[str, Cutout] = field(default_factory=dict)
    holes: dict[str, Cutout] = field(default_factory=dict)
    waiting: set[str] = field(default_factory=set)
    hung: Step | None = None

    @classmethod
    def of(cls, wide: Fraction, high: Fraction) -> Workpiece:
        """A whole sheet."""
        tl, tr, bl, br = (ZERO, ZERO), (wide, ZERO), (ZERO, high), (wide, high)
        return cls(wide, high, {Edge.LEFT: (tl, bl), Edge.RIGHT: (tr, br), Edge.TOP: (tl, tr), Edge.BOTTOM: (bl, br)})

    def x_at(self, edge: Edge, y: Fraction) -> Fraction:
        """Where a side is at that height."""
        line = self.edges[edge]
        if len(line) == 2 and line[0][0] == line[1][0]:
            return line[0][0]
        return along([(b, a) for a, b in line], y)

    def y_at(self, edge: Edge, x: Fraction) -> Fraction:
        """Where an end is at that place."""
        return along(list(self.edges[edge]), x)

    def holds(self, spot: Spot) -> bool:
        """Whether a point is on the piece or its edge."""
        x, y = spot
        if not self.x_at(Edge.LEFT, y) <= x <= self.x_at(Edge.RIGHT, y):
            return False
        return self.y_at(Edge.TOP, x) <= y <= self.y_at(Edge.BOTTOM, x)

    def corners(self) -> frozenset[Spot]:
        """Every corner of the piece."""
        sides, ends = _UPRIGHT, (Edge.TOP, Edge.BOTTOM)
        found = [crossing(self.edges[side], self.edges[end], ZERO, ZERO) for side in sides for end in ends]
        found += [spot for line in self.edges.values() for spot in line[1:-1]]
        found += _runs_together(self.edges[Edge.TOP], self.edges[Edge.BOTTOM], 0)
        found += _runs_together(self.edges[Edge.LEFT], self.edges[Edge.RIGHT], 1)
        return frozenset(spot for spot in found if spot is not None and self.holds(spot))

    def hooked(self, hook: Hook) -> bool:
        """Whether that edge is there as it is called: cut, or as it came."""
        return (hook.edge in self.cut | self.came_cut) == hook.is_cut

    def takes_off(self, edge: Edge) -> Remnant | None:
        """What comes off at the pencil line of an edge, squared; None where nothing of it has square corners."""
        line = self.pencil[edge]
        upright = edge in _UPRIGHT
        ends = (Edge.TOP, Edge.BOTTOM) if upright else _UPRIGHT
        corners = {}
        for end in ends:
            meeting = [
                crossing(one, self.edges[end], ZERO, ZERO) if upright else crossing(self.edges[end], one, ZERO, ZERO)
                for one in (line, self.edges[edge])
            ]
            if meeting[0] is None or meeting[1] is None:
                return None
            corners[end] = (meeting[0], meeting[1])
        one, other = (0, 1) if upright else (1, 0)
        far = edge in {Edge.RIGHT, Edge.BOTTOM}
        out, low, high = (1 if far else -1), corners[ends[0]], corners[ends[1]]
        inner = [spot[one] for spot in line[1:-1] if low[0][other] < spot[other] < high[0][other]]
        run = min(out * spots[1][one] for spots in (low, high)) - max(
            out * value for value in (low[0][one], high[0][one], *inner)
        )
        first, last = (_between(self.edges[end], corners[end], one, other) for end in ends)
        rise = min(last) - max(first)
        if run <= 0 or rise <= 0:
            return None
        wide, high_up = (run, rise) if upright else (rise, run)
        return Remnant(edge, Length(wide), Length(high_up), self.came_cut | self.cut | {OPPOSITE[edge]})


def _between(line: tuple[Spot, ...], ends: tuple[Spot, Spot], one: int, other: int) -> list[Fraction]:
    """How far a side reaches, from one of its corners to the other."""
    first, last = sorted(spot[one] for spot in ends)
    return [spot[other] for spot in (*ends, *(each for each in line[1:-1] if first < each[one] < last))]


def along(line: list[Spot], t: Fraction) -> Fraction:
    """The second coordinate where the first is `t`; the end pieces go on."""
    if len(line) == 2 and line[0][1] == line[1][1]:
        return line[0][1]
    for i, (a, b) in enumerate(pairwise(line)):
        if t <= b[0] or i == len(line) - 2:
            return a[1] if a[1] == b[1] else _on(a, b, t)
    return line[0][1]


def _on(a: Spot, b: Spot, t: Fraction) -> Fraction:
    """The second coordinate of the straight through `a` and `b` where the first is `t`, in whole numbers for speed."""
    (p, q), (r, s) = a[0].as_integer_ratio(), a[1].as_integer_ratio()
    (u, v), (w, x), (y, z) = b[0].as_integer_ratio(), b[1].as_integer_ratio(), t.as_integer_ratio()
    run = (u * q - p * v) * z * x
    return Fraction(r * run + (w * s - r * x) * (y * q - p * z) * v, s * run)


def crossing(side: tuple[Spot, ...], end: tuple[Spot, ...], dx: Fraction, dy: Fraction) -> Spot | None:
    """Where a side moved by `dx` meets an end moved by `dy`; the outer pieces of both go on."""
    if len(side) == len(end) == 2:
        (a, b), (c, d) = side, end
        return _meeting((a[0] + dx, a[1]), (b[0] + dx, b[1]), (c[0], c[1] + dy), (d[0], d[1] + dy))
    best: Spot | None = None
    for i, (a, b) in enumerate(pairwise(side)):
        for j, (c, d) in enumerate(pairwise(end)):
            spot = _meeting((a[0] + dx, a[1]), (b[0] + dx, b[1]), (c[0], c[1] + dy), (d[0], d[1] + dy))
            if spot is None:
                continue
            best = best or spot
            within_side = _within(spot[1], a[1], b[1], first=i == 0, last=i == len(side) - 2)
            if within_side and _within(spot[0], c[0], d[0], first=j == 0, last=j == len(end) - 2):
                return spot
    return best


def _within(value: Fraction, low: Fraction, high: Fraction, *, first: bool, last: bool) -> bool:
    return (first or value >= low) and (last or value <= high)


def _meeting(a: Spot, b: Spot, c: Spot, d: Spot) -> Spot | None:
    """Where the straight through `a`, `b` meets the one through `c`, `d`."""
    if a[0] == b[0] and c[1] == d[1]:
        return (a[0], c[1])
    rx, ry, sx, sy = b[0] - a[0], b[1] - a[1], d[0] - c[0], d[1] - c[1]
    turn = rx * sy - ry * sx
    if not turn:
        return None
    u = ((c[0] - a[0]) * sy - (c[1] - a[1]) * sx) / turn
    return (a[0] + u * rx, a[1] + u * ry)


def _runs_together(one: tuple[Spot, ...], other: tuple[Spot, ...], index: int) -> list[Spot | None]:
    """Where two edges across from each other meet, as those of a triangle do: of each its outer pieces go on, outward
    alone. What they would come to inward, past where one of them breaks, is no corner: a valley is none.
    """
    found: list[Spot | None] = []
    for first, at in ((True, slice(0, 2)), (False, slice(-2, None))):
        (a, b), (c, d) = one[at], other[at]
        spot = _meeting(a, b, c, d)
        if spot is not None and all(_goes_on(line, spot[index], index, first=first) for line in (one, other)):
            found.append(spot)
    return found


def _goes_on(line: tuple[Spot, ...], value: Fraction, index: int, *, first: bool) -> bool:
    """Whether the first or the last piece of a line comes to a place."""
    if len(line) == 2:
        return True
    return value <= line[1][index] if first else value >= line[-2][index]


def carry_out(steps: Iterable[Step]) -> tuple[Workpiece | None, tuple[Failure, ...]]:
    """The piece that the steps make, and what of them can't be done."""
    bench = _Workbench()
    for step in steps:
        bench.follow(step)
    return bench.piece, tuple(bench.failures)


@dataclass(slots=True)
class _Workbench:
    piece: Workpiece | None = None
    failures: list[Failure] = field(default_factory=list)

    def wrong(self, fault: Flaw, edge: Edge | None = None, about: str | None = None) -> None:
        self.failures.append(Failure(fault, edge, about))

    def follow(self, step: Step) -> None:
        if step.does is Does.LEAN:
            self.lean(step)
            return
        if self.piece is None:
            self.wrong(Flaw.ORDER, step.edge, step.opening)
            return
        if self.piece.hung is not None and step.does not in {Does.MAKE_OPENING, Does.FASTEN}:
            self.wrong(Flaw.ORDER, step.edge, step.opening)
            return
        self.at_the_bench(step, self.piece)

    def at_the_bench(self, step: Step, piece: Workpiece) -> None:
        if step.does is Does.MARK:
            self.mark(step, piece)
        elif step.does is Does.CUT:
            self.cut(step, piece)
        elif step.does is Does.MARK_OPENING:
            self.mark_opening(step, piece)
        elif step.does is Does.MAKE_OPENING:
            self.make_opening(step, piece)
        elif step.does is Does.WAIT:
            piece.waiting.add(step.opening or "")
        elif step.does is Does.HANG:
            self.hang(step, piece)
        elif step.does is Does.FASTEN and piece.hung is None:
            self.wrong(Flaw.ORDER)

    def lean(self, step: Step) -> None:
        if self.piece is not None or step.sheet is None or step.lies is None:
            self.wrong(Flaw.ORDER)
            return
        short, long = step.sheet.width.inches, step.sheet.length.inches
        self.piece = Workpiece.of(short, long) if step.lies is Lies.STANDING else Workpiece.of(long, short)
        self.piece.came_cut = frozenset(step.edges)

    def mark(self, step: Step, piece: Workpiece) -> None:
        edge, hook = step.edge, step.origin
        if edge is None or hook is None or hook.edge is not OPPOSITE[edge] or not piece.hooked(hook):
            self.wrong(Flaw.ORIGIN, edge)
            return
        spots = tuple(_marked(piece, edge, mark) for mark in step.marks)
        found = tuple(spot for spot in spots if spot is not None)
        index = 1 if edge in _UPRIGHT else 0
        in_row = all(a[index] < b[index] for a, b in pairwise(found))
        if len(found) < 2 or len(found) != len(spots) or not in_row or not all(piece.holds(spot) for spot in found):
            self.wrong(Flaw.MARK, edge)
            return
        piece.pencil[edge] = found

    def cut(self, step: Step, piece: Workpiece) -> None:
        edge = step.edge
        if edge is None or edge not in piece.pencil or edge in piece.cut:
            self.wrong(Flaw.ORDER, edge)
            return
        taken = piece.takes_off(edge)
        if taken is not None:
            piece.left.append(taken)
        piece.edges[edge] = piece.pencil[edge]
        piece.cut.add(edge)

    def mark_opening(self, step: Step, piece: Workpiece) -> None:
        if step.hole is None or step.opening is None or not all(piece.hooked(one.hook) for one in _offsets(step.hole)):
            self.wrong(Flaw.ORIGIN, about=step.opening)
            return
        drawn = _drawn(piece, step.hole)
        if drawn is None:
            self.wrong(Flaw.MARK, about=step.opening)
            return
        piece.drawn[step.opening] = drawn

    def make_opening(self, step: Step, piece: Workpiece) -> None:
        name = step.opening or ""
        on_wall = step.where is Where.WALL
        along_framing = on_wall and step.tool is Tool.SAW
        if (on_wall != (piece.hung is not None)) or name in piece.holes or step.tool is None:
            self.wrong(Flaw.ORDER, about=name)
            return
        if name not in piece.drawn and not along_framing:
            self.wrong(Flaw.ORDER, about=name)
            return
        drawn = piece.drawn.get(name, Cutout({}))
        piece.holes[name] = Cutout(drawn.sides, drawn.center, drawn.radius, step.tool, step.where, step.near)

    def hang(self, step: Step, piece: Workpiece) -> None:
        unmade = [edge for edge in piece.pencil if edge not in piece.cut]
        if unmade:
            self.wrong(Flaw.ORDER, unmade[0])
        piece.hung = step


def _marked(piece: Workpiece, edge: Edge, mark: Mark) -> Spot | None:
    """Where the pencil goes: so far from the edge across, and so far along from the edge named."""
    start = mark.start
    if start is None or (start in _UPRIGHT) == (edge in _UPRIGHT):
        return None
    away = mark.distance.inches if edge in {Edge.RIGHT, Edge.BOTTOM} else -mark.distance.inches
    by = mark.along.inches if start in {Edge.LEFT, Edge.TOP} else -mark.along.inches
    if edge in _UPRIGHT:
        return crossing(piece.edges[OPPOSITE[edge]], piece.edges[start], away, by)
    return crossing(piece.edges[start], piece.edges[OPPOSITE[edge]], by, away)


def _offsets(hole: HoleMarks) -> tuple[Offset, ...]:
    return (*(hole.center or ()), *(offset for _, offset in hole.sides))


def _drawn(piece: Workpiece, hole: HoleMarks) -> Cutout | None:
    """The hole as its marks draw it: each side is level or plumb, at the hole's own height and place."""
    xs = {edge: offset for edge, offset in hole.sides if edge in _UPRIGHT}
    ys = {edge: offset for edge, offset in hole.sides if edge not in _UPRIGHT}
    center = _cross(piece, *hole.center) if hole.center is not None else None
    if hole.radius is not None:
        return None if center is None else Cutout({}, center, hole.radius.inches)
    if not xs or not ys:
        return None if center is None else Cutout({}, center)
    spots = {(i, j): _cross(piece, x, y) for i, x in xs.items() for j, y in ys.items()}
    if any(spot is None for spot in spots.values()):
        return None
    near = {edge: _mean([spot[0] for (i, _), spot in spots.items() if i is edge and spot]) for edge in xs}
    near |= {edge: _mean([spot[1] for (_, j), spot in spots.items() if j is edge and spot]) for edge in ys}
    return Cutout(near, center)


def _mean(values: list[Fraction]) -> Fraction:
    return sum(values, ZERO) / len(values)


def _cross(piece: Workpiece, x: Offset, y: Offset) -> Spot | None:
    if x.hook.edge not in _UPRIGHT or y.hook.edge in _UPRIGHT:
        return None
    dx = x.distance.inches if x.hook.edge is Edge.LEFT else -x.distance.inches
    dy = y.distance.inches if y.hook.edge is Edge.TOP else -y.distance.inches
    return crossing(piece.edges[x.hook.edge], piece.edges[y.hook.edge], dx, dy)


def put(piece: Workpiece) -> tuple[StandOff, ...]:
    """The stand-offs that the hanging step says."""
    return piece.hung.stand_offs if piece.hung is not None else ()
