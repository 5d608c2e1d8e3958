"""All evidence together takes what no gate lets through, where it is sure; never against a firm denial."""

from __future__ import annotations

from collections.abc import Mapping

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldvoice.language.choosing import choose
from fieldvoice.language.surety import WARNING, Surety, shipped, signs, weighed
from fieldvoice.language.understanding import understand
from fieldvoice.language.verdict import (
    FEW,
    GATED_FIGURE,
    HARMLESS_FIGURE,
    Expectation,
    Finding,
    Gates,
    Kind,
    judge,
    kind_of,
)
from fieldvoice.records.hearing import EarKind, Hearing, Hypothesis, Source
from fieldvoice.records.length import Unit
from fieldvoice.records.meaning import Danger

EAGER = Surety(
    {**dict.fromkeys(shipped().calls, 0.0), "always": 1.0}, {**dict.fromkeys(shipped().few, 0.0), "always": 1.0}, {}
)
"""Weights by which everything comes to 1."""


NOTHING = Expectation()


def head(words: str, part: float, *others: tuple[str, float]) -> Hearing:
    """What the reading ear made of an utterance."""
    ways = tuple(Hypothesis(*way) for way in ((words, part), *others))
    return Hearing(ways, "reading", kind=EarKind.READING, encoder="reading", above_noise_db=25.0)


def whisper(words: str, share: float, sure: float = -0.2) -> Hearing:
    """What Whisper made of it."""
    return Hearing(
        (Hypothesis(words, share),), "whisper", kind=EarKind.WHISPER, encoder="tiny.en", log_probability=sure
    )


def by(
    least: Mapping[Kind, float] | Mapping[str, float], *hearings: Hearing, expected: Expectation = NOTHING
) -> Finding:
    """With no gate at all, and everything at 1."""
    gates = Gates({}, {}, Surety(EAGER.calls, EAGER.few, {str(kind): figure for kind, figure in least.items()}))
    return judge(hearings, expected, gates).finding


def figure(*hearings: Hearing, few: bool = False) -> float:
    """What the shipped weights come to."""
    weights = shipped().few if few else shipped().calls
    return weighed(signs(hearings, [choose(hearing) for hearing in hearings]), weights)


@pytest.mark.parametrize(
    ("words", "kind"),
    [("top forty one", Kind.PLAIN), ("top forty", Kind.TWIN), ("seven", Kind.LONE), ("box one is live", Kind.CIRCUIT)],
)
def test_a_kind_is_taken_from_its_least_figure_on(words: str, kind: Kind) -> None:
    """Not below it, not where only another kind has one, and nothing without one."""
    heard = head(words, 0.5), whisper(words, 0.9)
    assert by({kind: 1.0}, *heard) is Finding.ACCEPT
    assert by({kind: 1.01}, *heard) is Finding.DOUBT
    assert by({other: 0.0 for other in Kind if other is not kind}, *heard) is Finding.DOUBT
    assert by({}, *heard) is Finding.DOUBT


def is_danger_alone(words: str) -> bool:
    """Whether the words have one meaning, and that is danger."""
    meanings = understand(words, Source.SPOKEN).meanings
    return bool(meanings) and all(isinstance(one, Danger) for one in meanings)


WHAT = ("box two", "box four", "light one", "that one", "the breaker", "power", "both boxes", "it")
HOW = ("is live", "is hot", "is back on", "is still hot", "isn't dead")
WARNINGS = [words for what in WHAT for how in HOW if is_danger_alone(words := f"{what} {how}")]


def test_there_are_warnings() -> None:
    """So that what follows says something."""
    assert len(WARNINGS) >= 20


@pytest.mark.parametrize("words", WARNINGS)
def test_word_of_danger_in_several_words_is_taken_at_less(words: str) -> None:
    """It counts whether it is taken or asked about. By a least figure of its own, or by that of circuits."""
    heard = head(words, 0.5), whisper(words, 0.9)
    assert by({Kind.CIRCUIT: 2.0, WARNING: 1.0}, *heard) is Finding.ACCEPT
    assert by({Kind.CIRCUIT: 2.0, WARNING: 1.01}, *heard) is Finding.DOUBT
    assert by({Kind.CIRCUIT: 2.0}, *heard) is Finding.DOUBT


@pytest.mark.parametrize(
    "words",
    [
        "live",
        "hot",
        "okay live",
        "box fourteen is live",
        "box forty is live",
        "box two is dead and tested",
        "it is dead",
        "top forty one",
        "box two is live top forty one",
    ],
)
def test_a_lone_word_of_danger_or_a_box_with_a_twin_or_another_state_is_not(words: str) -> None:
    """A "line" is heard as "live", a teen's box as its ten's; and what is dead is never taken at less."""
    heard = head(words, 0.5), whisper(words, 0.9)
    assert by({**{str(kind): 1.01 for kind in Kind}, WARNING: 0.0}, *heard) is not Finding.ACCEPT


@pytest.mark.parametrize(
    ("words", "expected", "gated"),
    [
        ("seven", Expectation(), False),
        ("left", Expectation(), False),
        ("yes", Expectation(answer=True), False),
        ("no", Expectation(answer=True), False),
        ("yes", Expectation(), False),
        ("seven", Expectation(number=True), True),
        ("top forty one", Expectation(), True),
    ],
)
def test_no_gate_takes_a_lone_word_or_an_answer_that_all_evidence_leaves_open(
    words: str, expected: Expectation, gated: bool
) -> None:
    """Where it is weighed; of a figure that is awaited, and of more words, a gate is enough."""
    kind = kind_of(choose(head(words, 0.9)), expected)
    open_gate: dict[Kind, list[dict[str, float]]] = {kind: [{}]}
    for least, taken in ((1.01, gated), (1.0, True)):
        gates = Gates(
            {}, {frozenset(["reading", "whisper"]): open_gate}, Surety(EAGER.calls, EAGER.few, {str(kind): least})
        )
        found = judge([head(words, 0.9), whisper(words, 0.9)], expected, gates).finding
        assert (found is Finding.ACCEPT) is taken


@pytest.mark.parametrize(
    ("words", "expected", "least"),
    [
        ("top forty one", Expectation(), GATED_FIGURE),
        ("top forty", Expectation(), GATED_FIGURE),
        ("box one is live", Expectation(), GATED_FIGURE),
        ("seven", Expectation(number=True), GATED_FIGURE),
        ("done", Expectation(), HARMLESS_FIGURE),
        ("read it all back", Expectation(), HARMLESS_FIGURE),
    ],
)
def test_neither_a_gate_nor_harmlessness_takes_what_all_evidence_speaks_against(
    words: str, expected: Expectation, least: float
) -> None:
    """Where it is weighed: with one recognizer alone both do."""
    kind = kind_of(choose(head(words, 0.9)), expected)
    for figure, taken in ((least, True), (least - 0.01, False)):
        weights = {**EAGER.calls, "always": figure}
        gates = Gates(
            {},
            {frozenset(ears): {kind: [{}]} for ears in (("reading", "whisper"), ("reading",))},
            Surety(weights, weights, {str(kind): 9.0}),
        )
        assert (judge([head(words, 0.9), whisper(words, 0.9)], expected, gates).finding is Finding.ACCEPT) is taken
        assert judge([head(words, 0.9)], expected, gates).finding is Finding.ACCEPT


@pytest.mark.parametrize(
    ("words", "denial", "expected"),
    [
        ("box one is dead and tested", "box one is live", Expectation()),
        ("box one is dead and tested", "top forty", Expectation()),
        ("yes", "no", Expectation(answer=True)),
        ("no", "yes", Expectation(answer=True)),
        ("yes", "no", Expectation()),
    ],
)
def test_what_is_firm_is_never_taken_against_a_denial(words: str, denial: str, expected: Expectation) -> None:
    """However sure all else is; without the denial it is."""
    every = dict.fromkeys(Kind, 0.0)
    assert by(every, head(words, 0.99), whisper(denial, 0.9), expected=expected) is Finding.DOUBT
    assert by(every, head(words, 0.99), whisper(words, 0.9), expected=expected) is Finding.ACCEPT


@pytest.mark.parametrize("unit", [Unit.INCH, Unit.MM])
@pytest.mark.parametrize("words", ["box one is live", "the power is on", "it's still hot", "box two is not dead"])
@pytest.mark.parametrize("denial", ["top forty", "box one is dead and tested"])
def test_word_of_danger_is_no_less_sure_for_a_denial(words: str, denial: str, unit: Unit) -> None:
    """It counts whether it is taken or asked about, so that only that a box is dead waits for both."""
    ears = frozenset(["reading", "whisper"])
    gates, expected = Gates({}, {ears: {Kind.CIRCUIT: [{}]}}), Expectation(unit=unit)
    for said, taken in ((words, Finding.ACCEPT), ("box three is dead and tested", Finding.DOUBT)):
        assert judge([head(said, 0.99), whisper(denial, 0.9)], expected, gates).finding is taken


def test_only_the_pair_in_inches_is_weighed() -> None:
    """One recognizer alone, another pair, the pair turned round and a job in millimeters have gates alone."""
    every, reading, other = dict.fromkeys(Kind, 0.0), head("top forty one", 0.9), whisper("top forty one", 0.9)
    vosk = Hearing((Hypothesis("top forty one", 0.9),), "vosk", kind=EarKind.VOSK)
    assert by(every, reading, other) is Finding.ACCEPT
    for hearings in ((reading,), (other,), (other, reading), (reading, vosk), (reading, other, vosk)):
        assert by(every, *hearings) is not Finding.ACCEPT
    assert by(every, reading, other, expected=Expectation(unit=Unit.MM)) is not Finding.ACCEPT


@given(st.floats(0.06, 0.9), st.floats(0.5, 0.99), st.floats(-1.0, -0.1))
def test_more_of_the_leading_ear_and_less_against_it_is_surer(part: float, share: float, sure: float) -> None:
    """By the shipped weights, where Whisper is clear: likelier, further from the next, borne out, not opposed."""
    one, other = "top forty one and a half", "top forty four and a half"
    here = figure(head(one, part, (other, 0.05)), whisper(one, share, sure))
    assert figure(head(one, part + 0.05, (other, 0.05)), whisper(one, share, sure)) > here
    assert figure(head(one, part, (other, 0.01)), whisper(one, share, sure)) > here
    assert figure(head(one, part, (other, 0.05)), whisper(other, share, sure)) < here


def test_every_sign_has_a_weight_and_every_weight_a_sign() -> None:
    """Of calls and of few words alike; the least figures name kinds."""
    heard = head("seven", 0.9), whisper("seven", 0.9)
    names = signs(heard, [choose(hearing) for hearing in heard]).keys()
    assert shipped().calls.keys() == shipped().few.keys() == names
    assert shipped().least.keys() <= {*Kind, WARNING}
    assert set(FEW) <= set(Kind)


def test_a_twentieth_for_another_meaning_is_asked_about() -> None:
    """However well it is borne out."""
    every, one, other = dict.fromkeys(Kind, 0.0), "top fifty nine", "top sixty nine"
    assert by(every, head(one, 0.94, (other, 0.06)), whisper(one, 0.95)) is Finding.DOUBT
    assert by(every, head(one, 0.96, (other, 0.04)), whisper(one, 0.95)) is Finding.ACCEPT


@pytest.mark.parametrize(("words", "twin"), [("top thirteen", "top thirty"), ("fifty", "fifteen")])
def test_a_twin_that_is_clearly_heard_is_asked_about(words: str, twin: str) -> None:
    """However sure all else is; one that is heard in part, or mumbled, weighs no more than other evidence."""
    every = dict.fromkeys(Kind, 0.0)
    assert by(every, head(words, 0.999), whisper(twin, 0.65)) is Finding.DOUBT
    assert by(every, head(words, 0.999), whisper(twin, 0.55)) is Finding.ACCEPT
    assert by(every, head(words, 0.999), whisper(twin, 0.65, sure=-1.1)) is Finding.ACCEPT
