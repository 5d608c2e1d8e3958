"""Why nothing of an utterance was taken, as a sentence that says what to do."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Why

if TYPE_CHECKING:
    from fieldvoice.records.meaning import Refusal, Told, Utterance

_SENTENCES = {
    Why.NOTHING_SAID: "Nothing was said.",
    Why.NOTHING_HEARD: "I didn't get that. Nothing recorded. Say it again, or type it.",
    Why.NO_READING: "I heard no reading and no order. Nothing recorded. Say it again.",
    Why.TOO_LONG: "That was too long at once. Nothing recorded. Say one thing at a time.",
    Why.NO_WORD: 'I don\'t know "{0}". Nothing recorded. Say it in other words.',
    Why.ONE_OR_SEVERAL: '"{0}" may be one number or several. Nothing recorded. Put a blank after a comma between '
    "readings, a point before decimals, and nothing at the thousands.",
    Why.NO_SENSE: 'I lost you at "{0}". Nothing recorded. Say one thing at a time.',
    Why.ZERO: "No board reads zero. Nothing recorded. Read the tape again.",
    Why.BELOW_ZERO: "A reading can't be below zero. Read the tape again.",
    Why.OVER_ZERO: "A fraction over zero is not a number. Read the tape again.",
    Why.NO_NUMBER: "{0} is not a number. Read the tape again.",
    Why.MORE_THAN_INCH: "{0}/{1} is not a fraction of an inch: a whole inch or more. Say the inches and the fraction.",
    Why.NOT_ON_TAPE: "A tape has no {0}/{1}: it has halves to thirty-seconds. Read the tape again.",
    Why.FRACTION_TWICE: "The fraction was said twice, and it is not known which part is meant. Say the reading again.",
    Why.MORE_THAN_FOOT: "{0} inches after feet is more than a foot. Say the length in inches.",
    Why.NOTHING_LEFT: "That leaves nothing: a length is more than what is taken from it. Say the reading again.",
    Why.TOO_LARGE: "{0} is longer than any wall or sheet. Nothing recorded. Read the tape again; if it reads "
    "millimeters, say so.",
    Why.FAR_APART: "Those readings are too far apart for one board. Nothing recorded. Say each with its place.",
    Why.SIDE_FROM_START: "The {0} edge can't be measured from the {1}. Say the box again.",
    Why.WRONG_WAY_ROUND: "The sides of the opening are called the wrong way round: the nearer one comes first.",
    Why.STUDS: "Those studs are too close or out of order. Nothing recorded. Call them from the left.",
}


def refused(utterance: Utterance) -> str | None:
    """Why a refused utterance was refused; None where it wasn't."""
    return None if utterance.why is None else sentence(utterance.why)


def sentence(refusal: Refusal) -> str:
    """One refusal."""
    return _SENTENCES[refusal.why].format(*map(_told, refusal.values))


def _told(value: Told) -> str:
    return value.text() if isinstance(value, Length) else str(value)
