"""What is said of walls and ceilings. Every function is the meaning of that name in the grammar."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from fieldvoice.language.partial import Number, Sides
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Edge, LayoutWish, SurfaceCall, Wish
from fieldvoice.records.utterance import Ask, Question

ROOM_FEET_UP_TO = 60
"""No wall is called by so few inches; none has more feet."""
ROOM_FEET_BESIDE = 24
"""Beside a side in feet so few are feet, too, "twelve foot four by eight": no wall is so low (our own rule)."""


INCHES_FROM = 24
"""No wall or ceiling is so small in inches that a side has fewer; of more both are as plausible (our own rule)."""


def room_sides(one: Number, other: Number) -> Sides | Question:
    """Two sides of a wall or a ceiling said without a unit: in feet where both are small, asked where they may be those
    of a closet in inches as well.
    """
    in_feet = max(one, other) <= ROOM_FEET_UP_TO
    if in_feet and min(one, other) >= INCHES_FROM:
        return Question(Ask.WALL_UNIT)
    scale = 12 if in_feet else 1
    return Sides(Length(one * scale), Length(other * scale), in_feet)


def first_unsaid(one: Number, other: Number) -> Sides:
    """The first side without a unit beside one in feet or inches."""
    return Sides(_beside(one), Length(other), in_feet=False)


def second_unsaid(one: Number, other: Number) -> Sides:
    """The second side without a unit."""
    return Sides(Length(one), _beside(other), in_feet=False)


@dataclass(frozen=True, slots=True)
class Peak:
    """How high a wall's top is where it is highest, and how far from which end: nothing is in the middle."""

    height: Length
    place: tuple[Length, Edge] | None = None


def wall_peaked(name: str, sides: Sides, peak: Peak) -> SurfaceCall | Question:
    """A wall by its two sides with its peak."""
    wall = SurfaceCall("wall", name, sides.one, sides.other)
    return wall.peaked(peak.height, peak.place) or Question(Ask.WALL_PEAK)


def peak_of_what(peak: Peak) -> Question:
    """A peak of the wall at hand, if that can have one so high there, or of the board at hand."""
    return Question(Ask.WALL_PEAK, (peak.height, *(peak.place or ())))


def _beside(side: Number) -> Length:
    return Length(side * (12 if side <= ROOM_FEET_BESIDE else 1))


ACTIONS: Mapping[str, Callable[..., Any]] = {
    "room_sides": room_sides,
    "sides_with_units": lambda one, other: Sides(Length(one), Length(other), in_feet=False),
    "first_unsaid": first_unsaid,
    "second_unsaid": second_unsaid,
    "high_first": lambda height, width: Sides(Length(width), Length(height), in_feet=False),
    "wall_called": lambda name, sides: SurfaceCall("wall", name, sides.one, sides.other),
    "wall_numbered": lambda name, sides: SurfaceCall("wall", str(name), sides.one, sides.other),
    "ceiling_called": lambda sides: SurfaceCall("ceiling", "ceiling", sides.one, sides.other),
    "peak": Peak,
    "peak_placed": lambda place, high: Peak(high, place),
    "peak_high": Length,
    "peak_unsaid": _beside,
    "peak_in_middle": lambda: None,
    "peak_over": lambda length, side: (Length(length), Edge(side)),
    "wall_peaked": wall_peaked,
    "peak_of_what": peak_of_what,
    "start_from": lambda side: LayoutWish(Wish.START, Edge(side)),
    "stand_them": lambda: LayoutWish(Wish.STANDING),
    "lay_them": lambda: LayoutWish(Wish.LYING),
    "wall_renamed": lambda *_: Question(Ask.WALL_KEEPS_NAME),
    "wall_of_no_name": lambda sides: Question(Ask.WALL_NAME, sides=(sides.one, sides.other)),
    "wall_so_long": lambda side: Question(Ask.WALL_NAME, sides=(Length(side),)),
    "wall_so_many": lambda side: Question(Ask.WALL_NAME, sides=(_beside(side),)),
    "twelves_only": lambda feet: LayoutWish(Wish.LENGTH, None, Length(feet * 12)),
    "lengths_only": lambda length: LayoutWish(Wish.LENGTH, None, length),
}
