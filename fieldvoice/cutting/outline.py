"""Polygons: the finished board and what is left of the sheet. Points are `(x, y)`, y downwards."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise

from fieldvoice.cutting.lines import Point, Polyline, value_at

ZERO = Fraction(0)
Polygon = tuple[Point, ...]


def meet(side: Polyline, level: Polyline, dx: Fraction = ZERO, dy: Fraction = ZERO) -> Point:
    """Where a side edge (x by y) moved right by `dx` meets a level edge (y by x) moved down by `dy`."""
    found: Point | None = None
    for low, high, t0, v0, slope in _pieces(side):
        for low2, high2, u0, w0, slope2 in _pieces(level):
            x, y = _cross(v0 + dx - slope * t0, slope, w0 + dy - slope2 * u0, slope2)
            if found is None or (_within(y, low, high) and _within(x, low2, high2)):
                found = (x, y)
    assert found is not None
    return found


def _cross(a: Fraction, b: Fraction, c: Fraction, d: Fraction) -> Point:
    """Where `x = a + b y` and `y = c + d x` are both true."""
    if not b and not d:
        return (a, c)
    x = (a + b * c) / (1 - b * d)
    return (x, c + d * x)


def _within(value: Fraction, low: Fraction | None, high: Fraction | None) -> bool:
    return (low is None or value >= low) and (high is None or value <= high)


def _pieces(line: Polyline) -> Iterator[tuple[Fraction | None, Fraction | None, Fraction, Fraction, Fraction]]:
    last = len(line) - 2
    for i, ((t0, v0), (t1, v1)) in enumerate(pairwise(line)):
        slope = ZERO if v0 == v1 else (v1 - v0) / (t1 - t0)
        yield (None if i == 0 else t0), (None if i == last else t1), t0, v0, slope


def outline(left: Polyline, right: Polyline, top: Polyline, bottom: Polyline) -> Polygon:
    """The board between its four edges, clockwise from its top left; a side that shrinks to nothing is one corner.
    Nothing is between edges that lie on each other.
    """
    if _same(top, bottom) or _same(left, right):
        return ()
    tl, tr, br, bl = meet(left, top), meet(right, top), meet(right, bottom), meet(left, bottom)
    if tl[1] >= bl[1]:
        tl = bl = _shared(top, bottom, first=True)
    if tr[1] >= br[1]:
        tr = br = _shared(top, bottom, first=False)
    if tl[0] >= tr[0]:
        tl = tr = _swap(_shared(left, right, first=True))
    if bl[0] >= br[0]:
        bl = br = _swap(_shared(left, right, first=False))
    path = [
        tl,
        *((x, y) for x, y in top[1:-1] if tl[0] < x < tr[0]),
        tr,
        *((x, y) for y, x in right[1:-1] if tr[1] < y < br[1]),
        br,
        *((x, y) for x, y in reversed(bottom[1:-1]) if bl[0] < x < br[0]),
        bl,
        *((x, y) for y, x in reversed(left[1:-1]) if tl[1] < y < bl[1]),
    ]
    return tuple(point for i, point in enumerate(path) if point != path[i - 1])


def _same(one: Polyline, other: Polyline) -> bool:
    return all(value_at(one, t) == value_at(other, t) for t, _ in (*one, *other))


def _swap(point: Point) -> Point:
    return (point[1], point[0])


def _shared(one: Polyline, other: Polyline, *, first: bool) -> Point:
    """Where two edges of the same direction run into each other, near their first or last end; where they begin on each
    other, where they part.
    """
    a, b = (one[:2], other[:2]) if first else (one[-2:], other[-2:])
    slope = (a[1][1] - a[0][1]) / (a[1][0] - a[0][0])
    slope2 = (b[1][1] - b[0][1]) / (b[1][0] - b[0][0])
    if slope == slope2:
        t = min(a[1][0], b[1][0]) if first else max(a[0][0], b[0][0])
    else:
        t = a[0][0] + (b[0][1] - a[0][1]) / (slope - slope2)
    return (t, a[0][1] + slope * (t - a[0][0]))
