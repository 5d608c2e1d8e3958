"""Offcuts: what a board of the layout leaves goes on the rack as its plan is settled, by its readings."""

from __future__ import annotations

from fieldvoice.dialogue.cuts import as_cut
from fieldvoice.dialogue.events import PieceCut
from fieldvoice.dialogue.finishing import open_items, plan_now
from fieldvoice.dialogue.turn import Turn
from fieldvoice.errors import CannotCut
from fieldvoice.records.laying import CutPiece
from fieldvoice.records.ledger import Tell


def registered(turn: Turn) -> Turn:
    """What the board at hand leaves is put on the rack and its names are told, once its plan is settled; where it is
    open again and no step was ticked, it is taken off.
    """
    state, name = turn.state, turn.state.board
    if name not in state.pieces:
        return turn
    before = state.cut.get(name)
    if open_items(state, name, turn.at, turn.rooms):
        return turn if before is None or state.ticks.get(name) else turn.did(PieceCut(name, None))
    made = _as_read(turn, name)
    if made is None or made == before:
        return turn
    turn = turn.did(PieceCut(name, made))
    return turn.tell(Tell.LEAVES, name, *made.left) if made.left else turn


def _as_read(turn: Turn, board: str) -> CutPiece | None:
    """By the plan of its readings, None where there is none."""
    try:
        plan = plan_now(turn.state, board, turn.at, turn.rooms)
    except CannotCut:
        return None
    return as_cut(turn.state, board, plan)
