"""What is hard to believe, and the question that settles it."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from fieldvoice.records.board import Lies
from fieldvoice.records.facts import Odd, Oddity
from fieldvoice.records.meaning import Edge, Slot
from fieldvoice.wording.forms import Form, joined


def why(odd: Oddity, form: Form) -> str:
    """What speaks against it."""
    return _WHY[odd.odd](odd, form)


def ask(odd: Oddity, form: Form) -> str:
    """The question."""
    return _ASK[odd.odd](odd, form)


def ask_briefly(odd: Oddity, form: Form) -> str:
    """The question in fewer words, where it takes many."""
    return _BRIEFLY.get(odd.odd, _ASK[odd.odd])(odd, form)


def _value(odd: Oddity, index: int, form: Form) -> str:
    return form.with_unit(odd.values[index])


def _reading(odd: Oddity, form: Form, *, other: bool = False) -> str:
    assert odd.dimension is not None
    place = odd.other_at if other else odd.at
    return form.reading(odd.dimension, Slot.MIDDLE if place is None else place)


def _edge(odd: Oddity) -> str:
    return odd.edge.value if odd.edge is not None else "edge"


def _lies(odd: Oddity) -> str:
    return odd.lies.value if odd.lies is not None else "that way"


def _other_way(odd: Oddity) -> Lies:
    return Lies.STANDING if odd.lies is Lies.LYING else Lies.LYING


def _otherwise(odd: Oddity) -> str:
    return "stands" if odd.lies is Lies.LYING else "lies"


def _called(odd: Oddity, index: int, form: Form) -> str:
    return f"I have {_value(odd, index, form)} from the {_edge(odd)}."


def _closing(odd: Oddity) -> str:
    if odd.rising is None:
        return "a width or a height"
    return f"the {'rising' if odd.rising else 'falling'} diagonal"


_WHY: Mapping[Odd, Callable[[Oddity, Form], str]] = {
    Odd.STAND_OFF: lambda odd, _: "the base covers less" if odd.edge is Edge.BOTTOM else "no edge is held off that far",
    Odd.OPEN_JOINT: lambda _, __: "boards meet there",
    Odd.OUT_OF_PLUMB: lambda _, __: "few lean or slope that far over one board",
    Odd.JOINT_LEANS: lambda odd, _: f"the readings make the {odd.other} joint lean with it",
    Odd.OUT_OF_SQUARE: lambda odd, _: f"{_closing(odd)} alone says so",
    Odd.OTHER_LEANS: lambda odd, _: f"the readings make the {odd.other} one run off with it",
    Odd.BEYOND_SHEETS: lambda odd, _: f"no listed sheet {_lies(odd)} reaches that far",
    Odd.TURNED: lambda odd, _: (
        f"no listed sheet {_lies(odd)} reaches that far. Where the sheet {_otherwise(odd)}, say "
        f"“{_other_way(odd).value}”"
    ),
    Odd.FAR_FROM_FELLOWS: lambda odd, form: (
        f"beside {joined(dict.fromkeys(map(form.with_unit, odd.values[1:])))} no wall leans or bows that far"
    ),
    Odd.SWAPPED: lambda _, __: "the readings only lie in a row with two of them swapped",
    Odd.NOT_CLOSING: lambda odd, form: f"the widths, heights and diagonals are off by {_value(odd, 0, form)}",
    Odd.OFF_BOARD: lambda _, __: "that is beyond its edge",
    Odd.ACROSS_EDGE: lambda _, __: "it would run across the board's edge",
    Odd.PAST_EDGE: lambda odd, _: f"the {odd.other} stands there",
    Odd.WHOLE_SIDE: lambda odd, _: f"no board is left beside it over the whole {odd.dimension}",
    Odd.ON_ANOTHER: lambda odd, form: f"it would overlap {form.words(odd.other)}",
    Odd.UNLIKE_HEIGHT: lambda odd, form: f"the other boxes are {_value(odd, 0, form)} down",
    Odd.FLOOR_TO_CEILING: lambda odd, form: f"the height measured there is {_value(odd, 1, form)}",
}

ASKED_WITH_WHY = frozenset({Odd.ON_ANOTHER, Odd.JOINT_LEANS, Odd.OTHER_LEANS, Odd.OUT_OF_SQUARE, Odd.WHOLE_SIDE})
"""Questions that say by themselves what speaks against it."""


def _really(odd: Oddity, form: Form) -> str:
    return f"Is the {_reading(odd, form)} really {_value(odd, 0, form)}?"


_ASK: Mapping[Odd, Callable[[Oddity, Form], str]] = {
    Odd.OUT_OF_PLUMB: lambda odd, form: f"Is the {_edge(odd)} really out by {_value(odd, 0, form)}?",
    Odd.JOINT_LEANS: lambda odd, form: (
        f"Then the joint at the {odd.other} would be out by {_value(odd, 0, form)}, since the {_edge(odd)} leans as "
        "called. Is it so?"
    ),
    Odd.OUT_OF_SQUARE: lambda odd, form: (
        f"By {_closing(odd)} alone ceiling and floor run off by {_value(odd, 0, form)} over the board. Is it so?"
    ),
    Odd.OTHER_LEANS: lambda odd, form: (
        f"By the readings what stands at the {odd.other} would be out by {_value(odd, 0, form)} then, since the "
        f"{_edge(odd)} is as called. Is it so?"
    ),
    Odd.STAND_OFF: lambda odd, form: f"Is the clearance at the {_edge(odd)} really {_value(odd, 0, form)}?",
    Odd.OPEN_JOINT: lambda odd, form: (
        f"At the {_edge(odd)} the next board stands. Does the joint there really stay open by {_value(odd, 0, form)}?"
    ),
    Odd.BEYOND_SHEETS: _really,
    Odd.TURNED: lambda odd, form: (
        f"Is the {_reading(odd, form)} really {_value(odd, 0, form)}, with the sheet {_lies(odd)}?"
    ),
    Odd.FAR_FROM_FELLOWS: _really,
    Odd.SWAPPED: lambda odd, form: (
        f"Is the {_reading(odd, form)} {_value(odd, 0, form)} and the {_reading(odd, form, other=True)} "
        f"{_value(odd, 1, form)}, and not the other way around?"
    ),
    Odd.NOT_CLOSING: lambda odd, form: (
        f"The sides and the diagonals are off by {_value(odd, 0, form)}. Is {_closing(odd)} right anyway?"
    ),
    Odd.OFF_BOARD: lambda odd, form: f"Is {form.words(odd.box)} on this board? {_called(odd, 0, form)}",
    Odd.ACROSS_EDGE: lambda odd, form: (
        f"Does {form.words(odd.box)} really run across the edge? {_called(odd, 0, form)}"
    ),
    Odd.PAST_EDGE: lambda odd, form: f"Does {form.words(odd.box)} really go on past the {_edge(odd)} edge?",
    Odd.WHOLE_SIDE: lambda odd, form: f"Does {form.words(odd.box)} really take the whole {odd.dimension} of the board?",
    Odd.ON_ANOTHER: lambda odd, form: (
        f"Is {form.words(odd.box)} right, though it would overlap {form.words(odd.other)}?"
    ),
    Odd.UNLIKE_HEIGHT: lambda odd, form: f"Is {form.words(odd.box)} at another height? {_called(odd, 1, form)}",
    Odd.FLOOR_TO_CEILING: lambda odd, form: (
        f"Is floor to ceiling really {_value(odd, 0, form)}? The {_reading(odd, form)} is {_value(odd, 1, form)}."
    ),
}
_BRIEFLY: Mapping[Odd, Callable[[Oddity, Form], str]] = {
    Odd.JOINT_LEANS: lambda odd, form: (
        f"The joint at the {odd.other} would be out by {_value(odd, 0, form)}. Is it so?"
    ),
    Odd.OUT_OF_SQUARE: lambda odd, form: f"Out of square by {_value(odd, 0, form)}, by one diagonal. Is it so?",
    Odd.OTHER_LEANS: lambda odd, form: (
        f"What stands at the {odd.other} would be out by {_value(odd, 0, form)}. Is it so?"
    ),
    Odd.SWAPPED: lambda odd, form: (
        f"The {_reading(odd, form)} {_value(odd, 0, form)}, not the {_reading(odd, form, other=True)}?"
    ),
    Odd.TURNED: _really,
    Odd.NOT_CLOSING: lambda odd, form: f"Off by {_value(odd, 0, form)}. Is {_closing(odd)} right anyway?",
    Odd.OFF_BOARD: lambda odd, form: f"Is {form.words(odd.box)} on this board?",
    Odd.ACROSS_EDGE: lambda odd, form: f"Does {form.words(odd.box)} really run across the edge?",
    Odd.UNLIKE_HEIGHT: lambda odd, form: f"Is {form.words(odd.box)} at another height?",
    Odd.FLOOR_TO_CEILING: lambda odd, form: f"Is floor to ceiling really {_value(odd, 0, form)}?",
}
