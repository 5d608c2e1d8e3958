"""The ten calls of `practice`, and how each was taken."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median
from typing import TYPE_CHECKING

from fieldvoice.records.hearing import Hearing, Source

if TYPE_CHECKING:
    from fieldvoice.ears import Frames
    from fieldvoice.output.records import Document

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


RARE = "Ten calls don't show rare mistakes: none among ten may still be one in four. Go on watching the read-back."
"""With one call in 3.9 mistaken ten in a row come out right once in twenty times: 1 - 0.05 ** (1 / 10) is 0.26."""


@dataclass(frozen=True, slots=True)
class Tried:
    """One call and how it was taken: "right", "asked" again, or "wrong", taken for something else without a question.
    Seconds run from the last sample to the verdict.
    """

    call: str
    heard: str
    taken: str
    seconds: float
    noise_db: float | None = None

    def document(self) -> Document:
        """The call for other programs."""
        noise = None if self.noise_db is None else round(self.noise_db, 1)
        seconds = round(self.seconds, 3)
        return {
            "call": self.call,
            "heard": self.heard,
            "taken": self.taken,
            "seconds": seconds,
            "noise_db": noise,
        }


def tried(call: str, hearings: Sequence[Hearing]) -> Tried:
    """How the verdict takes what was heard of a call: a yes or a no as where one was asked for."""
    from fieldvoice.language import understand
    from fieldvoice.language.verdict import Expectation, Finding, judge
    from fieldvoice.records.meaning import Answer

    meant = understand(call, Source.SPOKEN)
    verdict = judge(hearings, Expectation(answer=any(isinstance(each, Answer) for each in meant.meanings)))
    taken = "asked"
    if verdict.finding is Finding.ACCEPT:
        taken = "right" if verdict.utterance.meanings == meant.meanings else "wrong"
    seconds = sum(hearing.seconds for hearing in hearings)
    return Tried(call, hearings[0].words, taken, seconds, hearings[0].noise_db)


def summary(results: Sequence[Tried]) -> str:
    """The figures in words, each call that wasn't right, and what to make of ten of them."""
    counts = {taken: sum(each.taken == taken for each in results) for taken in ("right", "asked", "wrong")}
    lines = [
        (
            f"{counts['right']} of {len(results)} right, {counts['asked']} asked again, {counts['wrong']} taken for "
            f"something else; {median(each.seconds for each in results):.2f} s from the end of a call to its verdict."
        ),
        *_noise(results),
        *(f"  {each.taken}: “{each.call}”, heard as “{each.heard}”" for each in results if each.taken != "right"),
        RARE,
    ]
    return "\n".join(lines)


def _noise(results: Sequence[Tried]) -> tuple[str, ...]:
    levels = [each.noise_db for each in results if each.noise_db is not None]
    return (f"Noise between the words: {median(levels):.0f} dB of full scale.",) if levels else ()


@dataclass(frozen=True, slots=True)
class Call:
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
