"""The values of a board put together as the cutting room takes them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Any

from fieldvoice.dialogue.state import facts_of
from fieldvoice.records.board import (
    AT_THE_FLOOR,
    SPACING,
    Board,
    CircuitWord,
    EdgeSetting,
    Framing,
    Known,
    Lies,
    MarksBy,
    Sheet,
    Surface,
)
from fieldvoice.records.facts import Fact, Key, Of
from fieldvoice.records.ledger import Call
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import (
    OPPOSITE,
    Box,
    Context,
    Course,
    Diagonal,
    Dimension,
    Edge,
    Neighbor,
    Opening,
    Plumb,
    Reading,
    Slot,
    Topic,
    WholeThing,
)
from fieldvoice.records.room import USUAL

UNIT = Key(Of.CONTEXT, name=Topic.UNIT.value)


def board_of(
    name: str,
    values: Mapping[Key, Call],
    circuits: Mapping[str, CircuitWord],
    assumed: Mapping[Edge, Neighbor] = MappingProxyType({}),
) -> Board:
    """The board of those values. `circuits` holds only words that still count; `assumed` is what was said
    aloud to stand at edges that nobody spoke of; what has changed since, by a course say, is said again.
    """
    facts = facts_of(values.values())
    board = Board(
        name,
        thickness=USUAL[unit_of(values)],
        widths=_readings(facts, Dimension.WIDTH),
        heights=_readings(facts, Dimension.HEIGHT),
        diagonals=tuple(fact for fact in facts if isinstance(fact, Diagonal)),
        plumbs=tuple(fact for fact in facts if isinstance(fact, Plumb)),
        boxes=tuple(fact for fact in facts if isinstance(fact, Box)),
        openings=tuple(fact for fact in facts if isinstance(fact, Opening)),
        circuits={box: word.state for box, word in circuits.items()},
    )
    board = replace(board, edges={edge: replace(each, known=Known.UNKNOWN) for edge, each in board.edges.items()})
    board = _off_what_was_named(board)
    calls = [call for call in values.values() if isinstance(call.fact, Context)]
    for call in sorted(calls, key=_last_sheet):
        board = _with_context(board, call)
    if not board.framing.called:
        board = replace(board, framing=replace(board.framing, spacing=SPACING[board.unit]))
    board = _full(board) if any(call.fact == FULL for call in calls) else board
    board = _in_its_row(_on_ceiling(_off_the_floor(_by_course(board))), any(call.fact == _FIRST for call in calls))
    edges = {
        edge: replace(setting, known=Known.DEFAULT)
        if setting.known is Known.UNKNOWN and assumed.get(edge) is setting.neighbor
        else setting
        for edge, setting in board.edges.items()
    }
    return replace(board, edges=edges)


FULL = Context(Topic.FULL, "full")
_FIRST = Context(Topic.ORDER, "first")
FULL_WIDTH: dict[Unit, Length] = {Unit.INCH: Length(48), Unit.MM: Length.of(1200, Unit.MM)}
"""How wide a sheet is where nobody said: common practice, no source."""


def _named(board: Board) -> dict[Edge, Neighbor]:
    """What a thing was said to be measured from, by its edge: a wall, the ceiling."""
    things: tuple[WholeThing, ...] = (*board.boxes, *board.openings)
    places = [each for thing in things for each in thing.places]
    return {each.start: each.off for each in places if each.start is not None and each.off is not None}


def _off_what_was_named(board: Board) -> Board:
    """Where a thing was said to be measured from a wall or the ceiling, that stands there, if nobody calls it."""
    there = _named(board)
    edges = {edge: replace(one, neighbor=there.get(edge, one.neighbor)) for edge, one in board.edges.items()}
    return replace(board, edges=edges)


def _full(board: Board) -> Board:
    """A full sheet is as wide as it came: its width is measured nowhere and nothing is taken off at its sides. Where a
    width was measured, that counts; a lying sheet of unsaid length has no known width.
    """
    width = _sheet_across(board)
    if board.widths or width is None:
        return board
    sides = {
        edge: replace(board.edges[edge], clearance=board.edges[edge].clearance or Length(0))
        for edge in (Edge.LEFT, Edge.RIGHT)
    }
    slots = (Slot.TOP, Slot.MIDDLE, Slot.BOTTOM)
    widths = tuple(Reading(width, Dimension.WIDTH, slot) for slot in slots)
    return replace(board, widths=widths, edges={**board.edges, **sides})


def _sheet_across(board: Board) -> Length | None:
    """How wide the whole sheet is as it hangs."""
    if board.lies is Lies.LYING:
        return board.sheet.length if board.sheet is not None else board.sheet_length
    if board.sheet is not None:
        return board.sheet.width
    return board.sheet_width or FULL_WIDTH[board.unit]


def _by_course(board: Board) -> Board:
    """A course says what stands above and below it where nobody called anything else."""
    if board.course is None or board.surface is not Surface.WALL:
        return board
    stands = stands_by_course(board.course)
    found = {
        edge: replace(board.edges[edge], neighbor=neighbor)
        for edge, neighbor in stands.items()
        if board.edges[edge].known is not Known.CALLED
    }
    return replace(board, edges={**board.edges, **found})


def _off_the_floor(board: Board) -> Board:
    """What hangs above the floor stands on a board, where nobody called what is below it."""
    below, up = board.edges[Edge.BOTTOM], board.above_floor
    if up is None or up < AT_THE_FLOOR or below.known is Known.CALLED or below.neighbor is not Neighbor.FLOOR:
        return board
    return replace(board, edges={**board.edges, Edge.BOTTOM: replace(below, neighbor=Neighbor.BOARD)})


def _on_ceiling(board: Board) -> Board:
    """Nothing of a ceiling stands at a floor or at another ceiling: where nobody said it, a wall stands there."""
    if board.surface is not Surface.CEILING:
        return board
    walls = {
        edge: replace(setting, neighbor=Neighbor.WALL)
        for edge, setting in board.edges.items()
        if setting.known is not Known.CALLED and setting.neighbor in {Neighbor.CEILING, Neighbor.FLOOR}
    }
    return replace(board, edges={**board.edges, **walls})


def _in_its_row(board: Board, first: bool) -> Board:  # noqa: FBT001 - which board of its row, not a switch
    """Where a wall was called at one side, or a thing was measured from it, and nothing is known of the other, the row
    goes on there: a board stands at it. The first of a row of which nothing else was said starts at the left. What is
    assumed so is said aloud like any default.
    """
    left, right = (board.edges[edge] for edge in (Edge.LEFT, Edge.RIGHT))
    at_left, at_right = (
        edge in _named(board) or board.edges[edge].known is not Known.UNKNOWN for edge in (Edge.LEFT, Edge.RIGHT)
    )
    if at_left and left.neighbor is not Neighbor.BOARD and not at_right:
        return replace(board, edges={**board.edges, Edge.RIGHT: replace(right, neighbor=Neighbor.BOARD)})
    if first and not at_left and not at_right:
        sides = {Edge.LEFT: replace(left, neighbor=Neighbor.WALL), Edge.RIGHT: replace(right, neighbor=Neighbor.BOARD)}
        return replace(board, edges={**board.edges, **sides})
    return board


def stands_by_course(course: Course) -> dict[Edge, Neighbor]:
    """What stands above and below a board of that course on a wall."""
    return {
        Edge.TOP: Neighbor.CEILING if course in {Course.UPPER, Course.ONLY} else Neighbor.BOARD,
        Edge.BOTTOM: Neighbor.FLOOR if course in {Course.LOWER, Course.ONLY} else Neighbor.BOARD,
    }


def unit_of(values: Mapping[Key, Call]) -> Unit:
    """The unit that the job is shown in."""
    call = values.get(UNIT)
    return Unit(str(call.fact.value)) if call is not None and isinstance(call.fact, Context) else Unit.INCH


def _readings(facts: Iterable[Fact], dimension: Dimension) -> tuple[Reading, ...]:
    readings = (fact for fact in facts if isinstance(fact, Reading) and fact.dimension is dimension)
    return tuple(reading for reading in readings if reading.at is not None)


def _last_sheet(call: Call) -> bool:
    """A sheet takes the thickness and kind that were said, in whichever order."""
    return isinstance(call.fact, Context) and call.fact.topic is Topic.SHEET


def _with_context(board: Board, call: Call) -> Board:
    assert isinstance(call.fact, Context)
    context = call.fact
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
        case Topic.FRAMING | Topic.SPACING | Topic.STUDS:
            return replace(board, framing=_framing(board.framing, context))
        case Topic.COURSE:
            return replace(board, course=Course(value))
        case Topic.MARKS_BY:
            return replace(board, marks_by=MarksBy(value))
        case Topic.TAPER:
            ends = context.edge in {Edge.TOP, Edge.BOTTOM}
            return replace(board, end=context.edge) if ends else replace(board, taper=context.edge)
        case Topic.NEIGHBOR | Topic.CLEARANCE if context.edge is not None:
            setting = _edge(board, context.edge, call)
            return replace(board, edges={**board.edges, context.edge: setting})
    return _in_a_field(board, context.topic, value, context.edge)


def cut_across_from(board: Board, kept: Edge) -> Board:
    """The edge that keeps its factory edge isn't cut: what comes off comes off across from it, unless the side to cut
    was said itself.
    """
    if kept in {Edge.TOP, Edge.BOTTOM}:
        return board if board.end is not None else replace(board, end=OPPOSITE[kept])
    return board if board.taper is not None else replace(board, taper=OPPOSITE[kept])


def _in_a_field(board: Board, topic: Topic, value: Any, edge: Edge | None) -> Board:
    """What one field of the board holds; what none does changes nothing."""
    if topic is Topic.BACK_BEVEL and edge is not None:
        return replace(board, bevels=board.bevels | {edge})
    if topic is Topic.FACTORY_EDGE and edge is not None:
        return cut_across_from(board, edge)
    if topic in _FLAGS:
        name, yes = _FLAGS[topic]
        return replace(board, **{name: value == yes})
    field = _FIELDS.get(topic)
    return board if field is None else replace(board, **{field: value})


_FLAGS: dict[Topic, tuple[str, str]] = {
    Topic.IN_PLACE: ("in_place", "in place"),
    Topic.MIDDLE_WIDTH: ("middle_width", "yes"),
}
_FIELDS = {
    Topic.ROOM: "room",
    Topic.THICKNESS: "thickness",
    Topic.KIND: "kind",
    Topic.LAYERS: "layers",
    Topic.FLOOR_TO_CEILING: "floor_to_ceiling",
    Topic.ABOVE_FLOOR: "above_floor",
    Topic.BASE: "base_covers",
    Topic.LAYER: "layer",
    Topic.SHEET_WIDTH: "sheet_width",
    Topic.SHEET_LENGTH: "sheet_length",
}


def _framing(framing: Framing, context: Context) -> Framing:
    value: Any = context.value
    names = {Topic.FRAMING: "material", Topic.SPACING: "spacing", Topic.STUDS: "studs"}
    called = framing.called or context.topic is Topic.SPACING
    return replace(framing, called=called, **{names[context.topic]: value})


def _edge(board: Board, edge: Edge, call: Call) -> EdgeSetting:
    assert isinstance(call.fact, Context)
    value: Any = call.fact.value
    setting = board.edges[edge]
    if call.fact.topic is Topic.NEIGHBOR:
        return replace(setting, neighbor=value, known=Known.CARRIED if call.carried else Known.CALLED)
    return replace(setting, clearance=value)
