"""The harness that measures hearing: its calls, its store, its figures, the choice of gates, and the page."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from benchmarks.hearing.corpus import LEVELS, PLANS, Counts, Item, Sounds
from benchmarks.hearing.corpus import Kind as SoundKind
from benchmarks.hearing.figures import confusions, figures, wilson
from benchmarks.hearing.fitting import Estimates, Event, best_margin, gates, left_out, speakers_of
from benchmarks.hearing.fitting import events as events_of
from benchmarks.hearing.hearing import Case
from benchmarks.hearing.outcomes import EVERY, Became, outcome, rows
from benchmarks.hearing.page import filled, margins
from benchmarks.hearing.policies import Policy, Result, Treated, first_understood, treated
from benchmarks.hearing.store import Store
from benchmarks.hearing.weighing import heard as weighed
from fieldvoice.language.choosing import choose
from fieldvoice.language.understanding import understand
from fieldvoice.language.verdict import Expectation, Kind, at_once_by, kind_of, passes, shipped
from fieldvoice.records.hearing import EarKind, Hearing, Hypothesis, Source
from fieldvoice.records.utterance import Utterance
from training.corpus import Clip
from training.splits import Split
from training.texts import Said, Text
from training.voices import Voice


def heard(*words: str) -> Hearing:
    """Hypotheses of equal probability."""
    return Hearing(tuple(Hypothesis(one, 1 / len(words)) for one in words), "head", kind=EarKind.READING)


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

    def only_answers(hearings: Sequence[Hearing], expected: Expectation) -> Utterance | None:
        return understand(hearings[0].words, Source.SPOKEN) if expected.answer else None

    meant = understand("top four", Source.SPOKEN).meanings
    assert treated(meant, [heard("no")], only_answers) == Treated(Result.WRONG, "no")


@pytest.mark.parametrize(
    ("words", "ways", "became", "likeliest"),
    [
        ("seven", {"seven": 0.99}, Became.RIGHT, True),
        ("yes", {"yes": 0.99}, Became.RIGHT, True),
        ("top forty one", {"top forty one": 0.5, "top forty four": 0.45}, Became.ASKED, True),
        ("top forty one", {"top forty four": 0.5, "top forty one": 0.45}, Became.ASKED, False),
        ("top forty one", {"top forty four": 0.999}, Became.WRONG, False),
        ("the lift", {"yes": 0.999}, Became.WRONG, False),
        ("the lift", {"seven": 0.999}, Became.WRONG, False),
        ("the lift", {"top forty one": 0.02}, Became.REFUSED, False),
        ("the lift", {}, Became.REFUSED, False),
    ],
)
def test_what_becomes_of_a_sound(words: str, ways: dict[str, float], became: Became, likeliest: bool) -> None:
    """Where what was said is awaited; taken for an answer or a figure it is wrong though neither was said. By the gates
    of the leading recognizer alone.
    """
    item = Item("call-1-0", SoundKind.CALL, "clean", words, "one voice")
    hypotheses = tuple(Hypothesis(*way) for way in ways.items())
    hearing = Hearing(hypotheses, "head", kind=EarKind.READING, above_noise_db=30.0)
    case = Case(item, item.meant, {"reading": hearing})
    found = outcome(case, ["reading"])
    assert (found.became, found.likeliest) == (became, likeliest)
    assert bool(found.heard) is (became is Became.WRONG)


def test_outcomes_are_counted_by_row() -> None:
    """Each sound once, and each wrong one by name."""
    second = Hearing((Hypothesis("top forty four", 0.9),), "w", kind=EarKind.WHISPER, log_probability=-0.2)
    cases = []
    for words in ("top forty four", "top forty one"):
        item = Item("call-1-0", SoundKind.CALL, "clean", words, "one voice")
        first = Hearing((Hypothesis("top forty four", 0.999),), "head", kind=EarKind.READING, above_noise_db=30.0)
        cases.append(Case(item, item.meant, {"reading": first, "whisper": second}))
    found = rows([("here", case) for case in cases] + [("there", cases[0])])
    none = {"danger counts": 0, "danger missed": 0, "danger falsely": 0}
    assert found["rows"] == {
        "here": {"of": 2, "likeliest": 1, "right": 1, "asked": 0, "refused": 0, "wrong": 1} | none,
        "there": {"of": 1, "likeliest": 1, "right": 1, "asked": 0, "refused": 0, "wrong": 0} | none,
    }
    assert found["wrong"] == [["here", "top forty one", "top forty four", "one voice"]]
    assert not found["falsely danger"]


@pytest.mark.parametrize(
    ("said", "heard_as", "row"),
    [
        ("box two is live", "box two is live", "danger counts"),
        ("box two is live", "box two is five", "danger missed"),
        ("lie", "live", "danger falsely"),
    ],
)
def test_word_of_danger_is_counted_whether_it_is_taken_or_not(said: str, heard_as: str, row: str) -> None:
    """As it counts in the dialogue: said and heard, said and passed over, heard where none was said."""
    item = Item("call-1-0", SoundKind.CALL, "clean", said, "one voice")
    first = Hearing((Hypothesis(heard_as, 0.6),), "head", kind=EarKind.READING, above_noise_db=30.0)
    second = Hearing((Hypothesis("well", 0.9),), "w", kind=EarKind.WHISPER, log_probability=-0.2)
    found = rows([("here", Case(item, item.meant, {"reading": first, "whisper": second}))])
    counted = {name: count for name, count in found["rows"]["here"].items() if "danger" in name and count}
    assert counted == {row: 1}
    assert bool(found["falsely danger"]) is (row == "danger falsely")


@pytest.mark.parametrize("probability", [0.1, 0.4, 0.9, 0.99, 0.9999])
@pytest.mark.parametrize("words", ["top forty four and a half", "help", "done", "no", "eight", "box two is live"])
def test_what_is_weighed_is_taken_at_once_from_the_figure_that_the_verdict_takes_it_from(
    words: str, probability: float
) -> None:
    """For every sound that weights are fitted on: below it the verdict leaves it to the weighing, from it on not."""
    gates_here = replace(shipped(), sure=None)
    item = Item("call-1-0", SoundKind.CALL, "clean", words, "one voice")
    hearings = [
        Hearing((Hypothesis(words, probability),), "head", kind=EarKind.READING, above_noise_db=30.0),
        Hearing((Hypothesis(words, 0.9),), "w", kind=EarKind.WHISPER, log_probability=-0.2),
    ]
    case = Case(item, item.meant, dict(zip(("reading", "whisper"), hearings, strict=True)))
    choices = [choose(hearing) for hearing in hearings]
    for one in weighed([case], gates_here):
        expected = next(each for each in EVERY if kind_of(choices[0], each) is one.kind)
        for figure in (-2.0, -1.0, 0.0, 0.5, 3.0):
            assert at_once_by(figure, hearings, choices, expected, gates_here) is (figure >= one.at_once)


def test_the_store_goes_on_where_it_was_broken_off(tmp_path: Path) -> None:
    """A hearing comes back as it was; half a line at the end is heard again."""
    store, one = Store(tmp_path), heard("top forty", "top fourteen")
    store.keep("head", "call-1-0", one)
    with store.file("head").open("a", encoding="utf-8") as file:
        file.write('{"key": "call-2-0", "hypo')
    assert store.heard("head") == {"call-1-0": one}
    assert store.heard("nobody") == {}


def test_what_a_hearing_no_longer_has_is_passed_over(tmp_path: Path) -> None:
    """A hearing kept by an earlier fieldvoice may tell more than a hearing has today."""
    store, one = Store(tmp_path), heard("top forty")
    store.keep("head", "call-1-0", one)
    line = json.loads(store.file("head").read_text(encoding="utf-8"))
    store.file("head").write_text(json.dumps(line | {"given up": 1}) + "\n", encoding="utf-8")
    assert store.heard("head") == {"call-1-0": one}


@pytest.mark.parametrize(
    ("scale", "encoder", "kind"),
    [
        ("posterior", "tiny.en", EarKind.READING),
        ("share", "tiny.en", EarKind.WHISPER),
        ("share", None, EarKind.VOSK),
    ],
)
def test_hearings_that_were_kept_before_they_had_a_kind_get_one(
    tmp_path: Path, scale: str, encoder: str | None, kind: EarKind
) -> None:
    """By what they were kept with then."""
    store = Store(tmp_path)
    line = {"key": "a", "hypotheses": [["yes", 0.5]], "recognizer": "x", "source": "spoken", "scale": scale}
    store.file("old").write_text(json.dumps(line | {"encoder": encoder}) + "\n", encoding="utf-8")
    assert store.heard("old")["a"].kind is kind


def events(right: list[float], wrong: list[float], kind: Kind = Kind.PLAIN) -> list[Event]:
    """Readings with these probabilities, each alone in its share."""
    good = [Event(kind, {"reading": one, "share": 1.0}, right=True, gains=True) for one in right]
    return good + [Event(kind, {"reading": one, "share": 1.0}, right=False, gains=False) for one in wrong]


def test_gates_let_no_error_through_and_keep_a_margin() -> None:
    """The worst error at 0.8 has odds of 4: the gate's are more than twice that, and all right ones above pass."""
    found = events([0.3, 0.85, 0.95, 0.99], [0.5, 0.8])
    (gate,) = gates(found, ["reading"], 2.0)[Kind.PLAIN]
    assert gate["reading"] / (1 - gate["reading"]) / 2 > 4
    assert [passes(one.evidence, gate) for one in found] == [False, False, True, True, False, False]


def test_a_grave_kind_is_held_to_plain_errors_too() -> None:
    """And where nothing is safe there is no gate at all."""
    found = events([0.9], [], Kind.TWIN) + events([], [0.95])
    assert gates(found, ["reading"], 2.0)[Kind.TWIN] == []
    assert gates(events([0.9], [0.9999999], Kind.YES), ["reading"], 2.0)[Kind.YES] == []


def test_a_second_gate_takes_what_the_first_leaves() -> None:
    """An error at 0.9 that Whisper denies: what Whisper confirms needs less of the head."""
    sure = {"share": 1.0, "surety": -0.1}
    found = [
        Event(Kind.PLAIN, {"reading": 0.99, "whisper": 0.0, **sure}, right=True, gains=True),
        Event(Kind.PLAIN, {"reading": 0.5, "whisper": 0.9, **sure}, right=True, gains=True),
        Event(Kind.PLAIN, {"reading": 0.9, "whisper": 0.01, **sure}, right=False, gains=False),
    ]
    first, second = gates(found, ["reading", "whisper"], 2.0)[Kind.PLAIN]
    assert [passes(one.evidence, first) for one in found] == [True, False, False]
    assert [passes(one.evidence, second) for one in found] == [False, True, False]


def sounded(voice: str, said: str, *words: tuple[str, float]) -> Case:
    """A clean call in this voice, and what the head made of it."""
    item = Item("call-0-0", SoundKind.CALL, "clean", said, voice)
    hypotheses = tuple(Hypothesis(*one) for one in words)
    return Case(item, item.meant, {"reading": Hearing(hypotheses, "head", kind=EarKind.READING)})


def test_a_voice_is_judged_without_its_own_errors() -> None:
    """One voice's confident error is silent where that voice is left out, and so it is where one that shares a speaker
    is; other voices are asked where gates have seen it.
    """
    good = [sounded(f"piper {name}", "top forty two", ("top forty two", 0.9)) for name in ("a", "b", "a+c")]
    bad = sounded("piper a+c", "top forty two", ("top forty one", 0.95))
    cases = [*good, bad]
    found = [one for case in cases for one in events_of(case, ["reading"])]
    rows = left_out(cases, found, ["reading"])[2.0]
    # The voices a and a+c share a speaker, so both are judged by b alone: 2 right, 1 wrong. b has seen the error.
    assert rows == {"clean": {"of": 4, "right": 2, "asked": 1, "wrong": 1}}


def test_a_policy_is_judged_once_calls_of_every_level_were_heard() -> None:
    """Until then its figures would be of other sounds than those it is compared with."""
    policy = Policy(("reading",), first_understood)
    one = sounded("piper a", "top forty two", ("top forty two", 0.9))
    every = [replace(one, item=replace(one.item, level=level)) for level in LEVELS]
    assert figures(every[:-1], {"head": policy}) == {}
    assert figures(every, {"head": policy})["head"]["calls"]["0 dB"]["right"][0] == 1


def test_the_laxest_margin_that_keeps_the_goals_is_chosen() -> None:
    """0.5 % of 200 calls at 5 dB is one; none at 20 dB; and at 0 dB no goal is set."""

    def wrong(twenty: int, five: int, zero: int) -> dict[str, dict[str, int]]:
        counts = {"20 dB": twenty, "5 dB": five, "0 dB": zero}
        return {name: {"of": 200, "right": 100, "asked": 0, "wrong": count} for name, count in counts.items()}

    estimates: Estimates = {2.0: wrong(0, 2, 0), 4.0: wrong(0, 1, 9), 7.0: wrong(0, 0, 0)}
    assert best_margin(estimates) == 4.0
    assert best_margin({2.0: wrong(3, 0, 0), 4.0: wrong(1, 0, 0), 7.0: wrong(1, 0, 0)}) == 4.0
    text = margins({"margin": 4.0, "margins": {"4.0": estimates[4.0]}})
    assert text.splitlines()[-1] == "| 4, chosen | 50.0 % / 0 of 200 | 50.0 % / 1 of 200 | 50.0 % / 9 of 200 |"


def test_every_call_is_heard_at_every_level_and_the_splits_are_of_the_size_that_the_goals_need() -> None:
    """Of talk and noise the test split has 1,000; each bit of talk is heard once."""
    assert PLANS[Split.TEST].counts == Counts(call=250, form=80, spoilt=60, talk=600, noise=400)
    assert list(LEVELS.values())[1:] == [20, 10, 5, 0]
    assert PLANS[Split.TUNE].counts.part(0.001) == Counts(1, 1, 1, 1, 1)


def clip(words: str) -> Clip:
    """A tenth of a second of nothing, said by one voice."""
    return Clip(Text(Said.PHRASE, words), Voice("piper", "a", Split.TUNE), np.zeros(1_600, np.int16))


def test_sounds_come_back_as_they_were_saved(tmp_path: Path) -> None:
    """A call is heard at each level, talk at one."""
    spoken = ((SoundKind.CALL, clip("top forty")), (SoundKind.TALK, clip("the lift is late")))
    made = Sounds(Split.TUNE, 17, Counts(1, 1, 1, 1, 2), spoken)
    made.save(tmp_path)
    back = Sounds.load(tmp_path)
    items = [item for item, _ in back.items()]
    assert back.facts() == made.facts()
    expected = "call-0-0 call-0-1 talk-1-1 call-0-2 call-0-3 call-0-4 noise-0 noise-1"
    assert " ".join(item.key for item in items) == expected


def test_the_page_is_filled_between_its_marks() -> None:
    """What stands between them is made anew, all else stays; an unknown mark is an error."""
    page = "Words.\n\n<!-- goals -->\nold\n<!-- end -->\n\nMore.\n"
    assert filled(page, {"goals": "| new |"}) == "Words.\n\n<!-- goals -->\n| new |\n<!-- end -->\n\nMore.\n"
    with pytest.raises(KeyError):
        filled(page, {})


def test_the_committed_pages_show_the_committed_figures() -> None:
    """`python -m benchmarks.hearing page` changes nothing, and says so where the figures are of another ear or of other
    bounds than are here.
    """
    from benchmarks.hearing import crew_page
    from benchmarks.hearing.__main__ import FOR_CREWS, PAGE, README, RESULTS, page_text
    from benchmarks.hearing.outcomes import judged_by

    for file in (FOR_CREWS, PAGE, README):
        assert page_text(file) == file.read_text(encoding="utf-8")
    outcomes, now = json.loads((RESULTS / "hearing_outcomes_test.json").read_text(encoding="utf-8")), judged_by()
    assert "in this version" in crew_page.tables(outcomes, outcomes["judged by"])["measured"]
    for name in now:
        assert f"new {name}" in crew_page.tables(outcomes, outcomes["judged by"] | {name: "other"})["measured"]


def test_what_nobody_called_is_judged_as_the_pages_tell() -> None:
    """Of each bit of talk and each spoilt phrase, as both recognizers heard it: a word that means something since is
    measured anew (`outcomes`, `page`), or taken back.
    """
    from benchmarks.hearing.__main__ import RESULTS
    from benchmarks.hearing.outcomes import kept

    told = json.loads((RESULTS / "hearing_outcomes_test.json").read_text(encoding="utf-8"))
    found = rows(kept(RESULTS / "hearing_no_calls_test.jsonl.gz"))
    named = found["rows"].keys()
    assert sum(row["of"] for row in found["rows"].values()) > 800
    assert found["rows"] == {name: told["rows"][name] for name in named}
    assert sorted(found["wrong"]) == sorted(one for one in told["wrong"] if one[0] in named)


def test_the_figures_are_of_disjoint_voices() -> None:
    """No speaker of the test split is in the tuning split, alone or in a blend."""
    results = Path(__file__).parents[2] / "benchmarks" / "results"
    tune, test = (
        json.loads((results / f"hearing_{name}.json").read_text(encoding="utf-8")) for name in ("tune", "test")
    )
    speakers = [set().union(*map(speakers_of, split["run"]["voices"])) for split in (tune, test)]
    assert not speakers[0] & speakers[1]
    assert tune["run"]["head"] == test["run"]["head"]
