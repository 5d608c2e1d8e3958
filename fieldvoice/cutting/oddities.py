"""Readings that geometry finds hard to believe, and what the diagonals say: whether the opening is square, and whether
the readings close. Nothing is refused here: the dialogue asks.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import combinations

from fieldvoice.cutting.edges import LEVEL
from fieldvoice.cutting.geometry import value_at
from fieldvoice.cutting.hole import (
    ACROSS,
    DOWN,
    Axis,
    in_course,
    is_hard,
    lean_of,
    off,
    off_the_floor,
    readings_of,
    wall_heights,
)
from fieldvoice.cutting.sheets import across_and_down
from fieldvoice.cutting.tables import BRIDGED, SLIVER, TAPE, neighbor, sheets, size_of, stand_off, step_of, usual_base
from fieldvoice.records.board import Board
from fieldvoice.records.facts import Odd, Oddity
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import (
    Box,
    Coordinate,
    Dimension,
    Edge,
    Neighbor,
    Opening,
    PlacedReading,
    Plumb,
    Point,
    Reading,
    Slot,
)

CLOSES = Fraction(1, 4)
"""Tapes, hooks and corners together may leave this much open in a closure (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Corners:
    """An opening measured both ways and both diagonals, in inches."""

    top: Fraction
    bottom: Fraction
    left: Fraction
    right: Fraction
    rising: Fraction
    falling: Fraction

    def drop(self) -> Fraction:
        """How far the ceiling comes down from left to right against a square corner: with the sides `w` and `h` and a
        drop `s` the diagonals' squares are `w² + (h ± s)²`, and so differ by `4 h s`.
        """
        return (self.falling**2 - self.rising**2) / (2 * (self.left + self.right))

    def closure(self) -> Fraction:
        """By how much one diagonal is longer than the rest allows, about: where top and bottom run alike, the squares
        of the diagonals together are `left² + right² + 2 · top · bottom`.
        """
        excess = self.rising**2 + self.falling**2 - self.left**2 - self.right**2 - 2 * self.top * self.bottom
        return excess / (2 * max(self.rising, self.falling))


def corners(board: Board) -> Corners | None:
    """The opening, where top and bottom width, a height and both diagonals are known."""
    rising, falling = (
        next((one.value.inches for one in reversed(board.diagonals) if one.rising is way), None)
        for way in (True, False)
    )
    sides = _sides(board)
    return None if rising is None or falling is None or sides is None else Corners(*sides, rising, falling)


def drop_alone(board: Board) -> Fraction | None:
    """What one diagonal alone says: how far the ceiling comes down from left to right against a square corner, as
    `Corners.drop` has it where the other diagonal closes. None where there is no diagonal or both, where a ceiling or a
    floor was said to run off, and where it is as near that of a square corner as a tape tells, or as joint treatment
    bridges.
    """
    sides, ways = _sides(board), {one.rising for one in board.diagonals}
    if sides is None or len(ways) != 1 or _runs_off(board):
        return None
    top, bottom, left, right = sides
    alone = board.diagonals[-1]
    diagonal = alone.value.inches
    excess = 2 * diagonal**2 - left**2 - right**2 - 2 * top * bottom
    drop = (-excess if alone.rising else excess) / (2 * (left + right))
    return None if abs(excess) / (4 * diagonal) <= CLOSES or abs(drop) <= BRIDGED.inches else drop


def _runs_off(board: Board) -> bool:
    """Whether a ceiling or a floor was said to."""
    return any(plumb.edge in {Edge.TOP, Edge.BOTTOM} for plumb in board.plumbs)


def _sides(board: Board) -> tuple[Fraction, Fraction, Fraction, Fraction] | None:
    """Top, bottom, left and right; one height stands for both."""
    top, bottom = _at(board.widths, Slot.TOP), _at(board.widths, Slot.BOTTOM)
    some = board.heights[-1].value.inches if board.heights else None
    left, right = _at(board.heights, Slot.LEFT) or some, _at(board.heights, Slot.RIGHT) or some
    return None if top is None or bottom is None or left is None or right is None else (top, bottom, left, right)


def _at(readings: tuple[Reading, ...], slot: Slot) -> Fraction | None:
    return next((one.value.inches for one in reversed(readings) if one.at is slot), None)


def squared(board: Board) -> Board:
    """The board with what the diagonals say of ceiling and floor written as plumb readings: both run off by the drop.
    A drop that joint treatment bridges is left to it, and plumb readings that were given are taken instead.
    """
    known = corners(board)
    if known is None:
        drop = drop_alone(board)
    else:
        drop = None if _runs_off(board) or abs(known.closure()) > 2 * CLOSES else known.drop()
    if drop is None or abs(drop) <= BRIDGED.inches:
        return board
    return replace(board, plumbs=(*board.plumbs, Plumb(Edge.TOP, Length(drop)), Plumb(Edge.BOTTOM, Length(-drop))))


LEAN = Fraction(3, 8) / 32
"""A wall may lean 3/8 in per 32 in of height: NAHB guidelines, as quoted by inspectors and a trade body."""

BOW = Fraction(1, 2)
"""A wall may bow 1/2 in: the same guidelines, as quoted (per 32 in from memory)."""

OUT = Length(3)
"""No neighbor leans or slopes farther over one board without a word (our own rule: some three times what `LEAN` allows
over 96 in)."""

STAND_OFF = Length(2)
"""No neighbor asks the board to stay off farther than this (our own rule: the widest of the table is 1/2 in)."""
JOINT = Length("1/8")
"""No joint between boards is left open wider than this (our own rule: they are in contact there): a gap that is called
so at one is that of the floor, which is 1/4 in at least, of the ceiling, or of the wall's end."""

ROUND = Length(12)
"""Nothing round goes through a board that is wider than this without a word (our own rule: large round ducts and lights
are 8 to 12 in across, pipes some 4; from memory)."""

BOXES_ALIKE = (Fraction(1, 4), Fraction(1, 2), Fraction(12))
"""Boxes at one height agree within the first; one that is off by more than the second and less than the third is
more likely misheard than meant (common practice, no source)."""


def oddities(board: Board) -> tuple[Oddity, ...]:
    """Everything worth a question before anything is cut."""
    return (
        *_beyond_sheets(board, ACROSS),
        *_beyond_sheets(board, DOWN),
        *_far_from_fellows(board, ACROSS),
        *_not_closing(board),
        *_large(board),
        *_off_board(board),
        *_overlapping(board),
        *_unlike_heights(board),
        *_far_off(board),
        *_out_of_plumb(board),
        *_joint_leans(board),
        *_floor_to_ceiling(board),
    )


def _floor_to_ceiling(board: Board) -> Iterator[Oddity]:
    """Floor to ceiling against the heights that were measured: the nearest of them counts, and one is wrong."""
    said = board.floor_to_ceiling
    taken = wall_heights(board) or (() if in_course(board) or off_the_floor(board) else board.heights)
    if said is None or not taken:
        return
    nearest = min(taken, key=lambda one: abs(one.value - said))
    within = min(one.value for one in taken) - TAPE <= said <= max(one.value for one in taken) + TAPE
    if not within:
        values = (said, nearest.value)
        yield Oddity(Odd.FLOOR_TO_CEILING, Dimension.HEIGHT, nearest.place, values=values)


def _far_off(board: Board) -> Iterator[Oddity]:
    for edge, setting in board.edges.items():
        joint = setting.neighbor is Neighbor.BOARD
        floor = neighbor(board, edge) is Neighbor.FLOOR
        most = JOINT if joint else usual_base(board) if floor else STAND_OFF
        if setting.clearance is not None and setting.clearance > most:
            yield Oddity(Odd.OPEN_JOINT if joint else Odd.STAND_OFF, edge=edge, values=(setting.clearance,))


def _out_of_plumb(board: Board) -> Iterator[Oddity]:
    for plumb in board.plumbs:
        if abs(plumb.value) > OUT:
            yield Oddity(Odd.OUT_OF_PLUMB, edge=plumb.edge, values=(abs(plumb.value),))


def _joint_leans(board: Board) -> Iterator[Oddity]:
    """A lean that the readings don't show, so that what is across would have to lean with it by more than is left to
    the clearance. A board that hangs has a straight edge, and of a wall, a ceiling or a floor nobody said so: one of
    the calls is wrong, or that was left unsaid.
    """
    for axis in (ACROSS, DOWN):
        read = {one.place: one.value.inches for one in readings_of(board, axis)}
        ends = [read.get(Slot(end.value)) for end in (axis.start, axis.end)]
        if axis is DOWN:
            ends.reverse()
        narrow, wide = ends
        for edge, across in (axis.edges, axis.edges[::-1]):
            lean = lean_of(board, edge)
            if narrow is None or wide is None or lean is None or lean_of(board, across) is not None:
                continue
            over = abs(wide - narrow - lean)
            if over <= max(off(board, across), LEVEL.inches):
                continue
            if neighbor(board, across) is Neighbor.BOARD:
                yield Oddity(Odd.JOINT_LEANS, edge=edge, other=across.value, values=(Length(over),))
            elif is_hard(board, across):
                yield Oddity(Odd.OTHER_LEANS, edge=edge, other=across.value, values=(Length(over),))


def _beyond_sheets(board: Board, axis: Axis) -> Iterator[Oddity]:
    index = 0 if axis is ACROSS else 1
    known = (*sheets(board.unit), *((board.sheet,) if board.sheet is not None else ()))
    most = max(across_and_down(sheet, board.lies)[index] for sheet in known)
    longest = max(sheet.length.inches for sheet in known)
    for reading in readings_of(board, axis):
        if reading.value.inches - _off(board, axis) > most:
            odd = Odd.TURNED if reading.value.inches <= longest else Odd.BEYOND_SHEETS
            yield Oddity(odd, axis.dimension, reading.place, values=(reading.value,), lies=board.lies)


def _off(board: Board, axis: Axis) -> Fraction:
    return (stand_off(board, axis.near) + stand_off(board, axis.far)).inches


def _far_from_fellows(board: Board, axis: Axis) -> Iterator[Oddity]:
    """A reading that no wall within the tolerances explains beside the others."""
    readings = _measured(board, axis)
    if len(readings) < 2 or _all_agree(readings):
        return
    if len(readings) == 3 and (swap := _swapped(readings)) is not None:
        one, other = swap
        values = (Length(one.value), Length(other.value))
        yield Oddity(Odd.SWAPPED, axis.dimension, other.at, values=values[::-1], other_at=one.at)
        return
    for odd in _suspects(readings, readings_of(board, axis)):
        fellows = (Length(one.value) for one in readings if one is not odd)
        yield Oddity(Odd.FAR_FROM_FELLOWS, axis.dimension, odd.at, values=(Length(odd.value), *fellows))


def largest_bound(board: Board, axis: Axis) -> Fraction | None:
    """The most that the board may measure in this direction; None without a reading."""
    return max((reading.value.inches - _off(board, axis) for reading in readings_of(board, axis)), default=None)


def _measured(board: Board, axis: Axis) -> tuple[PlacedReading, ...]:
    """The readings in order along the board; those whose place makes no sense are asked about elsewhere."""
    extent = largest_bound(board, DOWN if axis is ACROSS else ACROSS) or Fraction(96)
    named = {axis.start.value: Fraction(0), axis.end.value: extent, Slot.MIDDLE.value: extent / 2}
    found = []
    for one in readings_of(board, axis):
        at = one.place
        t = min(at.inches, extent) if isinstance(at, Length) else named.get(at.value)
        if t is not None:
            found.append(PlacedReading(at, t, one.value.inches))
    return tuple(sorted(found, key=lambda one: one.t))


def _all_agree(readings: tuple[PlacedReading, ...]) -> bool:
    if _lean_allowed(readings) and _bow(readings) <= BOW:
        return True
    return all(abs(a.value - b.value) <= LEAN * abs(a.t - b.t) + BOW / 4 for a, b in combinations(readings, 2))


def _lean_allowed(readings: tuple[PlacedReading, ...]) -> bool:
    first, last = readings[0], readings[-1]
    return abs(first.value - last.value) <= LEAN * (last.t - first.t) + BOW / 4


def _bow(readings: tuple[PlacedReading, ...]) -> Fraction:
    chord = ((readings[0].t, readings[0].value), (readings[-1].t, readings[-1].value))
    return max((abs(one.value - value_at(chord, one.t)) for one in readings[1:-1]), default=Fraction(0))


def _swapped(readings: tuple[PlacedReading, ...]) -> tuple[PlacedReading, PlacedReading] | None:
    """Two readings that would lie in a straight row if they changed places, where as they are they bow too much."""
    for a, b in ((0, 1), (1, 2)):
        values = [one.value for one in readings]
        values[a], values[b] = values[b], values[a]
        row = tuple(PlacedReading(r.at, r.t, v) for r, v in zip(readings, values, strict=True))
        if _lean_allowed(row) and _bow(row) <= BOW / 4:
            return readings[a], readings[b]
    return None


def _suspects(readings: tuple[PlacedReading, ...], said: tuple[Reading, ...]) -> tuple[PlacedReading, ...]:
    """The one without which the others agree; where several would do, or none, the last one said."""
    alone = [one for one in readings if _all_agree(tuple(other for other in readings if other is not one))]
    if len(alone) == 1 and len(readings) > 2:
        return (alone[0],)
    last = said[-1].at
    return tuple(one for one in readings if one.at == last)


def _not_closing(board: Board) -> Iterator[Oddity]:
    """Diagonals that the sides don't allow: the one that differs, or a side where both say the same; one alone that
    has ceiling and floor run off, which nothing else shows.
    """
    known, alone = corners(board), drop_alone(board)
    if alone is not None:
        drop = Length(abs(alone)).rounded(step_of(board))
        yield Oddity(Odd.OUT_OF_SQUARE, values=(drop,), rising=board.diagonals[-1].rising)
    if known is None or abs(known.closure()) <= CLOSES:
        return
    open_by = Length(abs(known.closure())).rounded(step_of(board))
    middle = known.left * known.right + known.top * known.bottom
    rising, falling = (abs(value**2 - middle) for value in (known.rising, known.falling))
    both = min(rising, falling) * 2 > max(rising, falling)
    yield Oddity(Odd.NOT_CLOSING, values=(open_by,), rising=None if both else rising >= falling)


def _large(board: Board) -> Iterator[Oddity]:
    """Round things that are larger than those that go through a board: a distance was heard as the size, or a ten."""
    for thing in board.openings:
        if thing.diameter is not None and thing.diameter > ROUND:
            yield Oddity(Odd.LARGE_ROUND, box=thing.name, values=(thing.diameter,))


def _off_board(board: Board) -> Iterator[Oddity]:
    """What lies beyond the board, boxes and round holes that lie across its edge or reach it, what takes a whole side
    of it so that none is left there, and what else lies across an edge at a wall, a ceiling or a floor: beside a board
    a window may go on.
    """
    for axis in (ACROSS, DOWN):
        size = largest_bound(board, axis)
        if size is None:
            continue
        for thing in _things(board):
            span = _span(board, axis, thing)
            if span is None:
                continue
            low, high = span
            called = _called(axis, thing)[0]
            if high <= 0 or low >= size:
                yield Oddity(Odd.OFF_BOARD, box=thing.name, values=(called.value,), edge=called.start)
            elif (low < 0 or high > size) and (isinstance(thing, Box) or thing.diameter is not None):
                yield Oddity(Odd.ACROSS_EDGE, box=thing.name, values=(called.value,), edge=called.start)
            elif min(low, size - high) < SLIVER.inches and (isinstance(thing, Box) or thing.diameter is not None):
                yield Oddity(Odd.TO_EDGE, box=thing.name, values=(called.value,), edge=called.start)
            elif low <= SLIVER.inches and size - high <= SLIVER.inches:
                yield Oddity(Odd.WHOLE_SIDE, axis.dimension, box=thing.name)
            elif (edge := _goes_through(board, axis, low, high - size)) is not None:
                yield Oddity(Odd.PAST_EDGE, box=thing.name, edge=edge, other=neighbor(board, edge).value)


def _goes_through(board: Board, axis: Axis, low: Fraction, over: Fraction) -> Edge | None:
    """The edge past which something runs farther than a tape may be off, though what stands there was built by others;
    `over` is how far it runs over the far edge.
    """
    out = {axis.near: -low, axis.far: over}
    return next((edge for edge in out if is_hard(board, edge) and out[edge] > off(board, edge) + TAPE.inches), None)


def _things(board: Board) -> tuple[Box | Opening, ...]:
    return (*board.openings, *board.boxes)


def _called(axis: Axis, thing: Box | Opening) -> tuple[Coordinate, ...]:
    if isinstance(thing, Box):
        return (thing.x if axis is ACROSS else thing.y,)
    return thing.xs if axis is ACROSS else thing.ys


def _reach(board: Board, axis: Axis, box: Box) -> tuple[Fraction, Fraction]:
    """The box's near and far sides from the board's near edge, as well as the readings so far say."""
    size = size_of(box)
    length = (size.width if axis is ACROSS else size.height).inches
    return _around(board, axis, _called(axis, box)[0], length)


def _around(board: Board, axis: Axis, called: Coordinate, length: Fraction) -> tuple[Fraction, Fraction]:
    """Both sides of what is so long, from the board's near edge."""
    shift = {Point.CENTER: Fraction(0), Point.NEAR: length / 2, Point.FAR: -length / 2}[called.point]
    center = called.value.inches + shift - stand_off(board, called.start).inches
    if called.start is axis.far:
        center = (largest_bound(board, axis) or Fraction(0)) + _below(board, axis) - center
    return center - length / 2, center + length / 2


def _below(board: Board, axis: Axis) -> Fraction:
    """How far below the board's lower edge the floor is, from which "up" is measured; 0 where nobody said."""
    if axis is not DOWN or not off_the_floor(board):
        return Fraction(0)
    bound = largest_bound(board, axis) or Fraction(0)
    to_ceiling = [reading.value for reading in wall_heights(board)]
    if board.floor_to_ceiling is not None and neighbor(board, Edge.TOP) is Neighbor.CEILING:
        to_ceiling.append(board.floor_to_ceiling)
    if board.above_floor is not None or not to_ceiling:
        return (board.above_floor or Length(0)).inches
    return max(Fraction(0), to_ceiling[0].inches - bound)


def _span(board: Board, axis: Axis, thing: Box | Opening) -> tuple[Fraction, Fraction] | None:
    """Both sides of a box, or of an opening whose sides or whose size were called."""
    if isinstance(thing, Box):
        return _reach(board, axis, thing)
    called = _called(axis, thing)
    size = thing.diameter or (thing.width if axis is ACROSS else thing.height)
    if len(called) == 1 and size is not None:
        return _around(board, axis, called[0], size.inches)
    sides = sorted(_around(board, axis, replace(each, point=Point.CENTER), Fraction(0))[0] for each in called)
    return (sides[0], sides[-1]) if len(sides) > 1 else None


def _overlapping(board: Board) -> Iterator[Oddity]:
    """Two things at one place, whatever they are: one of them is elsewhere. Of a box and an opening the box is asked
    about.
    """
    things = _things(board)
    spans = ((_span(board, ACROSS, one), _span(board, DOWN, one), place) for place, one in enumerate(things))
    placed = sorted((across, down, place) for across, down, place in spans if across and down)
    beside: list[tuple[_Span, _Span, int]] = []  # what reaches as far across as the next one begins
    found: list[tuple[int, int]] = []
    for across, down, place in placed:
        beside = [one for one in beside if across[0] < one[0][1]]
        found += [(one, place) for over, its, one in beside if over[0] < across[1] and _cross(its, down)]
        beside.append((across, down, place))
    for one, other in sorted((min(pair), max(pair)) for pair in found):
        yield Oddity(Odd.ON_ANOTHER, box=things[other].name, other=things[one].name)


_Span = tuple[Fraction, Fraction]


def _cross(a: _Span, b: _Span) -> bool:
    return a[0] < b[1] and b[0] < a[1]


def _unlike_heights(board: Board) -> Iterator[Oddity]:
    """Two or more boxes at one height, and one not quite there."""
    alike, near, far = BOXES_ALIKE
    middles = {box.name: sum(_reach(board, DOWN, box), Fraction(0)) / 2 for box in board.boxes}
    ends = sorted(middles.values())
    if ends[1:] and ends[-2] - ends[1] > alike:
        return  # whichever of them is left out
    for box in board.boxes:
        others = [middles[other.name] for other in board.boxes if other is not box]
        if len(others) < 2 or max(others) - min(others) > alike:
            continue
        if near < abs(middles[box.name] - others[0]) < far:
            values = (Length(others[0]), box.y.value)
            yield Oddity(Odd.UNLIKE_HEIGHT, box=box.name, values=values, edge=box.y.start)
