"""Number words and fractions against generators and tables made elsewhere."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from fieldvoice.language.speaking import number_words
from fieldvoice.language.understanding import understand
from fieldvoice.records.hearing import Source
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Reading
from fieldvoice.records.utterance import Part


def value(words: str) -> Fraction:
    """The inches of a bare reading; under an inch they are a part of one, as an answer to a question is."""
    return figure(words, Source.SPOKEN)


def figure(said: str, source: Source) -> Fraction:
    """The one length that was said or typed."""
    (meaning,) = understand(said, source).meanings
    assert isinstance(meaning, Reading | Part)
    assert isinstance(meaning.value, Length)
    return meaning.value.inches


def plain(words: str) -> str:
    """Number words without hyphens and "and"."""
    return " ".join(word for word in words.replace("-", " ").split() if word != "and")


def test_number_words_against_num2words() -> None:
    """0 to 1000 in the words of num2words (LGPL, at test time only), and every seventh of them in millimeters."""
    num2words = pytest.importorskip("num2words").num2words
    wrong = [
        number
        for number in range(1, 1001, 7)
        if value(f"{num2words(number)} millimeters") != Length.of(number, Unit.MM).inches
    ]
    assert wrong == []
    assert [n for n in range(1001) if plain(num2words(n)) != plain(number_words(n))] == []


def icu_table() -> dict[int, str]:
    """Number words by ICU's spell-out rules, as `tests/published/icu_spellout.py` wrote them."""
    text = (Path(__file__).parent / "icu_spellout_en.tsv").read_text(encoding="utf-8")
    rows = (line.split("\t") for line in text.splitlines() if not line.startswith("#"))
    return {int(number): words for number, words in rows}


def test_number_words_against_icu() -> None:
    """0 to 1000 in the words of ICU (CLDR data, Unicode License): ours are the same, and theirs are understood."""
    table = icu_table()
    assert sorted(table) == list(range(1001))
    assert [number for number, words in table.items() if plain(words) != plain(number_words(number))] == []
    wrong = [n for n in range(1, 1001) if value(f"{table[n]} millimeters") != Length.of(n, Unit.MM).inches]
    assert wrong == []


def test_text2num_reads_our_number_words() -> None:
    """text2num (MIT) reads every number from 0 to 1000 that we say as the same number."""
    text_to_num = pytest.importorskip("text_to_num")
    wrong = [n for n in range(1001) if text_to_num.text2num(number_words(n), "en") != n]
    assert wrong == []


NEMO = {
    "2/4": "two quarters",
    "1/4": "one quarter",
    "31/32": "thirty one thirty seconds",
    "1/2": "one half",
    "2 1/2": "two and a half",
    "3 2/4": "three and two quarters",
    "4 1/2": "four and a half",
}
"""Written and spoken fractions of the NeMo text-processing test data, those that a tape can have (NVIDIA, Apache-2.0:
`tests/nemo_text_processing/en/data_text_normalization/test_cases_fraction.txt` of NVIDIA/NeMo at 29b575a; the last two
are of a later version, from memory).
"""
NEMO_OFF_THE_TAPE = {
    "1/3": "one third",
    "22/3": "twenty two thirds",
    "142/1": "one hundred forty two over one",
    "1/2007": "one two thousand seventh",
    "1795/1805": "one thousand seven hundred ninety five one thousand eight hundred fifths",
    "12639/12640": "twelve thousand six hundred thirty nine twelve thousand six hundred fortieths",
}
"""Those that no tape has. Three more write 1/4 and 1/3 with letters after the figures."""


@pytest.mark.parametrize(("written", "words"), NEMO.items())
def test_written_and_spoken_fractions(written: str, words: str) -> None:
    """What was written is the value, said or typed."""
    expected = sum(map(Fraction, written.split()))
    assert value(words) == expected
    assert figure(written, Source.TYPED) == expected


@pytest.mark.parametrize(("written", "words"), NEMO_OFF_THE_TAPE.items())
def test_fractions_that_no_tape_has(written: str, words: str) -> None:
    """Neither the words nor the figures give a value."""
    assert understand(words, Source.SPOKEN).meanings == ()
    assert understand(written, Source.TYPED).meanings == ()


@pytest.mark.parametrize("under", [2, 4, 8, 16, 32])
def test_fractions_composed_from_ordinals(under: int) -> None:
    """Every proper fraction as num2words' cardinal and ordinal, halves and quarters by hand."""
    num2words = pytest.importorskip("num2words").num2words
    part = {2: "half", 4: "quarter"}.get(under) or num2words(under, to="ordinal").replace("-", " ")
    parts = "halves" if under == 2 else f"{part}s"
    for count in range(1, under):
        words = f"forty six and {num2words(count).replace('-', ' ')} {part if count == 1 else parts}"
        assert value(words) == 46 + Fraction(count, under), words
