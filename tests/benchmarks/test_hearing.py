"""The harness that measures hearing: its calls, its store, its figures, the choice of gates, and the page."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from benchmarks.hearing.figures import confusions, wilson
from benchmarks.hearing.fitting import MARGIN, Event, gates
from benchmarks.hearing.page import filled
from benchmarks.hearing.policies import Result, Treated, first_understood, treated
from benchmarks.hearing.store import Store
from fieldvoice.language import understand
from fieldvoice.language.verdict import Expectation, Kind, passes
from fieldvoice.records.hearing import Hearing, Hypothesis, Scale, Source
from fieldvoice.records.meaning import Utterance


def heard(*words: str) -> Hearing:
    """Hypotheses of equal probability."""
    return Hearing(tuple(Hypothesis(one, 1 / len(words)) for one in words), "head", scale=Scale.POSTERIOR)


def test_the_interval_is_wilsons() -> None:
    """0 of 10: up to 27.75 %; 5 of 10: 23.66 to 76.34 % (worked out by hand from Wilson's formula with z = 1.96)."""
    assert wilson(0, 10) == [0.0, 27.75]
    assert wilson(5, 10) == [23.66, 76.34]
    assert wilson(0, 0) == [0.0, 100.0]


def test_what_became_what_leaves_out_what_is_the_same() -> None:
    """Counted, most frequent first; a dash where words were lost."""
    wrong = [
        ["5 dB", "top a hundred fourteen", "top a hundred forty"],
        ["0 dB", "left fourteen", "left forty"],
        ["0 dB", "top forty two", "top two"],
    ]
    assert confusions(wrong) == [["fourteen", "forty", 2], ["forty", "–", 1]]


def test_right_asked_and_wrong() -> None:
    """By meaning, not by words; talk is never right."""
    meant = understand("top forty one and a half", Source.SPOKEN).meanings
    assert treated(meant, [heard("top forty one and one half")], first_understood).result is Result.RIGHT
    assert treated(meant, [heard("the lift")], first_understood).result is Result.ASKED
    assert treated(meant, [heard("top forty")], first_understood).result is Result.WRONG
    assert treated((), [heard("top forty")], first_understood).result is Result.WRONG


def test_what_is_taken_wrongly_when_an_answer_is_awaited_is_wrong() -> None:
    """Four for no: wrong although it was no answer to anything."""

    def only_answers(hearings: list[Hearing], expected: Expectation) -> Utterance | None:
        return understand(hearings[0].words, Source.SPOKEN) if expected.answer else None

    meant = understand("top four", Source.SPOKEN).meanings
    assert treated(meant, [heard("no")], only_answers) == Treated(Result.WRONG, "no")


def test_the_store_goes_on_where_it_was_broken_off(tmp_path: Path) -> None:
    """A hearing comes back as it was; half a line at the end is heard again."""
    store, one = Store(tmp_path), heard("top forty", "top fourteen")
    store.keep("head", "call-1-0", one)
    with store.file("head").open("a", encoding="utf-8") as file:
        file.write('{"key": "call-2-0", "hypo')
    assert store.heard("head") == {"call-1-0": one}
    assert store.heard("nobody") == {}


def events(right: list[float], wrong: list[float], kind: Kind = Kind.PLAIN) -> list[Event]:
    """Readings with these probabilities, each alone in its share."""
    good = [Event(kind, {"reading": one, "share": 1.0}, right=True, gains=True) for one in right]
    return good + [Event(kind, {"reading": one, "share": 1.0}, right=False, gains=False) for one in wrong]


def test_gates_let_no_error_through_and_keep_a_margin() -> None:
    """The worst error at 0.8 has odds of 4: the gate's are more than twice that, and all right ones above pass."""
    found = events([0.3, 0.85, 0.95, 0.99], [0.5, 0.8])
    (gate,) = gates(found, ["reading"])[Kind.PLAIN]
    assert gate["reading"] / (1 - gate["reading"]) / MARGIN > 4
    assert [passes(one.evidence, gate) for one in found] == [False, False, True, True, False, False]


def test_a_grave_kind_is_held_to_plain_errors_too() -> None:
    """And where nothing is safe there is no gate at all."""
    found = events([0.9], [], Kind.TWIN) + events([], [0.95])
    assert gates(found, ["reading"])[Kind.TWIN] == []
    assert gates(events([0.9], [0.9999999], Kind.YES), ["reading"])[Kind.YES] == []


def test_the_page_is_filled_between_its_marks() -> None:
    """What stands between them is made anew, all else stays; an unknown mark is an error."""
    page = "Words.\n\n<!-- goals -->\nold\n<!-- end -->\n\nMore.\n"
    assert filled(page, {"goals": "| new |"}) == "Words.\n\n<!-- goals -->\n| new |\n<!-- end -->\n\nMore.\n"
    with pytest.raises(KeyError):
        filled(page, {})


def test_the_committed_page_shows_the_committed_figures() -> None:
    """`python -m benchmarks.hearing page` changes nothing."""
    from benchmarks.hearing.__main__ import PAGE, page_text

    assert page_text() == PAGE.read_text(encoding="utf-8")


def test_the_figures_are_of_disjoint_voices() -> None:
    """No voice of the test split is in the tuning split."""
    results = Path(__file__).parents[2] / "benchmarks" / "results"
    tune, test = (
        json.loads((results / f"hearing_{name}.json").read_text(encoding="utf-8")) for name in ("tune", "test")
    )
    assert not set(tune["run"]["voices"]) & set(test["run"]["voices"])
    assert tune["run"]["head"] == test["run"]["head"]
