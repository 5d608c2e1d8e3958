"""The hole of a board once more, from its records alone, for the proof: four neighbors as points in order, and where
each reading was taken. Written apart from the solver's.

A neighbor whose lean was said stands as was said; the one across by the readings. Where nothing was said, the edge
that hangs uncut has a straight neighbor: that is what hanging it there means.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from fieldvoice.cutting.bench import Spot, Workpiece, along
from fieldvoice.cutting.tables import COURSE_HIGH, neighbor
from fieldvoice.records.board import AT_THE_FLOOR, Board, Lies, Surface
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Edge, Neighbor, Place, PlacedReading, Reading, Slot

ZERO = Fraction(0)
SHARED = Fraction(12)
Wall = tuple[Spot, ...]
"""Points (along, across) in order along it."""


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What stands round the board. `below` is what a reading from below counts from, None where it isn't known."""

    walls: dict[Edge, Wall | None]
    widths: tuple[PlacedReading, ...]
    heights: tuple[PlacedReading, ...]
    below: Wall | None

    def at(self, edge: Edge, t: Fraction) -> Fraction | None:
        """Where a neighbor stands at `t`."""
        wall = self.walls[edge]
        return None if wall is None else along(list(wall), t)


def room_of(board: Board, piece: Workpiece) -> Surroundings:
    """The hole round a board that is hung as this piece is."""
    tall = [one for one in board.heights if _floor_to_ceiling(board, one)]
    heights = [one for one in board.heights if one not in tall]
    high = max((one.value.inches for one in heights), default=piece.high)
    left, right, _ = _sides(board, piece, (Edge.LEFT, Edge.RIGHT), list(board.widths), _level(ZERO, high))
    x0 = ZERO if left is None else max(v for _, v in left)
    x1 = x0 + piece.wide if right is None else min(v for _, v in right)
    top, bottom, ups = _sides(board, piece, (Edge.TOP, Edge.BOTTOM), heights, _level(x0, x1))
    upright = _Places(*_corners(top, bottom, x0, x1, piece.high))
    left, right, acrosses = _sides(board, piece, (Edge.LEFT, Edge.RIGHT), list(board.widths), upright)
    walls = {Edge.LEFT: left, Edge.RIGHT: right, Edge.TOP: top, Edge.BOTTOM: bottom}
    below = _below(board, walls, tall, heights, (x0, x1), piece.high)
    return Surroundings(walls, acrosses, ups, below)


def _floor_to_ceiling(board: Board, one: Reading) -> bool:
    """Whether a height at a board of a course was measured past it, from floor to ceiling."""
    course = board.surface is Surface.WALL and board.lies is Lies.LYING
    apart = neighbor(board, Edge.BOTTOM) is not Neighbor.FLOOR or neighbor(board, Edge.TOP) is not Neighbor.CEILING
    return course and apart and one.value > COURSE_HIGH


@dataclass(frozen=True, slots=True)
class _Places:
    """The ends of both neighbors along them: `a` and `b` of the first, `c` and `d` of the second."""

    a: Fraction
    b: Fraction
    c: Fraction
    d: Fraction

    def where(self, at: Place) -> Fraction:
        first, last = max(self.a, self.c), min(self.b, self.d)
        if isinstance(at, Length):
            return min(first + at.inches, last)
        return {
            Slot.TOP: first,
            Slot.LEFT: first,
            Slot.BOTTOM: last,
            Slot.RIGHT: last,
            Slot.MIDDLE: (first + last) / 2,
        }[at]


def _level(a: Fraction, b: Fraction) -> _Places:
    return _Places(a, b, a, b)


def _corners(
    top: Wall | None, bottom: Wall | None, x0: Fraction, x1: Fraction, high: Fraction
) -> tuple[Fraction, Fraction, Fraction, Fraction]:
    tops = [ZERO if top is None else along(list(top), x) for x in (x0, x1)]
    ends = [tops[i] + high if bottom is None else along(list(bottom), x) for i, x in enumerate((x0, x1))]
    return tops[0], ends[0], tops[1], ends[1]


def _sides(
    board: Board, piece: Workpiece, edges: tuple[Edge, Edge], readings: list[Reading], places: _Places
) -> tuple[Wall | None, Wall | None, tuple[PlacedReading, ...]]:
    near, far = edges
    taken = _taken(readings, places, upright=near is Edge.LEFT)
    leans = (_lean(board, near, places.a, places.b), _lean(board, far, places.c, places.d))
    flat = (((places.a, ZERO), (places.b, ZERO)), ((places.c, ZERO), (places.d, ZERO)))
    if not taken:
        size = piece.wide if near is Edge.LEFT else piece.high
        one = leans[0] or (None if _free(board, near) else flat[0])
        other = leans[1] or (None if _free(board, far) else flat[1])
        return one, None if other is None else tuple((t, size - v) for t, v in other), ()
    if leans[0] is not None:
        wall = leans[0]
        if len(taken) == 1 and leans[1] is not None:
            start = along(list(wall), taken[0].t) + taken[0].value + along(list(leans[1]), taken[0].t)
            return wall, tuple((t, start - v) for t, v in leans[1]), taken
        met = tuple((one.t, along(list(wall), one.t) + one.value) for one in taken)
        return wall, met if len(met) > 1 else _flat(flat[1], met[0][1]), taken
    if leans[1] is not None:
        beyond = tuple((t, -v) for t, v in leans[1])
        met = tuple((one.t, along(list(beyond), one.t) - one.value) for one in taken)
        return _from_zero(met if len(met) > 1 else _flat(flat[0], met[0][1]), beyond, taken)
    if _straight(piece, near, far) is near:
        met = tuple((one.t, one.value) for one in taken)
        return flat[0], met if len(met) > 1 else _flat(flat[1], met[0][1]), taken
    met = tuple((one.t, -one.value) for one in taken)
    return _from_zero(met if len(met) > 1 else _flat(flat[0], met[0][1]), flat[1], taken)


def _flat(like: Wall, v: Fraction) -> Wall:
    return tuple((t, v) for t, _ in like)


def _from_zero(near: Wall, far: Wall, taken: tuple[PlacedReading, ...]) -> tuple[Wall, Wall, tuple[PlacedReading, ...]]:
    by = min(v for _, v in near)
    return tuple((t, v - by) for t, v in near), tuple((t, v - by) for t, v in far), taken


def _straight(piece: Workpiece, near: Edge, far: Edge) -> Edge:
    """The edge that is kept; of two that are both kept, or both cut, the one that the board hangs by."""
    kept = [edge for edge in (near, far) if edge not in piece.cut]
    if len(kept) == 1:
        return kept[0]
    hung = [one.edge for one in (piece.hung.stand_offs if piece.hung is not None else ())]
    return far if far in hung and near not in hung else near


def _lean(board: Board, edge: Edge, a: Fraction, b: Fraction) -> Wall | None:
    """How far a neighbor stands into the hole, by what was said last of it."""
    said = [plumb.value.inches for plumb in board.plumbs if plumb.edge is edge]
    if not said or b <= a:
        return None
    narrows_first = edge in {Edge.LEFT, Edge.RIGHT}
    deep_first = (said[-1] > 0) == narrows_first
    return ((a, abs(said[-1]) if deep_first else ZERO), (b, ZERO if deep_first else abs(said[-1])))


def _taken(readings: list[Reading], places: _Places, *, upright: bool) -> tuple[PlacedReading, ...]:
    last = {one.place: one for one in readings}
    if upright and min(places.b, places.d) - max(places.a, places.c) < SHARED and last:
        least = min(last.values(), key=lambda one: one.value)
        return (PlacedReading(least.place, min(places.b, places.d), least.value.inches),)
    found: dict[Fraction, PlacedReading] = {}
    for one in last.values():
        t = places.where(one.place)
        found[t] = PlacedReading(one.place, t, one.value.inches)
    return tuple(found[t] for t in sorted(found))


def _free(board: Board, edge: Edge) -> bool:
    """Whether the board may end at an edge as it likes."""
    stands = neighbor(board, edge)
    next_course = edge in {Edge.TOP, Edge.BOTTOM} and stands is Neighbor.BOARD and board.lies is Lies.LYING
    return stands is Neighbor.OPEN or (next_course and board.surface is Surface.WALL)


def _below(
    board: Board,
    walls: dict[Edge, Wall | None],
    tall: list[Reading],
    heights: list[Reading],
    xs: tuple[Fraction, Fraction],
    high: Fraction,
) -> Wall | None:
    top, bottom = walls[Edge.TOP], walls[Edge.BOTTOM]
    over = neighbor(board, Edge.BOTTOM) is not Neighbor.FLOOR or (board.above_floor or Length(0)) >= AT_THE_FLOOR
    hangs = board.surface is Surface.WALL and over
    if not hangs and bottom is not None and (heights or neighbor(board, Edge.BOTTOM) is not Neighbor.OPEN):
        return bottom
    if tall and top is not None:
        places = _level(*xs)
        found = {places.where(one.place): one.value.inches for one in tall}
        wall = tuple((x, along(list(top), x) + found[x]) for x in sorted(found))
        return wall if len(wall) > 1 else _flat(_ends(xs), wall[0][1])
    if board.above_floor is not None:
        edge = bottom if bottom is not None and heights else _flat(_ends(xs), high)
        return tuple((x, y + board.above_floor.inches) for x, y in edge)
    known = board.floor_to_ceiling
    if known is not None and top is not None and neighbor(board, Edge.TOP) is Neighbor.CEILING:
        return tuple((x, y + known.inches) for x, y in top)
    return None


def _ends(xs: tuple[Fraction, Fraction]) -> Wall:
    return ((xs[0], ZERO), (xs[1], ZERO))
