"""The values of a board put together as the cutting room takes them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from fieldvoice.dialogue.state import Value
from fieldvoice.records.board import Board, CircuitWord, EdgeSetting, Framing, Lies, Sheet, Surface
from fieldvoice.records.length import Unit
from fieldvoice.records.meaning import (
    Box,
    Context,
    Diagonal,
    Dimension,
    Edge,
    Opening,
    Plumb,
    Reading,
    Topic,
)


def board_of(name: str, values: Mapping[str, Value], circuits: Mapping[str, CircuitWord]) -> Board:
    """The board of those values. `circuits` holds only words that still count."""
    facts = [value.fact for value in values.values()]
    board = Board(
        name,
        circuits={box: word.state for box, word in circuits.items()},
        widths=_readings(facts, Dimension.WIDTH),
        heights=_readings(facts, Dimension.HEIGHT),
        diagonals=tuple(fact for fact in facts if isinstance(fact, Diagonal)),
        plumbs=tuple(fact for fact in facts if isinstance(fact, Plumb)),
        boxes=tuple(fact for fact in facts if isinstance(fact, Box)),
        openings=tuple(fact for fact in facts if isinstance(fact, Opening)),
    )
    contexts = sorted((fact for fact in facts if isinstance(fact, Context)), key=_last_sheet)
    for context in contexts:
        board = _with_context(board, context)
    return board


def unit_of(values: Mapping[str, Value]) -> Unit:
    """The unit that the job is shown in."""
    value = values.get(Topic.UNIT.value)
    return Unit(str(value.fact.value)) if value is not None and isinstance(value.fact, Context) else Unit.INCH


def _readings(facts: Iterable[object], dimension: Dimension) -> tuple[Reading, ...]:
    readings = (fact for fact in facts if isinstance(fact, Reading) and fact.dimension is dimension)
    return tuple(reading for reading in readings if reading.at is not None)


def _last_sheet(context: Context) -> bool:
    """A sheet takes the thickness and kind that were said, in whichever order."""
    return context.topic is Topic.SHEET


def _with_context(board: Board, context: Context) -> Board:
    value: Any = context.value
    match context.topic:
        case Topic.SURFACE:
            return replace(board, surface=Surface(value))
        case Topic.LIES:
            return replace(board, lies=Lies(value))
        case Topic.UNIT:
            return replace(board, unit=Unit(value))
        case Topic.SHEET:
            return replace(board, sheet=Sheet(value[0], value[1], board.thickness, board.kind))
        case Topic.THICKNESS | Topic.KIND | Topic.LAYERS | Topic.FLOOR_TO_CEILING:
            return replace(board, **{_FIELDS[context.topic]: value})
        case Topic.FRAMING | Topic.SPACING | Topic.STUDS:
            return replace(board, framing=_framing(board.framing, context))
        case Topic.TAPER:
            return replace(board, taper=context.edge)
        case Topic.NEIGHBOUR | Topic.CLEARANCE if context.edge is not None:
            return replace(board, edges={**board.edges, context.edge: _edge(board, context.edge, context)})
    return board


_FIELDS = {
    Topic.THICKNESS: "thickness",
    Topic.KIND: "kind",
    Topic.LAYERS: "layers",
    Topic.FLOOR_TO_CEILING: "floor_to_ceiling",
}


def _framing(framing: Framing, context: Context) -> Framing:
    value: Any = context.value
    names = {Topic.FRAMING: "material", Topic.SPACING: "spacing", Topic.STUDS: "studs"}
    return replace(framing, **{names[context.topic]: value})


def _edge(board: Board, edge: Edge, context: Context) -> EdgeSetting:
    value: Any = context.value
    setting = board.edges[edge]
    if context.topic is Topic.NEIGHBOUR:
        return replace(setting, neighbour=value)
    return replace(setting, clearance=value)
