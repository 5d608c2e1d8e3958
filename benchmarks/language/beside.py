"""The length phrases of the phrase table, as general number parsers read them, beside ours.

The table is ours, and our grammar was made with it in view: the shares compare what the parsers do with this trade's
phrases, not how good they are at what they were made for.

All are given the benefit of the doubt: a number without unit counts as inches, feet followed by a number are added up,
and several numbers that don't go together count as refused, not as wrong. Rows with "strong" or "light" are left out:
it is a custom that no general parser can know. A phrase that has no safe single value is right when refused.

text2num (MIT), quantulum3 (MIT) and recognizers-text-suite (MIT; needs emoji below 2) are optional: what is missing
is named in the results. All are in the extra `measure`.
"""

from __future__ import annotations

import re
import time
import warnings
from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction

from fieldvoice.language.compiled import rules
from fieldvoice.language.understanding import understand
from fieldvoice.records.hearing import Source
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Reading
from fieldvoice.records.utterance import Part, Status
from tests.language.test_phrases import PHRASES, split

Reader = Callable[[str, Source], Fraction | None]
"""From words, spoken or typed, to inches; None where no single value was taken."""
INCHES = {
    "": Fraction(1),
    "dimensionless": Fraction(1),
    "inch": Fraction(1),
    "foot": Fraction(12),
    "millimeter": Fraction(10, 254),
    "centimeter": Fraction(100, 254),
    "meter": Fraction(10000, 254),
}
NEAR = Fraction(1, 10000)
"""Inches: floats of the others are taken for exact within this."""


def phrases() -> Iterator[tuple[str, Source, Fraction | None]]:
    """Words, how they came, and the exact inches; None where the table asks or refuses."""
    said = rules().words("length")
    for _, words, expected in PHRASES:
        plain, source, unit = split(words)
        if unit is Unit.MM:
            continue
        if re.fullmatch(r"[\d /]+", expected):
            yield plain, source, Length(expected).inches
        elif expected[0] in "?!" and (plain != words or said.issuperset(words.replace("-", " ").split())):
            yield plain, source, None


def ours() -> Reader:
    """The language of this package."""

    def read(words: str, source: Source) -> Fraction | None:
        said = understand(words, source)
        only = said.meanings[0] if said.status is Status.UNDERSTOOD and len(said.meanings) == 1 else None
        value = only.value if isinstance(only, Reading | Part) else None
        return value.inches if isinstance(value, Length) else None

    return read


def text2num() -> Reader:
    """text2num: the text with its numbers as figures; whole numbers only."""
    from text_to_num import alpha2digit

    def read(words: str, _: Source) -> Fraction | None:
        found = re.fullmatch(r"(\d+(?:\.\d+)?) ?([a-z]*)", alpha2digit(words, "en"))
        return together([(found[1], found[2])]) if found else None

    return read


def quantulum3() -> Reader:
    """quantulum3: quantities with units."""
    from quantulum3 import parser

    def read(words: str, _: Source) -> Fraction | None:
        return together([(str(found.value), found.unit.name) for found in parser.parse(words)])

    return read


def recognizers_text() -> Reader:
    """recognizers-text: numbers, each with the unit of the dimension around it."""
    from recognizers_number import recognize_number
    from recognizers_number_with_unit import recognize_dimension

    def read(words: str, _: Source) -> Fraction | None:
        around = recognize_dimension(words, "en-us")
        numbers = recognize_number(words, "en-us")
        return together(
            [
                (
                    number.resolution["value"],
                    next((d.resolution["unit"] for d in around if d.start <= number.start <= d.end), ""),
                )
                for number in numbers
            ]
        )

    return read


def together(numbers: Sequence[tuple[str, str]]) -> Fraction | None:
    """One length of the numbers with their units, None where they make none."""
    units = [unit.lower().replace("metre", "meter") for _, unit in numbers]
    units = [{"inches": "inch", "feet": "foot"}.get(unit, unit.removesuffix("s")) for unit in units]
    feet_and_more = len(numbers) == 2 and units[0] == "foot"
    if not (len(numbers) == 1 or feet_and_more) or any(unit not in INCHES for unit in units):
        return None
    return sum((Fraction(value) * INCHES[unit] for (value, _), unit in zip(numbers, units, strict=True)), Fraction())


def measured(read: Reader) -> dict[str, float]:
    """Right, wrong and refused phrases of one reader, and its milliseconds for a phrase after one pass to warm up."""
    counts, times = {"right": 0, "wrong": 0, "refused": 0}, []
    table = list(phrases())
    for turn in range(2):
        for words, source, expected in table:
            before = time.process_time()
            try:
                found = read(words, source)
            except Exception:  # noqa: BLE001  (whatever a library raises on a phrase, it took no value)
                found = None
            times.append((time.process_time() - before) * 1000)
            if turn:
                counts[outcome(found, expected)] += 1
    times = sorted(times[len(table) :])
    return {
        **counts,
        "right_share": round(counts["right"] / len(table), 3),
        "median_ms": round(times[len(times) // 2], 3),
    }


def outcome(found: Fraction | None, expected: Fraction | None) -> str:
    """Whether what was taken is right; a value where there is no safe one is wrong."""
    if found is None:
        return "right" if expected is None else "refused"
    return "right" if expected is not None and abs(found - expected) <= NEAR else "wrong"


def beside() -> dict[str, object]:
    """The figures of every reader that is installed."""
    warnings.simplefilter("ignore")
    figures: dict[str, object] = {"phrases": len(list(phrases()))}
    for reader in (ours, text2num, quantulum3, recognizers_text):
        try:
            figures[reader.__name__] = measured(reader())
        except ImportError as missing:
            figures[reader.__name__] = f"not installed: {missing.name}"
    return figures
