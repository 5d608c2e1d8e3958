"""What readings, diagonals and plumb come to. Every function is the meaning of that name in the grammar."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from fieldvoice.language.found import Measured, Number, Question, Where
from fieldvoice.records.length import ZERO, Length
from fieldvoice.records.meaning import Diagonal, Dimension, Edge, Plumb, Reading, Slot

WIDTHS = (Slot.TOP, Slot.MIDDLE, Slot.BOTTOM)
HEIGHTS = (Slot.LEFT, Slot.MIDDLE, Slot.RIGHT)


def reading(where: Where, length: Measured) -> Reading:
    """A value in its place."""
    return Reading(length.value, where.dimension, where.at, length.qualifier)


def bare(length: Measured) -> Reading:
    """A value whose place the dialogue knows."""
    return Reading(length.value, qualifier=length.qualifier)


def _width(at: str | Number) -> Where:
    return Where(Dimension.WIDTH, _place(at))


def _height(at: str | Number) -> Where:
    return Where(Dimension.HEIGHT, _place(at))


def _either(at: str | Number) -> Where:
    return Where(None, _place(at))


def _place(at: str | Number) -> Slot | Length:
    return Slot(at) if isinstance(at, str) else Length(at)


def row(dimension: Dimension, slots: tuple[Slot, ...], lengths: tuple[Measured, ...]) -> tuple[Reading, ...]:
    """Readings said one after the other."""
    return tuple(
        Reading(length.value, dimension, slot, length.qualifier) for slot, length in zip(slots, lengths, strict=True)
    )


def top_and_bottom(length: Measured) -> tuple[Reading, ...]:
    """One value for two places."""
    return row(Dimension.WIDTH, (Slot.TOP, Slot.BOTTOM), (length, length))


def leans(edge: str, _: Measured) -> Question:
    """Out of plumb, and nobody said which way."""
    return Question(f"Does the {edge} lean in or out at the top?")


def slopes(edge: str, _: Measured) -> Question:
    """Out of level, and nobody said which way."""
    return Question(
        f"Towards which side does the {'ceiling' if edge == 'top' else 'floor'} go that way, left or right?"
    )


def level_run(edge: str, length: Measured, direction: str, *, downwards: bool) -> Plumb:
    """A ceiling or floor that runs up or down to one side: positive where the opening narrows towards the right."""
    narrows = (edge == "top") == downwards
    sign = 1 if narrows == (direction == "right") else -1
    return Plumb(Edge(edge), length.value * sign)


ACTIONS: Mapping[str, Callable[..., Any]] = {
    "reading": reading,
    "reading_after": lambda length, where: reading(where, length),
    "bare": bare,
    "wide": lambda length: reading(Where(Dimension.WIDTH, None), length),
    "tall": lambda length: reading(Where(Dimension.HEIGHT, None), length),
    "top_and_bottom": top_and_bottom,
    "left_and_right": lambda length: row(Dimension.HEIGHT, (Slot.LEFT, Slot.RIGHT), (length, length)),
    "same": lambda _: Question("The same as what? Say the value with its place."),
    "widths": lambda *lengths: row(Dimension.WIDTH, WIDTHS, lengths),
    "heights": lambda *lengths: row(Dimension.HEIGHT, HEIGHTS, lengths),
    "two_in_row": lambda *_: Question("Two readings came where three belong. Say each with its place."),
    "slot_between": lambda *_: Question("The place stands between two values. Say the place first, then its value."),
    "some_width": lambda: Where(Dimension.WIDTH, None),
    "some_height": lambda: Where(Dimension.HEIGHT, None),
    "width_at": _width,
    "height_at": _height,
    "middle_at": _either,
    "diagonal": lambda length: Diagonal(length.value),
    "diagonals": lambda first, second: (Diagonal(first.value), Diagonal(second.value)),
    "rising": lambda length: Diagonal(length.value, rising=True),
    "falling": lambda length: Diagonal(length.value, rising=False),
    "leans_in": lambda edge, length: Plumb(Edge(edge), length.value),
    "leans_out": lambda edge, length: Plumb(Edge(edge), -length.value),
    "leans": leans,
    "plumb": lambda edge: Plumb(Edge(edge), ZERO),
    "drops": lambda edge, length, way: level_run(edge, length, way, downwards=True),
    "climbs": lambda edge, length, way: level_run(edge, length, way, downwards=False),
    "slopes": slopes,
}
