"""The ten calls of `practice`, and how each was taken."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from fieldvoice.ears.sound import Frames
from fieldvoice.language.understanding import understand
from fieldvoice.language.verdict import Expectation, Finding, judge
from fieldvoice.records.hearing import Hearing, Source
from fieldvoice.records.orders import Answer
from fieldvoice.records.practice import Tried

CALLS = (
    "top forty one and three eighths",
    "middle forty one and an eighth",
    "bottom forty and fifteen sixteenths",
    "height left ninety five and a quarter",
    "top twenty six and seven eighths",
    "box one dead and tested",
    "yes",
    "no",
    "bottom thirteen",
    "bottom thirty",
)
"""Readings of our own board, and what the verdict is strictest about: word of a circuit, the answers, a teen and its
ten.
"""


def tried(call: str, hearings: Sequence[Hearing]) -> Tried:
    """How the verdict takes what was heard of a call: a yes or a no as where one was asked for."""
    meant = understand(call, Source.SPOKEN)
    verdict = judge(hearings, Expectation(answer=any(isinstance(each, Answer) for each in meant.meanings)))
    taken = "asked"
    if verdict.finding is Finding.ACCEPT:
        taken = "right" if verdict.utterance.meanings == meant.meanings else "wrong"
    seconds = sum(hearing.seconds for hearing in hearings)
    return Tried(call, hearings[0].words, taken, seconds, hearings[0].noise_db)


@dataclass(frozen=True, slots=True)
class PracticeCall:
    """What was to be called, its sound, and how each recognizer took it."""

    text: str
    frames: Frames
    hearings: tuple[Hearing, ...]

    @property
    def was_said(self) -> bool:
        """Whether to some recognizer these words were the likeliest: else something else may have been called, and
        fitting to it would teach the wrong words.
        """
        return any(hearing.words == self.text for hearing in self.hearings)
