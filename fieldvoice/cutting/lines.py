"""The best cut under a row of bounds, exactly: no iteration, no float.

A bound `(t, v)` says that at `t` inches along the edge the board may reach `v` inches and no farther.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import combinations

Point = tuple[Fraction, Fraction]
Polyline = tuple[Point, ...]

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


def widest_gap(line: Polyline, bounds: Sequence[Point]) -> Fraction:
    """The largest distance that the line stays under a bound."""
    return max(v - value_at(line, t) for t, v in bounds)


def straight(bounds: Sequence[Point], start: Fraction, end: Fraction) -> Polyline:
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


def broken(bounds: Sequence[Point], start: Fraction, end: Fraction) -> Polyline | None:
    """Two straight pieces that meet on a bound between the ends, with the smallest largest gap; None without such."""
    tries = [_broken_at(point, bounds, start, end) for point in bounds if start < point[0] < end]
    return min(tries, key=lambda line: widest_gap(line, bounds), default=None)


def _broken_at(knee: Point, bounds: Sequence[Point], start: Fraction, end: Fraction) -> Polyline:
    return (_reach(knee, bounds, start), knee, _reach(knee, bounds, end))


def _reach(knee: Point, bounds: Sequence[Point], to: Fraction) -> Point:
    """The farthest point at `to` that a line from the knee may have under every bound on that side."""
    t0, v0 = knee
    side = [(t, v) for t, v in bounds if (t - t0) * (to - t0) > 0]
    return (to, min((v0 + (v - v0) * (to - t0) / (t - t0) for t, v in side), default=v0))


def scribed(bounds: Sequence[Point], start: Fraction, end: Fraction) -> Polyline:
    """A line through every bound, which is as close as readings can say."""
    through = tuple(sorted(bounds))
    inner = tuple(point for point in through if start < point[0] < end)
    return ((start, value_at(through, start)), *inner, (end, value_at(through, end)))
