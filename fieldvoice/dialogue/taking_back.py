"""What was called and goes again, and what stands in its place then: what it had taken the place of, and what was in
question only beside it.
"""

from __future__ import annotations

from collections.abc import Collection

from fieldvoice.dialogue.events import Questioned, Restored, TakenBack
from fieldvoice.dialogue.plausibility import speaks_against
from fieldvoice.dialogue.state import is_whole
from fieldvoice.dialogue.turn import Turn
from fieldvoice.records.ledger import Concern, Doubt, Standing, Tell


def put_back(turn: Turn, gone: tuple[int, ...]) -> tuple[Turn, tuple[int, ...]]:
    """Without those calls that wait; what they replaced while it waited, waits again. Which those are."""
    calls = [turn.state.calls[each] for each in gone]
    turn = turn.did(TakenBack(gone))
    before = (each for one in calls for each in (one.replaces, *one.displaces) if each in turn.state.calls)
    old = (turn.state.calls[each] for each in before if each is not None)
    back = tuple(each.number for each in old if each.standing is Standing.REPLACED and is_whole(each))
    return (ask_anew(turn.did(Restored(turn.who, back)), back) if back else turn), back


def ask_anew(turn: Turn, back: tuple[int, ...]) -> Turn:
    """With the question whether it is right for each that comes back and was in question when it was replaced: nobody
    has said yes to it.
    """
    doubted = tuple(each for each in back if turn.state.calls[each].doubted)
    doubts = tuple(Doubt(Concern.UNSURE, each) for each in doubted)
    return turn.did(Questioned(turn.who, doubted, doubts)) if doubted else turn


def calmed(turn: Turn, before: Collection[Doubt]) -> Turn:
    """Without those of the questions `before` that nothing speaks for any more, whoever they were put to: what they
    were about is read back, or asked anew for what speaks against it instead.
    """
    for who, one in turn.state.open.items():
        for doubt in one.doubts:
            alone = sum(each.call == doubt.call for each in one.doubts) == 1
            if doubt.call is None or not alone or doubt not in before:
                continue
            now = speaks_against(doubt, turn.state, turn.rooms)
            if doubt in now:
                continue
            turn = turn.did(Restored(who, (doubt.call,)))
            if now:
                turn = turn.did(Questioned(turn.who, (doubt.call,), now))
            else:
                turn = turn.tell(Tell.READ_BACK, turn.state.calls[doubt.call])
    return turn
