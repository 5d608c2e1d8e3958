"""The dialogue joined to the language and the cutting room."""

from __future__ import annotations

from collections.abc import Sequence

from fieldvoice import cutting, language
from fieldvoice.dialogue.rooms import Judged, Rooms
from fieldvoice.language.verdict import Expectation, Finding, judge
from fieldvoice.records.hearing import Hearing
from fieldvoice.records.length import Unit


def rooms() -> Rooms:
    """The rooms as they are."""
    return Rooms(
        judged,
        language.length_words,
        language.read_back,
        language.number_words,
        cutting.solve,
        cutting.missing,
        cutting.oddities,
    )


def judged(hearings: Sequence[Hearing], answer: bool, unit: Unit) -> Judged:  # noqa: FBT001 - a fact, not a switch
    """What an utterance is taken for, as one or more recognizers took it; `answer` where a yes or no is waited for,
    `unit` what a number without its unit is in.
    """
    verdict = judge(hearings, Expectation(answer, unit))
    rival = verdict.rivals[0] if verdict.finding is Finding.DOUBT and verdict.rivals else None
    return Judged(verdict.utterance, rival, verdict.finding is Finding.DOUBT and rival is None)
