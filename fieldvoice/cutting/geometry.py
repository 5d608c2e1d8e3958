"""Lines and polygons of the plane, exactly: no iteration, no float. The best cut under a row of bounds, and the
finished board and what is left of the sheet between their edges. Points are `(x, y)`, y downwards.

A bound `(t, v)` says that at `t` inches along the edge the board may reach `v` inches and no farther.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import combinations, pairwise

XY = tuple[Fraction, Fraction]
Polyline = tuple[XY, ...]

ZERO = Fraction(0)


def value_at(line: Polyline, t: Fraction) -> Fraction:
    """Where the line is at `t`; its end pieces go on beyond its ends. One point means the same everywhere."""
    if len(line) == 1 or (len(line) == 2 and line[0][1] == line[1][1]):
        return line[0][1]
    after = 1 if len(line) == 2 else next((i for i in range(1, len(line) - 1) if t <= line[i][0]), len(line) - 1)
    (t0, v0), (t1, v1) = line[after - 1], line[after]
    return v0 if v0 == v1 else _between(t0, v0, t1, v1, t)


def _between(t0: Fraction, v0: Fraction, t1: Fraction, v1: Fraction, t: Fraction) -> Fraction:
    """`v0 + (v1 - v0) (t - t0) / (t1 - t0)` in whole numbers, which is three times as fast as in fractions."""
    (a, b), (c, d) = t0.as_integer_ratio(), v0.as_integer_ratio()
    (e, f), (g, h), (k, m) = t1.as_integer_ratio(), v1.as_integer_ratio(), t.as_integer_ratio()
    rise, run = (g * d - c * h) * (k * b - a * m) * f, (e * b - a * f) * m * h
    return Fraction(c * run + rise, d * run)


def negated(line: Polyline) -> Polyline:
    """The line on the other side of zero."""
    return tuple((t, -v) for t, v in line)


def widest_gap(line: Polyline, bounds: Sequence[XY]) -> Fraction:
    """The largest distance that the line stays under a bound."""
    return max(v - value_at(line, t) for t, v in bounds)


def straight(bounds: Sequence[XY], start: Fraction, end: Fraction) -> Polyline:
    """The straight line under all bounds whose largest gap is smallest, given at `start` and `end`.

    The thinnest strip that holds all bounds has one of its two sides along two of them, so its slope is the slope of
    some pair: every pair is tried. Of equals the line that leaves least open in all is taken.
    """
    slopes = {(b[1] - a[1]) / (b[0] - a[0]) for a, b in combinations(bounds, 2) if a[0] != b[0]} or {ZERO}
    best: tuple[Fraction, Fraction, Fraction, Fraction] | None = None
    for slope in slopes:
        levels = [v - slope * t for t, v in bounds]
        level = min(levels)
        rank = (max(levels) - level, sum(levels) - level * len(levels), abs(slope), slope)
        if best is None or rank < best:
            best, at = rank, level
    assert best is not None
    slope = best[3]
    return ((start, at + slope * start), (end, at + slope * end))


def broken(bounds: Sequence[XY], start: Fraction, end: Fraction) -> Polyline | None:
    """Two straight pieces that meet on a bound between the ends, with the smallest largest gap; None without such."""
    tries = [_broken_at(point, bounds, start, end) for point in bounds if start < point[0] < end]
    return min(tries, key=lambda line: widest_gap(line, bounds), default=None)


def _broken_at(knee: XY, bounds: Sequence[XY], start: Fraction, end: Fraction) -> Polyline:
    return (_reach(knee, bounds, start), knee, _reach(knee, bounds, end))


def _reach(knee: XY, bounds: Sequence[XY], to: Fraction) -> XY:
    """The farthest point at `to` that a line from the knee may have under every bound on that side."""
    t0, v0 = knee
    side = [(t, v) for t, v in bounds if (t - t0) * (to - t0) > 0]
    return (to, min((v0 + (v - v0) * (to - t0) / (t - t0) for t, v in side), default=v0))


def scribed(bounds: Sequence[XY], start: Fraction, end: Fraction) -> Polyline:
    """A line through every bound, which is as close as readings can say."""
    through = tuple(sorted(bounds))
    inner = tuple(point for point in through if start < point[0] < end)
    return ((start, value_at(through, start)), *inner, (end, value_at(through, end)))


Polygon = tuple[XY, ...]


def meet(side: Polyline, level: Polyline, dx: Fraction = ZERO, dy: Fraction = ZERO) -> XY:
    """Where a side edge (x by y) moved right by `dx` meets a level edge (y by x) moved down by `dy`."""
    found: XY | None = None
    for low, high, t0, v0, slope in _pieces(side):
        for low2, high2, u0, w0, slope2 in _pieces(level):
            x, y = _cross(v0 + dx - slope * t0, slope, w0 + dy - slope2 * u0, slope2)
            if found is None or (_within(y, low, high) and _within(x, low2, high2)):
                found = (x, y)
    assert found is not None
    return found


def _cross(a: Fraction, b: Fraction, c: Fraction, d: Fraction) -> XY:
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


def _swap(point: XY) -> XY:
    return (point[1], point[0])


def _shared(one: Polyline, other: Polyline, *, first: bool) -> XY:
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
