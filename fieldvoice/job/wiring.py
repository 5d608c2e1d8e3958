"""The dialogue joined to the language and the cutting room."""

from __future__ import annotations

from collections.abc import Sequence

from fieldvoice import cutting, language
from fieldvoice.job.rooms import Judged, Rooms
from fieldvoice.language.verdict import Expectation, Finding, judge
from fieldvoice.records.hearing import Hearing


def rooms() -> Rooms:
    """The rooms as they are."""
    return Rooms(
        judged,
        language.digits_back,
        language.read_back,
        language.number_words,
        cutting.solve,
        cutting.missing,
        cutting.oddities,
    )


def judged(hearings: Sequence[Hearing], answer: bool) -> Judged:  # noqa: FBT001 - a fact, not a switch
    """What an utterance is taken for, as one or more recognizers took it; `answer` where a yes or no is waited for."""
    verdict = judge(hearings, Expectation(answer=answer))
    rival = verdict.rivals[0] if verdict.finding is Finding.DOUBT and verdict.rivals else None
    return Judged(verdict.utterance, rival, verdict.finding is Finding.DOUBT and rival is None)
