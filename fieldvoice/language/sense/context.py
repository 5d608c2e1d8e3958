"""What is said about the place: every function is the meaning of that name in the grammar."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from fieldvoice.language.found import Number
from fieldvoice.records.length import ZERO, Length, Unit
from fieldvoice.records.meaning import Context, Edge, Neighbour, Topic

FEET_UP_TO = 16
"""Sheets are called in feet ("four by eight"): no sheet is only so many inches, and none has more feet."""


def sheet(width: Number, length: Number) -> Context:
    """A sheet by its sides, in feet where both are small."""
    unit = 12 if width <= FEET_UP_TO and length <= FEET_UP_TO else 1
    sides = sorted((Length(width * unit), Length(length * unit)))
    return Context(Topic.SHEET, tuple(sides))


def neighbour(edge: str, what: str) -> Context:
    """What stands at an edge."""
    return Context(Topic.NEIGHBOUR, Neighbour(what), Edge(edge))


def clearance(value: Number, edge: str | None = None) -> Context:
    """How far to stay off."""
    return Context(Topic.CLEARANCE, Length(value), Edge(edge) if edge else None)


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
    "thickness": _length(Topic.THICKNESS),
    "kind": _said(Topic.KIND),
    "thickness_and_kind": lambda value, kind: (
        Context(Topic.THICKNESS, Length(value)),
        Context(Topic.KIND, kind),
    ),
    "layers": _said(Topic.LAYERS),
    "framing": _said(Topic.FRAMING),
    "framing_spacing": lambda material, value: (
        Context(Topic.FRAMING, material),
        Context(Topic.SPACING, Length(value)),
    ),
    "spacing": _length(Topic.SPACING),
    "one_stud": lambda value: Context(Topic.STUDS, (Length(value),)),
    "studs": lambda *values: Context(Topic.STUDS, tuple(Length(value) for value in values)),
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
