"""Keys that values are kept under, and the trade's names for them."""

from __future__ import annotations

from collections.abc import Iterable

from fieldvoice.dialogue.state import BoxState, Fact
from fieldvoice.records.length import LEANS, Length, Unit, lean_unit
from fieldvoice.records.meaning import (
    Box,
    Context,
    Coordinate,
    Diagonal,
    Neighbour,
    Opening,
    Plumb,
    Point,
    Qualifier,
    Reading,
)


def key_of(fact: Fact) -> str:
    """The key of a fact whose place and name are settled: "width top", "width 32", "box 1", "neighbour right"."""
    match fact:
        case Reading(dimension=dimension, at=at):
            return f"{dimension} {at}"
        case Diagonal(rising=rising):
            return {True: "diagonal rising", False: "diagonal falling", None: "diagonal"}[rising]
        case Plumb(edge=edge):
            return f"plumb {edge}"
        case Box(name=name) | Opening(name=name):
            return str(name)
        case BoxState(name=name):
            return f"circuit {name}"
        case Context(topic=topic, edge=edge):
            return f"{topic} {edge}" if edge is not None and topic.value in {"neighbour", "clearance"} else str(topic)


def box_name(name: str) -> str:
    """The full name of a box: "box 2" for "2"."""
    return f"box {name}" if name.isdigit() else name


def free_name(stem: str, taken: Iterable[str]) -> str:
    """The first of "box 1", "box 2", ... that isn't taken."""
    used = set(taken)
    number = 1
    while f"{stem} {number}" in used:
        number += 1
    return f"{stem} {number}"


def label(key: str, unit: Unit) -> str:
    """A key as people read it: "width, top", "height, at 32 in", "box 1", "right edge"."""
    first, _, rest = key.partition(" ")
    if first in {"width", "height"}:
        at = f"at {Length(rest).text_with_unit(unit)}" if rest[:1].isdigit() else rest
        return f"{first}, {at}"
    if first == "neighbour":
        return f"{rest} edge"
    if first in {"clearance", "plumb", "diagonal"} and rest:
        return f"{first}, {rest}"
    return key


def figures(fact: Fact, unit: Unit) -> str:
    """What a fact says, in figures: the value alone, without its label."""
    match fact:
        case Reading() | Diagonal():
            return _text(fact.value, unit)
        case Plumb():
            way = "narrows" if fact.value.inches >= 0 else "widens"
            return f"{way} by {_text(abs(fact.value), unit)}"
        case Box():
            plugged = ", something plugged in" if fact.plugged_in else ""
            spots = ", ".join(_spot(each, unit) for each in (fact.x, fact.y, *(fact.far or ())))
            return f"{fact.kind}, {spots}{plugged}"
        case Opening():
            places = ", ".join(_spot(each, unit) for each in (*fact.xs, *fact.ys))
            return ", ".join(part for part in (str(fact.kind), _size(fact, unit), places) if part)
        case BoxState():
            return str(fact.state)
        case Context():
            return _context(fact, unit)


def says(fact: Fact, said: str) -> bool:
    """Whether those figures are the fact's, in whichever unit they were written."""
    return any(figures(fact, unit) == said for unit in Unit)


def note(fact: Fact, unit: Unit) -> str | None:
    """What the figures hold that wasn't on the tape."""
    if not isinstance(fact, Reading) or fact.qualifier is None:
        return None
    own = lean_unit(fact.value, unit)
    by = f"{LEANS[own].text(own)} {own.value}"
    return f"strong, {by} added" if fact.qualifier is Qualifier.STRONG else f"light, {by} taken off"


def _text(length: Length, unit: Unit) -> str:
    """In the unit that all is told in, without it; what can only have been said in millimetres has its unit."""
    return length.text(unit) if unit is Unit.MM or length.on_inch_tape else length.text_with_unit(unit)


_POINTS = {Point.CENTER: "center", Point.NEAR: "near side", Point.FAR: "far side"}


def _spot(place: Coordinate, unit: Unit) -> str:
    return f"{_POINTS[place.point]} {_text(place.value, unit)} from {place.start}"


def _size(opening: Opening, unit: Unit) -> str:
    if opening.diameter is not None:
        return f"{_text(opening.diameter, unit)} across"
    if opening.width is not None and opening.height is not None:
        return f"{_text(opening.width, unit)} wide by {_text(opening.height, unit)} high"
    return ""


def _context(fact: Context, unit: Unit) -> str:
    match fact.value:
        case None:
            return str(fact.edge)
        case Length():
            return fact.value.text_with_unit(unit)
        case tuple():
            between = " by " if fact.topic.value == "sheet" else ", "
            *before, last = fact.value
            return between.join([*(_text(each, unit) for each in before), last.text_with_unit(unit)])
        case Neighbour():
            return fact.value.value
    return str(fact.value)
