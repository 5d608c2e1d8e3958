"""What is hard to believe, and the question that settles it."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from fieldvoice.records.board import Lies
from fieldvoice.records.length import Unit
from fieldvoice.records.meaning import Slot
from fieldvoice.records.oddity import Odd, Oddity
from fieldvoice.wording.figures import reading, with_unit


def why(odd: Oddity, unit: Unit) -> str:
    """What speaks against it."""
    return _WHY[odd.odd](odd, unit)


def ask(odd: Oddity, unit: Unit) -> str:
    """The question."""
    return _ASK[odd.odd](odd, unit)


def _value(odd: Oddity, index: int, unit: Unit) -> str:
    return with_unit(odd.values[index], unit)


def _reading(odd: Oddity, unit: Unit, *, other: bool = False) -> str:
    assert odd.dimension is not None
    place = odd.other_at if other else odd.at
    return reading(odd.dimension, Slot.MIDDLE if place is None else place, unit)


def _edge(odd: Oddity) -> str:
    return odd.edge.value if odd.edge is not None else "edge"


def _lies(odd: Oddity) -> str:
    return odd.lies.value if odd.lies is not None else "that way"


def _other_way(odd: Oddity) -> Lies:
    return Lies.STANDING if odd.lies is Lies.LYING else Lies.LYING


def _otherwise(odd: Oddity) -> str:
    return "stands" if odd.lies is Lies.LYING else "lies"


def _called(odd: Oddity, index: int, unit: Unit) -> str:
    return f"I have {_value(odd, index, unit)} from the {_edge(odd)}."


def _fellows(odd: Oddity, unit: Unit) -> str:
    return ", ".join(with_unit(one, unit) for one in odd.values[1:])


def _closing(odd: Oddity) -> str:
    if odd.rising is None:
        return "a width or a height"
    return f"the {'rising' if odd.rising else 'falling'} diagonal"


_WHY: Mapping[Odd, Callable[[Oddity, Unit], str]] = {
    Odd.STAND_OFF: lambda _, __: "no edge is held off that far",
    Odd.OUT_OF_PLUMB: lambda _, __: "few lean or slope that far over one board",
    Odd.BEYOND_SHEETS: lambda odd, _: f"no listed sheet {_lies(odd)} reaches that far",
    Odd.TURNED: lambda odd, _: (
        f"no listed sheet {_lies(odd)} reaches that far. Where the sheet {_otherwise(odd)}, say "
        f"“{_other_way(odd).value}”"
    ),
    Odd.FAR_FROM_FELLOWS: lambda odd, unit: (
        f"{_value(odd, 0, unit)} is farther from {_fellows(odd, unit)} than a wall leans or bows"
    ),
    Odd.SWAPPED: lambda _, __: "the readings only lie in a row with two of them swapped",
    Odd.NOT_CLOSING: lambda odd, unit: f"the widths, heights and diagonals are off by {_value(odd, 0, unit)}",
    Odd.OFF_BOARD: lambda _, __: "that is beyond its edge",
    Odd.ACROSS_EDGE: lambda _, __: "it would run across the board's edge",
    Odd.PAST_EDGE: lambda odd, _: f"the {odd.other} stands there",
    Odd.ON_ANOTHER: lambda odd, _: f"it would overlap {odd.other}",
    Odd.UNLIKE_HEIGHT: lambda odd, unit: f"the other boxes are {_value(odd, 0, unit)} down",
    Odd.FLOOR_TO_CEILING: lambda odd, unit: f"the height measured there is {_value(odd, 1, unit)}",
}

_ASK: Mapping[Odd, Callable[[Oddity, Unit], str]] = {
    Odd.OUT_OF_PLUMB: lambda odd, unit: f"Is the {_edge(odd)} really out by {_value(odd, 0, unit)}?",
    Odd.STAND_OFF: lambda odd, unit: f"Is the clearance at the {_edge(odd)} really {_value(odd, 0, unit)}?",
    Odd.BEYOND_SHEETS: lambda odd, unit: f"Is the {_reading(odd, unit)} really {_value(odd, 0, unit)}?",
    Odd.TURNED: lambda odd, unit: (
        f"Is the {_reading(odd, unit)} really {_value(odd, 0, unit)}, with the sheet {_lies(odd)}?"
    ),
    Odd.FAR_FROM_FELLOWS: lambda odd, unit: f"Is the {_reading(odd, unit)} really {_value(odd, 0, unit)}?",
    Odd.SWAPPED: lambda odd, unit: (
        f"Is the {_reading(odd, unit)} {_value(odd, 0, unit)} and the {_reading(odd, unit, other=True)} "
        f"{_value(odd, 1, unit)}, and not the other way around?"
    ),
    Odd.NOT_CLOSING: lambda odd, unit: (
        f"The sides and the diagonals are off by {_value(odd, 0, unit)}. Is {_closing(odd)} right anyway?"
    ),
    Odd.OFF_BOARD: lambda odd, unit: f"Is {odd.box} on this board? {_called(odd, 0, unit)}",
    Odd.ACROSS_EDGE: lambda odd, unit: f"Does {odd.box} really run across the edge? {_called(odd, 0, unit)}",
    Odd.PAST_EDGE: lambda odd, _: f"Does {odd.box} really go on past the {_edge(odd)} edge?",
    Odd.ON_ANOTHER: lambda odd, _: f"Is {odd.box} right, though it would overlap {odd.other}?",
    Odd.UNLIKE_HEIGHT: lambda odd, unit: f"Is {odd.box} at another height? {_called(odd, 1, unit)}",
    Odd.FLOOR_TO_CEILING: lambda odd, unit: (
        f"Is floor to ceiling really {_value(odd, 0, unit)}? The {_reading(odd, unit)} is {_value(odd, 1, unit)}."
    ),
}
