"""Offcuts: what a board leaves goes on the rack as its plan is settled, by its readings."""

from __future__ import annotations

from fieldvoice.dialogue.cuts import as_cut, cut_by_its_layout, no_source, source_of, taken_by
from fieldvoice.dialogue.events import Called, PieceCut
from fieldvoice.dialogue.finishing import board_now, open_items, plan_now
from fieldvoice.dialogue.state import State, names_source, offcut_called, sources_called
from fieldvoice.dialogue.turn import Turn
from fieldvoice.errors import CannotCut, NotPlanned
from fieldvoice.records.laying import CutPiece
from fieldvoice.records.ledger import Concern, OpenItem, Tell
from fieldvoice.records.plan import No


def registered(turn: Turn) -> Turn:
    """What the board at hand leaves is put on the rack and its names are told, once its plan is settled; where it is
    open again and no step was ticked, it is taken off.
    """
    return _registered(turn, turn.state.board)


def registered_elsewhere(turn: Turn, before: State) -> Turn:
    """The same for every other board that is cut and of which something is otherwise than `before`, by an undo."""
    changed = set(turn.state.calls.changed_since(before.calls))
    for board in sorted(changed & set(turn.state.cut) - {turn.state.board}):
        turn = _registered(turn, board)
    return turn


def _registered(turn: Turn, name: str) -> Turn:
    state, before = turn.state, turn.state.cut.get(name)
    out = before is not None and before.piece is not None and name not in state.pieces  # its place may come back
    if name in state.surfaces or out:
        return turn
    items = open_items(state, name, turn.at, turn.rooms)
    made = None if any(not _is_test(item) for item in items) else _as_read(turn, name)
    if made == before or (made is None and state.ticks.get(name)):
        return turn
    turn = turn.did(PieceCut(name, made))
    if made is not None and made.left:
        turn = turn.tell(Tell.LEFT_OVER if made.piece is None else Tell.LEAVES, name, *made.left)
    return out_of_it(turn, name, before, made)


def _is_test(item: OpenItem) -> bool:
    """Whether it is the question whether a circuit is dead: whatever is answered, as much is cut off."""
    return item.doubt is not None and item.doubt.concern is Concern.TESTED


def out_of_it(turn: Turn, maker: str, before: CutPiece | None, made: CutPiece | None) -> Turn:
    """The boards that are cut from what a board leaves, or that somebody says it of, are told where that is otherwise
    now, and what these leave themselves goes by it.
    """
    old, new = ({one.name: one for one in (() if cut is None else cut.left)} for cut in (before, made))
    changed = {name for name in {**old, **new} if old.get(name) != new.get(name)}
    meant = {board: cut.offcut for board, cut in turn.state.cut.items()}
    meant |= {board: offcut_called(turn.state, board) for board in sources_called(turn.state)}
    for board, offcut in meant.items():
        if offcut is not None and offcut in changed and board != maker:
            another = taken_by(turn.state, offcut, board) is not None  # it was told that it can't be cut from that
            turn = _registered(turn if another else turn.tell(Tell.OFFCUT_OTHERWISE, board, offcut), board)
    return turn


def _as_read(turn: Turn, board: str) -> CutPiece | None:
    """By the plan of its readings, None where there is none."""
    try:
        plan = plan_now(turn.state, board, turn.at, turn.rooms)
    except CannotCut:
        return None
    return as_cut(turn.state, board, plan)


def say_source(turn: Turn) -> Turn:
    """Where somebody just said which offcut the board at hand is cut from, its size is told, or why it can't be."""
    state, name = turn.state, turn.state.board
    new = [call for event in turn.events if isinstance(event, Called) for call in event.calls if names_source(call)]
    source = source_of(state, name)
    if offcut_called(state, name) is None or not any(call.board == name for call in new):
        return turn
    board = board_now(state, name, turn.at)
    refused = no_source(state, board)
    if refused is not None:
        return turn.tell(Tell.NO_OFFCUT, refused)
    try:
        cut_by_its_layout(state, board, turn.rooms.solve)
    except NotPlanned as why:
        if why.why.no is No.TOO_BIG_FOR_OFFCUT:
            return turn.tell(Tell.NO_OFFCUT, why.why)
    assert source is not None
    return turn.tell(Tell.FROM_OFFCUT, source)
