"""What is heard is taken only where it is sure; else it is asked about, with what else it may have been, or refused."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldvoice.ears import reading_head
from fieldvoice.language.automaton import open_talk
from fieldvoice.language.choosing import choose
from fieldvoice.language.compiled import rules
from fieldvoice.language.rules import FILLER
from fieldvoice.language.sampling import draw, sample
from fieldvoice.language.understanding import understand
from fieldvoice.language.verdict import (
    HARMLESS,
    HEARD,
    TABLE,
    Expectation,
    Finding,
    Gates,
    Kind,
    Verdict,
    ear_of,
    evidence,
    judge,
    kind_of,
    kinds_of,
    passes,
    settled,
    shipped,
)
from fieldvoice.records.hearing import EarKind, Hearing, Hypothesis, Source, begins
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Reading
from fieldvoice.records.utterance import Action, Answer, Command, Status, Unsure

Ways = tuple[str, float]
READING, OTHER = "top forty one and a half", "top forty four and a half"
GATES = Gates(
    {"reading": 0.1, "whisper": 0.1, "vosk": 0.1},
    {
        frozenset(["reading"]): {Kind.PLAIN: [{"reading": 0.9, "share": 0.99}]},
        frozenset(["reading", "whisper"]): {
            Kind.PLAIN: [{"reading": 0.9, "share": 0.99}, {"reading": 0.3, "share": 0.5, "whisper": 0.5}],
            Kind.TWIN: [{"reading": 0.9, "share": 0.99, "whisper": 0.5}],
            Kind.YES: [{"reading": 0.9, "whisper": 0.5}],
        },
        frozenset(["reading", "vosk"]): {Kind.PLAIN: [{"reading": 0.9, "unopposed": 0.5}]},
        frozenset(["whisper"]): {Kind.PLAIN: [{"whisper": 0.3, "share": 0.7, "surety": -0.8}]},
    },
)
"""For the rules of the verdict; the shipped ones are tested below."""


def head(*ways: Ways) -> Hearing:
    """What the reading ear made of an utterance: parts of all that could have been said."""
    hypotheses = tuple(Hypothesis(words, part) for words, part in ways)
    return Hearing(hypotheses, "reading", kind=EarKind.READING, encoder="reading")


def whisper(*ways: Ways, sure: float = -0.2) -> Hearing:
    """What Whisper made of it, on an encoder of its own."""
    hypotheses = tuple(Hypothesis(words, share) for words, share in ways)
    return Hearing(hypotheses, "whisper", kind=EarKind.WHISPER, encoder="tiny.en", log_probability=sure)


def vosk(*ways: Ways) -> Hearing:
    """What Vosk made of it, by a model of its own."""
    return Hearing(tuple(Hypothesis(words, share) for words, share in ways), "vosk", kind=EarKind.VOSK)


def verdict(*hearings: Hearing, answer: bool = False) -> Verdict:
    """By the gates above."""
    return judge(hearings, Expectation(answer=answer), GATES)


def values(found: Verdict) -> list[str]:
    """The readings of the rivals, as written."""
    return [one.value.text() for rival in found.rivals for one in rival if isinstance(one, Reading)]


def test_a_clear_reading_is_taken() -> None:
    """Wordings of one meaning count together."""
    found = verdict(head(("top forty one and three eighths", 0.6), ("top forty one three eighths", 0.35)))
    assert found.finding is Finding.ACCEPT
    assert found.utterance.meanings[0].value == Length("41 3/8")  # type: ignore[union-attr]


def test_a_close_runner_up_is_asked_about() -> None:
    """Two readings close in probability are both put to the speaker."""
    found = verdict(head((READING, 0.55), (OTHER, 0.44)))
    assert (found.finding, values(found), found.about) == (Finding.DOUBT, ["44 1/2"], Unsure.NOT_CLEAR)


def test_recognizers_that_differ_are_a_doubt_with_both() -> None:
    """The rival is what the other one heard, before the leading one's own second choice."""
    found = verdict(head((READING, 0.6), ("top forty and a half", 0.2)), whisper((OTHER, 1.0)))
    assert (found.finding, values(found)) == (Finding.DOUBT, ["44 1/2", "40 1/2"])
    assert found.about is Unsure.EARS_DIFFER


def test_a_second_recognizer_bears_out_a_weak_first_one() -> None:
    """What is asked about with one is taken where both mean the same."""
    weak = head((READING, 0.4), (OTHER, 0.2))
    assert verdict(weak).finding is Finding.DOUBT
    assert verdict(weak, whisper()).finding is Finding.DOUBT
    assert verdict(weak, whisper((READING, 0.4), (OTHER, 0.6))).finding is Finding.DOUBT
    assert verdict(weak, whisper((READING, 0.6), (OTHER, 0.4))).finding is Finding.ACCEPT


def test_a_model_of_its_own_that_differs_is_heeded() -> None:
    """Where a gate asks for that; what reads the leading one's own vectors errs alike and doesn't count."""
    sure = head((READING, 0.95))
    assert verdict(sure, whisper((OTHER, 1.0))).finding is Finding.ACCEPT
    for encoder, part in (("tiny.en", 0.3), ("reading", 1.0)):
        hearings = [sure, replace(whisper((OTHER, 0.7)), encoder=encoder)]
        assert evidence(hearings, [choose(one) for one in hearings])["unopposed"] == pytest.approx(part)
    assert verdict(sure, vosk((READING, 0.7), (OTHER, 0.3))).finding is Finding.ACCEPT
    assert verdict(sure, vosk((OTHER, 0.7))).finding is Finding.DOUBT


@pytest.mark.parametrize("others", [[], [whisper((READING, 1.0))]], ids=["alone", "with Whisper"])
@pytest.mark.parametrize(
    "first", [head(), head((OTHER, 0.05)), head(("pass me that drill", 1.0))], ids=["nothing", "a guess", "talk"]
)
def test_what_the_leading_recognizer_has_no_reading_for_is_refused(first: Hearing, others: list[Hearing]) -> None:
    """Whatever else another one hears: words outside the language count against a reading, too."""
    found = verdict(first, *others)
    assert (found.finding, found.utterance.status) == (Finding.REFUSE, Status.REFUSED)
    assert found.utterance.why


@pytest.mark.parametrize(
    ("words", "expected", "asked"),
    [
        ("top forty two", Expectation(), True),
        ("box one is dead and tested", Expectation(), True),
        ("eight", Expectation(number=True), True),
        ("eight", Expectation(), False),
        ("done", Expectation(), False),
        ("yes", Expectation(answer=True), False),
        ("that's right", Expectation(answer=True), False),
    ],
)
def test_a_guess_that_another_one_clearly_heard_is_asked_about(
    words: str, expected: Expectation, *, asked: bool
) -> None:
    """Several words that are no answer, and a figure that is awaited: none is ever taken. One word of talk is heard
    alike by both too easily.
    """
    first, other = head((words, 0.001)), replace(whisper((words, 0.5)), log_probability=-0.9)
    found = judge([first, other], expected)
    assert found.finding is (Finding.DOUBT if asked else Finding.REFUSE)
    assert not asked or found.utterance.meanings
    elsewhere = whisper(("middle ninety", 0.9), (words, 0.15))
    for doubtful in (replace(other, log_probability=-2.0), elsewhere, whisper((words, HEARD / 2))):
        assert judge([first, doubtful], expected).finding is Finding.REFUSE
    assert judge([first], expected).finding is Finding.REFUSE


def test_a_teen_with_its_ten_as_runner_up_is_of_their_kind() -> None:
    """However the words go on; in doubt both are put to the speaker."""
    hearing = head(("forty and seven sixteenths", 0.9), ("fourteen and seven sixteenths", 0.05))
    assert kind_of(choose(hearing), Expectation()) is Kind.TWIN
    found = verdict(hearing, whisper())
    assert (found.finding, found.utterance.status) == (Finding.DOUBT, Status.UNCLEAR)
    assert values(found) == ["40 7/16", "14 7/16"]


def test_an_unclear_meaning_is_asked_about() -> None:
    """With every meaning that the words may have."""
    found = verdict(head(("forty seven eighths", 1.0)))
    assert found.finding is Finding.DOUBT
    assert "40 7/8" in values(found)


def test_a_typed_line_is_taken_as_it_stands() -> None:
    """The keyboard doesn't mishear, thirteen or not."""
    assert verdict(Hearing.typed("top 13")).finding is Finding.ACCEPT


def test_no_hearing_at_all_is_refused() -> None:
    """An empty list is nothing heard."""
    assert verdict().finding is Finding.REFUSE


def test_recognizers_that_were_never_measured_are_only_asked_about() -> None:
    """No gate, no taking."""
    assert verdict(vosk((READING, 1.0))).finding is Finding.DOUBT


@pytest.mark.parametrize(
    ("words", "kind"),
    [
        ("top forty one and a half", Kind.PLAIN),
        ("box one dead and tested", Kind.CIRCUIT),
        ("yes", Kind.UNASKED),
        ("no top forty one", Kind.UNASKED),
        ("a hundred fourteen", Kind.TWIN),
        ("a hundred and forty", Kind.TWIN),
        ("top forty one", Kind.PLAIN),
        ("forty and five sixteenths", Kind.PLAIN),
        ("top four", Kind.LONE),
        ("five eighths", Kind.LONE),
        ("top nine and a half", Kind.PLAIN),
        ("what's missing", Kind.PLAIN),
    ],
)
def test_the_gravest_kind_counts(words: str, kind: Kind) -> None:
    """Circuits before answers, answers before what sounds alike, that before the rest."""
    assert kind_of(choose(head((words, 1.0))), Expectation()) is kind


@pytest.mark.parametrize(
    ("words", "kinds"),
    [
        ("top nine fifty", [Kind.TWIN, Kind.PLAIN]),
        ("fifty", [Kind.TWIN, Kind.LONE]),
        ("top fifty", [Kind.TWIN, Kind.LONE]),
        ("forty two", [Kind.LONE]),
        ("top forty two", [Kind.LONE]),
        ("forty two point five", [Kind.LONE]),
        ("top nine forty two", [Kind.PLAIN]),
        ("top four feet", [Kind.PLAIN]),
        ("top nine inches", [Kind.LONE]),
        ("box one live", [Kind.CIRCUIT]),
    ],
)
def test_in_millimeters_what_may_be_the_second_half_of_a_number_is_held_to_every_kind(
    words: str, kinds: list[Kind]
) -> None:
    """Half of "nine fifty" is a number under a hundred. In inches the gravest kind counts alone, for which the gates
    were chosen.
    """
    choice = choose(head((words, 1.0)), Unit.MM)
    assert kinds_of(choice, Expectation(unit=Unit.MM)) == kinds
    assert kinds_of(choose(head(("fifty", 1.0))), Expectation()) == [Kind.TWIN]


def test_in_millimeters_and_begins_no_fraction() -> None:
    """So that a ten before it ends a number, whose twin it may be."""
    words = "top nine fifty and bottom nine forty two"
    assert Kind.TWIN in kinds_of(choose(head((words, 1.0)), Unit.MM), Expectation(unit=Unit.MM))
    assert kind_of(choose(head(("fifty and a half", 1.0))), Expectation()) is Kind.PLAIN


def test_in_millimeters_each_kind_must_be_let_through() -> None:
    """A second half with a twin by a gate of both: that for twins alone doesn't weigh half a number."""
    gates = Gates({}, {frozenset(["reading"]): {Kind.TWIN: [{"reading": 0.1}], Kind.LONE: [{"reading": 0.9}]}})
    expected = Expectation(unit=Unit.MM)
    for part, finding in ((0.5, Finding.DOUBT), (0.95, Finding.ACCEPT)):
        assert judge([head(("top fifty", part))], expected, gates).finding is finding
        assert judge([head(("top fifty", part))], Expectation(), gates).finding is Finding.ACCEPT


@pytest.mark.parametrize(
    ("words", "denied"),
    [
        ("top thirteen fifty", "top thirty fifty"),
        ("top nine fifteen", "top nine fifty"),
        ("thirteen oh five", "thirty oh five"),
    ],
)
def test_in_millimeters_either_half_of_a_number_may_have_a_twin(words: str, denied: str) -> None:
    """By the shipped gates, however sure the first one is."""
    first, expected = head((words, 0.9999)), Expectation(unit=Unit.MM)
    assert judge([first, whisper((words, 0.9))], expected).finding is Finding.ACCEPT
    assert judge([first, whisper((denied, 0.9))], expected).finding is Finding.DOUBT
    assert not settled([first], ["whisper"], expected)


def test_in_millimeters_another_unit_is_taken_only_where_nobody_denies_it() -> None:
    """By the shipped gates; in a job in inches the gates alone weigh it."""
    first, expected = replace(head(("top seven feet", 0.9999)), above_noise_db=40.0), Expectation(unit=Unit.MM)
    other = whisper(("top seven", 0.99))
    assert judge([first, whisper(("top seven feet", 0.9))], expected).finding is Finding.ACCEPT
    assert judge([first, other], expected).finding is Finding.DOUBT
    assert judge([first, other]).finding is Finding.ACCEPT
    assert not settled([first], ["whisper"], expected)
    assert settled([first], ["whisper"])


def test_answers_are_of_their_own_kind_where_one_is_awaited() -> None:
    """A yes lets a value through, a no only makes it be asked again."""
    kinds = [kind_of(choose(head((words, 1.0))), Expectation(answer=True)) for words in ("yes", "no")]
    assert kinds == [Kind.YES, Kind.NO]
    yes = head(("yes", 0.95)), whisper(("yes", 0.9))
    assert verdict(*yes, answer=True).finding is Finding.ACCEPT
    assert verdict(*yes).finding is Finding.DOUBT


def test_evidence_is_named_by_its_recognizer() -> None:
    """Each gives what it gives to the leading one's best meaning."""
    hearings = [head((READING, 0.8), (OTHER, 0.2)), whisper((OTHER, 0.7), (READING, 0.3)), vosk((OTHER, 0.6))]
    assert [ear_of(one) for one in hearings] == ["reading", "whisper", "vosk"]
    found = evidence(hearings, [choose(one) for one in hearings])
    expected = {"reading": 0.8, "share": 0.8, "whisper": 0.3, "vosk": 0.0, "unopposed": 0.3, "surety": -0.2}
    assert found == pytest.approx(expected)


def test_a_gate_asks_for_all_that_it_names() -> None:
    """What was not told is never enough."""
    assert passes({"reading": 0.9, "share": 1.0}, {"reading": 0.9})
    assert not passes({"reading": 0.89, "share": 1.0}, {"reading": 0.9})
    assert not passes({"reading": 0.9}, {"surety": -5.0})


@settings(deadline=None)
@given(part=st.floats(0, 1), words=st.sampled_from(["yes", "top forty", READING]), agrees=st.booleans())
def test_a_higher_probability_is_never_treated_worse(part: float, words: str, agrees: bool) -> None:
    """By the shipped gates, with Whisper along or not."""
    order = [Finding.REFUSE, Finding.DOUBT, Finding.ACCEPT]
    others = [whisper((words, 1.0))] if agrees else []
    less, more = judge([head((words, part * 0.8)), *others]), judge([head((words, part)), *others])
    assert order.index(more.finding) >= order.index(less.finding)


def test_what_needs_no_second_recognizer_is_settled() -> None:
    """A sure reading. In doubt the other one may help, and in what is no reading it may hear word of a live circuit."""
    assert settled([head((READING, 0.95))], ["whisper"], gates=GATES)
    for words, sure in ((READING, 0.5), (READING, 0.05), ("forty seven eighths", 1.0), ("hand me that", 1.0)):
        assert not settled([head((words, sure))], ["whisper"], gates=GATES)
    assert not settled([], ["whisper"], gates=GATES)


@pytest.mark.parametrize(
    "words", ["box one live", "box one dead and tested", "yes", "top fourteen", "top forty and a half"]
)
def test_what_is_grave_or_has_a_twin_is_heard_by_all(words: str) -> None:
    """However sure the first one is."""
    assert not settled([head((words, 0.9999))], ["whisper"], Expectation(answer=True))


@pytest.mark.parametrize(
    ("words", "denied"),
    [
        ("box one dead and tested", "box two dead and tested"),
        ("yes", "no"),
        ("top thirteen", "top thirty"),
        ("top forty and a half", "top fourteen and a half"),
        ("box fifteen live", "box fifty live"),
    ],
)
def test_a_clear_denial_is_asked_about(words: str, denied: str) -> None:
    """By the shipped gates, however sure the first one is; a mumbled one counts for nothing."""
    first = head((words, 0.9999))
    assert judge([first, whisper((denied, 0.9))], Expectation(answer=True)).finding is Finding.DOUBT
    agreeing = judge([first, whisper((words, 0.9))], Expectation(answer=True))
    assert agreeing.finding is Finding.ACCEPT
    mumbled = replace(whisper((denied, 0.9)), log_probability=-2.0)
    assert judge([first, mumbled], Expectation(answer=True)) == agreeing


def test_a_model_of_its_own_is_waited_for() -> None:
    """It may speak against the surest reading."""
    assert not settled([head((READING, 0.95))], ["vosk"], gates=GATES)


SAID = ("yes", "no", READING, OTHER, "top fourteen", "top forty", "forty seven eighths", "box one live", "five eighths")


@st.composite
def heard(draw: st.DrawFn, made: Callable[..., Hearing]) -> Hearing:
    """By one recognizer: some of the above, with probabilities that come to 1 at most."""
    words = draw(st.lists(st.sampled_from([*SAID, "hand me that"]), unique=True, max_size=3))
    parts = [draw(st.sampled_from([0.9999, 0.9, 0.5, 0.2, 0.01])) * 0.5**place for place in range(len(words))]
    return made(*zip(words, parts, strict=True))


@settings(deadline=None)
@given(heard(head), heard(whisper), st.floats(-1.5, 0), st.booleans(), st.sampled_from([GATES, None]))
def test_what_is_settled_stays_so(first: Hearing, second: Hearing, sure: float, answer: bool, by: Gates | None) -> None:
    """With Whisper's hearing the verdict is the same as without, by the gates above and by the shipped ones."""
    expected = Expectation(answer=answer)
    if settled([first], ["whisper"], expected, by):
        assert judge([first], expected, by) == judge([first, replace(second, log_probability=sure)], expected, by)


def test_the_table_was_chosen_for_the_head_that_is_shipped() -> None:
    """Another head gives other probabilities: `python -m benchmarks.hearing fit` then chooses anew, or the table says
    that it is kept for that head, with which the test split was heard anew (`docs/HEARING_TABLES.md`).
    """
    run = json.loads(TABLE.read_text(encoding="utf-8"))["run"]
    facts = json.loads((Path(reading_head.__file__).parent / "head.json").read_text(encoding="utf-8"))
    assert facts["sha256"] in (run["head"], run.get("kept for"))
    assert run["split"] == "tune"
    assert run["texts"]["call"] >= 150


@pytest.mark.parametrize("ears", ["reading", "reading+whisper", "whisper"])
def test_every_kind_has_its_gates_or_is_asked_about(ears: str) -> None:
    """The table names all kinds, and a sure reading passes."""
    gates = shipped().gates[frozenset(ears.split("+"))]
    assert set(gates) == set(Kind)
    certain = {"reading": 1.0, "whisper": 1.0, "share": 1.0, "unopposed": 1.0, "surety": 0.0}
    assert any(passes(certain, gate) for gate in gates[Kind.PLAIN])
    nothing = dict.fromkeys(certain, 0.0) | {"surety": -9.0}
    assert not any(passes(nothing, gate) for kind in Kind for gate in gates[kind])


def test_an_ear_is_known_by_its_kind_and_not_by_its_name() -> None:
    """What has none was measured by nobody: it is asked about, however sure it is."""
    named = replace(whisper((READING, 1.0)), recognizer="reading (tiny.en)")
    assert ear_of(named) == "whisper"
    assert verdict(replace(named, kind=None)).finding is Finding.DOUBT


def test_another_word_that_whisper_clearly_heard_stops_a_lone_one() -> None:
    """No house is taken for help; several words, an unclear one, and the same one don't stop it."""
    gates = Gates(
        {}, {frozenset(["reading", "whisper"]): {Kind.LONE: [{"reading": 0.9}], Kind.PLAIN: [{"reading": 0.9}]}}
    )

    def found(second: Hearing, words: str = "help") -> Finding:
        return judge([head((words, 0.95)), second], Expectation(), gates).finding

    assert found(whisper(("house", 0.6))) is Finding.DOUBT
    assert found(whisper(("left", 0.6))) is Finding.DOUBT
    assert found(whisper(("house", 0.4))) is Finding.ACCEPT
    assert found(whisper(("house", 0.6), sure=-1.2)) is Finding.ACCEPT
    assert found(whisper(("and two", 0.6))) is Finding.ACCEPT
    assert found(whisper(("help", 0.6))) is Finding.ACCEPT
    assert found(whisper(("house", 0.9)), READING) is Finding.ACCEPT
    assert not settled([head(("help", 0.99))], ["whisper"], gates=gates), "Whisper may yet hear another word"


@pytest.mark.parametrize("words", ["yes", "yeah", "yep", "yes sir"])
def test_a_circuits_yes_is_one_that_every_recognizer_heard(words: str) -> None:
    """As a yes, in whatever words; one that heard nothing clearly doesn't count, and any other yes needs no more than
    its gates.
    """
    gates = Gates({}, {frozenset(["reading", "whisper"]): {kind: [{"reading": 0.9}] for kind in Kind}})

    def found(*others: Hearing, circuit: bool = True) -> Finding:
        return judge([head((words, 0.99)), *others], Expectation(answer=True, circuit=circuit), gates).finding

    assert found(whisper(("yes", 0.6), ("the answer", 0.4))) is Finding.ACCEPT
    assert found(whisper(("the answer", 0.9))) is Finding.DOUBT
    assert found(whisper()) is Finding.DOUBT
    assert found(whisper(("the answer", 0.9), sure=-1.2)) is Finding.ACCEPT
    assert found(whisper(("the answer", 0.9)), circuit=False) is Finding.ACCEPT


def test_a_lone_figure_is_judged_by_gates_of_its_own_where_one_is_awaited() -> None:
    """Said with its place it needs none, and what was no figure isn't made one by waiting."""
    waiting = Expectation(number=True)
    assert kind_of(choose(head(("five", 1.0))), waiting) is Kind.FIGURE
    assert kind_of(choose(head(("five", 1.0))), Expectation()) is Kind.LONE
    assert kind_of(choose(head(("top five", 1.0))), waiting) is Kind.LONE
    assert kind_of(choose(head(("done", 1.0))), waiting) is Kind.LONE
    assert kind_of(choose(head(("fifteen", 1.0))), waiting) is Kind.TWIN


@cache
def ways_to_order() -> Mapping[Action, list[str]]:
    """Words that are one order and nothing else, drawn from the grammar."""
    dice = Random(5)
    ways = [("command", 1500), ("command__unheard", 3000)]
    found: dict[Action, list[str]] = defaultdict(list)
    for words in sorted({" ".join(draw(rule, dice)[0]) for rule, count in ways for _ in range(count)}):
        match understand(words, Source.SPOKEN).meanings:
            case (Command(action=action, target=None),):
                found[action].append(words)
    return found


@pytest.mark.parametrize("action", sorted(HARMLESS))
def test_an_order_that_costs_nothing_is_taken_at_less(action: Action) -> None:
    """However it is said, and at least of all where it has no rival; never where another recognizer clearly heard
    another word, nor below a least probability.
    """
    orders = ways_to_order()[action]
    assert orders
    none = Gates({"reading": 0.1}, {})
    for words in orders:
        assert judge([head((words, 0.4))], gates=none).finding is Finding.ACCEPT
        assert judge([head((words, 0.15), ("undo", 0.04))], gates=none).finding is Finding.ACCEPT
        assert judge([head((words, 0.25), ("undo", 0.06))], gates=none).finding is Finding.DOUBT
        assert judge([head((words, 0.09))], gates=none).finding is not Finding.ACCEPT
        lone = " " not in words
        other = judge([head((words, 0.4)), whisper(("house", 0.9))], gates=none)
        assert other.finding is (Finding.DOUBT if lone else Finding.ACCEPT)


@pytest.mark.parametrize(
    "words", ["undo", "next board", "hold", "forget box two", "yes", "no", "box one dead and tested"]
)
def test_what_changes_something_is_not_taken_at_less(words: str) -> None:
    """An order that takes back, goes on, stops listening, or says something of a value or a circuit."""
    assert judge([head((words, 0.9))], Expectation(answer=True), Gates({}, {})).finding is Finding.DOUBT


@pytest.mark.parametrize("filler", sorted(rules().words(FILLER)))
def test_a_filler_before_it_changes_nothing(filler: str) -> None:
    """Heard it means what it means typed, the ears listen for it, and a lone word behind it stays a lone word."""
    dice = Random(filler)
    for one in (sample(dice) for _ in range(60)):
        assert begins(open_talk(), f"{filler} {filler} {one.words}")
        typed, heard = (understand(f"{filler} {one.words}", source) for source in (Source.TYPED, Source.SPOKEN))
        plain = understand(one.words, Source.SPOKEN)
        assert (heard.status, heard.meanings, heard.heard) == (plain.status, plain.meanings, plain.heard)
        if plain.status is Status.UNDERSTOOD and understand(one.words, Source.TYPED).status is Status.UNDERSTOOD:
            assert typed.meanings == understand(one.words, Source.TYPED).meanings
    assert kind_of(choose(head((f"{filler} done", 1.0))), Expectation()) is Kind.LONE


@pytest.mark.parametrize(
    ("ways", "beside", "plain"),
    [
        ((("yes", 0.98),), (("yes", 0.9),), True),
        ((("yes", 0.94), ("that's right", 0.05)), (("yes", 0.9),), True),
        ((("yes", 0.6), ("that's right", 0.38)), (("yes", 0.9),), False),
        ((("yes", 0.98),), (("that's right", 0.9),), False),
        ((("that's right", 0.98),), (("yes", 0.9),), False),
        ((("yes", 0.55), ("sounds good", 0.43)), (("that's right", 0.4), ("yes", 0.5)), False),
    ],
)
def test_agreement_in_other_words_is_the_same_answer(
    ways: tuple[Ways, ...], beside: tuple[Ways, ...], *, plain: bool
) -> None:
    """Ears that hear one each agree, and nobody is asked; but then it is no plain yes, which alone counts for a
    circuit.
    """
    verdict = judge([head(*ways), whisper(*beside)], Expectation(answer=True), GATES)
    assert verdict.finding is Finding.ACCEPT
    (answer,) = verdict.utterance.meanings
    assert isinstance(answer, Answer)
    assert (answer.yes, answer.agreed, answer.plain) == (True, not plain, plain)


@pytest.mark.parametrize("other", ["no", "that's live", "top forty six"])
def test_what_is_no_agreement_is_still_asked_about(other: str) -> None:
    """A no, word of a circuit, a reading."""
    verdict = judge([head(("yes", 0.55), (other, 0.44)), whisper(("yes", 0.9))], Expectation(answer=True), GATES)
    assert verdict.finding is not Finding.ACCEPT
