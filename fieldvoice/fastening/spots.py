"""Where each fastener goes, and in which order they are driven."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from math import ceil, floor

from fieldvoice.fastening.columns import Column, columns
from fieldvoice.fastening.panels import Panel, Point, turned
from fieldvoice.fastening.sections import Interval, nearest, off_hole, sides
from fieldvoice.records.fastening import Schedule, Spot, Stage
from fieldvoice.records.length import Length

FEW = 6
"""How many hold a board until its boxes are cut (few, by common practice; six is our own rule, no source)."""

AWAY = (Length(12), Length(6))
"""How far from every opening these are; the nearer only where no fastener is that far (well away, by common practice;
the figures are our own, no source)."""

SHORT = Length(2)
"""A stretch no longer than this takes one fastener (our own rule, no source)."""


def spots(panel: Panel, schedule: Schedule) -> tuple[Spot, ...]:
    """Every fastener in the order to drive them: a few well away from openings, then the rest from the middle outwards
    (so the trade and, from memory, GA-216).
    """
    if panel.across:
        return tuple(Spot(spot.y, spot.x, spot.along_edge, spot.stage) for spot in spots(turned(panel), schedule))
    least = schedule.edge_distance.value.inches
    found: dict[Point, bool] = {}
    for column in columns(panel, schedule):
        most = (schedule.edge if column.along_edge else schedule.field).value
        for y in _heights(column, most.rounded_down(panel.step).inches or most.inches, panel.step.inches):
            point = (column.at(y, panel.step.inches), y)
            if _clear(point, panel, least):
                found.setdefault(point, column.along_edge)
    return _ordered(panel, found)


def _heights(column: Column, most: Fraction, step: Fraction) -> Iterator[Fraction]:
    for interval in column.free:
        yield from _spread(interval, most, step)


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


def _clear(point: Point, panel: Panel, least: Fraction) -> bool:
    """Whether the fastener keeps its distance from every edge and opening, measured straight."""
    return all(nearest(point, a, b) >= least * least for a, b in sides(panel.outline)) and all(
        off_hole(point, hole) >= least * least for hole in panel.holes
    )


def _ordered(panel: Panel, found: dict[Point, bool]) -> tuple[Spot, ...]:
    first = _first(panel, list(found))
    middle = _middle(panel)
    rest = sorted((point for point in found if point not in first), key=lambda point: (_apart(point, middle), point))
    return tuple(
        Spot(Length(x), Length(y), found[x, y], stage)
        for stage, points in ((Stage.FIRST, first), (Stage.REST, rest))
        for x, y in points
    )


def _first(panel: Panel, points: list[Point]) -> list[Point]:
    """A few that hold the board: each the one farthest from those before it."""
    chosen: list[Point] = []
    far = _far_from_openings(panel, points)
    while far and len(chosen) < FEW:
        near = chosen or [_corner(panel)]
        best = (min if not chosen else max)(far, key=lambda point: (min(_apart(point, one) for one in near), point))
        chosen.append(best)
        far.remove(best)
    return chosen


def _far_from_openings(panel: Panel, points: list[Point]) -> list[Point]:
    for away in AWAY:
        squared = away.inches**2
        far = [point for point in points if all(off_hole(point, hole) >= squared for hole in panel.holes)]
        if far:
            return far
    return []


def _corner(panel: Panel) -> Point:
    return min(x for x, _ in panel.outline), min(y for _, y in panel.outline)


def _middle(panel: Panel) -> Point:
    xs, ys = zip(*panel.outline, strict=True)
    return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2


def _apart(one: Point, other: Point) -> Fraction:
    return (one[0] - other[0]) ** 2 + (one[1] - other[1]) ** 2
