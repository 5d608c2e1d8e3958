"""What numbers and lengths come to. Every function is the meaning of that name in the grammar; numbers are exact, and
where they are lengths they are inches.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import Any

from fieldvoice.language.partial import Measured, Number, Several
from fieldvoice.records.length import LEANS, MM_PER_INCH, MOST_PLACES, Length, Unit, lean_unit
from fieldvoice.records.meaning import Qualifier
from fieldvoice.records.utterance import Ask, Question, Refusal, Why

FINEST = Fraction(1, 32)
"""The finest mark of the tapes in use (common practice, no source)."""
LONGEST = 393
"""Inches, a little less than ten meters: no board needs a longer reading."""
PARTS = (2, 4, 8, 16, 32)
INCHES_ONLY, QUARTERS = 8, 4
CENTIMETERS = range(10, 100)
AMOUNTS_OFF = frozenset({Fraction(1, 8), Fraction(1, 16), Fraction(1, 32)})
"""What one is strong by: "forty two a sixteenth strong"; of larger fractions a lean says how the tape is read."""
NO_ZERO = Refusal(Why.ZERO)
CM_PER_INCH = MM_PER_INCH / 10
METERS_PER_INCH = MM_PER_INCH / 1000
MAY_BE_METERS = 10
"""Below it a decimal without its unit is asked about in a job kept in millimeters: "one point one nine" is meters."""


def total(*numbers: Number) -> Number:
    """Said one after the other: "forty two"."""
    return sum(numbers)


def spelled(*figures: int) -> int:
    """Figure by figure: "one three" inches."""
    return int("".join(str(figure) for figure in figures))


def over(count: int, part: int) -> Fraction | Refusal:
    """`count` parts: "six sixteenths"."""
    if count >= part:
        return Refusal(Why.MORE_THAN_INCH, (count, part))
    return Fraction(count, part)


def strange(count: int, part: int) -> Refusal:
    """A part that no tape has."""
    return Refusal(Why.NOT_ON_TAPE, (count, part))


def written_fraction(pair: tuple[int, int]) -> Fraction | Refusal:
    """A typed fraction, `7/8`."""
    count, part = pair
    if part == 0:
        return Refusal(Why.NO_NUMBER, (f"{count}/0",))
    if count == 0:
        return NO_ZERO
    return over(count, part) if part in PARTS else strange(count, part)


def said_twice(*_: Any) -> Refusal:
    """As in "three eighths eighths"."""
    return Refusal(Why.FRACTION_TWICE)


def mixed(whole: Number, part: Number) -> Number:
    """Inches and a fraction."""
    return whole + part


def decimal(whole: int, *figures: int) -> Number | Refusal:
    """As in "Forty two point five"."""
    if len(figures) > MOST_PLACES:
        return Refusal(Why.NO_NUMBER, (f"{whole}.{''.join(map(str, figures))}",))
    return whole + sum(Fraction(figure, 10**place) for place, figure in enumerate(figures, 1))


def inch_decimal(whole: int, *figures: int) -> Number | Several | Refusal:
    """A decimal of inches; one that no tape shows has a mark on either side of it."""
    value = decimal(whole, *figures)
    return value if isinstance(value, Refusal) else _on_tape(Fraction(value))


def millimeters_decimal(whole: int, *figures: int) -> Number | Refusal:
    """The same of millimeters."""
    value = decimal(whole, *figures)
    return value if isinstance(value, Refusal) else value / MM_PER_INCH


def inch_written(value: Fraction) -> Number | Several:
    """A typed decimal of inches."""
    return _on_tape(value)


def _on_tape(value: Fraction) -> Number | Several:
    below = value // FINEST * FINEST
    return value if below == value else Several((below, below + FINEST))


def feet_inches(feet: int, inches: Number) -> Number | Refusal:
    """Feet and inches."""
    if inches >= 12:
        return Refusal(Why.MORE_THAN_FOOT, (Length(inches),))
    return feet * 12 + inches


def feet_and_part(feet: int, part: Fraction) -> Number | Several:
    """As in "Nine feet and a half": half an inch, or half a foot. Nobody counts eighths of a foot, nor quarters beside
    a number of feet; "a foot and a quarter" may be either.
    """
    if part.denominator >= INCHES_ONLY or (part.denominator == QUARTERS and feet > 1):
        return feet * 12 + part
    return Several((feet * 12 + part, (feet + part) * 12))


def half_of(part: int) -> Fraction | Refusal:
    """As in "half of a sixteenth"."""
    return Fraction(1, 2 * part) if 2 * part in PARTS else strange(1, 2 * part)


def hair(value: Number, lean: Qualifier) -> Measured | Refusal:
    """As in "a hair over forty two": the same as strong."""
    said = within(value)
    return said if isinstance(said, Refusal) else leaning(said, lean)


def which_hundred(number: int) -> Several:
    """As in "one nineteen" in a job kept in millimeters: 119, or 1190."""
    return Several(tuple(Measured(Length.of(each, Unit.MM)) for each in (number, number * 10)))


def meters_and(meters: int, rest: int) -> Number | Several:
    """As in "two meters forty": centimeters where there are two figures."""
    return Fraction(meters * 1000 + rest * 10) / MM_PER_INCH if rest in CENTIMETERS else Several(())


def and_half(whole: Number) -> Number | Several:
    """As in "forty two half"; "one half" is a half and nothing else."""
    return Several(()) if whole == 1 else whole + Fraction(1, 2)


def less(whole: Number, part: Number) -> Number | Refusal:
    """A length less a little."""
    if part >= whole:
        return Refusal(Why.NOTHING_LEFT)
    return whole - part


def leaning(value: Number, lean: Qualifier, unit: Unit = Unit.INCH) -> Measured:
    """As in "Forty two strong" in a job kept in `unit`: a little over, which is 1/32 or half a millimeter."""
    by = LEANS[lean_unit(Length(value), unit)]
    return Measured(Length(value) + (by if lean is Qualifier.STRONG else -by), lean)


def full(unit: Unit) -> Callable[[Number], Measured | Several]:
    """As in "a full forty two"; "a full one" is a sheet."""
    return lambda value: Several(()) if value == 1 else leaning(value, Qualifier.STRONG, unit)


def off_or_leaning(whole: Number, part: Fraction, lean: Qualifier) -> Measured | Several | Refusal:
    """As in "Forty two an eighth shy": 42 1/8 and a little less, or 41 7/8."""
    said = within(whole + part)
    if isinstance(said, Refusal):
        return said
    if lean is Qualifier.STRONG and part not in AMOUNTS_OFF:
        return leaning(said, lean)
    return Several((leaning(said, lean), said if lean is Qualifier.STRONG else whole - part))


def half_off_or_leaning(whole: Number, lean: Qualifier) -> Measured | Several | Refusal:
    """The same with "half"; "one half shy" is a half and a little less and nothing else."""
    return Several(()) if whole == 1 else off_or_leaning(whole, Fraction(1, 2), lean)


def lean_part(lean: Qualifier, part: int) -> Fraction:
    """As in "A strong half"."""
    return Fraction(1, part) + (FINEST if lean is Qualifier.STRONG else -FINEST)


def within(value: Number) -> Number | Refusal:
    """A length that a tape can have."""
    if value > LONGEST:
        return Refusal(Why.TOO_LARGE, (Length(value),))
    return value or NO_ZERO


def length(value: Number | Measured) -> Measured | Refusal:
    """A length as called."""
    if isinstance(value, Measured):
        return value
    checked = within(value)
    return checked if isinstance(checked, Refusal) else Measured(Length(checked))


def length_in_millimeters(value: Number | Measured) -> Measured | Refusal:
    """The same in a job kept in millimeters, where a hair is one of that tape if it shows the value."""
    said = length(value)
    if isinstance(said, Refusal) or said.qualifier is None:
        return said
    hair_of_inches = LEANS[lean_unit(said.value, Unit.INCH)] * (1 if said.qualifier is Qualifier.STRONG else -1)
    return leaning((said.value - hair_of_inches).inches, said.qualifier, Unit.MM)


def and_how_many(whole: Number, count: int) -> Several:
    """As in "Eighty four and three": quarters, eighths or sixteenths; "and an eight": an eighth, too."""
    if whole % 100 == 0 or count > 31:
        return Several(())
    parts = [Fraction(count, part) for part in PARTS[1:4] if count < part]
    parts += [Fraction(1, count)] if count in PARTS else []
    parts += [Fraction(count, 32)] if count > 8 else []
    return Several(tuple(dict.fromkeys(whole + part for part in parts)))


def swallowed_whole(number: int, part: int) -> Several:
    """As in "Forty seven eighths": 47/8, or 47 7/8 with a word swallowed; 40 7/8 is what the plain rules say."""
    tail = _last_number(number)
    if not tail < part <= number:
        return Several(())
    return Several((Fraction(number, part), number + Fraction(tail, part)))


def _last_number(number: int) -> int:
    """The number that was said last and that the parts may belong to: 7 of 147, 15 of 115, 30 of 130."""
    tail = number % 100
    return tail if tail < 20 or tail % 10 == 0 else tail % 10


def swallowed_and(number: int, part: int) -> Several | Fraction:
    """As in "Forty seven eighth": 47 1/8, or 40 7/8."""
    tail = _last_number(number)
    one = number + Fraction(1, part)
    return Several((one, number - tail + Fraction(tail, part))) if tail < part else one


def swallowed_plural(count: int, part: int) -> Several:
    """As in "Five eighth": 5/8, or 5 1/8."""
    one = count + Fraction(1, part)
    return Several((Fraction(count, part), one)) if count < part else Several((one,))


def loose(whole: int, count: int) -> Several:
    """As in "Forty two five": the same, with no "and"."""
    return Several(tuple(Measured(Length(value)) for value in and_how_many(whole, count).values))


def which_unit(*_: Any) -> Question:
    """A fraction without its unit in a job kept in millimeters."""
    return Question(Ask.INCH_OR_MM)


def and_how_many_of_which_unit(whole: Number, count: int) -> Question | Several:
    """As in "Eighty four and three" in a job kept in millimeters: nothing there has fractions."""
    return which_unit() if and_how_many(whole, count).values else Several(())


def unsaid_millimeters(value: Number) -> Number | Question:
    """A number without its unit in a job kept in millimeters."""
    if value < MAY_BE_METERS and Fraction(value).denominator != 1:
        return Question(Ask.MM_OR_METERS)
    return Fraction(value) / MM_PER_INCH


def spelled_mixed(whole: int, part: Fraction) -> Number | Several:
    """As in "eight one and a half": 81 1/2, or 8 feet 1 1/2."""
    feet, inches = divmod(whole, 10)
    return Several((whole + part, feet * 12 + inches + part)) if whole < 100 else whole + part


def unsaid_feet(feet: int, inches: int, part: Fraction) -> Question:
    """As in "seven eleven and a half", of which nobody said that it is feet and inches."""
    return Question(Ask.UNSAID_FEET, (feet, Length(inches + part)))


def joined_or_less(whole: int, pair: tuple[int, int]) -> Several | Refusal:
    """`48 - 1/8`, with blanks around the dash: 48 1/8, or 47 7/8."""
    part = written_fraction(pair)
    return part if isinstance(part, Refusal) else Several((whole + part, whole - part))


def dash_at_its_end(_: Number) -> Question:
    """`46-`: shorthand for a little less to some, and a mere dash to others."""
    return Question(Ask.DASH)


def vague(*_: Number) -> Question:
    """As in "About forty two"."""
    return Question(Ask.VAGUE)


ACTIONS: Mapping[str, Callable[..., Any]] = {
    "sum": total,
    "hundreds": lambda count: count * 100,
    "thousands": lambda count: count * 1000,
    "times_ten": lambda count: count * 10,
    "spelled": spelled,
    "spelled_ten": lambda first, second: spelled(first, second, 0),
    "spelled_hundred": lambda first, last: spelled(first, 0, last),
    "pairs": lambda first, second: first * 100 + second,
    "one_of": lambda part: Fraction(1, part),
    "over": over,
    "three_quarters": lambda: Fraction(3, 4),
    "half_of": half_of,
    "hair_over": lambda value: hair(value, Qualifier.STRONG),
    "hair_under": lambda value: hair(value, Qualifier.LIGHT),
    "which_hundred": which_hundred,
    "meters_and": meters_and,
    "one_of_lean": lean_part,
    "strange_one": lambda part: strange(1, part),
    "strange": strange,
    "said_twice": said_twice,
    "nothing_of": lambda *_: NO_ZERO,
    "written": lambda value: value,
    "written_fraction": written_fraction,
    "half": lambda: Fraction(1, 2),
    "quarter": lambda: Fraction(1, 4),
    "eighth": lambda: Fraction(1, 8),
    "sixteenth": lambda: Fraction(1, 16),
    "mixed": mixed,
    "mixed_one": lambda whole, part: whole + Fraction(1, part),
    "mixed_sloppy": lambda whole, count, part: _after(whole, over(count, part)),
    "and_half": and_half,
    "plus_half": lambda whole: whole + Fraction(1, 2),
    "inch_and": lambda part: 1 + part,
    "decimal": decimal,
    "inch_decimal": inch_decimal,
    "inch_written": inch_written,
    "feet_only": lambda feet: feet * 12,
    "feet_inches": feet_inches,
    "feet_and_part": feet_and_part,
    "half_foot": lambda: 6,
    "part_feet": lambda feet, part: (feet + part) * 12,
    "millimeters": lambda value: Fraction(value) / MM_PER_INCH,
    "millimeters_decimal": millimeters_decimal,
    "spelled_mixed": spelled_mixed,
    "unsaid_feet": unsaid_feet,
    "joined_or_less": joined_or_less,
    "which_unit": which_unit,
    "centimeters": lambda value: Fraction(value) / CM_PER_INCH,
    "meters": lambda value: Fraction(value) / METERS_PER_INCH,
    "less": less,
    "less_of": lambda part, whole: less(whole, part),
    "more": total,
    "more_of": total,
    "strong": lambda: Qualifier.STRONG,
    "light": lambda: Qualifier.LIGHT,
    "leaning": leaning,
    "lean_first": lambda lean, value: leaning(value, lean),
    "leaning_in_millimeters": lambda value, lean: leaning(value, lean, Unit.MM),
    "lean_first_in_millimeters": lambda lean, value: leaning(value, lean, Unit.MM),
    "full": full(Unit.INCH),
    "full_in_millimeters": full(Unit.MM),
    "off_or_leaning": off_or_leaning,
    "half_off_or_leaning": half_off_or_leaning,
    "dash_at_its_end": dash_at_its_end,
    "plain": within,
    "called": within,
    "stud": within,
    "with_unit": within,
    "length": length,
    "length_in_millimeters": length_in_millimeters,
    "and_how_many": and_how_many,
    "and_how_many_of_which_unit": and_how_many_of_which_unit,
    "unsaid_millimeters": unsaid_millimeters,
    "loose": loose,
    "swallowed_whole": swallowed_whole,
    "swallowed_and": swallowed_and,
    "swallowed_plural": swallowed_plural,
    "either": lambda first, second: Several((first, second)),
    "vague": vague,
    "negative": lambda _: Refusal(Why.BELOW_ZERO),
    "nothing": lambda *_: NO_ZERO,
    "over_nothing": lambda *_: Refusal(Why.OVER_ZERO),
}


def _after(whole: Number, part: Fraction | Refusal) -> Number | Refusal:
    return part if isinstance(part, Refusal) else whole + part
