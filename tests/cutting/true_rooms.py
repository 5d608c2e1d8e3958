"""Rooms that are really there, in floats: walls, ceiling and floor as lines, boxes and pipes in them, the tape that
reads them, a hand that cuts a sheet by step records, and eyes that look at what hangs. Shares nothing with the solver
or its proof but the records that go in and come out.

A room is drawn first and measured afterward, so that what is right is known apart from what was read.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import pairwise
from statistics import fmean
from typing import Any

from shapely.geometry import LineString, Point, Polygon, box
from shapely.ops import split

from fieldvoice.records.board import Lies
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Edge, Place, Slot
from fieldvoice.records.plan import CutPlan, Does, HoleMarks, Step, Tool, Where

Line = list[tuple[float, float]]
"""Points (along, across): y and x for a side, x and y for ceiling and floor."""

FAR = 400.0
SIDES = (Edge.LEFT, Edge.RIGHT)


def at(line: Line, t: float) -> float:
    """Where a line is at `t`, its end pieces going on."""
    if len(line) == 1:
        return line[0][1]
    for (a, v), (b, w) in pairwise(line):
        if t <= b or (b, w) == line[-1]:
            return v + (w - v) * (t - a) / (b - a)
    raise AssertionError


@dataclass
class TrueRoom:
    """Lines that stand, None where nothing does."""

    left: Line | None
    right: Line | None
    top: Line | None
    bottom: Line | None

    def line(self, edge: Edge) -> Line | None:
        """The line at an edge."""
        return {Edge.LEFT: self.left, Edge.RIGHT: self.right, Edge.TOP: self.top, Edge.BOTTOM: self.bottom}[edge]

    def free(self) -> Polygon:
        """The space that a board may take."""
        left, right = self.left or [(0.0, -FAR)], self.right or [(0.0, FAR)]
        top, bottom = self.top or [(0.0, -FAR)], self.bottom or [(0.0, FAR)]
        xs = (min(x for _, x in left), max(x for _, x in right))
        ys = (min(y for _, y in top), max(y for _, y in bottom))
        tall, wide = (_ts((*left, *right), *ys), _ts((*top, *bottom), *xs))
        between = Polygon([(at(left, y), y) for y in tall] + [(at(right, y), y) for y in reversed(tall)])
        under = Polygon([(x, at(top, x)) for x in wide] + [(x, at(bottom, x)) for x in reversed(wide)])
        return between.buffer(0).intersection(under.buffer(0))


def _ts(points: tuple[tuple[float, float], ...], low: float, high: float) -> list[float]:
    low, high = low - 1, high + 1
    return sorted({low, high, *(t for t, _ in points if low < t < high)})


@dataclass
class TrueThing:
    """A box, a pipe or the like in the room: its middle, half its size, and whether it is round."""

    name: str
    x: float
    y: float
    half_width: float
    half_height: float
    round: bool = False
    is_box: bool = True

    def shape(self) -> Any:
        """What has to come through."""
        if self.round:
            return Point(self.x, self.y).buffer(self.half_width, quad_segs=64)
        return box(
            self.x - self.half_width, self.y - self.half_height, self.x + self.half_width, self.y + self.half_height
        )


@dataclass
class Hand:
    """Who cuts: the sheet, its four edges as lines, what was drawn, what was cut out."""

    wide: float = 0.0
    high: float = 0.0
    sheet: Any = None
    edges: dict[Edge, Line] = field(default_factory=dict)
    pencil: dict[Edge, list[tuple[float, float]]] = field(default_factory=dict)
    drawn: dict[str, Any] = field(default_factory=dict)
    holes: dict[str, Any] = field(default_factory=dict)
    routed: dict[str, Any] = field(default_factory=dict)
    in_place: set[str] = field(default_factory=set)
    waiting: set[str] = field(default_factory=set)
    hung: Step | None = None

    def work(self, plan: CutPlan) -> None:
        """Every step, one after another."""
        for step in plan.steps:
            if step.does in _DO:
                _DO[step.does](self, step)

    def lean(self, step: Step) -> None:
        """The sheet, top left corner at 0, 0."""
        assert step.sheet is not None
        short, long = float(step.sheet.width.inches), float(step.sheet.length.inches)
        self.wide, self.high = (short, long) if step.lies is Lies.STANDING else (long, short)
        self.sheet = box(0, 0, self.wide, self.high)
        self.edges = {
            Edge.LEFT: [(0.0, 0.0), (self.high, 0.0)],
            Edge.RIGHT: [(0.0, self.wide), (self.high, self.wide)],
            Edge.TOP: [(0.0, 0.0), (self.wide, 0.0)],
            Edge.BOTTOM: [(0.0, self.high), (self.wide, self.high)],
        }

    def spot(self, x_edge: Edge, dx: float, y_edge: Edge, dy: float) -> tuple[float, float]:
        """So far from a side and so far from an end, by turns until the pencil stands still."""
        x, y = self.wide / 2, self.high / 2
        for _ in range(60):
            x = at(self.edges[x_edge], y) + (dx if x_edge is Edge.LEFT else -dx)
            y = at(self.edges[y_edge], x) + (dy if y_edge is Edge.TOP else -dy)
        return x, y

    def mark(self, step: Step) -> None:
        """The marks of a cut; each has to be on what is left of the sheet."""
        assert step.edge is not None
        assert step.origin is not None
        spots = []
        for one in step.marks:
            assert one.start is not None
            away, along = float(one.distance.inches), float(one.along.inches)
            if step.edge in SIDES:
                spots.append(self.spot(step.origin.edge, away, one.start, along))
            else:
                spots.append(self.spot(one.start, along, step.origin.edge, away))
        for spot in spots:
            assert self.sheet.distance(Point(spot)) < 1e-6, f"a mark of {step.edge} is not on the sheet"
        self.pencil[step.edge] = spots

    def cut(self, step: Step) -> None:
        """Along the marks and on to the sheet's edges; the part at that edge comes off."""
        assert step.edge is not None
        spots = self.pencil[step.edge]
        first, last = _on(spots[1], spots[0]), _on(spots[-2], spots[-1])
        parts = list(split(self.sheet, LineString([first, *spots, last])).geoms)
        index, sign = (0, -1) if step.edge in SIDES else (1, -1)
        if step.edge in {Edge.LEFT, Edge.TOP}:
            sign = 1
        line = [(y, x) for x, y in spots] if step.edge in SIDES else list(spots)
        kept = [part for part in parts if sign * _off(line, part.representative_point(), index) > 0]
        assert kept, "nothing is left"
        self.sheet = max(kept, key=lambda part: part.area)
        self.edges[step.edge] = line

    def mark_opening(self, step: Step) -> None:
        """A rectangle by its sides, or a circle."""
        assert step.hole is not None
        self.drawn[step.opening or ""] = self.outline(step.hole)

    def outline(self, hole: HoleMarks) -> Any:
        """What is drawn. A side that isn't marked runs out over the edge."""
        xs = {edge: one for edge, one in hole.sides if edge in SIDES}
        ys = {edge: one for edge, one in hole.sides if edge not in SIDES}
        middle = None
        if hole.center is not None:
            x, y = hole.center
            middle = self.spot(x.hook.edge, float(x.distance.inches), y.hook.edge, float(y.distance.inches))
        if hole.radius is not None:
            assert middle is not None
            return Point(middle).buffer(float(hole.radius.inches), quad_segs=64)
        if not xs or not ys:
            return Point(middle)
        spots = {
            (i, j): self.spot(x.hook.edge, float(x.distance.inches), y.hook.edge, float(y.distance.inches))
            for i, x in xs.items()
            for j, y in ys.items()
        }
        left, right = (
            fmean([spot[0] for (i, _), spot in spots.items() if i is edge]) if edge in xs else out
            for edge, out in ((Edge.LEFT, -FAR), (Edge.RIGHT, FAR))
        )
        top, bottom = (
            fmean([spot[1] for (_, j), spot in spots.items() if j is edge]) if edge in ys else out
            for edge, out in ((Edge.TOP, -FAR), (Edge.BOTTOM, FAR))
        )
        return box(left, top, right, bottom)

    def make(self, step: Step) -> None:
        """Out it comes, on the stand or on the wall."""
        name = step.opening or ""
        if step.where is Where.WALL and step.tool is Tool.SAW:
            self.in_place.add(name)
        elif step.tool is Tool.ROUTER:
            self.routed[name] = self.drawn[name]
        else:
            assert self.hung is None
            self.holes[name] = self.drawn[name]

    def wait(self, step: Step) -> None:
        """Not yet."""
        self.waiting.add(step.opening or "")

    def hang(self, step: Step) -> None:
        """How it is put."""
        self.hung = step


def _on(inner: tuple[float, float], end: tuple[float, float]) -> tuple[float, float]:
    dx, dy = end[0] - inner[0], end[1] - inner[1]
    size = math.hypot(dx, dy)
    return end[0] + dx / size * FAR, end[1] + dy / size * FAR


def _off(line: Line, point: Any, index: int) -> float:
    spot: tuple[float, float] = (point.x, point.y)
    return spot[index] - at(line, spot[1 - index])


_DO: dict[Does, Callable[[Hand, Step], None]] = {
    Does.LEAN: Hand.lean,
    Does.MARK: Hand.mark,
    Does.CUT: Hand.cut,
    Does.MARK_OPENING: Hand.mark_opening,
    Does.MAKE_OPENING: Hand.make,
    Does.WAIT: Hand.wait,
    Does.HANG: Hand.hang,
}


@dataclass
class Hanging:
    """A piece in a room, moved by `dx`, `dy`."""

    hand: Hand
    room: TrueRoom
    dx: float = 0.0
    dy: float = 0.0

    def gap(self, edge: Edge, t: float) -> float:
        """What is open between an edge and what stands there, at `t` in the room."""
        line = self.room.line(edge)
        assert line is not None
        shift, along = (self.dx, self.dy) if edge in SIDES else (self.dy, self.dx)
        between = at(line, t) - (at(self.hand.edges[edge], t - along) + shift)
        return between if edge in {Edge.RIGHT, Edge.BOTTOM} else -between

    def least(self, edge: Edge) -> float:
        """The least of it along the board."""
        line = self.room.line(edge)
        assert line is not None
        along = self.dy if edge in SIDES else self.dx
        x0, y0, x1, y1 = self.hand.sheet.bounds
        low, high = (y0, y1) if edge in SIDES else (x0, x1)
        ts = [low + along, high + along, *(t for t, _ in line if low + along < t < high + along)]
        ts += [t + along for t, _ in self.hand.edges[edge] if low <= t <= high]
        return min(self.gap(edge, t) for t in ts)


def hang(hand: Hand, room: TrueRoom) -> Hanging:
    """Push it to the edges that the step names until it stands off as it says."""
    hanging = Hanging(hand, room)
    assert hand.hung is not None
    for _ in range(40):
        for one in hand.hung.stand_offs:
            by = hanging.least(one.edge) - float(one.off.inches)
            move = by if one.edge in {Edge.RIGHT, Edge.BOTTOM} else -by
            if one.edge in SIDES:
                hanging.dx += move
            else:
                hanging.dy += move
    return hanging


def place_of(room: TrueRoom, edge: Edge, where: Place) -> float:
    """Where a reading at that place was taken in the room: at the wall and at the floor."""
    x0 = max(x for _, x in room.left) if room.left else 0.0
    x1 = min(x for _, x in room.right) if room.right else x0 + 48.0
    if edge in SIDES:
        assert room.top is not None
        high = max(at(room.top, x0), at(room.top, x1))
        low = min(at(room.bottom, x0), at(room.bottom, x1)) if room.bottom else high + 96.0
        start, end = high, low
    else:
        start, end = x0, x1
    if isinstance(where, Length):
        return start + float(where.inches)
    return {Slot.MIDDLE: (start + end) / 2, Slot.TOP: start, Slot.LEFT: start}.get(where, end)


def sixteenth(value: float, parts: int = 16) -> Length:
    """What the tape shows."""
    return Length(Fraction(round(value * parts), parts))
