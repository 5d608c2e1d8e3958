"""What rests on one hearing, once more and short, in another form than the first time: by kinds once their speaker goes
on to the next one, and all together as the last read-back.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import groupby

from fieldvoice.language.speaking import fraction_words, number_words
from fieldvoice.records.ledger import AS_HIGH, Call, Of, Value
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Box, Coordinate, Diagonal, Dimension, Opening, Point, Reading, Slot
from fieldvoice.wording.aloud import MOST_SECONDS, seconds
from fieldvoice.wording.values import figures, label, named, spoken_value, text_of

_POINT = {Point.CENTER: "", Point.NEAR: "near side ", Point.FAR: "far side "}


@dataclass(frozen=True, slots=True)
class _Words:
    """The readings of a kind, or one other thing, in words; `longer` has what is said where there is time for it."""

    words: str
    longer: str
    again: bool


def last_check(values: Sequence[Value], unit: Unit) -> tuple[str, str]:
    """All of it as one question. For the eye in figures, a box from both sides; for the ear what wasn't said a second
    time yet, and of the rest what fits into the time that an answer may take.
    """
    parts = tuple(_parts(values, unit))
    chosen = {index: part.words for index, part in enumerate(parts) if not part.again}
    for index, part in enumerate(parts):
        more = {**chosen, index: part.words}
        if not chosen or seconds(_asked(parts, more)) <= MOST_SECONDS:
            chosen = more
    for index in sorted(chosen):
        more = {**chosen, index: parts[index].longer}
        chosen = more if seconds(_asked(parts, more)) <= MOST_SECONDS else chosen
    return f"Last check: {_shown(values, unit)}. All right?", _asked(parts, chosen)


def _asked(parts: Sequence[_Words], chosen: dict[int, str]) -> str:
    words = ", ".join(chosen[index] for index in sorted(chosen))
    return f"Check: {words}?" if len(chosen) == len(parts) else f"Check screen and {words}?"


def together(calls: Sequence[Value], unit: Unit) -> tuple[str, str]:
    """What was called before, behind what is read back now."""
    return f"So far: {_shown(calls, unit)}.", f"{', '.join(part.words for part in _parts(calls, unit))}."


def _shown(values: Sequence[Value], unit: Unit) -> str:
    texts: list[str] = []
    before: Dimension | None = None
    for call, about in _with_what_follows(values):
        fact, other = call.fact, _other_side(about)
        if isinstance(fact, Reading):
            place = str(fact.at) if not isinstance(fact.at, Length) else f"at {fact.at}"
            kind = "" if before is fact.dimension else f"{fact.dimension} "
            texts.append(f"{kind}{place} {text_of(fact.value, unit)}")
            before = fact.dimension
        elif isinstance(fact, Box):
            places = (fact.x, fact.y) if other is None else (fact.x, other, fact.y)
            shown = ", ".join(f"{text_of(each.value, unit)} from {each.start}" for each in places)
            texts.append(f"{fact.name} {_POINT[fact.x.point]}{shown}")
        elif fact is not None:
            texts.append(f"{label(call.key, unit)} {figures(fact, unit)}")
    return "; ".join(texts)


def _parts(values: Sequence[Value], unit: Unit) -> Iterator[_Words]:
    """In the order of the values: the readings of a kind are one part, since they are said by each other."""
    for kind, group in groupby(_with_what_follows(values), lambda each: each[0].key.of):
        pairs = list(group)
        readings = [call.fact for call, _ in pairs if isinstance(call.fact, Reading)]
        if readings:
            words = _readings(readings, kind, unit)
            yield _Words(words, words, again=all(call.again for call, _ in pairs))
            continue
        for call, about in pairs:
            short = _other(call, None, unit, high=AS_HIGH not in about)
            yield _Words(short, _other(call, _other_side(about), unit), again=call.again)


def _with_what_follows(values: Sequence[Value]) -> Iterator[tuple[Call, tuple[Value, ...]]]:
    """The calls, each with what stands behind it."""
    starts = [index for index, value in enumerate(values) if isinstance(value, Call)]
    for start, end in zip(starts, (*starts[1:], len(values)), strict=True):
        call = values[start]
        if isinstance(call, Call) and call.fact is not None:
            yield call, tuple(values[start + 1 : end])


def _other_side(about: Sequence[Value]) -> Coordinate | None:
    """Where a box is from the side that it wasn't measured from."""
    return next((each for each in about if isinstance(each, Coordinate)), None)


NEAR = Length("3/4")
"""How far apart readings of a kind may be to be read back without their inches: one that was an inch off would lie
farther from the others (our own rule)."""
_SLOTS = {Of.WIDTH: (Slot.TOP, Slot.MIDDLE, Slot.BOTTOM), Of.HEIGHT: (Slot.LEFT, Slot.RIGHT)}


def _readings(readings: Sequence[Reading], of: Of, unit: Unit) -> str:
    """Readings of one kind, by their order where all its places are there."""
    values = [reading.value for reading in readings]
    if len(values) == 1:
        return f"{_place_words(readings[0])} {plain(values[0], unit)}"
    whole = tuple(reading.at for reading in readings) == _SLOTS[of]
    if len(set(values)) == 1 and whole:
        return f"{'all' if len(readings) > 2 else 'both'} {of}s {plain(values[0], unit)}"
    near = unit is Unit.INCH and max(values) - min(values) <= NEAR
    said = []
    for reading in readings:
        part = reading.value.inches % 1
        value = _part(part) if near and part and part.denominator <= 32 else plain(reading.value, unit)
        said.append(value if whole else f"{_place_words(reading)} {value}")
    return f"{of}s {(' ' if near else ', ').join(said)}" if whole else ", ".join(said)


def _other(call: Call, other: Coordinate | None, unit: Unit, *, high: bool = True) -> str:
    assert call.fact is not None
    if isinstance(call.fact, Diagonal):
        return f"{label(call.key, unit)} {plain(call.fact.value, unit)}"
    if isinstance(call.fact, Opening):
        places = " ".join(f"{_POINT[each.point]}{_from(each, unit)}" for each in (*call.fact.xs, *call.fact.ys))
        return f"{call.fact.kind} {places}"
    if not isinstance(call.fact, Box):
        return spoken_value(call.fact, unit)
    box = call.fact
    about = () if other is None else (replace(other, value=_about(other.value, unit)),)
    spots = (box.x, *about, *((box.y,) if high else ()))
    return f"{named(box.name)} {_POINT[box.x.point]}" + " ".join(_from(each, unit) for each in spots)


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
