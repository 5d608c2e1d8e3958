"""What is heard is taken only where it is sure; else it is asked about, with what else it may have been, or refused."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldvoice.language.verdict import GATES, LOUD_DB, RUN, Expectation, Finding, Verdict, judge
from fieldvoice.records.hearing import Hearing, Hypothesis, Scale
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Reading, Status


def heard(*ways: tuple[str, float], ear: str = "whisper", sure: float = -0.2, noise: float = -60.0) -> Hearing:
    """What one ear made of an utterance."""
    hypotheses = tuple(Hypothesis(words, share) for words, share in ways)
    return Hearing(hypotheses, ear, noise_db=noise, log_probability=sure)


def values(verdict: Verdict) -> list[str]:
    """The readings of the rivals, as written."""
    return [one.value.text() for rival in verdict.rivals for one in rival if isinstance(one, Reading)]


def test_a_clear_reading_is_taken() -> None:
    """One ear, one meaning."""
    verdict = judge([heard(("top forty one and three eighths", 0.95), ("top forty one and three eights", 0.05))])
    assert verdict.finding is Finding.ACCEPT
    assert verdict.utterance.meanings[0].value == Length("41 3/8")  # type: ignore[union-attr]
    assert verdict.one_ear


def test_a_close_runner_up_is_asked_about() -> None:
    """Two readings close in score are both put to the speaker."""
    verdict = judge([heard(("top forty one and a half", 0.6), ("top forty four and a half", 0.4))])
    assert verdict.finding is Finding.DOUBT
    assert values(verdict) == ["44 1/2"]


def test_two_ears_that_differ_are_a_doubt_with_both() -> None:
    """However sure each is."""
    verdict = judge([heard(("top forty one", 1.0)), heard(("top forty four", 1.0), ear="vosk")])
    assert (verdict.finding, values(verdict)) == (Finding.DOUBT, ["44"])
    assert verdict.about == "the recognizers differ"
    assert verdict.ears == ("whisper", "vosk")


def test_a_second_ear_bears_out_a_weak_first_one() -> None:
    """What is asked about with one ear is taken where both mean the same."""
    weak = heard(("top forty one and a half", 0.3), ("top forty four and a half", 0.25))
    assert judge([weak]).finding is Finding.DOUBT
    assert judge([weak, heard(("top forty one and a half", 0.9), ear="vosk")]).finding is Finding.ACCEPT


def test_a_second_ear_that_heard_nothing_changes_nothing() -> None:
    """It works with either ear alone, and says so."""
    sure = heard(("top forty one and a half", 1.0))
    for hearings in ([sure, heard(ear="vosk")], [heard(ear="vosk"), sure]):
        verdict = judge(hearings)
        assert (verdict.finding, verdict.ears) == (Finding.ACCEPT, ("whisper",))


@pytest.mark.parametrize("words", ["top thirteen", "top thirty", "top four", "yes", "box one dead and tested"])
def test_what_sounds_alike_needs_more(words: str) -> None:
    """Bare teens and tens, lone digits, a yes and a dead circuit: shares that pass elsewhere are asked about here."""
    plain = ("top forty one and a half", 0.25), ("nothing of this job", 0.75)
    assert judge([heard(*plain)]).finding is Finding.ACCEPT
    assert judge([heard((words, 0.25), plain[1])], Expectation(answer=True)).finding is Finding.DOUBT
    assert judge([heard((words, 0.95), plain[1])], Expectation(answer=True)).finding is Finding.ACCEPT


def test_a_no_is_taken_more_easily_where_an_answer_is_awaited() -> None:
    """A no to a question only makes it be asked again; one out of the blue is looked at twice."""
    no = heard(("no", 0.25), ("nothing of this job", 0.7))
    assert judge([no], Expectation(answer=True)).finding is Finding.ACCEPT
    assert judge([no]).finding is Finding.DOUBT


def test_loud_noise_asks_sooner() -> None:
    """The same shares that pass in quiet are asked about in noise."""
    ways = ("top forty one and a half", 0.25), ("top nothing", 0.75)
    assert judge([heard(*ways, noise=LOUD_DB - 10)]).finding is Finding.ACCEPT
    assert judge([heard(*ways, noise=LOUD_DB + 10)]).finding is Finding.DOUBT


@pytest.mark.parametrize(
    "hearing",
    [
        heard(),
        heard(("pass me that drill", 1.0)),
        heard(("top forty one", 0.05), ("pass me that drill", 0.95)),
        heard(("top forty one", 1.0), sure=-1.2),
    ],
    ids=["silence", "site talk", "mostly site talk", "a mumble"],
)
def test_what_is_not_the_job_is_refused(hearing: Hearing) -> None:
    """Nothing, talk, or a guess: refused with a sentence that says what to do."""
    verdict = judge([hearing])
    assert verdict.finding is Finding.REFUSE
    assert verdict.utterance.status is Status.REFUSED
    assert verdict.utterance.why


def test_a_typed_line_is_taken_as_it_stands() -> None:
    """The keyboard doesn't mishear, thirteen or not."""
    assert judge([Hearing.typed("top 13")]).finding is Finding.ACCEPT


def test_no_ears_at_all_is_refused() -> None:
    """An empty list is nothing heard."""
    assert judge([]).finding is Finding.REFUSE


def test_the_table_names_its_run_and_strict_is_stricter() -> None:
    """Every bound of the strict gate is at least the usual one's."""
    usual, strict = GATES["usual"], GATES["strict"]
    assert "voices" in RUN
    assert strict.of_all > usual.of_all
    assert strict.of_understood > usual.of_understood
    assert strict.log_probability > usual.log_probability


@settings(deadline=None)
@given(
    share=st.floats(0, 1),
    sure=st.floats(-3, 0),
    words=st.sampled_from(["yes", "top forty", "top forty one and a half"]),
)
def test_surer_is_never_treated_worse(share: float, sure: float, words: str) -> None:
    """More probability or a higher score never turns a taken reading into a question."""
    order = [Finding.REFUSE, Finding.DOUBT, Finding.ACCEPT]
    less = judge([heard((words, share * 0.8), ("nothing of it", 1 - share), sure=sure - 0.1)])
    more = judge([heard((words, share), ("nothing of it", 1 - share), sure=sure)])
    assert order.index(more.finding) >= order.index(less.finding)


def head(*ways: tuple[str, float], noise: float = -60.0) -> Hearing:
    """What the reading ear made of an utterance: parts of all that could have been said."""
    hypotheses = tuple(Hypothesis(words, part) for words, part in ways)
    return Hearing(hypotheses, "reading", noise_db=noise, scale=Scale.POSTERIOR, encoder="tiny.en")


def second(*ways: tuple[str, float]) -> Hearing:
    """What Whisper made of it, on the same encoder."""
    return replace(heard(*ways), encoder="tiny.en")


READING, OTHER = "top forty one and a half", "top forty four and a half"


def test_a_sure_posterior_is_taken_alone_and_against_its_shared_encoder() -> None:
    """Whisper reads the same vectors, so what it makes of them is no better evidence than the posterior."""
    for others in ([], [second()], [second((OTHER, 1.0))]):
        assert judge([head((READING, 0.99)), *others]).finding is Finding.ACCEPT


def test_a_second_model_that_differs_is_a_doubt_however_sure_the_first() -> None:
    """Vosk hears for itself."""
    verdict = judge([head((READING, 0.9999)), second((READING, 1.0)), heard((OTHER, 0.9), ear="vosk")])
    assert (verdict.finding, values(verdict)) == (Finding.DOUBT, ["44 1/2"])


@pytest.mark.parametrize("ways", [[(READING, 0.4)], [(READING, 0.9), (OTHER, 0.01)]], ids=["unsure", "a rival"])
def test_below_the_sure_gate_both_must_mean_the_same(ways: list[tuple[str, float]]) -> None:
    """Alone it is asked about, borne out it is taken, and where Whisper differs both are put to the speaker."""
    assert judge([head(*ways)]).finding is Finding.DOUBT
    assert judge([head(*ways), second()]).finding is Finding.DOUBT
    assert judge([head(*ways), second((READING, 0.6), (OTHER, 0.4))]).finding is Finding.ACCEPT
    verdict = judge([head(*ways), second((OTHER, 0.6))])
    assert (verdict.finding, values(verdict)) == (Finding.DOUBT, ["44 1/2"])


@pytest.mark.parametrize("others", [[], [(READING, 1.0)]], ids=["alone", "with Whisper"])
def test_a_small_posterior_rejects_whatever_whisper_hears(others: list[tuple[str, float]]) -> None:
    """The head always finds some reading in noise and talk; how likely it is tells."""
    verdict = judge([head((READING, 0.01)), second(*others)])
    assert verdict.finding is Finding.REFUSE
    assert verdict.utterance.why


def test_nothing_from_the_head_is_nothing() -> None:
    """Whisper isn't left to decide alone what the posterior had no reading for."""
    assert judge([head(), second((READING, 1.0))]).finding is Finding.REFUSE


@pytest.mark.parametrize(
    "words",
    [
        "top four",
        "top five eighths",
        "yes",
        "box one dead and tested",
        "a hundred fourteen",
        "a hundred and forty",
        "box ninety live",
    ],
)
def test_what_sounds_alike_needs_a_sure_posterior_and_whisper(words: str) -> None:
    """Surely wrong was "a hundred forty" for "a hundred fourteen": neither of the two is enough alone."""
    assert judge([head((words, 0.9999))]).finding is Finding.DOUBT
    assert judge([head((words, 0.4)), second((words, 1.0))]).finding is Finding.DOUBT
    assert judge([head((words, 0.9999)), second((words, 0.6))]).finding is Finding.ACCEPT


def test_a_second_reader_that_heard_badly_bears_nothing_out() -> None:
    """Agreement by a guess is no agreement."""
    guess = replace(second((READING, 1.0)), log_probability=-1.4)
    assert judge([head((READING, 0.3)), guess]).finding is Finding.DOUBT
    assert judge([head((READING, 0.3)), second((READING, 0.05), (OTHER, 0.04))]).finding is Finding.DOUBT


@settings(deadline=None)
@given(part=st.floats(0, 1), words=st.sampled_from(["yes", "top forty", READING]), agrees=st.booleans())
def test_a_higher_posterior_is_never_treated_worse(part: float, words: str, agrees: bool) -> None:
    """With Whisper along or not, more of all that could have been said never turns a taken reading into a question."""
    order = [Finding.REFUSE, Finding.DOUBT, Finding.ACCEPT]
    others = [second((words, 1.0))] if agrees else []
    less, more = judge([head((words, part * 0.8)), *others]), judge([head((words, part)), *others])
    assert order.index(more.finding) >= order.index(less.finding)
