"""A piece and its fasteners in whole numbers of one small unit, in which exact distances are quickly compared."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from math import lcm

from fieldvoice.fastening.panels import Panel, Point
from fieldvoice.fastening.sections import sides

Whole = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Grid:
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


def grid_of(panel: Panel, points: Iterable[Point], least: Fraction) -> Grid:
    """The coarsest grid that holds a piece and its fasteners exactly."""
    inches = {least}
    inches.update(value for point in (*panel.outline, *points) for value in point)
    inches.update(value for hole in panel.holes for value in (hole.left, hole.right, hole.top, hole.bottom))
    bare = Grid(lcm(*(value.denominator for value in inches)), (), ())
    return Grid(
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
