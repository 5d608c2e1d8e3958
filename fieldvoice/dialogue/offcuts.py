"""Offcuts: what a board leaves goes on the rack as its plan is settled, by its readings; those from elsewhere are told
onto it, and taken off it.
"""

from __future__ import annotations

from fieldvoice.dialogue.cuts import as_cut, cut_by_its_layout, names_given, no_source, source_of, taken_by
from fieldvoice.dialogue.events import Called, PieceCut
from fieldvoice.dialogue.finishing import board_now, open_items, plan_now
from fieldvoice.dialogue.layouts import goes_on, laid, standing_plan
from fieldvoice.dialogue.new_boards import laid_anew
from fieldvoice.dialogue.state import State, names_source, offcut_called, sources_called
from fieldvoice.dialogue.surfaces import lay_out_rest, laying_of, tell_layout
from fieldvoice.dialogue.turn import Turn
from fieldvoice.errors import CannotCut, NotPlanned
from fieldvoice.records.board import Offcut
from fieldvoice.records.laying import CutPiece
from fieldvoice.records.ledger import Concern, OpenItem, Tell
from fieldvoice.records.orders import OffcutTold
from fieldvoice.records.plan import No
from fieldvoice.stock.rack import told, told_name


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


def put_on(turn: Turn, target: str | None) -> Turn:
    """An offcut is on the rack from now on, of the board that is hung where work is; or why there is none like that."""
    said = OffcutTold.of(target or "")
    board, name = board_now(turn.state, turn.state.board, turn.at), told_name(names_given(turn.state))
    found = told(name, (said.one, said.other), said.edges, board.thickness, board.kind)
    if not isinstance(found, Offcut):
        return turn.refuse(Tell.OFFCUT_ODD, found, said.one, said.other)
    return turn.did(PieceCut(found.name, CutPiece.from_elsewhere(found))).tell(Tell.OFFCUT_IN, found, said.edges)


def take_off(turn: Turn, name: str | None) -> Turn:
    """One that was told is off the rack. What a board left stays, as long as that is cut."""
    there = turn.state.cut.get(name or "")
    if there is None or not there.is_told:
        return turn.refuse(Tell.OFFCUT_NOT_TOLD, name or "")
    return turn.did(PieceCut(there.board, None)).tell(Tell.OFFCUT_OFF, *there.left)


def rack_changed(turn: Turn, before: State) -> Turn:
    """Where an offcut was told or is off: who is cut from it is told, and the rest is planned anew if it doesn't come
    out of what there is, or takes fewer feet of sheet now.
    """
    old, new = ({name: one for name, one in state.cut.items() if one.is_told} for state in (before, turn.state))
    changed = [name for name in {**old, **new} if old.get(name) != new.get(name)]
    for name in changed:
        turn = out_of_it(turn, name, old.get(name), new.get(name))
    return _planned_anew(turn) if changed and not turn.asks else turn


def _planned_anew(turn: Turn) -> Turn:
    plan = standing_plan(turn.state)
    if plan is None or not goes_on(turn.state, plan):
        return lay_out_rest(turn)
    laying = laying_of(turn.state)
    try:
        better = laid(laying)
    except CannotCut:
        return turn
    if better is None or better.feet >= plan.feet:
        return turn
    return tell_layout(laid_anew(turn, laying), better)
