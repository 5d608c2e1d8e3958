"""Where each fastener goes, and in which order they are driven. Exact distances are compared fast in whole numbers of
one small unit.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor, lcm

from fieldvoice.fastening.columns import columns
from fieldvoice.fastening.panels import Panel, Point, turned
from fieldvoice.fastening.sections import Interval, sides
from fieldvoice.records.fastening import Schedule, Spot, Stage
from fieldvoice.records.length import Length

Whole = tuple[int, int]


@dataclass(frozen=True, slots=True)
class WholePanel:
    """`scale` units make an inch, so many that every side, opening and fastener is a whole number of them."""

    scale: int
    sides: tuple[tuple[Whole, Whole], ...]
    holes: tuple[tuple[int, int, int, int], ...]

    def point(self, point: Point) -> Whole:
        """A point in whole units."""
        return self.units(point[0]), self.units(point[1])

    def units(self, inches: Fraction) -> int:
        """A length in whole units."""
        return inches.numerator * (self.scale // inches.denominator)

    def clear(self, point: Whole, least: Fraction) -> bool:
        """Whether every side and every opening is that far off, measured straight."""
        squared = self.units(least) ** 2
        return all(reaches(point, a, b, squared) for a, b in self.sides) and self.off_holes(point) >= squared

    def off_holes(self, point: Whole) -> int:
        """The square of the distance to the nearest opening; 0 inside it, and very far where there is none."""
        x, y = point
        found = [
            max(left - x, x - right, 0) ** 2 + max(top - y, y - bottom, 0) ** 2
            for left, right, top, bottom in self.holes
        ]
        return min(found, default=(self.scale * 100_000) ** 2)


def grid_of(panel: Panel, points: Iterable[Point], least: Fraction) -> WholePanel:
    """The coarsest grid that holds a piece and its fasteners exactly."""
    inches = {least}
    inches.update(value for point in (*panel.outline, *points) for value in point)
    inches.update(value for hole in panel.holes for value in (hole.left, hole.right, hole.top, hole.bottom))
    bare = WholePanel(lcm(*(value.denominator for value in inches)), (), ())
    return WholePanel(
        bare.scale,
        tuple((bare.point(a), bare.point(b)) for a, b in sides(panel.outline)),
        tuple(
            (bare.units(hole.left), bare.units(hole.right), bare.units(hole.top), bare.units(hole.bottom))
            for hole in panel.holes
        ),
    )


def reaches(point: Whole, a: Whole, b: Whole, squared: int) -> bool:
    """Whether the square of the distance from a point to a side is at least that."""
    dx, dy, px, py = b[0] - a[0], b[1] - a[1], point[0] - a[0], point[1] - a[1]
    along, long = px * dx + py * dy, dx * dx + dy * dy
    if along <= 0:
        return px * px + py * py >= squared
    if along >= long:
        return apart(point, b) >= squared
    return (px * dy - py * dx) ** 2 >= squared * long


def apart(one: Whole, other: Whole) -> int:
    """The square of the distance between two points."""
    return (one[0] - other[0]) ** 2 + (one[1] - other[1]) ** 2


FEW = 6
"""How many hold a board until its boxes are cut (few, by common practice; six is our own rule, no source)."""

AWAY = (Length(12), Length(6))
"""How far from every opening these are; the nearer only where no fastener is that far (well away, by common practice;
the figures are our own, no source)."""

SHORT = Length(2)
"""A stretch no longer than this takes one fastener (our own rule, no source)."""


def spots(panel: Panel, schedule: Schedule) -> tuple[Spot, ...]:
    """Every fastener in the order to drive them: a few well away from openings, then the rest from the middle outwards
    (so the trade and, from memory, GA-216), then the second nails where nails are doubled.
    """
    if panel.across:
        return tuple(Spot(spot.y, spot.x, spot.along_edge, spot.stage) for spot in spots(turned(panel), schedule))
    least = schedule.edge_distance.value.inches
    planned: dict[Point, bool] = {}
    seconds: dict[Point, Point] = {}
    for column in columns(panel, schedule):
        most = (schedule.edge if column.along_edge else schedule.field).value
        for interval in column.free:
            heights = _spread(interval, most.rounded_down(panel.step).inches or most.inches, panel.step.inches)
            places = [(column.at(y, panel.step.inches), y) for y in heights]
            for place in places:
                planned.setdefault(place, column.along_edge)
            if schedule.pair is not None and not column.along_edge:
                off = schedule.pair.value.rounded_up(panel.step).inches
                seconds |= {(x, y): (x, y + off) for x, y in places[1:-1]}  # the rim keeps single nails
    grid = grid_of(panel, [*planned, *seconds.values()], least)
    whole = {grid.point(point): point for point in planned}
    firsts = tuple(
        Spot(Length(whole[one][0]), Length(whole[one][1]), planned[whole[one]], stage)
        for stage, ones in _ordered(grid, [one for one in whole if grid.clear(one, least)])
        for one in ones
    )
    beside = [found for one in firsts if (found := seconds.get((one.x.inches, one.y.inches))) is not None]
    return (*firsts, *(Spot(Length(x), Length(y), along_edge=False, stage=Stage.SECOND) for x, y in beside))


def _spread(interval: Interval, most: Fraction, step: Fraction) -> Iterator[Fraction]:
    """Even, at both ends of the stretch and no farther apart than `most`, all on marks of the tape."""
    start = ceil(interval[0] / step) * step
    marks = floor((interval[1] - start) / step)
    if marks < 0:
        return
    if marks * step <= SHORT.inches:
        yield start + marks // 2 * step
        return
    gaps = ceil(marks * step / most)
    yield from (start + marks * number // gaps * step for number in range(gaps + 1))


def _ordered(grid: WholePanel, points: list[Whole]) -> tuple[tuple[Stage, list[Whole]], ...]:
    xs, ys = zip(*(a for a, _ in grid.sides), strict=True)
    twice_middle = min(xs) + max(xs), min(ys) + max(ys)
    first = _first(grid, points, (min(xs), min(ys)))
    rest = [point for point in points if point not in first]
    rest.sort(key=lambda point: (apart((2 * point[0], 2 * point[1]), twice_middle), point))
    return (Stage.FIRST, first), (Stage.REST, rest)


def _first(grid: WholePanel, points: list[Whole], corner: Whole) -> list[Whole]:
    """A few that hold the board: the one nearest a corner, then each the one farthest from those before it."""
    far = _far_from_openings(grid, points)
    if not far:
        return []
    chosen = [min(far, key=lambda point: (apart(point, corner), point))]
    off = {point: apart(point, chosen[0]) for point in far}
    while len(chosen) < min(FEW, len(far)):
        best = max(off, key=lambda point: (off[point], point))
        chosen.append(best)
        off = {point: min(before, apart(point, best)) for point, before in off.items()}
    return chosen


def _far_from_openings(grid: WholePanel, points: list[Whole]) -> list[Whole]:
    for away in AWAY:
        far = [point for point in points if grid.off_holes(point) >= (away.inches.numerator * grid.scale) ** 2]
        if far:
            return far
    return []
