"""What is hard to believe, and the question that settles it."""

from __future__ import annotations

from collections.abc import Mapping

from fieldvoice.records.board import Lies
from fieldvoice.records.facts import Odd, Oddity
from fieldvoice.records.meaning import Edge, Place, Slot
from fieldvoice.wording.forms import Form, joined


def why(odd: Oddity, form: Form) -> str:
    """What speaks against it."""
    return _told(_WHY[odd.odd], odd, form)


def ask(odd: Oddity, form: Form) -> str:
    """The question."""
    return _told(_ASK[odd.odd], odd, form)


def ask_briefly(odd: Oddity, form: Form) -> str:
    """The question in fewer words, where it takes many."""
    return _told(_BRIEFLY.get(odd.odd, _ASK[odd.odd]), odd, form)


def _told(says: str, odd: Oddity, form: Form) -> str:
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
