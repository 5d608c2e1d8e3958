"""What an unclear utterance is asked about, as a sentence."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fieldvoice.language.phrases import read_back
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Ask, Reading, Unsure

if TYPE_CHECKING:
    from fieldvoice.records.length import Unit
    from fieldvoice.records.meaning import Meaning, Question, Told, Utterance

MOST_NAMED = 4

_SENTENCES = {
    Ask.TOO_MANY: "That can mean too many things. Say one thing at a time.",
    Ask.RUNS_ON: "Is that {0} and then {1}? Say each with its place.",
    Ask.BROKE_OFF: 'That broke off after "{0}". Say the whole of it again.',
    Ask.NEW_NUMBER: 'Does a new number begin at "{0}"? Say "then" between two numbers, or the place before the value.',
    Ask.NUMBER_ENDS: 'Does the number end after "{0}", or is it "{1}"? Say "then" between two numbers, or the place '
    "before the value.",
    Ask.PLACES: "Where do those readings belong? Say each with its place.",
    Ask.TWO_OF_THREE: "Two readings came where three belong. Say each with its place.",
    Ask.MIDDLE_FAR: "The middle one of those three is far from the other two. Say each with its place.",
    Ask.JOINED: "Is that {0} {1}, or two readings? Leave the comma out, or say each with its place.",
    Ask.FRACTION_OF: "Is {0} a reading, or the fraction of {1}? Say each with its place.",
    Ask.WHICH_LEAN: "Does the {0} lean in or out at the top?",
    Ask.WHICH_SLOPE: "Towards which side does the {0} go that way, left or right?",
    Ask.ONE_OF_TWO: "Is that one of the two places, or both? Say one place with the value, or both places with and "
    "between them.",
    Ask.OTHER_POINT: "Which point of the box is the other distance to: its center or an edge?",
    Ask.BOX_KIND: "What kind of box is it? Say single gang, double gang, round, octagon or square.",
    Ask.WHICH_BOX: "Which box is that? Say its name, as in box one, or say all boxes.",
    Ask.TESTED: "Dead and tested? Say dead and tested once a tester has shown it, or live.",
    Ask.SAME_AS_WHAT: "The same as what? Say the value with its place.",
    Ask.WHOLE_OR_END: "Is that the whole reading, or only its end? Say all of the right value with its place.",
    Ask.WHAT_IS_CORRECTED: "What does that correct? Say the place and the right value.",
    Ask.UNIT_ALONE: "The unit changes what the numbers mean. Say it by itself, then the readings.",
    Ask.INCH_OR_MM: "Is that in inches or in millimeters? Say it again with its unit.",
    Ask.MM_OR_METERS: "Is that in millimeters or in meters? Say it again with its unit.",
    Ask.DASH: "What does the dash after the number mean? Write light for a little less, or leave it out.",
    Ask.VAGUE: "I need an exact reading. What does the tape say?",
    Ask.FRAMING_UNIT: "No framing is that close. Inches or millimeters? Say it with its unit.",
    Ask.TOO_THICK: "No gypsum board is that thick. Say the whole thickness again.",
    Ask.SHEET_WIDTH: "How wide is the sheet? Say both sides, as in four by twelve.",
    Ask.NOT_SURE: "Was it “{0}”? In doubt, since {1}. Say it again.",
    Ask.NOTHING_MEANT: "I don't know what that means.",
    Ask.DID_YOU_MEAN: 'I don\'t know "{0}". Did you mean "{1}"?',
    Ask.IS_IT_SO: "Nothing recorded: that was written as a question. Leave the question mark out to have it taken.",
    Ask.SHORT_WIDTH: "{0} in is no board. Say the inches and the fraction.",
}


def asked(utterance: Utterance, unit: Unit) -> str | None:
    """The question that an unclear utterance is answered with, in figures; None where it isn't unclear."""
    if utterance.ask is None:
        return None
    if utterance.ask.about is Ask.WHICH_OF:
        return which_of(utterance.alternatives, unit)
    return sentence(utterance.ask, unit)


def sentence(question: Question, unit: Unit) -> str:
    """A question that needs no alternatives."""
    return _SENTENCES[question.about].format(*(_told(value, question.about, unit) for value in question.values))


def _told(value: Told, about: Ask, unit: Unit) -> str:
    if about is Ask.RUNS_ON and isinstance(value, Length):
        return read_back(Reading(value), unit)
    if isinstance(value, Unsure):
        return _UNSURE[value]
    if about is Ask.WHICH_SLOPE:
        return {"top": "ceiling", "bottom": "floor"}[str(value)]
    return value.text() if isinstance(value, Length) else str(value)


_UNSURE = {
    Unsure.SEVERAL_MEANINGS: "what was said has no one meaning",
    Unsure.TEEN_OR_TEN: "a teen and its ten sound alike",
    Unsure.EARS_DIFFER: "the recognizers differ",
    Unsure.NOT_CLEAR: "it was not heard clearly",
}


def which_of(alternatives: tuple[tuple[Meaning, ...], ...], unit: Unit) -> str:
    """The alternatives as they are read back in the job's unit, to choose from."""
    said = [", ".join(read_back(meaning, unit) for meaning in meanings) for meanings in alternatives[:MOST_NAMED]]
    more = ", or something else" if len(alternatives) > MOST_NAMED else ""
    return f"Is it {'; or '.join(said)}{more}?"
