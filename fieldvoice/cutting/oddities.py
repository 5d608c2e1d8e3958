"""Readings that geometry finds hard to believe. Nothing is refused here: the dialogue asks."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import combinations

from fieldvoice.cutting.axis import ACROSS, DOWN, Axis, Measured, largest_bound, measured, readings_of
from fieldvoice.cutting.lines import value_at
from fieldvoice.cutting.sheets import across_and_down
from fieldvoice.cutting.square import CLOSES, corners
from fieldvoice.cutting.tables import sheets, size_of, stand_off, step_of
from fieldvoice.errors import CannotCut
from fieldvoice.records.board import Board
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Box, Coordinate, Place, Point, Reading, Slot
from fieldvoice.records.plan import Oddity

LEAN = Fraction(3, 8) / 32
"""A wall may lean 3/8 in per 32 in of height: NAHB guidelines, as quoted by inspectors and a trade body."""

BOW = Fraction(1, 2)
"""A wall may bow 1/2 in: the same guidelines, as quoted (per 32 in from memory)."""

STAND_OFF = Length(2)
"""No neighbour asks the board to stay off farther than this (our own rule: the widest of the table is 1/2 in)."""

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
        *_off_board(board),
        *_overlapping(board),
        *_unlike_heights(board),
        *_far_off(board),
    )


def _far_off(board: Board) -> Iterator[Oddity]:
    for edge, setting in board.edges.items():
        if setting.clearance is not None and setting.clearance > STAND_OFF:
            off = _text(board, setting.clearance)
            yield Oddity("no edge stays off that far", f"Is the clearance at the {edge.value} really {off}?")


def _beyond_sheets(board: Board, axis: Axis) -> Iterator[Oddity]:
    index = 0 if axis is ACROSS else 1
    most = max(across_and_down(sheet, board.lies)[index] for sheet in sheets(board.unit))
    longest = max(sheet.length.inches for sheet in sheets(board.unit))
    for reading in readings_of(board, axis):
        if reading.value.inches - _off(board, axis) > most:
            turned = reading.value.inches <= longest
            ask = f"Is the {_name(axis, reading.place)} really {_text(board, reading.value)}"
            ask += f", or is the sheet not {board.lies.value}?" if turned else "?"
            yield Oddity(f"no listed sheet {board.lies.value} reaches that far", ask, axis.dimension, reading.place)


def _off(board: Board, axis: Axis) -> Fraction:
    return (stand_off(board, axis.near) + stand_off(board, axis.far)).inches


def _far_from_fellows(board: Board, axis: Axis) -> Iterator[Oddity]:
    """A reading that no wall within the tolerances explains beside the others."""
    readings = _measured(board, axis)
    if len(readings) < 2 or _all_agree(readings):
        return
    if len(readings) == 3 and (swap := _swapped(readings)) is not None:
        yield _ask_swap(board, axis, *swap)
        return
    for odd in _suspects(readings, readings_of(board, axis)):
        fellows = ", ".join(_text(board, Length(one.reading)) for one in readings if one is not odd)
        value = _text(board, Length(odd.reading))
        yield Oddity(
            f"{value} is farther from {fellows} than a wall leans or bows",
            f"Is the {_name(axis, odd.at)} really {value}?",
            axis.dimension,
            odd.at,
        )


def _measured(board: Board, axis: Axis) -> tuple[Measured, ...]:
    other = DOWN if axis is ACROSS else ACROSS
    extent = largest_bound(board, other) or Fraction(96)
    try:
        return measured(board, axis, extent)
    except CannotCut:
        return ()


def _all_agree(readings: tuple[Measured, ...]) -> bool:
    pairs = all(abs(a.reading - b.reading) <= LEAN * abs(a.t - b.t) + BOW / 4 for a, b in combinations(readings, 2))
    return pairs or (_lean_allowed(readings) and _bow(readings) <= BOW)


def _lean_allowed(readings: tuple[Measured, ...]) -> bool:
    first, last = readings[0], readings[-1]
    return abs(first.reading - last.reading) <= LEAN * (last.t - first.t) + BOW / 4


def _bow(readings: tuple[Measured, ...]) -> Fraction:
    chord = ((readings[0].t, readings[0].reading), (readings[-1].t, readings[-1].reading))
    return max((abs(one.reading - value_at(chord, one.t)) for one in readings[1:-1]), default=Fraction(0))


def _swapped(readings: tuple[Measured, ...]) -> tuple[Measured, Measured] | None:
    """Two readings that would lie in a straight row if they changed places, where as they are they bow too much."""
    for a, b in ((0, 1), (1, 2)):
        values = [one.reading for one in readings]
        values[a], values[b] = values[b], values[a]
        row = tuple(Measured(r.at, r.t, v, r.bound) for r, v in zip(readings, values, strict=True))
        if _lean_allowed(row) and _bow(row) <= BOW / 4:
            return readings[a], readings[b]
    return None


def _ask_swap(board: Board, axis: Axis, one: Measured, other: Measured) -> Oddity:
    first, second = _text(board, Length(one.reading)), _text(board, Length(other.reading))
    return Oddity(
        "the readings only lie in a row with two of them swapped",
        f"Is the {_name(axis, one.at)} {first} and the {_name(axis, other.at)} {second}, or the other way round?",
        axis.dimension,
        other.at,
    )


def _suspects(readings: tuple[Measured, ...], said: tuple[Reading, ...]) -> tuple[Measured, ...]:
    """The one without which the others agree; where several would do, or none, the last one said."""
    alone = [one for one in readings if _all_agree(tuple(other for other in readings if other is not one))]
    if len(alone) == 1 and len(readings) > 2:
        return (alone[0],)
    last = said[-1].at
    return tuple(one for one in readings if one.at == last)


def _not_closing(board: Board) -> Iterator[Oddity]:
    """Diagonals that the sides don't allow: the one that differs, or a side where both say the same."""
    known = corners(board)
    if known is None or abs(known.closure()) <= CLOSES:
        return
    open_by = _text(board, Length(abs(known.closure())).rounded(step_of(board)))
    middle = known.left * known.right + known.top * known.bottom
    off = {way: abs(value**2 - middle) for way, value in (("rising", known.rising), ("falling", known.falling))}
    way, other = ("rising", "falling") if off["rising"] >= off["falling"] else ("falling", "rising")
    both = off[other] * 2 > off[way]
    odd = "a width or a height" if both else f"the {way} diagonal"
    yield Oddity(f"widths, heights and diagonals miss each other by {open_by}", f"Can you measure {odd} again?")


def _off_board(board: Board) -> Iterator[Oddity]:
    for axis in (ACROSS, DOWN):
        size = largest_bound(board, axis)
        if size is None:
            continue
        for box in board.boxes:
            low, high = _reach(board, axis, box)
            if high <= 0 or low >= size:
                yield _box(
                    box, "it would not be on this board", f"Is {box.name} on this board? {_called(board, axis, box)}"
                )
            elif low < 0 or high > size:
                yield _box(
                    box,
                    "it would lie across the board's edge",
                    f"Does {box.name} really lie across the edge? {_called(board, axis, box)}",
                )


def _box(box: Box, why: str, ask: str) -> Oddity:
    return Oddity(why, ask, box=box.name)


def _coordinate(axis: Axis, box: Box) -> Coordinate:
    return box.x if axis is ACROSS else box.y


def _called(board: Board, axis: Axis, box: Box) -> str:
    called = _coordinate(axis, box)
    return f"I have {_text(board, called.value)} from the {called.start.value}."


def _reach(board: Board, axis: Axis, box: Box) -> tuple[Fraction, Fraction]:
    """The box's near and far sides from the board's near edge, as well as the readings so far say."""
    called, size = _coordinate(axis, box), size_of(box)
    length = (size.width if axis is ACROSS else size.height).inches
    shift = {Point.CENTER: Fraction(0), Point.NEAR: length / 2, Point.FAR: -length / 2}[called.point]
    center = called.value.inches + shift - stand_off(board, called.start).inches
    if called.start is axis.far:
        center = (largest_bound(board, axis) or Fraction(0)) - center
    return center - length / 2, center + length / 2


def _overlapping(board: Board) -> Iterator[Oddity]:
    for one, other in combinations(board.boxes, 2):
        if all(_cross(_reach(board, axis, one), _reach(board, axis, other)) for axis in (ACROSS, DOWN)):
            yield _box(
                other,
                f"it would lie on {one.name}",
                f"Is {other.name} another box than {one.name}, and where is its centre?",
            )


def _cross(a: tuple[Fraction, Fraction], b: tuple[Fraction, Fraction]) -> bool:
    return a[0] < b[1] and b[0] < a[1]


def _unlike_heights(board: Board) -> Iterator[Oddity]:
    """Two or more boxes at one height, and one not quite there."""
    alike, near, far = BOXES_ALIKE
    middles = {box.name: sum(_reach(board, DOWN, box), Fraction(0)) / 2 for box in board.boxes}
    for box in board.boxes:
        others = [middles[other.name] for other in board.boxes if other is not box]
        if len(others) < 2 or max(others) - min(others) > alike:
            continue
        if near < abs(middles[box.name] - others[0]) < far:
            height = _text(board, Length(others[0]))
            yield _box(
                box,
                f"the other boxes are {height} down",
                f"Is {box.name} at another height? {_called(board, DOWN, box)}",
            )


def _name(axis: Axis, at: Place) -> str:
    place = at.value if isinstance(at, Slot) else f"at {at.text()}"
    return f"{axis.dimension.value} {place}"


def _text(board: Board, length: Length) -> str:
    return f"{length.text(board.unit)} {board.unit.value}"
