"""What is said about the place: every function is the meaning of that name in the grammar."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from itertools import pairwise
from typing import Any

from fieldvoice.language.found import Number, Several, Sides, Trouble
from fieldvoice.records.length import ZERO, Length, Unit
from fieldvoice.records.meaning import Ask, Context, Dimension, Edge, Neighbour, Question, Reading, Refusal, Topic, Why

FEET_UP_TO = 16
"""Sheets are called in feet ("four by eight"): no sheet is only so many inches, and none has more feet."""
COMMON_SHEETS = {
    **{Length(width): [Length(12 * feet) for feet in range(6, FEET_UP_TO + 1)] for width in (48, 54)},
    **{
        Length.of(width, Unit.MM): [Length.of(each, Unit.MM) for each in range(1800, 3601, 100)]
        for width in (900, 1200)
    },
}
"""By their width: what two sides are called for without the word sheet (common practice, no source)."""
THICKEST = 2
"""Inches: gypsum boards have up to 1 (ASTM C1396, from memory)."""
CLOSEST = 4
"""Inches between studs that nothing is framed with: 16 or 24 said in a job that is kept in millimetres."""


def sheet_sides(unit: Unit) -> Callable[[Number, Number], Sides]:
    """Two sides, in feet where both are small in the job's unit."""

    def sides(one: Number, other: Number) -> Sides:
        in_feet = all(Length(side).in_unit(unit) <= FEET_UP_TO for side in (one, other))
        first, second = (Length(Length(side).in_unit(unit) * 12 if in_feet else side) for side in (one, other))
        return Sides(first, second, in_feet)

    return sides


def sheet(sides: Sides) -> Context:
    """A sheet by its sides."""
    return Context(Topic.SHEET, tuple(sorted((sides.one, sides.other))))


def sheet_or_piece(sides: Sides) -> Context | Several:
    """Two sides and no word of a sheet: a sheet of a common size, or perhaps a width and a height."""
    short, long = sorted((sides.one, sides.other))
    if sides.in_feet or long in COMMON_SHEETS.get(short, ()):
        return sheet(sides)
    piece = (Reading(sides.one, Dimension.WIDTH), Reading(sides.other, Dimension.HEIGHT))
    return Several((sheet(sides), piece))


def spacing(value: Number) -> Context | Question:
    """Framing, centre to centre."""
    if value < CLOSEST:
        return Question(Ask.FRAMING_UNIT)
    return Context(Topic.SPACING, Length(value))


def neighbour(edge: str, what: str) -> Context:
    """What stands at an edge."""
    return Context(Topic.NEIGHBOUR, Neighbour(what), Edge(edge))


def clearance(value: Number, edge: str | None = None) -> Context:
    """How far to stay off."""
    return Context(Topic.CLEARANCE, Length(value), Edge(edge) if edge else None)


def thickness(value: Number) -> Context | Question:
    """How thick the board is."""
    if value > THICKEST:
        return Question(Ask.TOO_THICK)
    return Context(Topic.THICKNESS, Length(value))


def studs(*centres: Number) -> Context | Refusal:
    """Stud centres from the left. What stands closer than framing is rather a part of the centre before it."""
    if any(after - before < CLOSEST for before, after in pairwise(centres)):
        return Refusal(Why.STUDS)
    return Context(Topic.STUDS, tuple(Length(centre) for centre in centres))


def _both(*parts: Context | Trouble) -> tuple[Any, ...] | Trouble:
    """Two facts said together, unless one of them is none."""
    return next((part for part in parts if isinstance(part, Trouble)), parts)


def _length(topic: Topic) -> Callable[[Number], Context]:
    return lambda value: Context(topic, Length(value))


def _said(topic: Topic) -> Callable[[Any], Context]:
    return lambda value: Context(topic, value)


ACTIONS: Mapping[str, Callable[..., Any]] = {
    "room": _said(Topic.ROOM),
    "room_number": lambda number: Context(Topic.ROOM, str(number)),
    "surface": lambda said: Context(Topic.SURFACE, said),
    "board_called": lambda name: Context(Topic.BOARD, str(name)),
    "lies": _said(Topic.LIES),
    "sheet": sheet,
    "sheet_sides": sheet_sides(Unit.INCH),
    "sides_in_millimeters": sheet_sides(Unit.MM),
    "sheet_or_piece": sheet_or_piece,
    "how_wide": lambda _: Question(Ask.SHEET_WIDTH),
    "thickness": thickness,
    "kind": _said(Topic.KIND),
    "thickness_and_kind": lambda value, kind: _both(thickness(value), Context(Topic.KIND, kind)),
    "layers": _said(Topic.LAYERS),
    "framing": _said(Topic.FRAMING),
    "framing_spacing": lambda material, value: _both(Context(Topic.FRAMING, material), spacing(value)),
    "spacing": spacing,
    "studs": studs,
    "neighbour": neighbour,
    "neighbour_at": lambda what, edge: neighbour(edge, what),
    "clearance": clearance,
    "clearance_at": clearance,
    "edge_clearance": lambda edge, value: clearance(value, edge),
    "no_clearance": lambda edge=None: Context(Topic.CLEARANCE, ZERO, Edge(edge) if edge else None),
    "taper": lambda edge: Context(Topic.TAPER, None, Edge(edge)),
    "floor_to_ceiling": _length(Topic.FLOOR_TO_CEILING),
    "inches_unit": lambda: Unit.INCH,
    "millimeters_unit": lambda: Unit.MM,
    "unit": _said(Topic.UNIT),
}
