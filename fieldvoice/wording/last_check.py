"""The last read-back: everything that rests on one hearing, together and short, in another form than the first time."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import groupby

from fieldvoice.language.speaking import fraction_words, number_words
from fieldvoice.records.ledger import Call, Of, Value
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Box, Coordinate, Diagonal, Dimension, Opening, Point, Reading, Slot
from fieldvoice.wording.aloud import MOST_SECONDS, seconds
from fieldvoice.wording.values import figures, label, named, spoken_value, text_of

_POINT = {Point.CENTER: "", Point.NEAR: "near side ", Point.FAR: "far side "}


def last_check(values: Sequence[Value], unit: Unit) -> tuple[str, str]:
    """All of it as one question, for the eye in figures and for the ear as short as it can be told apart: readings in
    plain numbers without their inches, a box from both sides where there is time for it.
    """
    spoken = f"{_said(values, unit)}?"
    if seconds(spoken) > MOST_SECONDS:
        spoken = f"{_said([value for value in values if isinstance(value, Call)], unit)}?"
    return f"Last check: {_shown(values, unit)}. All right?", spoken


def in_a_breath(values: Sequence[Value], unit: Unit) -> tuple[Value, ...]:
    """As many of the values as are said in the time that an answer may take; at least the first."""
    ends = [index for index, value in enumerate(values) if isinstance(value, Call)][1:]
    for end in (len(values), *reversed(ends)):
        if seconds(last_check(values[:end], unit)[1]) <= MOST_SECONDS:
            return tuple(values[:end])
    return tuple(values[: ends[0]] if ends else values)


def recalled(calls: Sequence[Call], unit: Unit) -> tuple[str, str]:
    """What was called before, behind what is read back now."""
    return f"Before: {_shown(calls, unit)}.", f"{', '.join(_one(call, unit) for call in calls)}."


def _one(call: Call, unit: Unit) -> str:
    if isinstance(call.fact, Reading):
        return f"{_place_words(call.fact)} {plain(call.fact.value, unit)}"
    return _other(call, None, unit)


def _shown(values: Sequence[Value], unit: Unit) -> str:
    texts: list[str] = []
    before: Dimension | None = None
    for call, other in _with_other_side(values):
        fact = call.fact
        if isinstance(fact, Reading):
            place = str(fact.at) if not isinstance(fact.at, Length) else f"at {fact.at}"
            texts.append(
                f"{'' if before is fact.dimension else f'{fact.dimension} '}{place} {text_of(fact.value, unit)}"
            )
            before = fact.dimension
        elif isinstance(fact, Box):
            places = ", ".join(f"{text_of(each.value, unit)} from {each.start}" for each in _places(fact, other))
            texts.append(f"{fact.name} {_POINT[fact.x.point]}{places}")
        elif fact is not None:
            texts.append(f"{label(call.key, unit)} {figures(fact, unit)}")
    return "; ".join(texts)


def _said(values: Sequence[Value], unit: Unit) -> str:
    parts: list[str] = []
    for kind, group in groupby(_with_other_side(values), lambda each: each[0].key.of):
        pairs = list(group)
        readings = [call.fact for call, _ in pairs if isinstance(call.fact, Reading)]
        parts += [_readings(readings, kind, unit)] if readings else [_other(call, other, unit) for call, other in pairs]
    return ", ".join(parts)


def _with_other_side(values: Sequence[Value]) -> Iterator[tuple[Call, Coordinate | None]]:
    """The calls, a box with where it is from the side that it wasn't measured from."""
    for value, after in zip(values, (*values[1:], None), strict=True):
        if isinstance(value, Call):
            yield value, after if isinstance(after, Coordinate) else None


NEAR = Length("3/4")
"""How far apart readings of a kind may be to be read back without their inches (our own rule)."""
_SLOTS = {
    Of.WIDTH: (Slot.TOP, Slot.MIDDLE, Slot.BOTTOM),
    Of.HEIGHT: (Slot.LEFT, Slot.RIGHT),
}


def _readings(readings: Sequence[Reading], of: Of, unit: Unit) -> str:
    """Readings of one kind: their fractions alone where they lie so near each other that none can be an inch off. All
    places of a kind are said by their order.
    """
    values = [reading.value for reading in readings]
    if len(set(values)) == 1 and len(values) > 1:
        return f"{'all' if len(readings) > 2 else 'both'} {of}s {plain(values[0], unit)}"
    near = unit is Unit.INCH and len(values) > 1 and max(values) - min(values) <= NEAR
    whole = tuple(reading.at for reading in readings) == _SLOTS[of]
    said = []
    for reading in readings:
        part = reading.value.inches % 1
        value = _part(part) if near and part and part.denominator <= 32 else plain(reading.value, unit)
        said.append(value if whole else f"{_place_words(reading)} {value}")
    return " ".join(said)


def _other(call: Call, other: Coordinate | None, unit: Unit) -> str:
    assert call.fact is not None
    if isinstance(call.fact, Diagonal):
        return f"{label(call.key, unit)} {plain(call.fact.value, unit)}"
    if isinstance(call.fact, Opening):
        places = " ".join(f"{_POINT[each.point]}{_from(each, unit)}" for each in (*call.fact.xs, *call.fact.ys))
        return f"{call.fact.kind} {places}"
    if not isinstance(call.fact, Box):
        return spoken_value(call.fact, unit)
    box = call.fact
    about = None if other is None else Coordinate(other.point, _about(other.value, unit), other.start)
    return f"{named(box.name)} {_POINT[box.x.point]}" + " ".join(_from(each, unit) for each in _places(box, about))


def _places(box: Box, other: Coordinate | None) -> tuple[Coordinate, ...]:
    return (box.x, box.y) if other is None else (box.x, other, box.y)


def _about(length: Length, unit: Unit) -> Length:
    """The other side tells left from right; its fraction was on no tape."""
    return length.rounded(Length(1)) if unit is Unit.INCH else length.rounded(Length.of(10, Unit.MM))


_SHORT = {"left": "left", "right": "right", "top": "down", "bottom": "up"}


def _from(place: Coordinate, unit: Unit) -> str:
    return f"{plain(place.value, unit)} {_SHORT[place.start.value]}"


def _place_words(reading: Reading) -> str:
    return f"at {plain(reading.at, Unit.INCH)}" if isinstance(reading.at, Length) else str(reading.at)


def plain(length: Length, unit: Unit) -> str:
    """A length as people say it: "forty six seven eighths", not figure by figure."""
    whole, part = divmod(length.in_unit(unit), 1)
    if part and (unit is Unit.MM or part.denominator > 32):
        return spoken_value(Reading(length), unit)
    words = _whole(int(whole), unit) if whole or not part else ""
    if not part:
        return words
    between = " and " if part.numerator == 1 else " "
    return f"{words}{between}{_part(part)}" if words else fraction_words(part)


def _part(part: Fraction) -> str:
    """A fraction as short as crews say it: "a half", "seven eighths"."""
    if part.numerator != 1:
        return fraction_words(part)
    return f"{'an' if part.denominator == 8 else 'a'} {fraction_words(part).removeprefix('one ')}"


def _whole(number: int, unit: Unit) -> str:
    """Hundreds in two halves in millimeters, as crews say them: "eleven ninety"."""
    if unit is Unit.MM and 1000 <= number < 10000 and number % 100 >= 10:
        return f"{number_words(number // 100)} {number_words(number % 100)}"
    return number_words(number) if number < 10000 else str(number)
