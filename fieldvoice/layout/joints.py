"""Where boards of a layer meet, openings left out: exact, on the surface's own coordinates."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations

from fieldvoice.records.board import Lies
from fieldvoice.records.length import ZERO, Length
from fieldvoice.records.meaning import OPPOSITE, Edge
from fieldvoice.records.room import RoomSurface
from fieldvoice.records.room_plan import Joint, JointKind, PieceName


@dataclass(frozen=True, slots=True)
class BoardAt:
    """A board as a rectangle on its surface; `factory` holds its long edges that are to be factory edges."""

    name: PieceName
    layer: int
    x0: Length
    y0: Length
    x1: Length
    y1: Length
    lies: Lies
    factory: frozenset[Edge]


def sides(board: BoardAt) -> dict[Edge, Length]:
    """Where its four sides are."""
    return {Edge.LEFT: board.x0, Edge.RIGHT: board.x1, Edge.BOTTOM: board.y0, Edge.TOP: board.y1}


def joints(surface: RoomSurface, boards: Sequence[BoardAt]) -> tuple[Joint, ...]:
    """Every stretch of joint between two boards of a layer."""
    found = []
    for one, other in combinations(boards, 2):
        if one.layer == other.layer:
            found += _between(surface, one, other)
    return tuple(found)


def _between(surface: RoomSurface, one: BoardAt, other: BoardAt) -> list[Joint]:
    for first, second in ((one, other), (other, one)):
        if first.x1 == second.x0:
            return _plumb(surface, first, second)
        if first.y1 == second.y0:
            return _level(surface, first, second)
    return []


def _kind(first: BoardAt, second: BoardAt, edge: Edge) -> JointKind:
    """Tapered where a factory long edge meets another."""
    both = edge in first.factory and OPPOSITE[edge] in second.factory
    return JointKind.TAPERED if both else JointKind.BUTT


def _plumb(surface: RoomSurface, first: BoardAt, second: BoardAt) -> list[Joint]:
    x = first.x1
    low, high = max(first.y0, second.y0), min(first.y1, second.y1, surface.top_at(x))
    holes = [(hole.bottom, hole.top) for hole in surface.openings if hole.left <= x <= hole.right]
    kind = _kind(first, second, Edge.RIGHT)
    return [
        Joint(kind, first.layer, (first.name, second.name), (x, start), (x, end))
        for start, end in _less(low, high, holes)
    ]


def _level(surface: RoomSurface, first: BoardAt, second: BoardAt) -> list[Joint]:
    y = first.y1
    left, right = _under_top(surface, y, max(first.x0, second.x0), min(first.x1, second.x1))
    holes = [(hole.left, hole.right) for hole in surface.openings if hole.bottom <= y <= hole.top]
    kind = _kind(first, second, Edge.TOP)
    return [
        Joint(kind, first.layer, (first.name, second.name), (start, y), (end, y))
        for start, end in _less(left, right, holes)
    ]


def _under_top(surface: RoomSurface, y: Length, left: Length, right: Length) -> tuple[Length, Length]:
    """The part of a level line that lies under a sloping top."""
    low, high = surface.top_at(ZERO), surface.top_at(surface.width)
    if low == high or min(surface.top_at(left), surface.top_at(right)) >= y:
        return left, right
    meets = surface.width * ((y - low) / (high - low))
    return (max(left, meets), right) if high > low else (left, min(right, meets))


def _less(low: Length, high: Length, holes: Iterable[tuple[Length, Length]]) -> list[tuple[Length, Length]]:
    """What is left of a stretch once the holes are out of it."""
    left, at = [], low
    for start, end in sorted(holes):
        if start > at:
            left.append((at, min(start, high)))
        at = max(at, end)
    left.append((at, high))
    return [(start, end) for start, end in left if start < end]
