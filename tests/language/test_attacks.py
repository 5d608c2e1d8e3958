"""Phrases of the table with a word lost, said twice or moved: what the words don't say is never taken for a value."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from fieldvoice.language.choosing import choose, which_twin
from fieldvoice.language.compiled import rules
from fieldvoice.language.phrases import read_back
from fieldvoice.language.understanding import understand
from fieldvoice.records.hearing import Hearing, Hypothesis, Source
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Reading
from fieldvoice.records.utterance import Answer, Ask, Meaning, Part, Question, Status, Utterance
from fieldvoice.wording.forms import Form
from fieldvoice.wording.questions import asked as which_asked
from tests.language.test_phrases import PHRASES, result
from tests.language.test_round_trip import meanings

SPOKEN = [words for _, words, expected in PHRASES if expected[0] not in "?!" and words[:2] not in {"T ", "M "}]


def said(words: str) -> Utterance:
    """Those words as heard."""
    return understand(words, Source.SPOKEN)


def stutters(words: str) -> Iterator[str]:
    """The phrase with each of its words said twice."""
    split = words.split()
    return (" ".join([*split[:place], split[place], *split[place:]]) for place in range(len(split)))


def lengths(utterance: Utterance) -> set[Length]:
    """The values of the readings that were taken."""
    return {one.value for one in utterance.meanings if isinstance(one, Reading)}


TEENS = ("thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen")
TENS = ("thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
BOX = "single gang center {} from the left center twenty down"
NUMBERS = frozenset().union(*(rules().words(rule) for rule in ("digit", "teen", "tens", "zero")))


@pytest.mark.parametrize("figure", ["9" * 5000, "1/" + "9" * 5000, "." + "9" * 5000, "9" * 31, "1," + "9" * 5000])
def test_a_figure_of_no_tape_is_no_word(figure: str) -> None:
    """So long that it is no number to Python either: refused like a word that isn't known, and shortened."""
    found = understand(f"top {figure}", Source.TYPED)
    assert found.status is Status.REFUSED
    assert not found.meanings


def test_a_stutter_is_never_another_value_in_silence() -> None:
    """A word said twice: the same value, a question or a refusal; only a number said twice may be a longer number,
    since that is what was said ("three three quarters").
    """
    wrong = [
        f"{words} -> {twice} -> {result(found)}"
        for words in SPOKEN
        for twice in stutters(words)
        for found in [said(twice)]
        if found.status is Status.UNDERSTOOD and not lengths(found) <= lengths(said(words))
        if not _longer_number(words, twice)
    ]
    assert wrong == []


def _longer_number(words: str, twice: str) -> bool:
    pairs = zip(twice.split(), twice.split()[1:], strict=False)
    before = set(zip(words.split(), words.split()[1:], strict=False))
    return any(one == other and one in NUMBERS and (one, other) not in before for one, other in pairs)


@pytest.mark.parametrize(
    "words",
    [
        "top forty two no three",
        "top forty two and a half no three eighths",
        "top forty two and a half no three and a half",
        "forty two sorry three",
        "no five",
        "make it seven eighths",
    ],
)
def test_the_end_of_a_reading_put_right_is_asked_about(words: str) -> None:
    """As in "Forty two, no, three": 43, or 3."""
    asked = said(words)
    assert asked.status is Status.UNCLEAR
    assert asked.ask == Question(Ask.WHOLE_OR_END)


@pytest.mark.parametrize("words", ["no three eighths", "sorry a half", "it's a half not a quarter"])
def test_a_fraction_alone_is_a_piece_and_never_a_reading(words: str) -> None:
    """After an objection the dialogue is told that only the fraction was said."""
    objected, piece = said(words).meanings
    assert objected == Answer(yes=False)
    assert isinstance(piece, Part)


@pytest.mark.parametrize(
    ("line", "source"),
    [
        ("46, 7/8", Source.TYPED),
        ("t 46, 7/8", Source.TYPED),
        ("46 t 7/8, 46 3/4, 46 1/4", Source.TYPED),
        ("46,7/8", Source.TYPED),
        ("46,5", Source.TYPED),
        ("46,47,48", Source.TYPED),
        ("46 7/8 -", Source.TYPED),
        ("48 - 1/8", Source.TYPED),
        ("46.7/8", Source.TYPED),
        ("eight one and a half", Source.SPOKEN),
        ("nine oh and a half", Source.SPOKEN),
        ("one fifteen sixteenths", Source.SPOKEN),
        ("one thirty thirty seconds", Source.SPOKEN),
        ("forty two bottom forty one", Source.SPOKEN),
        ("forty top two and a sixteenth strong", Source.SPOKEN),
        ("forty two right", Source.SPOKEN),
        ("work in millimeters top three hundred", Source.SPOKEN),
        ("leave three three on the left", Source.SPOKEN),
        ("forty two by ninety five", Source.SPOKEN),
    ],
)
def test_what_may_be_two_things_is_no_value(line: str, source: Source) -> None:
    """Commas, dashes, places and numbers that may belong to either side: asked about or refused."""
    assert understand(line, source).status is not Status.UNDERSTOOD


@pytest.mark.parametrize("unit", Unit)
@given(one=meanings, other=meanings)
def test_no_two_meanings_share_a_read_back(unit: Unit, one: Meaning, other: Meaning) -> None:
    """Who hears the read-back knows which of the two was taken."""
    assume(one != other)
    assert read_back(one, unit) != read_back(other, unit)


@given(
    st.integers(0, 6),
    st.booleans(),
    st.sampled_from(["top {}", "top {} and a half", "diagonal {}", "box {} live", BOX]),
)
def test_teens_and_tens_are_told_at_every_place(ones: int, hundred: bool, form: str) -> None:
    """Alone, after a hundred or with a fraction, in a reading, a box and its name: both are put to the speaker."""
    assume(not (hundred and "live" in form))
    calls = [form.format(f"{'a hundred and ' * hundred}{words[ones]}") for words in (TEENS, TENS)]
    heard = Hearing((Hypothesis(calls[0], 0.9), Hypothesis(calls[1], 0.05)), "ear")
    assert which_twin(choose(heard)) is not None


def test_twins_are_asked_about_in_millimeters() -> None:
    """Eleven nineteen and eleven ninety."""
    heard = Hearing((Hypothesis("top eleven nineteen", 0.9), Hypothesis("top eleven ninety", 0.05)), "ear")
    asked = which_twin(choose(heard, Unit.MM))
    assert asked is not None
    assert "one one one nine millimeters" in (which_asked(asked, Form(Unit.MM)) or "")
