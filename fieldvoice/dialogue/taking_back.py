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
        for number in dict.fromkeys(doubt.call for doubt in one.doubts if doubt.call is not None):
            mine = tuple(doubt for doubt in one.doubts if doubt.call == number)
            found = (each for doubt in mine for each in speaks_against(doubt, turn.state, turn.rooms))
            now = tuple(dict.fromkeys(found))
            if not set(mine) <= set(before) or set(now) == set(mine):
                continue
            turn = turn.did(Restored(who, (number,)))
            if now:
                turn = turn.did(Questioned(who if set(now) < set(mine) else turn.who, (number,), now))
            else:
                turn = turn.tell(Tell.READ_BACK, turn.state.calls[number])
    return turn
