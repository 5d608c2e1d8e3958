"""Offcuts from elsewhere: told onto the rack beside what cuts left, and taken off it."""

from __future__ import annotations

from fieldvoice.dialogue.cuts import names_given
from fieldvoice.dialogue.events import PieceCut
from fieldvoice.dialogue.finishing import board_now
from fieldvoice.dialogue.layouts import goes_on, laid, standing_plan
from fieldvoice.dialogue.new_boards import laid_anew
from fieldvoice.dialogue.registering import out_of_it
from fieldvoice.dialogue.state import State
from fieldvoice.dialogue.surfaces import lay_out_rest, laying_of, tell_layout
from fieldvoice.dialogue.turn import Turn
from fieldvoice.errors import CannotCut
from fieldvoice.records.board import Offcut
from fieldvoice.records.laying import CutPiece
from fieldvoice.records.ledger import Tell
from fieldvoice.records.orders import OffcutTold
from fieldvoice.stock.rack import told, told_name


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
