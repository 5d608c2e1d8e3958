"""What readings, diagonals and plumb come to. Every function is the meaning of that name in the grammar."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from itertools import pairwise
from typing import Any

from fieldvoice.language.found import Measured, Number, Same, Several, Where
from fieldvoice.records.length import ZERO, Length
from fieldvoice.records.meaning import Ask, Diagonal, Dimension, Edge, Plumb, Question, Reading, Refusal, Slot, Why

WIDTHS = (Slot.TOP, Slot.MIDDLE, Slot.BOTTOM)
HEIGHTS = (Slot.LEFT, Slot.MIDDLE, Slot.RIGHT)
MOST_OFF_LINE = 60
"""Inches that a middle reading may be off the line between its fellows: half a 4 ft sheet under the steepest roof rises
less (our own bound, no source). "Forty one forty two forty three" is not 40, 142 and 43.
"""
OFF_LINE_ASKED = 6
"""Inches off that line from which a row is asked about: a bowed or stepped edge is rare, a lost word isn't (our own
bound, no source).
"""
FINEST_PART = 32
A_DIGIT_BELOW, A_TEN_FROM = 10, 20
"""Inches. A digit after a ten may be the count of a fraction: "forty two five" was rather 42 5/8."""
EACH_PLACE = Question(Ask.PLACES)
FAR_APART = Refusal(Why.FAR_APART)


def reading(where: Where, length: Measured) -> Reading:
    """A value in its place."""
    return Reading(length.value, where.dimension, where.at, length.qualifier)


def bare(length: Measured) -> Reading:
    """A value whose place the dialogue knows."""
    return Reading(length.value, qualifier=length.qualifier)


def _width(at: str | Number) -> Where:
    return Where(Dimension.WIDTH, _place(at))


def _height(at: str | Number) -> Where:
    return Where(Dimension.HEIGHT, _place(at))


def _either(at: str | Number) -> Where:
    return Where(None, _place(at))


def _place(at: str | Number) -> Slot | Length:
    return Slot(at) if isinstance(at, str) else Length(at)


def row(dimension: Dimension, slots: tuple[Slot, ...], lengths: tuple[Measured, ...]) -> tuple[Reading, ...]:
    """Readings said one after the other."""
    return tuple(
        Reading(length.value, dimension, slot, length.qualifier) for slot, length in zip(slots, lengths, strict=True)
    )


def top_and_bottom(length: Measured) -> tuple[Reading, ...]:
    """One value for two places."""
    return row(Dimension.WIDTH, (Slot.TOP, Slot.BOTTOM), (length, length))


def three_in_row(
    dimension: Dimension, slots: tuple[Slot, ...]
) -> Callable[..., tuple[Reading, ...] | Refusal | Question]:
    """Three readings called one after the other."""

    def called(*lengths: Measured) -> tuple[Reading, ...] | Refusal | Question:
        first, middle, last = (length.value.inches for length in lengths)
        if abs(middle - (first + last) / 2) > MOST_OFF_LINE:
            return FAR_APART
        return _on_line(row(dimension, slots, lengths))

    return called


def two_in_row(first: Measured, second: Measured) -> Question | Refusal:
    """Two readings where three belong."""
    if abs(first.value.inches - second.value.inches) > MOST_OFF_LINE:
        return FAR_APART
    return Question(Ask.TWO_OF_THREE)


def in_order(where: Where, *lengths: Measured) -> tuple[Reading, ...] | Question:
    """Readings that go on from the first: `t 46 7/8, 46 3/4, 46 1/4` is top, middle and bottom."""
    slots = next((row for row in (WIDTHS, HEIGHTS) if row[0] == where.at and len(row) == len(lengths)), None)
    if slots is None or where.dimension is None:
        return EACH_PLACE
    readings = row(where.dimension, slots, lengths)
    return _on_line(readings) if len(readings) == 3 else _parted(readings)


def bare_row(*lengths: Measured) -> tuple[Reading, ...] | Question:
    """Readings after one another whose places the dialogue knows."""
    return _parted(tuple(map(bare, lengths)))


def _on_line(readings: tuple[Reading, ...]) -> tuple[Reading, ...] | Question:
    """A row of three, asked about where its middle is far from the line between the outer two."""
    first, middle, last = (one.value.inches for one in readings)
    if abs(middle - (first + last) / 2) > OFF_LINE_ASKED:
        return Question(Ask.MIDDLE_FAR)
    return _parted(readings)


def _is_digit_after_ten(before: Length, after: Length) -> bool:
    """Whether a number may be the fraction of the one before it. Only inches have one, so millimetres never are."""
    on_tape = all(value.inches.denominator <= FINEST_PART for value in (before, after))
    return on_tape and after.inches < A_DIGIT_BELOW and before.inches >= A_TEN_FROM


def _parted(readings: tuple[Reading, ...]) -> tuple[Reading, ...] | Question:
    """`46, 7/8` may be one reading."""
    for before, after in pairwise(readings):
        if after.value < Length(1) and before.value.inches.denominator == 1:
            return Question(Ask.JOINED, (before.value, after.value))
        if _is_digit_after_ten(before.value, after.value):
            return Question(Ask.FRACTION_OF, (after.value, before.value))
    return readings


def slot_between(first: Measured, where: Where, second: Measured) -> Several:
    """A place between two values: it may be that of either."""
    return Several(((bare(first), reading(where, second)), (reading(where, first), bare(second))))


def leans(edge: str, _: Measured) -> Question:
    """Out of plumb, and nobody said which way."""
    return Question(Ask.WHICH_LEAN, (Edge(edge),))


def slopes(edge: str, _: Measured) -> Question:
    """Out of level, and nobody said which way."""
    return Question(Ask.WHICH_SLOPE, (Edge(edge),))


def level_run(edge: str, length: Measured, direction: str, *, downwards: bool) -> Plumb:
    """A ceiling or floor that runs up or down to one side: positive where the opening narrows towards the right."""
    narrows = (edge == "top") == downwards
    sign = 1 if narrows == (direction == "right") else -1
    return Plumb(Edge(edge), length.value * sign)


ACTIONS: Mapping[str, Callable[..., Any]] = {
    "reading": reading,
    "reading_after": lambda length, where: reading(where, length),
    "bare": bare,
    "wide": lambda length: reading(Where(Dimension.WIDTH, None), length),
    "tall": lambda length: reading(Where(Dimension.HEIGHT, None), length),
    "top_and_bottom": top_and_bottom,
    "one_of_two": lambda _: Question(Ask.ONE_OF_TWO),
    "left_and_right": lambda length: row(Dimension.HEIGHT, (Slot.LEFT, Slot.RIGHT), (length, length)),
    "same": Same,
    "widths": three_in_row(Dimension.WIDTH, WIDTHS),
    "heights": three_in_row(Dimension.HEIGHT, HEIGHTS),
    "two_in_row": two_in_row,
    "slot_between": slot_between,
    "in_order": in_order,
    "bare_row": bare_row,
    "some_width": lambda: Where(Dimension.WIDTH, None),
    "some_height": lambda: Where(Dimension.HEIGHT, None),
    "width_at": _width,
    "height_at": _height,
    "middle_at": _either,
    "diagonal": lambda length: Diagonal(length.value),
    "diagonals": lambda first, second: (Diagonal(first.value), Diagonal(second.value)),
    "rising": lambda length: Diagonal(length.value, rising=True),
    "falling": lambda length: Diagonal(length.value, rising=False),
    "leans_in": lambda edge, length: Plumb(Edge(edge), length.value),
    "leans_out": lambda edge, length: Plumb(Edge(edge), -length.value),
    "leans": leans,
    "plumb": lambda edge: Plumb(Edge(edge), ZERO),
    "drops": lambda edge, length, way: level_run(edge, length, way, downwards=True),
    "climbs": lambda edge, length, way: level_run(edge, length, way, downwards=False),
    "slopes": slopes,
}
