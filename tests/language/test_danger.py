"""Word of a live circuit counts from sound where it is likely enough, and always where it was typed."""

from __future__ import annotations

from collections.abc import Callable
from itertools import product
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldvoice.language import choosing
from fieldvoice.language.automaton import vocabulary
from fieldvoice.language.choosing import danger_in
from fieldvoice.language.speaking import number_words
from fieldvoice.language.understanding import understand
from fieldvoice.records.hearing import EarKind, Hearing, Hypothesis, Source
from fieldvoice.records.length import Unit
from fieldvoice.records.meaning import Danger

PHRASES = [
    line.split("\t") for line in Path(__file__).with_name("phrases.tsv").read_text(encoding="utf-8").splitlines()[2:]
]


def heard(kind: EarKind, live: float) -> Hearing:
    """Five, or with this probability word of a live box."""
    return Hearing((Hypothesis("five", 1 - live), Hypothesis("box two is live", live)), "ear", kind=kind)


def counts(*hearings: Hearing) -> bool:
    """Whether danger does."""
    return bool(danger_in(hearings, Unit.INCH))


def test_a_hint_of_danger_in_a_five_cries_no_alarm() -> None:
    """The leading ear must give it a tenth, another one half; alone the other one leads."""
    assert not counts(heard(EarKind.READING, 0.05), heard(EarKind.WHISPER, 0.4))
    assert counts(heard(EarKind.READING, 0.1), heard(EarKind.WHISPER, 0.0))
    assert counts(heard(EarKind.READING, 0.0), heard(EarKind.WHISPER, 0.5))
    assert counts(heard(EarKind.WHISPER, 0.2))


LONE = ("live", "hot", "energized", "untested", "um live", "so hot")
SEVERAL = (
    "the breaker is on", "it's energized", "they're all live", "box two is live", "power's on", "um the power is on",
)  # fmt: skip
ELSE = ("left", "lying", "five", "top forty two", "hold", "box four dead and tested")
probabilities = st.floats(0, 1)


def among(danger: str, mass: float, rest: float, share: float) -> Hearing:
    """Word of danger with so much of the probability, all else with `rest`, which is shared by two."""
    others = (Hypothesis(ELSE[0], rest * share), Hypothesis(ELSE[3], rest * (1 - share)))
    return Hearing((Hypothesis(danger, mass), *others), "ear", kind=EarKind.READING)


def check_shares(danger: str, mass: float, rest: float, share: float) -> None:
    """Several words of danger count where they are most of what was thought of, or a tenth of all; a lone one counts
    where it is both.
    """
    most = mass >= 0.8 * (mass + rest)
    wanted = mass >= 0.1 or (mass >= 1e-5 and most) if danger in SEVERAL else mass >= 0.1 and most
    assert counts(among(danger, mass, rest, share)) is wanted


# How much of it is danger, and how much is something else: at each side of every bound.
BALANCES = [
    (danger, mass, rest)
    for danger in (*LONE, *SEVERAL)
    for mass in (0.0, 5e-6, 5e-5, 0.01, 0.09, 0.11, 0.3, 0.9)
    for rest in (0.0, mass * 0.2, mass * 0.35, mass * 3, 0.05)
    if mass + rest <= 1
]


def check_all_shares() -> None:
    """Of every balance."""
    for danger, mass, rest in BALANCES:
        check_shares(danger, mass, rest, 0.5)


@pytest.mark.parametrize(("danger", "mass", "rest"), BALANCES)
def test_danger_counts_where_most_that_was_heard_speaks_of_it(danger: str, mass: float, rest: float) -> None:
    """Five for a hot box, and a hot box in noise."""
    check_shares(danger, mass, rest, 0.5)


@pytest.mark.parametrize(
    "mutant",
    [
        lambda lone, several, others: lone + several >= 0.1,
        lambda lone, several, others: lone + several >= 0.7 * (lone + several + others),
        lambda lone, several, others: lone + several >= max(0.1, 0.7 * (lone + several + others)),
        lambda lone, several, others: several >= 1e-5 or lone >= max(0.1, 0.8 * (lone + others)),
    ],
    ids=["no share", "no least", "no several words", "several words without a share"],
)
def test_no_other_weighing_passes(mutant: Callable[..., bool], monkeypatch: pytest.MonkeyPatch) -> None:
    """The balances above tell each part of it."""
    monkeypatch.setattr(choosing, "_is_danger", mutant)
    with pytest.raises(AssertionError):
        check_all_shares()


@given(st.sampled_from(SEVERAL + LONE), probabilities, probabilities, probabilities, st.floats(1, 10))
@settings(max_examples=200)
def test_more_of_danger_never_ends_an_alarm(danger: str, mass: float, rest: float, share: float, louder: float) -> None:
    """However the rest is shared out."""
    if counts(among(danger, mass, rest, share)):
        assert counts(among(danger, mass * louder, rest, 1 - share))


def test_what_is_typed_counts_as_it_stands() -> None:
    """With the box that it names."""
    assert danger_in([Hearing.typed("box two is live")], Unit.INCH) == (Danger("2"),)


TOUCHES = (
    "it bit me", "tester still beeps", "someone flipped the breaker", "not sure box one is dead", "the lights came on",
    "box one needs testing again", "retest box one", "outlet still works", "that wasn't the right breaker",
    "who tested box one", "box one isn't safe", "theres power at the box", "my meter reads 120", "the pen lit up",
    "arc", "i got a tingle", "he hit a wire", "volts on it", "don't trust that box", "somebody pulled the fuse back in",
)  # fmt: skip


@pytest.mark.parametrize(
    "words", ["top 46 and a bit over", "bottm 46 7/8", "box 1 daed and tested", "46 7/8 light top", "box 2 singel gang"]
)
def test_a_slip_in_a_reading_is_no_word_of_circuits(words: str) -> None:
    """A lean or a box's kind alone says nothing of its wires."""
    found = understand(words, Source.TYPED)
    assert not found.suspect
    assert not found.danger


UNFORESEEN = (
    "ouch", "stop", "STOP!", "careful", "danger", "box 1 is on", "it's on", "it isn't on", "someone turned it back on",
    "they switched it back on", "ticker is going off", "voltage on it", "box one has voltage", "I smell burning",
    "that was the wrong one", "I forgot to turn it off", "somebody took the lock off", "tag is gone", "don't cut",
    "don't touch box 1", "do not rout box 1", "stop the router", "it's humming", "box 1 is backfeeding", "L I V E",
    "they started the generator", "main's back on", "the main is on", "pwr is on", "esta vivo", "hay corriente",
)  # fmt: skip


@pytest.mark.parametrize("around", ["{}", "no, {}", "hey {}", "{} i think", "zzz {} qqq"])
@pytest.mark.parametrize("words", [*TOUCHES, *UNFORESEEN])
def test_what_is_typed_and_speaks_of_no_reading_may_be_about_a_circuit(words: str, around: str) -> None:
    """As danger where it is known for that, else as words of circuits in what nobody understood, or that makes no
    sense: no list has every way to say that a wire is live.
    """
    found = understand(around.format(words), Source.TYPED)
    assert found.suspect or found.danger


@given(st.lists(st.text("bcdfghjkmnpqrvwxz", min_size=5, max_size=9), min_size=1, max_size=6), st.booleans())
@settings(max_examples=60, deadline=None)
def test_words_that_nobody_knows_may_be_about_a_circuit(words: list[str], box: bool) -> None:
    """In another language, say; but not beside a reading, which they only spoil."""
    line = " ".join((*(("box", "1") if box else ()), *words))
    assert understand(line, Source.TYPED).suspect
    assert not understand(f"top 46 7/8 {line}", Source.TYPED).suspect


def test_an_unknown_word_of_any_length_is_said_back_in_short() -> None:
    """Its beginning tells which one it is."""
    why = understand("x" * 100_000, Source.TYPED).why
    assert why is not None
    assert why.values == ("x" * 40 + "…",)


SAID_BEFORE = ("two", "forty six", "one twenty", "two forty", "two forty volts", "live one", "um", "")
SAID_AFTER = ("", "please", "is live", "and then", "is hot um", "only six tested half")


@pytest.mark.parametrize("source", list(Source))
@pytest.mark.parametrize("at", ["in", "at", "on", "the box number"])
@pytest.mark.parametrize("number", [2, 13, 26, 40, 46, 64, 99])
def test_a_box_whose_number_may_end_early_hides_no_danger(at: str, number: int, source: Source) -> None:
    """Whatever figure stands before it: "two in box forty six" asks where its number ends, and is no word of danger."""
    for before, after in product(SAID_BEFORE, SAID_AFTER):
        words = " ".join(f"{before} {at} box {number_words(number)} {after}".split())
        found = understand(words, source).danger
        assert found or not {"live", "hot"} & set(words.split()), words
        assert {one.box for one in found} <= {f"box {number}", None}, words


@settings(max_examples=300, deadline=None)
@given(st.lists(st.sampled_from(vocabulary()), min_size=1, max_size=9))
def test_words_at_random_are_understood_or_not(words: list[str]) -> None:
    """What ears make of noise is any words of the job in any order: each has a meaning, a question or a refusal, and
    what is said to be danger is danger.
    """
    for source in Source:
        assert all(isinstance(one, Danger) for one in understand(" ".join(words), source).danger)


def test_a_slip_in_word_of_danger_is_danger() -> None:
    """It isn't waited for until the guess is confirmed."""
    assert (
        understand("box one is energised", Source.TYPED).danger
        or understand("box one is energised", Source.TYPED).suspect
    )
    assert understand("box one is lvie", Source.TYPED).danger


@pytest.mark.parametrize("line", ["t 46 7/8, {}", "{}, m 46 7/8", "t 46 7/8, b 46 3/4. {}"])
@pytest.mark.parametrize("words", ["ouch", "it's on", "stop", "box 1 is on", "it's humming", "hay corriente"])
def test_a_clause_beside_a_reading_may_be_about_a_circuit(words: str, line: str) -> None:
    """The reading says nothing of what stands apart from it."""
    found = understand(line.format(words), Source.TYPED)
    assert found.suspect or found.danger


EXCLAMATIONS = (
    "ouch", "OW", "damn", "shit", "whoa", "yikes", "wtf", "holy crap", "argh", "yowza!", "kaboom!!", "ay caramba!",
)  # fmt: skip


@pytest.mark.parametrize("line", ["t 46 7/8 {}", "{} t 46 7/8", "t 46 7/8 b 46 3/4 {}"])
@pytest.mark.parametrize("words", EXCLAMATIONS)
def test_what_is_called_out_beside_a_reading_may_be_about_a_circuit(words: str, line: str) -> None:
    """Without a comma as well; and the reading isn't taken while nobody knows what else was said."""
    found = understand(line.format(words), Source.TYPED)
    assert found.suspect or found.danger
    assert not found.meanings
    assert found.why is not None


@pytest.mark.parametrize("line", ["t 46 7/8!", "tpo 46 7/8!", "done!", "box 1 singel gang!"])
def test_a_mark_alone_calls_nothing_out(line: str) -> None:
    """Nor does a slip."""
    assert not understand(line, Source.TYPED).suspect


@pytest.mark.parametrize("case", [words for _, words, _ in PHRASES if "," in words])
def test_the_clauses_of_a_call_are_not_about_a_circuit(case: str) -> None:
    """Cut at its commas, no call of the table holds words of circuits alone."""
    assert not understand(case.removeprefix("M ").removeprefix("T "), Source.TYPED).suspect
