"""Where along a straight line across a piece a fastener may sit: inside it, away from its edges and its holes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction

from fieldvoice.fastening.panels import Hole, Point, Polygon

Interval = tuple[Fraction, Fraction]


def sides(polygon: Polygon) -> Iterator[tuple[Point, Point]]:
    """The polygon's sides, end to end."""
    yield from zip(polygon, (*polygon[1:], *polygon[:1]), strict=True)


def area(polygon: Polygon) -> Fraction:
    """Square inches, exactly."""
    return abs(sum((a[0] * b[1] - b[0] * a[1] for a, b in sides(polygon)), Fraction(0))) / 2


def section(polygon: Polygon, x: Fraction, *, right: bool) -> list[Interval]:
    """The upright pieces of the polygon just right (or just left) of `x`."""
    found = []
    for a, b in sides(polygon):
        (ax, ay), (bx, by) = sorted((a, b))
        if (ax <= x < bx) if right else (ax < x <= bx):
            found.append(ay + (by - ay) * (x - ax) / (bx - ax))
    found.sort()
    return list(zip(found[::2], found[1::2], strict=True))


def common(one: list[Interval], other: list[Interval]) -> list[Interval]:
    """What lies in both."""
    cut = [(max(a[0], b[0]), min(a[1], b[1])) for a in one for b in other]
    return sorted(interval for interval in cut if interval[0] <= interval[1])


def without(intervals: list[Interval], start: Fraction, end: Fraction) -> list[Interval]:
    """What is left when everything between `start` and `end` is taken out; both ends stay."""
    kept = []
    for a, b in intervals:
        if end <= a or b <= start:
            kept.append((a, b))
            continue
        kept.extend(piece for piece in ((a, start), (end, b)) if piece[0] <= piece[1])
    return kept


def free(polygon: Polygon, holes: Iterable[Hole], xs: Interval, distance: Fraction) -> list[Interval]:
    """Where a line that stays between `xs` may carry a fastener: at every height there, the piece reaches `distance`
    to all sides, and no hole is nearer than that.
    """
    first, last = xs[0] - distance, xs[1] + distance
    least, most = min(x for x, _ in polygon), max(x for x, _ in polygon)
    first, last = max(first, least), min(last, most)
    found = common(section(polygon, first, right=True), section(polygon, last, right=False))
    for x, _ in polygon:
        if first < x < last:
            found = common(common(found, section(polygon, x, right=True)), section(polygon, x, right=False))
    found = [(a + distance, b - distance) for a, b in found if a + distance <= b - distance]
    for hole in holes:
        if hole.left - distance < xs[1] and xs[0] < hole.right + distance:
            found = without(found, hole.top - distance, hole.bottom + distance)
    return found
