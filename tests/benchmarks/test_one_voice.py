"""What is told of one voice: the same other calls by the ear as shipped and by the one that was fitted."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest

from benchmarks import one_voice
from benchmarks.one_voice import Speaker, measured
from fieldvoice.records.hearing import Hearing, Hypothesis
from fieldvoice.records.practice import FitOutcome, Objection

FRAMES = np.ones(1600, np.int16)
SAID = {"yes": ("asked", "right"), "no": ("right", "right"), "top forty": ("asked", "wrong")}


class Bench:
    """Takes each call as `SAID` tells, and finds all but one likelier with the change."""

    head = None

    def example(self, _frames: object, text: str) -> SimpleNamespace:
        """Its words are enough."""
        return SimpleNamespace(text=text, clip=lambda: text)

    def taken(self, change: object, example: SimpleNamespace, _others: object) -> str:
        """As shipped, or fitted."""
        return SAID[example.text][change is not None]

    def likelihood(self, change: object, example: SimpleNamespace) -> float:
        """No better for a no."""
        return float(change is not None and example.text != "no")


@pytest.mark.parametrize("objection", [None, Objection.BY_CHANCE])
def test_other_calls_are_taken_before_and_after_whether_the_fit_is_kept_or_not(
    monkeypatch: pytest.MonkeyPatch, objection: Objection | None
) -> None:
    """And the fit learns from the calls of practice that were made out, never from the others."""
    learned: list[str] = []

    def fitted(_head: object, clips: list[str]) -> dict[str, object]:
        learned.extend(clips)
        return {}

    monkeypatch.setattr(one_voice, "hear", lambda *_: Hearing((Hypothesis("top four", 0.9),), "an ear"))
    monkeypatch.setattr(one_voice, "fitted", fitted)
    monkeypatch.setattr(
        one_voice, "fit", lambda *_: SimpleNamespace(change=None if objection else {}, outcome=FitOutcome(objection, 1))
    )
    practiced = tuple((words, FRAMES) for words in ("top four", "top five"))
    speaker = Speaker("a voice", practiced, tuple((words, FRAMES) for words in SAID))
    found = measured(speaker, (None, None), Bench())  # type: ignore[arg-type]
    assert learned == ["top four"]
    assert found["kept"] is (objection is None)
    assert (found["of"], found["likelier"]) == (3, 2)
    assert (found["before"], found["fitted"]) == ({"asked": 2, "right": 1}, {"right": 2, "wrong": 1})
