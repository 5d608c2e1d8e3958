"""What an utterance that isn't understood is answered with: why it is refused, or what it is asked about; and what is
asked of what is hard to believe.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from fieldvoice.language.phrases import read_back
from fieldvoice.records.board import Lies
from fieldvoice.records.facts import Odd, Oddity
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Edge, Incomplete, Lack, OpeningKind, Place, Reading, Slot
from fieldvoice.records.utterance import Ask, Meaning, Question, Refusal, Told, Unsure, Utterance, Why
from fieldvoice.wording.forms import Form, joined

MOST_NAMED = 4

_SENTENCES = {
    Ask.TOO_MANY: "That can mean too many things. Say one thing at a time.",
    Ask.RUNS_ON: "Is that {0} and then {1}? Say each with its place.",
    Ask.BROKE_OFF: "That broke off after “{0}”. Say all of it again.",
    Ask.NEW_NUMBER: "Does a new number begin at “{0}”? Say “then” between two numbers, or the place before the value.",
    Ask.NUMBER_ENDS: "Does the number end after “{0}”, or is it “{1}”? Say “then” between two numbers, or the place "
    "before the value.",
    Ask.PLACES: "Where do those readings belong? Say each with its place.",
    Ask.TWO_OF_THREE: "Two readings came where three belong. Say each with its place.",
    Ask.MIDDLE_FAR: "The middle one of those three is far from the other two. Say each with its place.",
    Ask.JOINED: "Is that {0} {1}, or two readings? Leave the comma out, or say each with its place.",
    Ask.FRACTION_OF: "Is {0} a reading, or the fraction of {1}? Say each with its place.",
    Ask.WHICH_LEAN: "Does the {0} lean in or out at the top?",
    Ask.HOW_SLOPED: "How much does it slope? Say the height at its left and at its right, or how far it "
    "drops and to which side.",
    Ask.WHICH_SLOPE: "Does the {0} go that way toward the left or the right?",
    Ask.ONE_OF_TWO: "Is that one of the two places, or both? Say one place with the value, or both places with and "
    "between them.",
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
    Ask.OTHER_EDGES: "And its other two edges? Say all four, as in left edge, right edge, bottom edge, top edge.",
    Ask.WHAT_IS_APART: "What is that far apart? Say it with it, as in studs 19.2 on center.",
    Ask.JOISTS_RUN: "Where are they counted from? Say it whole, as in joists sixteen on center from the left.",
    Ask.FRAMING_UNIT: "No framing is that close. Inches or millimeters? Say it with its unit.",
    Ask.TOO_THICK: "No gypsum board is that thick. Say the whole thickness again.",
    Ask.SHEET_WIDTH: "How wide is the sheet? Say both sides, as in four by twelve.",
    Ask.NOT_SURE: "Was it “{0}”? I'm not sure: {1}. Say it again.",
    Ask.NOTHING_MEANT: "I don't know what that means.",
    Ask.NOT_KNOWN: "Nothing was taken. What is asked stays open: measure, then call it.",
    Ask.DID_YOU_MEAN: "I don't know “{0}”. Did you mean “{1}”?",
    Ask.IS_IT_SO: "Nothing was taken: that was written as a question. Leave off the question mark to have it taken.",
    Ask.SHORT_WIDTH: "No board is {0} wide. Say the inches and the fraction.",
    Ask.SQUARE: "Square, so which are the same? Say it of each, as in bottom same as top, right same as left.",
    Ask.RELATIVE: "How much is that in all? Say the figure itself with its place.",
    Ask.WALL_PEAK: "A peak is a wall's, between its ends and higher than both. Say it with the wall, as in north wall "
    "twelve feet by eight feet, peaks at eleven feet in the middle. On a board say its height and place, as in peak "
    "sixty one at twenty two from the left; from the right its top width comes first.",
    Ask.WALL_NAME: "Which wall is that? Say its name with both sides, as in north wall twelve feet by eight feet.",
    Ask.WALL_UNIT: "Feet or inches? Say it again with the unit, as in ceiling thirty feet by twenty four feet.",
    Ask.WALL_KEEPS_NAME: (
        "A wall keeps its name. To change it say take out and the old name, then call the wall by its new name with "
        "both sides, framing and openings. What is cut for it stays cut, but has no place in the new layout."
    ),
    Ask.HEIGHT_OF_WHAT: "The same height as which box? Name it, as in same height as box one.",
    Ask.NOT_THEN: "Not {0} but {1}? Say the right one, as in no, {1}.",
    Ask.START_OVER: "Say undo for each call that goes, or next board to leave this one as it is.",
    Ask.HOW_FAR_BACK: "Back a step or back a call? Say previous step, or undo.",
    Ask.OTHER_SIDE: "The other side of what? Say it again with its side.",
    Ask.WRONG_BOARD: "Nothing was moved. Say undo for each call that goes, go to the right one, then call it there.",
    Ask.TURNED_BOX: "A box on its side? Say where its four sides are, as in left 12 to 16, down 40 to 42.",
    Ask.NO_NEIGHBOR: "Is none there, or was that a no? Say what stands there, or that it is open.",
    Ask.REDO: "What was undone comes back when it is said again. Say it with its place.",
    Ask.SKIP_WHAT: "Skip what? Say next board to leave this one as it is, or leave it out for what was not taken.",
    Ask.STOP_WHAT: "Stop what? Say stop listening, or undo for what was called last.",
    Ask.PRINT_HOW: "Nothing was printed. Papers come with the command fieldvoice print, or fieldvoice print --as pdf.",
    Ask.WHICH_OFFCUT: "Which offcut is that? Say its name, as in cut it from 1B; what's on the rack tells them.",
    Ask.OFF_OPENING: "How far is that from the left or the right of the board? Say it all again with that figure.",
    Ask.LIKE_WHICH: "Where is that on the board? Say what it is with both distances, or same height as box one.",
    Ask.UNSAID_FEET: "Is that {0} feet {1}? Say it with its feet.",
}


def asked(utterance: Utterance, form: Form) -> str | None:
    """The question that an unclear utterance is answered with, in figures; None where it isn't unclear."""
    if utterance.ask is None:
        return None
    if utterance.ask.about is Ask.WHICH_OF:
        return which_of(utterance.alternatives, form.unit)
    return sentence(utterance.ask, form)


def sentence(question: Question, form: Form) -> str:
    """A question that needs no alternatives."""
    return _SENTENCES[question.about].format(*(_told(value, question.about, form) for value in question.values))


def _told(value: Told, about: Ask, form: Form) -> str:
    if about is Ask.RUNS_ON and isinstance(value, Length):
        return read_back(Reading(value), form.unit)
    if about in _BARE and isinstance(value, Length):
        return replace(form, unit=Unit.INCH).length(value)
    if isinstance(value, Unsure):
        return _UNSURE[value]
    if about is Ask.WHICH_SLOPE:
        return {"top": "ceiling", "bottom": "floor"}[str(value)]
    return _plain(value, form)


_BARE = frozenset({Ask.JOINED, Ask.FRACTION_OF, Ask.NOT_THEN})
"""Questions that tell figures as they were typed, without a unit."""

_UNSURE = {
    Unsure.SEVERAL_MEANINGS: "it could mean more than one thing",
    Unsure.TEEN_OR_TEN: "a teen and a ten sound alike",
    Unsure.EARS_DIFFER: "the recognizers disagree",
    Unsure.NOT_CLEAR: "I didn't hear it clearly",
}


def which_of(alternatives: tuple[tuple[Meaning, ...], ...], unit: Unit) -> str:
    """The alternatives as they are read back in the job's unit, to choose from."""
    said = [", ".join(read_back(meaning, unit) for meaning in meanings) for meanings in alternatives[:MOST_NAMED]]
    more = ", or something else" if len(alternatives) > MOST_NAMED else ""
    return f"Is it {'; or '.join(said)}{more}?"


_REFUSALS = {
    Why.NOTHING_SAID: "Nothing was said.",
    Why.NOTHING_HEARD: "I didn't get that. Nothing was taken. Say it again, or type it.",
    Why.NO_READING: "I heard no reading and no order. Nothing was taken. Say it again.",
    Why.TOO_LONG: "That was too long at once. Nothing was taken. Say one thing at a time.",
    Why.NO_WORD: "I don't know “{0}”. Nothing was taken. Say it another way.",
    Why.ONE_OR_SEVERAL: "“{0}” may be one number or several. Nothing was taken. Put a space after a comma between "
    "readings, a point before decimals, and nothing at the thousands.",
    Why.NO_SENSE: "I lost you at “{0}”. Nothing was taken. Say one thing at a time.",
    Why.ZERO: "No board reads zero. Nothing was taken. Read the tape again.",
    Why.BELOW_ZERO: "A reading can't be below zero. Read the tape again.",
    Why.OVER_ZERO: "A fraction over zero is not a number. Read the tape again.",
    Why.NO_NUMBER: "{0} is not a number. Read the tape again.",
    Why.MORE_THAN_INCH: "{0} is not a fraction of an inch: a whole inch or more. Say the inches and the fraction.",
    Why.NOT_ON_TAPE: "A tape has no {0}: it has halves to thirty-seconds. Read the tape again.",
    Why.FRACTION_TWICE: "You said the fraction twice, so I don't know which one you mean. Say the reading again.",
    Why.MORE_THAN_FOOT: "{0} after feet is more than a foot. Say the length in inches.",
    Why.NOTHING_LEFT: "That leaves nothing: a length is more than what is taken from it. Say the reading again.",
    Why.TOO_LARGE: "{0} is longer than any wall or sheet. Nothing was taken. Read the tape again; if it reads "
    "millimeters, say so.",
    Why.FAR_APART: "Those readings are too far apart for one board. Nothing was taken. Say each with its place.",
    Why.SIDE_FROM_START: "The {0} edge can't be measured from the {1}. Say the box again.",
    Why.WRONG_WAY_ROUND: "The sides of the opening are in the wrong order: call the nearer one first.",
    Why.STUDS: "Those studs are too close or out of order. Nothing was taken. Call them from the left.",
}


def refused(utterance: Utterance, form: Form) -> str | None:
    """Why a refused utterance was refused; None where it wasn't."""
    return None if utterance.why is None else refusal(utterance.why, form)


def refusal(why: Refusal, form: Form) -> str:
    """One refusal."""
    values = why.values
    if why.why in {Why.MORE_THAN_INCH, Why.NOT_ON_TAPE}:
        values = ("/".join(map(str, values)),)
    return _REFUSALS[why.why].format(*(_plain(value, form) for value in values))


def _plain(value: Told, form: Form) -> str:
    """Of lengths only those in feet and inches, or with a fraction, are ever asked about or refused."""
    return replace(form, unit=Unit.INCH).tell(value)


_LACKS = {
    Lack.KIND: "What kind of box? Single gang, double gang, round, octagon or square?",
    Lack.DISTANCE: "And the other distance?",
    Lack.START: "From which edge?",
    Lack.POINT: "Center or edge?",
    Lack.SIZE: "How big is it?",
}


def of_part(thing: Incomplete, lack: Lack) -> str:
    """The question of the part that a thing lacks."""
    if lack is Lack.DISTANCE and thing.start is not None:
        return f"How far from the {thing.start}?"
    if lack is Lack.DISTANCE and not thing.distances:
        return "How far from the left or the right, and up or down?"
    if lack is Lack.DISTANCE and thing.kind is OpeningKind.DOOR:
        return "And the other distance? Or is it on the floor?"
    if lack is Lack.SIZE and thing.width is not None:
        return "How high is it?"
    if lack is Lack.START and any(each.start is None and each.point is None for each in thing.distances):
        return "From which edge? And its center, or its edge?"
    return _LACKS[lack]


def why_odd(odd: Oddity, form: Form) -> str:
    """What speaks against it."""
    return _odd_told(_WHY[odd.odd], odd, form)


def ask_odd(odd: Oddity, form: Form) -> str:
    """The question."""
    return _odd_told(_ASK[odd.odd], odd, form)


def ask_odd_briefly(odd: Oddity, form: Form) -> str:
    """The question in fewer words, where it takes many."""
    return _odd_told(_BRIEFLY.get(odd.odd, _ASK[odd.odd]), odd, form)


def _odd_told(says: str, odd: Oddity, form: Form) -> str:
    """A sentence with its places filled: for values by their number, for what they are of by its name."""
    lying = odd.lies is Lies.LYING
    diagonal = f"the {'rising' if odd.rising else 'falling'} diagonal"
    return says.format(
        *map(form.with_unit, odd.values),
        beside=joined(dict.fromkeys(map(form.with_unit, odd.values[1:]))),
        box=form.words(odd.box),
        thing=form.words(odd.other),
        other=odd.other,
        edge=odd.edge.value if odd.edge is not None else "edge",
        dimension=odd.dimension,
        reading=_reading(odd, form, odd.at),
        other_reading=_reading(odd, form, odd.other_at),
        closing="a width or a height" if odd.rising is None else diagonal,
        lies=odd.lies.value if odd.lies is not None else "that way",
        otherwise="stands" if lying else "lies",
        other_way=(Lies.STANDING if lying else Lies.LYING).value,
        held="the base covers less" if odd.edge is Edge.BOTTOM else "no edge is held off that far",
    )


def _reading(odd: Oddity, form: Form, place: Place | None) -> str:
    return "reading" if odd.dimension is None else form.reading(odd.dimension, Slot.MIDDLE if place is None else place)


_WHY: Mapping[Odd, str] = {
    Odd.STAND_OFF: "{held}",
    Odd.OPEN_JOINT: "boards meet there",
    Odd.OUT_OF_PLUMB: "few lean or slope that far over one board",
    Odd.JOINT_LEANS: "the readings make the {other} joint lean with it",
    Odd.OUT_OF_SQUARE: "{closing} alone says so",
    Odd.OTHER_LEANS: "the readings make the {other} one run off with it",
    Odd.BEYOND_SHEETS: "no listed sheet {lies} reaches that far",
    Odd.TURNED: "no listed sheet {lies} reaches that far. Where the sheet {otherwise}, say “{other_way}”",
    Odd.FAR_FROM_FELLOWS: "beside {beside} no wall leans or bows that far",
    Odd.SWAPPED: "the readings only lie in a row with two of them swapped",
    Odd.NOT_CLOSING: "the widths, heights and diagonals are off by {0}",
    Odd.OFF_BOARD: "that is beyond its edge",
    Odd.ACROSS_EDGE: "it would run across the board's edge",
    Odd.TO_EDGE: "no board would be left between it and the board's edge",
    Odd.LARGE_ROUND: "few round things are that large",
    Odd.PAST_EDGE: "the {other} stands there",
    Odd.WHOLE_SIDE: "no board is left beside it over the whole {dimension}",
    Odd.ON_ANOTHER: "it would overlap {thing}",
    Odd.UNLIKE_HEIGHT: "the other boxes are {0} down",
    Odd.FLOOR_TO_CEILING: "the height measured there is {1}",
}

ASKED_WITH_WHY = frozenset({Odd.ON_ANOTHER, Odd.JOINT_LEANS, Odd.OTHER_LEANS, Odd.OUT_OF_SQUARE, Odd.WHOLE_SIDE})
"""Questions that say by themselves what speaks against it."""


_REALLY = "Is the {reading} really {0}?"
_ASK: Mapping[Odd, str] = {
    Odd.OUT_OF_PLUMB: "Is the {edge} really out by {0}?",
    Odd.JOINT_LEANS: "Then the joint at the {other} would be out by {0}, since the {edge} leans as called. Is it so?",
    Odd.OUT_OF_SQUARE: "By {closing} alone ceiling and floor run off by {0} over the board. Is it so?",
    Odd.OTHER_LEANS: "By the readings what stands at the {other} would be out by {0} then, since the {edge} is as "
    "called. Is it so?",
    Odd.STAND_OFF: "Is the clearance at the {edge} really {0}?",
    Odd.OPEN_JOINT: "At the {edge} the next board stands. Does the joint there really stay open by {0}?",
    Odd.BEYOND_SHEETS: _REALLY,
    Odd.TURNED: "Is the {reading} really {0}, with the sheet {lies}?",
    Odd.FAR_FROM_FELLOWS: _REALLY,
    Odd.SWAPPED: "Is the {reading} {0} and the {other_reading} {1}, and not the other way around?",
    Odd.NOT_CLOSING: "The sides and the diagonals are off by {0}. Is {closing} right anyway?",
    Odd.OFF_BOARD: "Is {box} on this board? I have {0} from the {edge}.",
    Odd.ACROSS_EDGE: "Does {box} really run across the edge? I have {0} from the {edge}.",
    Odd.TO_EDGE: "Does {box} really reach the edge? I have {0} from the {edge}.",
    Odd.LARGE_ROUND: "Is {box} really {0} across?",
    Odd.PAST_EDGE: "Does {box} really go on past the {edge} edge?",
    Odd.WHOLE_SIDE: "Does {box} really take the whole {dimension} of the board?",
    Odd.ON_ANOTHER: "Is {box} right, though it would overlap {thing}?",
    Odd.UNLIKE_HEIGHT: "Is {box} at another height? I have {1} from the {edge}.",
    Odd.FLOOR_TO_CEILING: "Is floor to ceiling really {0}? The {reading} is {1}.",
}
_BRIEFLY: Mapping[Odd, str] = {
    Odd.JOINT_LEANS: "The joint at the {other} would be out by {0}. Is it so?",
    Odd.OUT_OF_SQUARE: "Out of square by {0}, by one diagonal. Is it so?",
    Odd.OTHER_LEANS: "What stands at the {other} would be out by {0}. Is it so?",
    Odd.SWAPPED: "The {reading} {0}, not the {other_reading}?",
    Odd.TURNED: _REALLY,
    Odd.NOT_CLOSING: "Off by {0}. Is {closing} right anyway?",
    Odd.OFF_BOARD: "Is {box} on this board?",
    Odd.ACROSS_EDGE: "Does {box} really run across the edge?",
    Odd.TO_EDGE: "Does {box} really reach the edge?",
    Odd.UNLIKE_HEIGHT: "Is {box} at another height?",
    Odd.FLOOR_TO_CEILING: "Is floor to ceiling really {0}?",
}
