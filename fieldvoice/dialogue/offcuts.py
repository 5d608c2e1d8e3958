"""What somebody says a board is cut from: an offcut by its name, or a new sheet."""

from __future__ import annotations

from fieldvoice.dialogue.state import State
from fieldvoice.records.ledger import Call, Standing
from fieldvoice.records.meaning import Context, Topic

NEW_SHEET = "new sheet"
"""What is said where no offcut is meant, whatever the layout has; no offcut has that name."""


def sources_called(state: State) -> dict[str, Call]:
    """The call that says what it is cut from, by board."""
    counts = {Standing.ACCEPTED, Standing.CONFIRMED, Standing.READ_BACK}
    return {call.board: call for call in state.calls.values() if names_source(call) and call.standing in counts}


def names_source(call: Call) -> bool:
    """Whether a call says what its board is cut from."""
    return isinstance(call.fact, Context) and call.fact.topic is Topic.CUT_FROM


def source_called(state: State, board: str) -> str | None:
    """The name of the offcut that the board is said to be cut from, or `NEW_SHEET`; None where nobody said."""
    call = sources_called(state).get(board)
    return None if call is None or not isinstance(call.fact, Context) else str(call.fact.value)


def offcut_called(state: State, board: str) -> str | None:
    """The same, None for a new sheet as well."""
    name = source_called(state, board)
    return None if name == NEW_SHEET else name
