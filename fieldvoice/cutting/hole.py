"""The hole that the readings make: what stands at each edge, as lines in one frame, and where each reading was taken.

`x` runs to the right and `y` down. A side neighbor is a line of x by y, ceiling and floor are lines of y by x. What
the tape touched is where it was: the width at the bottom at the floor, the height at the left at the left wall. A width
at the top was taken as high as both sides reach.

Of two neighbors the readings only tell how far they are apart. A lean that was said places the one, and the readings
the other; without any the edge that is kept is taken as straight (`straight_edge`).
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from fieldvoice.cutting.geometry import Polyline, negated, value_at
from fieldvoice.cutting.tables import COURSE_HIGH, CUT_RANK, base_covers, neighbor, stand_off
from fieldvoice.errors import NotPlanned
from fieldvoice.records.board import AT_THE_FLOOR, Board, Lies, Surface
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Dimension, Edge, Neighbor, PlacedReading, Reading, Slot
from fieldvoice.records.plan import No, NoPlan

ZERO = Fraction(0)


@dataclass(frozen=True, slots=True)
class Axis:
    """A direction: readings run from `near` to `far`, and are taken at places between `start` and `end`."""

    dimension: Dimension
    near: Edge
    far: Edge
    start: Edge
    end: Edge

    @property
    def edges(self) -> tuple[Edge, Edge]:
        """Both edges."""
        return (self.near, self.far)


ACROSS = Axis(Dimension.WIDTH, Edge.LEFT, Edge.RIGHT, Edge.TOP, Edge.BOTTOM)
DOWN = Axis(Dimension.HEIGHT, Edge.TOP, Edge.BOTTOM, Edge.LEFT, Edge.RIGHT)


def axis_of(edge: Edge) -> Axis:
    """The direction that an edge bounds."""
    return ACROSS if edge in ACROSS.edges else DOWN


def readings_of(board: Board, axis: Axis) -> tuple[Reading, ...]:
    """The readings that bound the board in this direction, the last one said of each place. A height beyond any course
    at a lying board that doesn't stand on the floor was measured from floor to ceiling and bounds nothing.
    """
    taken = board.widths if axis is ACROSS else board.heights
    if axis is DOWN and in_course(board):
        taken = tuple(one for one in taken if one.value <= COURSE_HIGH)
    return tuple({one.place: one for one in taken}.values())


def wall_heights(board: Board) -> tuple[Reading, ...]:
    """The heights that were measured from floor to ceiling at a board of a course."""
    if not in_course(board):
        return ()
    return tuple({one.place: one for one in board.heights if one.value > COURSE_HIGH}.values())


def in_course(board: Board) -> bool:
    """Whether the board is one row of several on a wall."""
    if board.surface is not Surface.WALL or board.lies is not Lies.LYING:
        return False
    return Neighbor.FLOOR is not neighbor(board, Edge.BOTTOM) or Neighbor.CEILING is not neighbor(board, Edge.TOP)


def off_the_floor(board: Board) -> bool:
    """Whether the board hangs on a wall and its lower edge isn't at the floor, from which "up" counts all the same."""
    if board.surface is not Surface.WALL:
        return False
    raised = board.above_floor is not None and board.above_floor >= AT_THE_FLOOR
    return raised or neighbor(board, Edge.BOTTOM) is not Neighbor.FLOOR


def sides_are_short(board: Board) -> bool:
    """Whether the sides are so short, as those of one course are, that two widths show all that matters of a bow."""
    high = max((one.value for one in readings_of(board, DOWN)), default=None)
    return in_course(board) or (high is not None and high <= COURSE_HIGH)


def lean_of(board: Board, edge: Edge) -> Fraction | None:
    """How far the neighbor at an edge is out, as was said last; None where nothing was said.

    Positive readings narrow a width toward the top (the start) and a height toward the right (the end).
    """
    return next((plumb.value.inches for plumb in reversed(board.plumbs) if plumb.edge is edge), None)


def told(board: Board, axis: Axis) -> Edge | None:
    """The edge of this direction that the hanger said to cut."""
    return next((edge for edge in (board.taper, board.end) if edge in axis.edges), None)


def is_open(board: Board, edge: Edge) -> bool:
    """Whether nothing stands at an edge."""
    return neighbor(board, edge) is Neighbor.OPEN


def rank(board: Board, edge: Edge) -> int:
    """How much rather this edge is cut than another."""
    return CUT_RANK[neighbor(board, edge)]


def is_hard(board: Board, edge: Edge) -> bool:
    """Whether what stands at the edge was built by others, and so may be out of plumb."""
    return rank(board, edge) >= CUT_RANK[Neighbor.WALL]


def off(board: Board, edge: Edge) -> Fraction:
    """The stand-off at an edge in inches."""
    return stand_off(board, edge).inches


def spread(board: Board, axis: Axis) -> Fraction:
    """How much the readings of a direction differ."""
    values = [one.value.inches for one in readings_of(board, axis)]
    return max(values) - min(values) if values else ZERO


ZERO = Fraction(0)
LOW = Fraction(12)
"""Where both sides share less height than this the widths can't show a taper."""


@dataclass(frozen=True, slots=True)
class MeasuredHole:
    """The neighbors' lines (None where nothing stands and nothing was measured), the readings in place, and the line
    that "from the floor" counts from, where it is known.
    """

    lines: dict[Edge, Polyline | None]
    widths: tuple[PlacedReading, ...]
    heights: tuple[PlacedReading, ...]
    floor: Polyline | None
    square: frozenset[Edge]

    def spots(self, axis: Axis) -> tuple[PlacedReading, ...]:
        """The readings of a direction."""
        return self.widths if axis is ACROSS else self.heights


def straight_edge(board: Board, axis: Axis) -> Edge | None:
    """The edge whose neighbor is taken as straight where no lean was said; None where the hanger has to say.

    The edge across from the one that is to be cut; a joint rather than a wall; at the floor, what the base covers is
    left to it, and beyond that the ceiling is what slopes. Between two walls that differ by no more than the
    clearances take up the board is cut square, so that either will do.
    """
    asked = told(board, axis)
    near, far = axis.edges
    if asked is not None:
        return far if asked is near else near
    if axis is DOWN and neighbor(board, far) is Neighbor.FLOOR:
        return near if spread(board, axis) <= floor_budget(board) or not is_hard(board, near) else far
    if rank(board, near) != rank(board, far):
        return near if rank(board, near) < rank(board, far) else far
    if not is_hard(board, far) or spread(board, axis) <= off(board, near) + off(board, far):
        return near
    return None


def floor_budget(board: Board) -> Fraction:
    """How much more than its clearance may stay open at the floor."""
    return max(ZERO, base_covers(board).inches - off(board, Edge.BOTTOM))


def leans(board: Board, axis: Axis) -> bool:
    """Whether a lean was said of an edge of this direction."""
    return any(lean_of(board, edge) is not None for edge in axis.edges)


def unbounded(board: Board, edge: Edge) -> bool:
    """Whether nothing stops the board at an edge while no reading runs there: it is open, or the next course's."""
    course = edge in DOWN.edges and in_course(board) and neighbor(board, edge) is Neighbor.BOARD
    return is_open(board, edge) or course


def hole_of(board: Board, reach: tuple[Fraction, Fraction]) -> MeasuredHole:
    """The hole. `reach` is how far the sheet goes across and down, for a direction that nothing bounds."""
    rough = max((one.value.inches for one in readings_of(board, DOWN)), default=reach[1])
    left, right, _ = _pair(board, ACROSS, _Range.all_along(ZERO, rough), reach[0])
    x0 = ZERO if left is None else max(v for _, v in left)
    x1 = x0 + reach[0] if right is None else min(v for _, v in right)
    top, bottom, heights = _pair(board, DOWN, _Range.all_along(x0, x1), reach[1])
    left, right, widths = _pair(board, ACROSS, _heights(top, bottom, x0, x1, reach[1]), reach[0])
    lines = {Edge.LEFT: left, Edge.RIGHT: right, Edge.TOP: top, Edge.BOTTOM: bottom}
    floor = _floor(board, top, bottom, (x0, x1), reach[1])
    return MeasuredHole(lines, widths, heights, floor, _square(board))


@dataclass(frozen=True, slots=True)
class _Range:
    """Where along the edges readings lie: between `t0` and `t1`; a lean runs over `near` or `far`."""

    t0: Fraction
    t1: Fraction
    near: tuple[Fraction, Fraction]
    far: tuple[Fraction, Fraction]

    @classmethod
    def all_along(cls, t0: Fraction, t1: Fraction) -> _Range:
        return cls(t0, t1, (t0, t1), (t0, t1))


def _heights(top: Polyline | None, bottom: Polyline | None, x0: Fraction, x1: Fraction, reach: Fraction) -> _Range:
    tl, tr = (ZERO if top is None else value_at(top, x) for x in (x0, x1))
    bl, br = ((tl, tr)[i] + reach if bottom is None else value_at(bottom, x) for i, x in enumerate((x0, x1)))
    return _Range(max(tl, tr), min(bl, br), (tl, bl), (tr, br))


def _pair(
    board: Board, axis: Axis, places: _Range, reach: Fraction
) -> tuple[Polyline | None, Polyline | None, tuple[PlacedReading, ...]]:
    """Both neighbors of a direction and its readings in place, with the near one's least at 0."""
    spots = _spots(board, axis, places)
    near = _lean(board, axis, axis.near, places.near)
    far = _lean(board, axis, axis.far, places.far)
    if not spots:
        ends = (places.near, places.far)
        lines = (near, far)
        found = [
            None if unbounded(board, edge) and lines[i] is None else lines[i] or _flat(ends[i], ZERO)
            for i, edge in enumerate(axis.edges)
        ]
        one, other = found
        return one, None if other is None else tuple((t, reach - v) for t, v in other), ()
    if near is not None:
        far_line = _across(spots, near, far, places.far)
        return near, far_line, spots
    if far is not None:
        flipped = _across(spots, far, None, places.near)
        return _settled(negated(flipped), negated(far), spots)
    if straight_edge(board, axis) is not axis.far:
        return _flat(places.near, ZERO), _through(tuple((one.t, one.value) for one in spots), places.far), spots
    near = _through(tuple((one.t, -one.value) for one in spots), places.near)
    return _settled(near, _flat(places.far, ZERO), spots)


def _settled(
    near: Polyline, far: Polyline, spots: tuple[PlacedReading, ...]
) -> tuple[Polyline, Polyline, tuple[PlacedReading, ...]]:
    least = min(v for _, v in near)
    return tuple((t, v - least) for t, v in near), tuple((t, v - least) for t, v in far), spots


def _across(
    spots: tuple[PlacedReading, ...], lean: Polyline, other: Polyline | None, ends: tuple[Fraction, Fraction]
) -> Polyline:
    """The neighbor across from one whose lean is known: by the readings, or, of one reading, by its own lean."""
    reached = tuple((one.t, value_at(lean, one.t) + one.value) for one in spots)
    if len(reached) > 1 or other is None:
        return _through(reached, ends)
    t, v = reached[0]
    return tuple((at, v + value_at(other, t) - w) for at, w in other)


def _through(points: Polyline, ends: tuple[Fraction, Fraction]) -> Polyline:
    """A line through the readings; of one reading a straight one."""
    return points if len(points) > 1 else _flat(ends, points[0][1])


def _flat(ends: tuple[Fraction, Fraction], v: Fraction) -> Polyline:
    return ((ends[0], v), (ends[1], v)) if ends[1] > ends[0] else ((ends[0], v), (ends[0] + 1, v))


def _lean(board: Board, axis: Axis, edge: Edge, ends: tuple[Fraction, Fraction]) -> Polyline | None:
    """How far the neighbor at `edge` stands into the hole, 0 at one of its ends; None where nothing was said."""
    lean = lean_of(board, edge)
    if lean is None or ends[1] <= ends[0]:
        return None
    at_start = (lean > 0) == (axis is ACROSS)
    first, last = (abs(lean), ZERO) if at_start else (ZERO, abs(lean))
    return ((ends[0], first), (ends[1], last))


def _spots(board: Board, axis: Axis, places: _Range) -> tuple[PlacedReading, ...]:
    taken = readings_of(board, axis)
    if axis is ACROSS and places.t1 - places.t0 < LOW and taken:
        least = min(taken, key=lambda one: one.value)
        return (PlacedReading(least.place, places.t1, least.value.inches),)
    found = {_t(board, axis, one, places): one for one in taken}  # of two at one place the last one said
    return tuple(
        PlacedReading(one.place, t, one.value.inches) for t, one in sorted(found.items(), key=lambda item: item[0])
    )


def _t(board: Board, axis: Axis, one: Reading, places: _Range) -> Fraction:
    at = one.place
    if isinstance(at, Length):
        t = places.t0 + at.inches
        if t > places.t1 + 1:
            values = (at, Length(places.t1 - places.t0))
            raise NotPlanned(NoPlan(No.PLACE_BEYOND, dimension=axis.dimension, values=values, unit=board.unit))
        return min(t, places.t1)
    if at.value == axis.start.value:
        return places.t0
    if at.value == axis.end.value:
        return places.t1
    if at is Slot.MIDDLE:
        return (places.t0 + places.t1) / 2
    raise NotPlanned(NoPlan(No.NO_SUCH_PLACE, dimension=axis.dimension, at=at, unit=board.unit))


def _floor(
    board: Board, top: Polyline | None, bottom: Polyline | None, xs: tuple[Fraction, Fraction], reach: Fraction
) -> Polyline | None:
    """The line that a reading from below counts from: the floor by the nearest heights that were measured, else by
    what was said of the course, else by floor to ceiling. None where it isn't known.
    """
    hangs = off_the_floor(board)
    if not hangs and bottom is not None and not is_open(board, Edge.BOTTOM):
        return bottom
    if not hangs and bottom is not None and readings_of(board, DOWN):
        return bottom
    whole = wall_heights(board)
    if whole and top is not None:
        spots = sorted((_t(board, DOWN, one, _Range.all_along(*xs)), one.value.inches) for one in whole)
        return _through(tuple((x, value_at(top, x) + high) for x, high in dict(spots).items()), xs)
    if board.above_floor is not None:
        edge = bottom if bottom is not None and readings_of(board, DOWN) else _flat(xs, reach)
        return tuple((x, y + board.above_floor.inches) for x, y in edge)
    if board.floor_to_ceiling is not None and neighbor(board, Edge.TOP) is Neighbor.CEILING and top is not None:
        return tuple((x, y + board.floor_to_ceiling.inches) for x, y in top)
    return None


def _square(board: Board) -> frozenset[Edge]:
    """The edges that are cut square to the shortest although their readings differ: the far one of two walls that
    differ by no more than the clearances.
    """
    found = set()
    for axis in (ACROSS, DOWN):
        near, far = axis.edges
        both = is_hard(board, near) and rank(board, near) == rank(board, far)
        room = off(board, near) + off(board, far)
        if both and told(board, axis) is None and not leans(board, axis) and spread(board, axis) <= room:
            found.add(far)
    return frozenset(found)
