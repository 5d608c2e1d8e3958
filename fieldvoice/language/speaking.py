"""Meaning back to words: what is read back, in a form unlike the one spoken, that means the same when it is parsed.

The place comes first, values go figure by figure, so that no teen is taken for a ten, and a word stands between two
numbers. Commas are pauses for the voice.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from itertools import groupby

from fieldvoice.language.compiled import rules
from fieldvoice.language.meanings.numbers import PARTS
from fieldvoice.records.length import LEANS, Length, Unit, lean_unit
from fieldvoice.records.meaning import Qualifier


@cache
def _number_words() -> dict[tuple[str, int], str]:
    """The words of the grammar's own numbers, by rule and number."""
    return {
        (rule, int(expansion.name[1:])): " ".join(expansion.symbols)
        for rule, expansions in reversed(rules().expansions.items())
        for expansion in reversed(expansions)
        if expansion.name[1:].isdigit() and not any(symbol[0] in "<#" for symbol in expansion.symbols)
    }


def _word(rule: str, number: int) -> str:
    return _number_words()[rule, number]


def number_words(number: int) -> str:
    """A whole number from 0 to 9999 in words."""
    if number == 0:
        return _word("zero", 0)
    if number < 10:
        return _word("digit", number)
    if number < 20:
        return _word("teen", number)
    if number < 100:
        return _joined(_word("tens", number // 10 * 10), number % 10)
    if number < 1000:
        return _joined(f"{number_words(number // 100)} hundred", number % 100, " and ")
    hundreds = number % 1000 // 100
    thousands = f"{number_words(number // 1000)} thousand"
    return _joined(f"{thousands} {number_words(hundreds)} hundred" if hundreds else thousands, number % 100, " and ")


def _joined(front: str, rest: int, between: str = " ") -> str:
    return f"{front}{between}{number_words(rest)}" if rest else front


def figures(number: str) -> str:
    """A number figure by figure."""
    return " ".join(number_words(int(figure)) for figure in number)


def worded(text: str) -> str:
    """A name, or what somebody typed, with its figures in words: "box one", "top forty six seven eighths"."""
    return " ".join(_worded(word) for word in text.split())


def _worded(word: str) -> str:
    over, _, under = word.partition("/")
    if over.isdecimal() and under.isdecimal() and int(under) in PARTS and 0 < int(over) < int(under):
        return fraction_words(Fraction(int(over), int(under)))
    parts = ("".join(group) for _, group in groupby(word, str.isdecimal))
    return " ".join(_number(part) if part.isdecimal() else _SIGNS.get(part, part) for part in parts)


def _number(part: str) -> str:
    return number_words(int(part)) if len(part) < 5 else figures(part)


_SIGNS = {".": "point", "/": "over", "'": "feet", '"': "inches"}
"""Signs beside the figures of a number."""


def fraction_words(part: Fraction) -> str:
    """A fraction of the tape in words: "one sixteenth", "three quarters"."""
    count, under = part.numerator, part.denominator
    if count == 1:
        return f"{number_words(1)} {_part_word('part', under)}"
    return f"{number_words(count)} {_part_word('parts', under)}"


@cache
def _part_word(rule: str, under: int) -> str:
    """The grammar's first word for a part, through the rule that shares words for the same part."""
    expansion = next(found for found in rules().expansions[rule] if found.name == f"n{under}")
    shared = [
        rules().expansions[symbol[1:-1]][0].symbols[0] if symbol[0] == "<" else symbol for symbol in expansion.symbols
    ]
    return " ".join(shared)


def length_words(length: Length, unit: Unit) -> str:
    """A length figure by figure, in words that mean exactly it: "one three inches and one sixteenth"."""
    if length.inches < 0:
        return f"minus {length_words(-length, unit)}"
    said = length_parts(length, unit)
    if not said.whole:
        return f"{said.part} {said.unit}"
    return f"{said.whole} {said.unit}{f' and {said.part}' if said.part else ''}"


@dataclass(frozen=True, slots=True)
class LengthParts:
    """The words of a length, those that there are: its whole figures, its unit, its fraction."""

    whole: str
    unit: str
    part: str = ""


def length_parts(length: Length, unit: Unit) -> LengthParts:
    """A length figure by figure, in its parts."""
    whole, part = divmod(length.inches, 1)
    if unit is Unit.MM or part.denominator not in (1, *PARTS):
        text = length.text(Unit.MM)
        if "/" in text:  # worked out, and on no tape
            return LengthParts(worded(text), "millimeters")
        whole_mm, _, places = text.partition(".")
        return LengthParts(f"{figures(whole_mm)}{f' point {figures(places)}' if places else ''}", "millimeters")
    if part and not whole:
        return LengthParts("", "of an inch", fraction_words(part))
    inches = "inch" if whole == 1 else "inches"
    return LengthParts(figures(str(whole)), inches, fraction_words(part) if part else "")


def place_length_words(length: Length, unit: Unit) -> str:
    """A length as a place is called, which is no value to cut to: inches in plain words."""
    whole, part = divmod(length.inches, 1)
    if unit is Unit.MM or part.denominator not in (1, *PARTS):
        return length_words(length, unit)
    if part and not whole:
        return fraction_words(part)
    said = f"{number_words(whole)} {'inch' if whole == 1 else 'inches'}"
    return f"{said} and {fraction_words(part)}" if part else said


def measured_words(value: Length, qualifier: Qualifier | None, unit: Unit) -> str:
    """A length with what was said of it: the lean in its value is taken out again."""
    if qualifier is None:
        return length_words(value, unit)
    sign, leans_in = 1 if qualifier is Qualifier.STRONG else -1, lean_unit(value, unit)
    return f"{length_words(value - LEANS[leans_in] * sign, leans_in)} {qualifier}"


def name_words(name: str) -> str:
    """A name as it is said: a number in words."""
    return number_words(int(name)) if name.isdigit() and len(name) < 4 else name
