"""The dialogue joined to the language and the cutting room."""

from __future__ import annotations

from collections.abc import Sequence

from fieldvoice import cutting, language
from fieldvoice.job.rooms import Judged, Rooms
from fieldvoice.job.wording import NOTHING_HEARD
from fieldvoice.language import Candidate
from fieldvoice.records.hearing import Hearing
from fieldvoice.records.meaning import Status, Utterance

CLOSE = 0.25
"""A runner-up with this share of the winner's mass is asked about (our own rule, not measured)."""

WEAK = 0.1
"""A winner with less mass than this wasn't heard (gate G of the trial of recognizers)."""


def rooms() -> Rooms:
    """The rooms as they are."""
    return Rooms(judged, language.digits_back, language.read_back, cutting.solve, cutting.missing, cutting.oddities)


def judged(hearings: Sequence[Hearing], answer: bool) -> Judged:  # noqa: ARG001, FBT001 - a fact, not a switch
    """What an utterance is taken for, as one or more recognizers took it. Recognizers that differ make it doubtful."""
    choices = [language.choose(hearing) for hearing in hearings]
    best = [choice.candidates[0] for choice in choices if choice.candidates]
    if not best:
        refused = next((choice.refused for choice in choices if choice.refused is not None), None)
        return Judged(refused or Utterance(Status.REFUSED, "", why=NOTHING_HEARD))
    winner = max(best, key=lambda candidate: candidate.mass)
    if winner.mass < WEAK:
        return Judged(Utterance(Status.REFUSED, winner.utterance.heard, why=NOTHING_HEARD))
    rival = _rival(winner, [candidate for choice in choices for candidate in choice.candidates])
    return Judged(winner.utterance, rival.utterance.meanings if rival is not None else None)


def _rival(winner: Candidate, candidates: Sequence[Candidate]) -> Candidate | None:
    """The likeliest candidate of another meaning, where it comes close."""
    others = [each for each in candidates if each.utterance.meanings not in ((), winner.utterance.meanings)]
    rival = max(others, key=lambda candidate: candidate.mass, default=None)
    return rival if rival is not None and rival.mass >= CLOSE * winner.mass else None
