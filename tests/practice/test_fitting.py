"""A fit is kept only where calls that were held back are heard better and nothing comes out worse."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest

from fieldvoice import data_folder, practice
from fieldvoice.ears.personal import Change
from fieldvoice.ears.wav import read_wav
from fieldvoice.ears.whole_utterance import WholeEar
from fieldvoice.practice import CALLS, Example, PracticeCall, TrialHead
from fieldvoice.records.hearing import EarKind, Hearing, Hypothesis
from fieldvoice.wording import practice as wording

CHANGE: Change = {"words.bias": np.ones(1, np.float32)}


def call(text: str, heard: str) -> PracticeCall:
    """A call, and the one thing that was heard."""
    return PracticeCall(text, np.arange(100, dtype=np.int16), (Hearing((Hypothesis(heard, 0.9),), "parrot"),))


class Table:
    """A bench on which each text is taken as a table says, by the shipped head and by a changed one."""

    head = None

    def __init__(self, taken: dict[str, tuple[str, str]], unlikelier: Sequence[str] = ()) -> None:
        self.table, self.unlikelier = taken, unlikelier

    def example(self, frames: np.ndarray, text: str) -> Example:
        """Its sound isn't looked at."""
        return Example(frames, text, 0.0)

    def likelihood(self, change: Change | None, example: Example) -> float:
        """Greater with the change, but for the words that it does no good."""
        return 0.0 if change is None or example.text in self.unlikelier else 1.0

    def taken(self, change: Change | None, example: Example, _others: Sequence[Hearing] = ()) -> str:
        """By the table; right either way where it says nothing."""
        return self.table.get(example.text, ("right", "right"))[change is not None]


@pytest.fixture(autouse=True)
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing is fitted in earnest."""
    monkeypatch.setattr(practice, "fitted", lambda *_: CHANGE)
    monkeypatch.setattr(practice, "read_wav", lambda _: read_wav_once())


def read_wav_once() -> object:
    """Any sound."""
    from fieldvoice.ears.sound import Sound

    return Sound(np.zeros(10, np.int16))


OTHER = "top twenty six and seven eighths"
"""A call that is among the recordings of other voices as well; so is the first."""
OWN = "bottom thirteen"
"""One that isn't."""


RECORDINGS = len((data_folder("audio_samples") / "manifest.jsonl").read_text(encoding="utf-8").splitlines())
"""All that come with fieldvoice."""


@pytest.mark.parametrize(
    ("table", "why"),
    [
        ({}, None),
        ({OWN: ("asked", "right")}, None),
        ({OWN: ("asked", "right"), "bottom thirty": ("asked", "wrong")}, "was then taken for something else"),
        ({OWN: ("asked", "right"), "done": ("asked", "wrong")}, "recording of another voice"),
        ({OWN: ("asked", "right"), "done": ("right", "asked")}, "heard less well"),
        ({OWN: ("wrong", "wrong"), "bottom thirty": ("asked", "right")}, None),
        ({OWN: ("wrong", "asked")}, None),
        ({OWN: ("right", "asked")}, "were then right"),
        ({OWN: ("right", "asked"), "bottom thirty": ("asked", "right")}, None),
    ],
)
def test_it_must_be_no_worse_and_wrong_nowhere(table: dict[str, tuple[str, str]], why: str | None) -> None:
    """No fewer right of calls that it was not fitted to, and no worse for anyone else."""
    made = practice.fit([call(text, text) for text in CALLS], Table(table))  # type: ignore[arg-type]
    assert (made.change is None) == (why is not None)
    assert why is None or why in wording.why(made.outcome)
    assert made.outcome.before.total() == made.outcome.after.total() == len(CALLS)
    assert made.outcome.others_before.total() == RECORDINGS
    assert ("stays as it was" in wording.outcome(made.outcome)) == (why is not None)


@pytest.mark.parametrize("more", [{}, {OWN: ("asked", "right")}])
@pytest.mark.parametrize(("unlikelier", "kept"), [(0, True), (1, True), (2, False)])
def test_calls_that_are_likelier_may_be_chance(unlikelier: int, kept: bool, more: dict[str, tuple[str, str]]) -> None:
    """Nine of ten calls likelier are chance once in a hundred times, eight once in eighteen (binomial, by hand).
    Whether one more comes out right tells nothing.
    """
    table = Table(more, CALLS[:unlikelier])
    made = practice.fit([call(text, text) for text in CALLS], table)  # type: ignore[arg-type]
    assert made.outcome.likelier == len(CALLS) - unlikelier
    assert (made.change is not None) is kept
    assert kept or "8 of 10" in wording.why(made.outcome)
    assert not kept or (" as before" in wording.outcome(made.outcome)) == (not more)


def test_calls_that_were_not_said_are_not_fitted_to() -> None:
    """Five of ten heard as something else may have been something else."""
    calls = [call(text, text if number < 5 else "done") for number, text in enumerate(CALLS)]
    made = practice.fit(calls, Table({}))  # type: ignore[arg-type]
    assert made.change is None
    assert "only 5 of the calls" in wording.why(made.outcome)


def test_the_clips_are_kept_with_what_they_say(tmp_path: Path) -> None:
    """WAVs that read back as they were, and a line for each."""
    practice.keep_clips(tmp_path, [call("top forty", "top four"), call("yes", "yes")])
    folder = tmp_path / practice.CLIPS
    lines = [json.loads(line) for line in (folder / "manifest.jsonl").read_text().splitlines()]
    assert lines[0] == {"file": "01.wav", "text": "top forty", "heard": "top four"}
    assert len(lines) == 2
    assert np.array_equal(read_wav(folder / "02.wav").frames, np.arange(100))


@pytest.mark.parametrize(("quiet", "taken"), [(10, "right"), (3000, "asked"), (0, "asked")])
def test_a_call_is_taken_as_it_would_be_where_it_was_made(quiet: int, taken: str) -> None:
    """How far it stands above the noise counts: what is taken in a quiet room must not look like a question here, since
    a mistake would then look like one, too. Where the microphone lets no sound through between words it isn't known.
    """
    ways = Hypothesis("top forty one", 0.92), Hypothesis("top forty four", 0.02)
    head = SimpleNamespace(decode=lambda *_: SimpleNamespace(hypotheses=ways))
    encoder = SimpleNamespace(encode=lambda _: SimpleNamespace(vectors=None), name="reading")
    bench = TrialHead(encoder, head, None)  # type: ignore[arg-type]
    beat = np.tile([1, -1], 4000)
    frames = np.concatenate([quiet * beat, 6000 * beat, quiet * beat]).astype(np.int16)
    assert bench.taken(None, bench.example(frames, "top forty one")) == taken


def test_a_call_is_shown_to_the_encoder_as_the_ear_shows_it() -> None:
    """With quiet around it: cut close it would be heard worse here than where it is called, and fitted to as it never
    sounds.
    """
    shown: list[np.ndarray] = []

    def encode(seen: np.ndarray) -> SimpleNamespace:
        shown.append(seen)
        return SimpleNamespace(vectors=None)

    encoder = SimpleNamespace(encode=encode, name="reading")
    frames = np.arange(1, 4000, dtype=np.int16)
    TrialHead(encoder, None, None).example(frames, "top forty one")  # type: ignore[arg-type]
    ear = WholeEar("an ear", EarKind.READING, encoder, lambda *_: (Hearing((), "an ear"), 0.0))  # type: ignore[arg-type]
    ear.feed(frames)
    ear.finish()
    here, there = shown
    assert np.array_equal(here, there)
    assert len(here) > len(frames)
