"""The last read-back: everything that rests on one hearing, together and short, in another form than the first time."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from fieldvoice.language.speaking import fraction_words, number_words
from fieldvoice.records.ledger import Call, Of, Value
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Box, Coordinate, Diagonal, Opening, Point, Reading
from fieldvoice.wording.values import figures, label, spoken_value, text_of

_POINT = {Point.CENTER: "", Point.NEAR: "near side ", Point.FAR: "far side "}


def last_check(values: Sequence[Value], unit: Unit) -> tuple[str, str]:
    """All of it as one question, for the eye and for the ear: readings in plain numbers, only the fraction where the
    inches are those of the one before, a box from both sides.
    """
    texts: list[str] = []
    words: list[str] = []
    before: tuple[Of, Length] | None = None
    for index, value in enumerate(values):
        if not isinstance(value, Call) or value.fact is None:
            continue
        after = values[index + 1] if index + 1 < len(values) else None
        if isinstance(value.fact, Reading):
            place = str(value.fact.at) if not isinstance(value.fact.at, Length) else f"at {value.fact.at}"
            kind = "" if before is not None and before[0] is value.key.of else f"{value.key.of.value} "
            texts.append(f"{kind}{place} {text_of(value.fact.value, unit)}")
            words.append(f"{_place_words(value.fact)} {_short(value.fact.value, before, value.key.of, unit)}")
            before = (value.key.of, value.fact.value)
        elif isinstance(value.fact, Box):
            other = after if isinstance(after, Coordinate) else None
            texts.append(_box(value.fact, other, unit, spoken=False))
            words.append(_box(value.fact, other, unit, spoken=True))
        else:
            texts.append(f"{label(value.key, unit)} {figures(value.fact, unit)}")
            words.append(_other(value, unit))
    text = f"Last check: {'; '.join(texts)}. All right?"
    return text, f"Check: {', '.join(words)}. Right?"


def _other(call: Call, unit: Unit) -> str:
    assert call.fact is not None
    if isinstance(call.fact, Diagonal):
        return f"{label(call.key, unit)} {plain(call.fact.value, unit)}"
    if isinstance(call.fact, Opening):
        places = " ".join(f"{_POINT[each.point]}{_from(each, unit)}" for each in (*call.fact.xs, *call.fact.ys))
        return f"{call.fact.kind} {places}"
    return spoken_value(call.fact, unit)


def _box(box: Box, other: Coordinate | None, unit: Unit, *, spoken: bool) -> str:
    places = [box.x, *([other] if other is not None else []), box.y]
    if not spoken:
        return f"{box.name} {_POINT[box.x.point]}" + ", ".join(
            f"{text_of(each.value, unit)} from {each.start}" for each in places
        )
    number = box.name.split()[-1] if box.name else ""
    name = f"box {number_words(int(number))}" if number.isdecimal() and len(number) < 5 else box.name
    return f"{name} {_POINT[box.x.point]}" + " ".join(_from(each, unit) for each in places)


_SHORT = {"left": "left", "right": "right", "top": "down", "bottom": "up"}


def _from(place: Coordinate, unit: Unit) -> str:
    return f"{plain(place.value, unit)} {_SHORT[place.start.value]}"


def _place_words(reading: Reading) -> str:
    return f"at {plain(reading.at, Unit.INCH)}" if isinstance(reading.at, Length) else str(reading.at)


def _short(value: Length, before: tuple[Of, Length] | None, of: Of, unit: Unit) -> str:
    """A length in plain numbers; after one of the same whole inches its fraction alone."""
    if unit is Unit.INCH and before is not None and before[0] is of and before[1].inches // 1 == value.inches // 1:
        part = value.inches % 1
        if part and part.denominator <= 32 and value != before[1]:
            return fraction_words(part)
        if value == before[1]:
            return "the same"
    return plain(value, unit)


def plain(length: Length, unit: Unit) -> str:
    """A length as people say it: "forty six and seven eighths", not figure by figure."""
    whole, part = divmod(length.in_unit(unit), 1)
    if part and (unit is Unit.MM or part.denominator > 32):
        return spoken_value(Reading(length), unit)
    words = _whole(int(whole), unit) if whole or not part else ""
    if not part:
        return words
    return f"{words} {_part(part)}" if words else fraction_words(part)


def _part(part: Fraction) -> str:
    """A fraction after inches, as short as crews say it: "and a half", "seven eighths"."""
    if part.numerator == 1:
        return f"and {fraction_words(part).replace('one ', 'a ', 1)}"
    return fraction_words(part)


def _whole(number: int, unit: Unit) -> str:
    """Hundreds in two halves in millimeters, as crews say them: "eleven ninety"."""
    if unit is Unit.MM and 1000 <= number < 10000 and number % 100 >= 10:
        return f"{number_words(number // 100)} {number_words(number % 100)}"
    return number_words(number) if number < 10000 else str(number)
