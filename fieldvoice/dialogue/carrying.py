"""Going to a board: what a new one takes over from the one before, and what it doesn't."""

from __future__ import annotations

from dataclasses import replace

from fieldvoice.dialogue.events import BoardOpened
from fieldvoice.dialogue.state import State
from fieldvoice.dialogue.turn import Turn
from fieldvoice.records.facts import Of
from fieldvoice.records.ledger import Call, Standing, Tell
from fieldvoice.records.meaning import Context, Edge, Topic

HABITS = frozenset({Topic.BOX_POINT, Topic.OVER, Topic.MIDDLE_WIDTH, Topic.MEASURING})
"""What a crew always does in the same way: kept for the whole job."""
TOPICS = HABITS | frozenset(
    {
        Topic.SHEET_WIDTH,
        Topic.SHEET_LENGTH,
        Topic.ROOM,
        Topic.SURFACE,
        Topic.LIES,
        Topic.SHEET,
        Topic.THICKNESS,
        Topic.KIND,
        Topic.LAYERS,
        Topic.COURSE,
        Topic.FRAMING,
        Topic.SPACING,
        Topic.UNIT,
        Topic.MARKS_BY,
        Topic.BASE,
    }
)
"""What the next board takes over from the one before: the room, the sheet and how it hangs."""
EDGES = frozenset({Edge.TOP, Edge.BOTTOM})
"""Whose neighbors and clearances go along. What is left and right of a board is its own: never a reading, a box, a
stud or what stands there."""


def open_board(turn: Turn, name: str) -> Turn:
    """Work goes to a board; the screen and the voice say which, and what a new one takes over."""
    if name in turn.state.boards:
        return turn.did(BoardOpened(name)).tell(Tell.BOARD, name, 0)
    carried = _carried(turn.state, name)
    turn = turn.did(BoardOpened(name, carried)).tell(Tell.BOARD, name, 1)
    shown = tuple(call for call in carried if call.fact != Context(Topic.UNIT, "in"))
    return turn.tell(Tell.CARRIED, *shown)


def _carried(state: State, name: str) -> tuple[Call, ...]:
    number = state.next_number
    own = {Topic.SHEET} if state.board in state.pieces else set()  # an offcut of the layout is that piece's alone
    found = [call for call in state.settled(state.board).values() if _goes_along(call) and _topic(call) not in own]
    return tuple(
        replace(call, number=number + index, board=name, carried=True, replaces=None, standing=Standing.ACCEPTED)
        for index, call in enumerate(found)
    )


def _topic(call: Call) -> Topic | None:
    return call.fact.topic if isinstance(call.fact, Context) else None


def _goes_along(call: Call) -> bool:
    if not isinstance(call.fact, Context):
        return False
    if call.key.of in {Of.NEIGHBOR, Of.CLEARANCE}:
        return call.fact.edge in EDGES
    return call.fact.topic in TOPICS
