"""What readings, diagonals and plumb come to. Every function is the meaning of that name in the grammar."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from fractions import Fraction
from functools import partial
from itertools import pairwise
from typing import Any

from fieldvoice.language.partial import Measured, Number, ReadingPlace, Same, Several, Sloped, SlopeSide
from fieldvoice.records.length import ZERO, Length
from fieldvoice.records.meaning import Diagonal, Dimension, Edge, Plumb, Reading, Slot
from fieldvoice.records.utterance import Ask, Part, Question, Refusal, Relative, Why

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
MOST_LEAN = Length(12)
"""No wall that stands leans more over the height of a board (our own bound, no source)."""
LEAST = Length(1)
ONE = Measured(LEAST)
A_DIGIT_BELOW, A_TEN_FROM = 10, 20
"""Inches. A digit after a ten may be the count of a fraction: "forty two five" was rather 42 5/8."""
NOWHERE = ReadingPlace(None, None)
EACH_PLACE = Question(Ask.PLACES)
FAR_APART = Refusal(Why.FAR_APART)


def _is_part(value: Length) -> bool:
    """Whether a length is a fraction of an inch, as a tape in inches has it."""
    return value < LEAST and value.on_inch_tape


def reading(where: ReadingPlace, length: Measured) -> Reading | Question:
    """A value in its place. Less than an inch is no board's: the inches were lost."""
    if _is_part(length.value):
        return Question(Ask.SHORT_WIDTH, (length.value,))
    return Reading(length.value, where.dimension, where.at, length.qualifier)


def across(dimension: Dimension, where: ReadingPlace, length: Measured) -> Reading | Question | Several:
    """A value said to run one way, in a place that isn't of the other: nothing is "wide on the left"."""
    return reading(replace(where, dimension=dimension), length) if where.dimension in {None, dimension} else Several(())


def of_both(where: ReadingPlace, like: ReadingPlace, length: Measured) -> tuple[Any, ...] | Question:
    """As in "top's the same as the bottom, thirty and a half"."""
    one, other = reading(where, length), reading(like, length)
    if isinstance(one, Question):
        return one
    return other if isinstance(other, Question) else (replace(one, shared=True), replace(other, shared=True))


def bare(length: Measured) -> Reading | Part:
    """A value whose place the dialogue knows, or the fraction that a question asked for."""
    if _is_part(length.value):
        return Part(length.value)
    return Reading(length.value, qualifier=length.qualifier)


def _width(at: str | Number) -> ReadingPlace:
    return ReadingPlace(Dimension.WIDTH, _place(at))


def _height(at: str | Number) -> ReadingPlace:
    return ReadingPlace(Dimension.HEIGHT, _place(at))


def _either(at: str | Number) -> ReadingPlace:
    return ReadingPlace(None, _place(at))


def _place(at: str | Number) -> Slot | Length:
    return Slot(at) if isinstance(at, str) else Length(at)


def row(dimension: Dimension, slots: tuple[Slot, ...], lengths: tuple[Measured, ...]) -> tuple[Reading, ...]:
    """Readings said one after the other."""
    return tuple(
        Reading(length.value, dimension, slot, length.qualifier) for slot, length in zip(slots, lengths, strict=True)
    )


PLACES = {
    "top and bottom": (Dimension.WIDTH, (Slot.TOP, Slot.BOTTOM)),
    "left and right": (Dimension.HEIGHT, (Slot.LEFT, Slot.RIGHT)),
    "all widths": (Dimension.WIDTH, WIDTHS),
    "all heights": (Dimension.HEIGHT, HEIGHTS),
    "middle and bottom": (Dimension.WIDTH, (Slot.MIDDLE, Slot.BOTTOM)),
    "top and middle": (Dimension.WIDTH, (Slot.TOP, Slot.MIDDLE)),
}


def at_places(places: str, length: Measured) -> tuple[Reading, ...] | Question:
    """One value for several places."""
    if _is_part(length.value):
        return Question(Ask.SHORT_WIDTH, (length.value,))
    dimension, slots = PLACES[places]
    return tuple(replace(one, shared=True) for one in row(dimension, slots, (length,) * len(slots)))


def same_at(places: str) -> tuple[Same, ...]:
    """The last value at several places."""
    dimension, slots = PLACES[places]
    return tuple(Same(ReadingPlace(dimension, slot)) for slot in slots)


PAIRS = {Dimension.WIDTH: {Slot.TOP, Slot.BOTTOM}, Dimension.HEIGHT: {Slot.LEFT, Slot.RIGHT}}
"""Places of one dimension."""


def swapped(places: tuple[Slot, Slot]) -> Question | Several:
    """As in "swap left and right": the two readings change their places."""
    one, other = places
    dimension = next((way for way, pair in PAIRS.items() if set(places) == pair), None)
    if dimension is None:
        return Several(())
    return Question(Ask.RELATIVE, relative=Relative(ZERO, dimension, one, other, swaps=True))


def told_by(*parts: ReadingPlace | Number | str, here: bool = False, changes: bool = False) -> Question:
    """A reading told by another, its parts in any order: by how much, which way, and the place of each that is named,
    of the other alone where the first is the one at hand (`here`). The figure itself is asked for where it can't be
    worked out.
    """
    places = [part for part in parts if isinstance(part, ReadingPlace)]
    (by,) = (part for part in parts if isinstance(part, int | Fraction))
    at, like, *_ = (*([NOWHERE] if here else []), *places, NOWHERE, NOWHERE)
    if None not in {at.dimension, like.dimension} and at.dimension is not like.dimension:
        return Question(Ask.RELATIVE)
    longer = Length(by if "longer" in parts else -by)
    return Question(Ask.RELATIVE, relative=Relative(longer, at.dimension or like.dimension, at.at, like.at, changes))


def two_named(
    dimension: Dimension, slots: tuple[Slot, Slot]
) -> Callable[..., tuple[Reading, ...] | Refusal | Question]:
    """Two readings said to be two: "widths forty two and forty three" are top and bottom."""

    def called(first: Measured, second: Measured) -> tuple[Reading, ...] | Refusal | Question:
        if _is_part(first.value) or _is_part(second.value):
            return EACH_PLACE
        if abs(first.value.inches - second.value.inches) > MOST_OFF_LINE:
            return FAR_APART
        return row(dimension, slots, (first, second))

    return called


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


def joined_row(dimension: Dimension, slots: tuple[Slot, ...]) -> Callable[..., Any]:
    """Three readings with a word between the last two only. A middle one of less than an inch is the fraction of the
    first: there are two.
    """
    three = three_in_row(dimension, slots)

    def called(*lengths: Measured) -> Any:
        values = [one.value for one in lengths]
        runs_on = any(after < LEAST and before.inches.denominator == 1 for before, after in pairwise(values))
        return Several(()) if runs_on else three(*lengths)

    return called


def two_in_row(first: Measured, second: Measured) -> Question | Refusal:
    """Two readings where three belong."""
    if abs(first.value.inches - second.value.inches) > MOST_OFF_LINE:
        return FAR_APART
    return Question(Ask.TWO_OF_THREE)


def in_order(where: ReadingPlace, *lengths: Measured) -> tuple[Reading, ...] | Question:
    """Readings that go on from the first: `t 46 7/8, 46 3/4, 46 1/4` is top, middle and bottom."""
    slots = next((row for row in (WIDTHS, HEIGHTS) if row[0] == where.at and len(row) == len(lengths)), None)
    if slots is None or where.dimension is None:
        return EACH_PLACE
    readings = row(where.dimension, slots, lengths)
    return _on_line(readings) if len(readings) == 3 else _parted(readings)


def of_it(said: Any) -> Any:
    """What is called as "it" or "that": a figure alone may be that of what was read back last."""
    match said:
        case (Reading(dimension=None, at=None) as reading,) | (Reading(dimension=None, at=None) as reading):
            return replace(reading, of_it=True)
    return said


def bare_row(*lengths: Measured) -> tuple[Reading, ...] | Question:
    """Readings after one another whose places the dialogue knows."""
    found = _parted(tuple(Reading(length.value, qualifier=length.qualifier) for length in lengths))
    if isinstance(found, tuple) and any(_is_part(one.value) for one in found):
        return EACH_PLACE
    return found


def _on_line(readings: tuple[Reading, ...]) -> tuple[Reading, ...] | Question:
    """A row of three, asked about where its middle is far from the line between the outer two."""
    short = next((one.value for one in readings if _is_part(one.value)), None)
    if short is not None and all(_is_part(one.value) for one in readings):
        return Question(Ask.SHORT_WIDTH, (short,))
    first, middle, last = (one.value.inches for one in readings)
    if abs(middle - (first + last) / 2) > OFF_LINE_ASKED:
        return Question(Ask.MIDDLE_FAR)
    return _parted(readings)


def _is_digit_after_ten(before: Length, after: Length) -> bool:
    """Whether a number may be the fraction of the one before it. Only inches have one, so millimeters never are."""
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


def slot_between(first: Measured, where: ReadingPlace, second: Measured) -> Several:
    """A place between two values: it may be that of either. "Forty two the top one" may be of one value alone."""
    if second == ONE:
        return Several((reading(where, first), (bare(first), reading(where, second))))
    return Several(((bare(first), reading(where, second)), (reading(where, first), bare(second))))


def leaning(edge: str, length: Measured, *, narrows: bool) -> Plumb | Several:
    """How far a wall leans in or out; what is more than any wall leans is no lean: "left comes out ninety five"."""
    if length.value > MOST_LEAN:
        return Several(())
    return Plumb(Edge(edge), length.value if narrows else -length.value)


def leans(edge: str, length: Measured) -> Several:
    """Out of plumb, and nobody said which way: in at the top, or out."""
    ways = (Plumb(Edge(edge), length.value), Plumb(Edge(edge), -length.value))
    return Several(() if length.value > MOST_LEAN else ways)


def slope_side(which: str, at: str, length: Measured) -> SlopeSide:
    """A height of a wall whose top slopes, on the side that is said to be the low or the high one."""
    return SlopeSide(Reading(length.value, Dimension.HEIGHT, Slot(at), length.qualifier), high=which == "high one")


def raked(*sides: object) -> tuple[Reading, ...] | Question | Several:
    """Both heights of a wall whose top slopes: they differ, as it was said."""
    both = tuple(
        side.reading if isinstance(side, SlopeSide) else side for side in sides if isinstance(side, Reading | SlopeSide)
    )
    if {(one.dimension, one.at) for one in both} != {(Dimension.HEIGHT, Slot.LEFT), (Dimension.HEIGHT, Slot.RIGHT)}:
        return Several(())
    named = [side for side in sides if isinstance(side, SlopeSide)]
    fits = both[0].value != both[1].value and all(
        side.high == (side.reading.value == max(one.value for one in both)) for side in named
    )
    return both if fits else Question(Ask.HOW_SLOPED)


def raked_and_other(*sides: SlopeSide | tuple[str, Measured]) -> tuple[Reading, ...] | Question | Several:
    """As in "long point's on the left, ninety six, short point sixty": the one without a side is at the other end."""
    told = next(side for side in sides if isinstance(side, SlopeSide))
    which, length = next(side for side in sides if isinstance(side, tuple))
    other = "right" if told.reading.at is Slot.LEFT else "left"
    return raked(told, slope_side(which, other, length))


def slopes(edge: str, length: Measured, *, downwards: bool) -> Several:
    """Out of level, and nobody said which way: toward the left, or the right."""
    return Several(tuple(level_run(edge, length, way, downwards=downwards) for way in ("left", "right")))


def level_run(edge: str, length: Measured, direction: str, *, downwards: bool) -> Plumb:
    """A ceiling or floor that runs up or down to one side: positive where the opening narrows toward the right."""
    narrows = (edge == "top") == downwards
    sign = 1 if narrows == (direction == "right") else -1
    return Plumb(Edge(edge), length.value * sign)


ACTIONS: Mapping[str, Callable[..., Any]] = {
    "of_it": of_it,
    "reading": reading,
    "reading_after": lambda length, where: reading(where, length),
    "place_mended": lambda _, new: new,
    "value_moved": lambda length, _, where: reading(where, length),
    "reading_wide": lambda where, length: across(Dimension.WIDTH, where, length),
    "reading_tall": lambda where, length: across(Dimension.HEIGHT, where, length),
    "wide_after": lambda length, where: across(Dimension.WIDTH, where, length),
    "tall_after": lambda length, where: across(Dimension.HEIGHT, where, length),
    "reading_of_both": of_both,
    "both_called": lambda *readings: readings,
    "bare": bare,
    "wide": lambda length: reading(ReadingPlace(Dimension.WIDTH, None), length),
    "tall": lambda length: reading(ReadingPlace(Dimension.HEIGHT, None), length),
    "at_places": at_places,
    "at_places_after": lambda length, places: at_places(places, length),
    "two_widths": two_named(Dimension.WIDTH, (Slot.TOP, Slot.BOTTOM)),
    "two_heights": two_named(Dimension.HEIGHT, (Slot.LEFT, Slot.RIGHT)),
    "width_value_middle": lambda length, at: reading(_width(at), length),
    "reading_between": lambda length, at: reading((_width if at in WIDTHS else _height)(at), length),
    "up_high": lambda: ReadingPlace(Dimension.WIDTH, Slot.TOP),
    "the_place": lambda where: where,
    "low": lambda: ReadingPlace(Dimension.WIDTH, Slot.BOTTOM),
    "wide_and_tall": lambda width, height: (
        reading(ReadingPlace(Dimension.WIDTH, None), width),
        reading(ReadingPlace(Dimension.HEIGHT, None), height),
    ),
    "one_of_two": lambda _: Question(Ask.ONE_OF_TWO),
    "same": lambda where, like=None: Same(where, like.at if like else None),
    "same_at": same_at,
    "relative": lambda *_: Question(Ask.RELATIVE),
    "two_places": lambda one, other: (Slot(one), Slot(other)),
    "swapped": swapped,
    "told_by": told_by,
    "told_by_here": partial(told_by, here=True),
    "changed_by": partial(told_by, changes=True),
    "widths": three_in_row(Dimension.WIDTH, WIDTHS),
    "heights": three_in_row(Dimension.HEIGHT, HEIGHTS),
    "two_in_row": two_in_row,
    "widths_joined": joined_row(Dimension.WIDTH, WIDTHS),
    "heights_joined": joined_row(Dimension.HEIGHT, HEIGHTS),
    "slot_between": slot_between,
    "in_order": in_order,
    "bare_row": bare_row,
    "some_width": lambda: ReadingPlace(Dimension.WIDTH, None),
    "some_height": lambda: ReadingPlace(Dimension.HEIGHT, None),
    "width_at_down": lambda at, length: reading(_width(at), length),
    "height_at_over": lambda at, length: reading(_height(at), length),
    "width_at": _width,
    "height_at": _height,
    "middle_at": _either,
    "middle_of_it": lambda: _either(Slot.MIDDLE),
    "diagonal": lambda length: Diagonal(length.value),
    "diagonals": lambda first, second: (Diagonal(first.value), Diagonal(second.value)),
    "rising": lambda length: Diagonal(length.value, rising=True),
    "falling": lambda length: Diagonal(length.value, rising=False),
    "leans_in": lambda edge, length: leaning(edge, length, narrows=True),
    "leans_out": lambda edge, length: leaning(edge, length, narrows=False),
    "leans": leans,
    "plumb": lambda edge: Plumb(Edge(edge), ZERO),
    "drops_after": lambda edge, way, length: level_run(edge, length, way, downwards=True),
    "climbs_after": lambda edge, way, length: level_run(edge, length, way, downwards=False),
    "drops": lambda edge, length, way: level_run(edge, length, way, downwards=True),
    "climbs": lambda edge, length, way: level_run(edge, length, way, downwards=False),
    "drops_somewhere": lambda edge, length: slopes(edge, length, downwards=True),
    "climbs_somewhere": lambda edge, length: slopes(edge, length, downwards=False),
    "sloping": lambda *_: Sloped(),
    "raked": raked,
    "raked_and_other": raked_and_other,
    "sides_unsaid": lambda *_: Question(Ask.HOW_SLOPED),
    "slope_point": lambda which, at, length: slope_side(which, at, length).reading,
    "other_slope_side": lambda which, length: (which, length),
    "slope_one": lambda side: side.reading,
    "slope_side": slope_side,
    "slope_side_after": lambda which, length, at: slope_side(which, at, length),
    "slope_side_last": lambda at, which, length: slope_side(which, at, length),
}
