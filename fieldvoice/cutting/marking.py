"""Marks of one cut: from the line that is wanted to figures on a tape, rounded toward the side that still fits."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from fieldvoice.cutting.axis import Axis, axis_of
from fieldvoice.cutting.lines import Polyline, value_at
from fieldvoice.cutting.outline import meet
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import OPPOSITE, Edge, Place, Slot
from fieldvoice.records.plan import Mark

ZERO = Fraction(0)
TRIES = 8
HAIR = Fraction(1, 256)
"""What a clearance takes up before a mark is put one graduation shorter: far below any graduation."""


@dataclass(frozen=True, slots=True)
class Marked:
    """The marks, and the line that they make."""

    marks: tuple[Mark, ...]
    line: Polyline


@dataclass(frozen=True, slots=True)
class _MarkPlace:
    """A place for a mark: `along` from the edge `start`, called `at`; the line is wanted there at `t`."""

    at: Place
    start: Edge
    along: Length
    t: Fraction


def marked(
    edges: Mapping[Edge, Polyline],
    done: set[Edge] | frozenset[Edge],
    wanted: Polyline,
    edge: Edge,
    step: Length,
    places: Mapping[Fraction, Place],
    spare: Fraction,
) -> Marked:
    """The marks of a cut on the sheet as it is now. `done` are the edges that stay as they are: at those the marks go
    to the very end, else so far from one of them that they come where the board's corner will be. `spare` is the
    clearance, which takes up a hair.
    """
    axis = axis_of(edge)
    spots = _spots(edges, done, wanted, axis, step, places)
    exact = [_across(edges, edge, wanted, spot) for spot in spots]
    hair = HAIR if spare > 0 else ZERO
    marks = [Length(value + hair).rounded_down(step) for value in exact]
    line = _line(edges, edge, spots, marks)
    for _ in range(TRIES):
        wrong = next((t for t, v in wanted if _beyond(line, edge, t, v, hair)), None)
        if wrong is None:
            break
        nearest = min(range(len(spots)), key=lambda i: abs(spots[i].t - wrong))
        marks[nearest] = marks[nearest] - step
        line = _line(edges, edge, spots, marks)
    found = zip(spots, marks, exact, strict=True)
    return Marked(tuple(Mark(one.at, mark, Length(value), one.along, one.start) for one, mark, value in found), line)


def _beyond(line: Polyline, edge: Edge, t: Fraction, v: Fraction, hair: Fraction) -> bool:
    there = value_at(line, t)
    return there > v + hair if edge in {Edge.RIGHT, Edge.BOTTOM} else there < v - hair


def _spots(
    edges: Mapping[Edge, Polyline],
    done: set[Edge] | frozenset[Edge],
    wanted: Polyline,
    axis: Axis,
    step: Length,
    places: Mapping[Fraction, Place],
) -> list[_MarkPlace]:
    first = _end(edges, done, wanted, axis, axis.start, step)
    last = _end(edges, done, wanted, axis, axis.end, step)
    inner = [t for t, _ in wanted[1:-1] if first.t < t < last.t]
    kept = axis.start if axis.start in done else axis.end
    return [first, *(_inside(edges, wanted, kept, t, step, places) for t in inner), last]


def _end(
    edges: Mapping[Edge, Polyline],
    done: set[Edge] | frozenset[Edge],
    wanted: Polyline,
    axis: Axis,
    end: Edge,
    step: Length,
) -> _MarkPlace:
    at = Slot(end.value)
    corner = _t(edges, wanted, axis, end)
    if end in done or len({v for _, v in wanted}) == 1:  # a line along the sheet is marked at its very ends
        return _MarkPlace(at, end, Length(0), corner)
    other = OPPOSITE[end]
    start = other if other in done else end
    target = wanted[0][0] if end is axis.start else wanted[-1][0]
    hook = _t(edges, wanted, axis, start)
    along = Length(abs(target - hook)).rounded(step)
    t = hook + along.inches if start is axis.start else hook - along.inches
    if _outside(t, corner, axis, end):
        return _MarkPlace(at, end, Length(0), corner)
    return _MarkPlace(at, start, along, t)


def _outside(t: Fraction, corner: Fraction, axis: Axis, end: Edge) -> bool:
    return t < corner if end is axis.start else t > corner


def _inside(
    edges: Mapping[Edge, Polyline],
    wanted: Polyline,
    start: Edge,
    t: Fraction,
    step: Length,
    places: Mapping[Fraction, Place],
) -> _MarkPlace:
    hook = value_at(edges[start], value_at(wanted, t))
    along = Length(abs(t - hook)).rounded(step)
    there = hook + along.inches if t >= hook else hook - along.inches
    return _MarkPlace(places.get(t, along), start, along, there)


def _t(edges: Mapping[Edge, Polyline], wanted: Polyline, axis: Axis, end: Edge) -> Fraction:
    """Where the wanted line meets an end edge."""
    if axis.near is Edge.LEFT:
        return meet(wanted, edges[end])[1]
    return meet(edges[end], wanted)[0]


def _across(edges: Mapping[Edge, Polyline], edge: Edge, wanted: Polyline, spot: _MarkPlace) -> Fraction:
    """How far the wanted line is from the edge across at a place."""
    return abs(value_at(wanted, spot.t) - value_at(edges[OPPOSITE[edge]], spot.t))


def _line(edges: Mapping[Edge, Polyline], edge: Edge, spots: list[_MarkPlace], marks: list[Length]) -> Polyline:
    """The line through the marks, each where its two distances say."""
    points = [_point(edges, edge, spot, mark) for spot, mark in zip(spots, marks, strict=True)]
    if edge in {Edge.LEFT, Edge.RIGHT}:
        return tuple((y, x) for x, y in points)
    return tuple(points)


def _point(edges: Mapping[Edge, Polyline], edge: Edge, spot: _MarkPlace, mark: Length) -> tuple[Fraction, Fraction]:
    origin = edges[OPPOSITE[edge]]
    away = mark.inches if edge in {Edge.RIGHT, Edge.BOTTOM} else -mark.inches
    along = spot.along.inches if spot.start in {Edge.LEFT, Edge.TOP} else -spot.along.inches
    if edge in {Edge.LEFT, Edge.RIGHT}:
        return meet(origin, edges[spot.start], away, along)
    return meet(edges[spot.start], origin, along, away)
