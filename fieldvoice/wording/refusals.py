"""Why nothing of an utterance was taken, as a sentence that says what to do."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Why

if TYPE_CHECKING:
    from fieldvoice.records.meaning import Refusal, Told, Utterance

_SENTENCES = {
    Why.NOTHING_SAID: "Nothing was said.",
    Why.NOTHING_HEARD: "Nothing was understood, so nothing was taken. Say it again, or type it.",
    Why.NO_READING: "No reading or order was in that: nothing was taken. Say it again.",
    Why.TOO_LONG: "That is too long for one utterance: nothing was taken. Say one thing at a time.",
    Why.NO_WORD: '"{0}" is no word of this job: nothing was taken. Say the reading again with its place.',
    Why.ONE_OR_SEVERAL: '"{0}" may be one number or several: nothing was taken. Put a blank after a comma between '
    "readings, a point before decimals, and nothing at the thousands.",
    Why.NO_SENSE: 'I lost you at "{0}": nothing was taken. Say it again, one thing at a time.',
    Why.ZERO: "A reading of zero can't be: nothing was taken. Read the tape again.",
    Why.BELOW_ZERO: "A reading can't be below zero. Read the tape again.",
    Why.OVER_ZERO: "A fraction over zero is not a number. Read the tape again.",
    Why.NO_NUMBER: "{0} is not a number. Read the tape again.",
    Why.MORE_THAN_INCH: "{0}/{1} is not a fraction of an inch: a whole inch or more. Say the inches and the fraction.",
    Why.NOT_ON_TAPE: "A tape has no {0}/{1}: it has halves to thirty-seconds. Read the tape again.",
    Why.FRACTION_TWICE: "The fraction was said twice, and it is not known which part is meant. Say the reading again.",
    Why.MORE_THAN_FOOT: "{0} inches after feet is more than a foot. Say the length in inches.",
    Why.NOTHING_LEFT: "That leaves nothing: a length is more than what is taken from it. Say the reading again.",
    Why.TOO_LARGE: "{0} is longer than any wall or sheet: nothing was taken. Read the tape again; if it reads "
    "millimeters, say so.",
    Why.FAR_APART: "Those readings are too far apart for one board: nothing was taken. Say each with its place.",
    Why.SIDE_FROM_START: "The {0} edge can't be measured from the {1}. Say the box again.",
    Why.WRONG_WAY_ROUND: "The sides of the opening are called the wrong way round: the nearer one comes first.",
    Why.STUDS: "Those studs stand too close or out of order: nothing was taken. Call them from the left.",
}


def refused(utterance: Utterance) -> str | None:
    """Why a refused utterance was refused; None where it wasn't."""
    return None if utterance.why is None else sentence(utterance.why)


def sentence(refusal: Refusal) -> str:
    """One refusal."""
    return _SENTENCES[refusal.why].format(*map(_told, refusal.values))


def _told(value: Told) -> str:
    return value.text() if isinstance(value, Length) else str(value)
