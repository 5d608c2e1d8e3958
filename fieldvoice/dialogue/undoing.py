"""Undo: what a speaker called last is taken back, and what stands then is weighed as if it had just been called."""

from __future__ import annotations

from fieldvoice.dialogue.carried_out import already_cut
from fieldvoice.dialogue.circuits import OF_DANGER, doubt_dead
from fieldvoice.dialogue.events import Closed, Questioned, Restored, Undone
from fieldvoice.dialogue.keeping import called_at, dismissed
from fieldvoice.dialogue.placing import lacking
from fieldvoice.dialogue.reducer import last_change
from fieldvoice.dialogue.state import Past
from fieldvoice.dialogue.taking_back import ask_anew, calmed, put_back, weighed
from fieldvoice.dialogue.taking_up import asked_again
from fieldvoice.dialogue.turn import Turn
from fieldvoice.records.ledger import Call, Concern, Doubt, Standing, Tell, Value
from fieldvoice.records.meaning import Circuit, Incomplete


def undo(turn: Turn) -> Turn:
    """Takes back the speaker's last call: what wasn't taken, what was just read back, else the last change. Word of
    danger isn't taken back by a word, and what was called before it isn't meant.
    """
    if any(note.tell in OF_DANGER for note in turn.state.said):
        return turn.refuse(Tell.DANGER_STAYS)
    asked = turn.asked
    if asked is not None and asked.call is None:
        turn = turn.did(Closed(turn.who))
        if asked.concern is Concern.TESTED:
            words = turn.state.circuits(turn.state.board)
            if any(each in words and words[each].state is Circuit.DEAD for each in asked.boxes):  # said before, too
                return doubt_dead(turn, turn.state.board, asked.boxes)
            return turn.tell(Tell.TAKEN_BACK, turn.state.board, *asked.boxes, safety=True)
    if asked is not None and asked.concern is Concern.OBJECTED and asked.call in turn.mine.stood:
        return turn.put(asked)  # the no is what is meant, not the call, which stood before it
    mine = [call for call in turn.state.calls.values() if call.by == turn.who]
    stood = turn.mine.stood  # called before, and only in question since
    waiting = [call for call in turn.state.waiting(turn.who) if call.by == turn.who and call.number not in stood]
    newest = max((call.number for call in waiting), default=0)
    past = last_change(turn.state, turn.who)
    if (
        past is not None
        and (past.off or past.waited or past.offcut)
        and past.behind >= max((call.number for call in mine), default=0)
    ):
        return _undo_past(turn, past)  # nothing was called behind it
    kept = [call for call in mine if call.standing is Standing.NOT_TAKEN and call.number > newest]
    if kept and kept[-1].number == max(call.number for call in mine if call.standing is not Standing.TAKEN_BACK):
        return dismissed(turn, kept[-1])
    if newest:
        last = max(waiting, key=lambda call: called_at(turn.state, call))
        later = past is not None and max(past.calls, default=0) > called_at(turn.state, last)
        return _undo_past(turn, past) if past is not None and later else _undo_waiting(turn, last)
    if turn.state.told == turn.who and any(note.tell in _CAME_TO_NOTHING for note in turn.state.said):
        return turn.refuse(Tell.NOTHING_CAME)  # what was called before it isn't meant
    return _undo_last(turn, past, mine)


def _undo_last(turn: Turn, past: Past | None, mine: list[Call]) -> Turn:
    """The speaker's last change is taken back, unless another one has called something in its place."""
    instead = _taken_over(turn, mine)
    if instead is not None:
        return turn.refuse(Tell.CHANGED_SINCE, instead.by, instead)
    return turn.refuse(Tell.NOTHING_TO_UNDO) if past is None else _undo_past(turn, past)


_CAME_TO_NOTHING = frozenset(
    {
        Tell.NOT_THERE,
        Tell.MORE_THAN_ONE,
        Tell.NO_BOX,
        Tell.NO_BOX_HERE,
        Tell.TEST_ON_BOARD,
        Tell.NO_BOARD,
        Tell.NO_PIECE,
        Tell.NO_STEP,
        Tell.SURFACE_NOT_YET,
    }
)
"""What tells of an order that nothing came of."""


def _taken_over(turn: Turn, mine: list[Call]) -> Call | None:
    """What another one called in the place of the last that this speaker did, before it counted."""
    last = max((call for call in mine if not call.carried), key=lambda call: call.number, default=None)
    if (
        last is None
        or last.standing is not Standing.REPLACED
        or any(last.number in one.calls for one in turn.state.past)
    ):
        return None
    now = turn.state.known(last.board, doubtful=True).get(last.key)
    return now if now is not None and now.by != turn.who and now.number > last.number else None


def _undo_waiting(turn: Turn, last: Call) -> Turn:
    """One utterance is one call: all of it that waits goes, and what it replaced stands again, weighed anew."""
    whose = next((who for who, one in turn.state.open.items() if last.number in one.calls), turn.who)
    together = [
        call
        for call in turn.state.waiting(whose) or (last,)
        if last.fact is not None  # the same words may have been answered once before
        and call.words == last.words
        and call.number > last.number - len(turn.state.waiting(whose)) - 1
    ] or [last]
    gone = tuple(call.number for call in together)
    before = turn.state
    turn, again = put_back(turn, gone)
    turn, begun = _begun_again(turn, last)
    stands = tuple(
        old.number
        for each in gone
        if (old := turn.state.calls.get(turn.state.calls[each].replaces or 0)) is not None and old.in_force
    )
    back = {turn.state.calls[each].fact for each in again}  # weighed anew beside what goes, it was called before
    out = tuple(call for each in gone if (call := turn.state.calls[each]).fact not in back)
    turn, calm = weighed(turn, last.board, again, before)
    stand = tuple(turn.state.calls[each] for each in dict.fromkeys((*begun, *again, *stands, *calm)))
    turn = calmed(turn.tell(Tell.TAKEN_BACK, last.board, *out, *stand), before.doubts)
    return turn.put_again()


def _begun_again(turn: Turn, last: Call) -> tuple[Turn, tuple[int, ...]]:
    """With what lacked the part that is taken back: it lacks it again, and whoever called it is asked."""
    old = turn.state.calls.get(last.replaces or 0)
    if old is None or not isinstance(old.fact, Incomplete) or old.standing is not Standing.REPLACED:
        return turn, ()
    turn = turn.did(Restored(old.by, (old.number,)))
    return turn.did(Questioned(old.by, (old.number,), lacking((old,)))), (old.number,)


def _undo_past(turn: Turn, past: Past) -> Turn:
    if past.offcut:
        return _undo_offcut(turn, past)
    calls = turn.state.those(past.calls)
    settled = turn.state.known(past.board, doubtful=True)
    newer = [call for call in calls if settled.get(call.key) != call]
    gone = turn.state.those((*past.off, *(call.number for call in past.waited)))
    newer += [settled[call.key] for call in gone if call.key in settled]
    if newer:
        now = settled.get(newer[0].key, newer[0])
        return turn.refuse(Tell.CHANGED_SINCE, now.by, now)
    cut = already_cut(turn, past.board, frozenset(call.key for call in calls))
    old, before = turn.state, {number for number, call in turn.state.calls.items() if call.in_force}
    turn = turn.did(Undone())
    back = tuple(number for number, call in turn.state.calls.items() if call.in_force and number not in before)
    turn, calm = weighed(ask_anew(turn, back), past.board, back, old)
    turn = _asked_again(turn, past.stood)
    turn = _waiting_again(turn, past)
    waited = tuple(call for call in _waited(turn, past) if call.standing is Standing.READ_BACK)
    out = tuple(turn.state.calls[each] for each in (*past.calls, *past.stood))
    begun = [
        call
        for call in turn.state.put_off(past.board)
        if call.number in old.calls and not old.calls[call.number].put_off
    ]
    told: tuple[Value, ...] = (*out, *(turn.state.calls[each] for each in (*back, *calm)), *waited, *past.circuits)
    if past.tick is not None:
        told = (*told, past.tick.number)
    turn = turn.tell(Tell.TAKEN_BACK, past.board, *told, safety=bool(past.circuits)).note(*cut)
    for call in begun:
        turn = turn.tell(Tell.PUT_OFF, call)
    turn = calmed(asked_again(turn) if begun else turn, old.doubts)
    return turn.put_again()


def _undo_offcut(turn: Turn, past: Past) -> Turn:
    """What was told onto the rack is off it, or on it again."""
    there = past.racked or turn.state.cut.get(past.offcut)
    if there is None:  # somebody else took it off since
        return turn.refuse(Tell.OFFCUT_NOT_THERE, past.offcut)
    turn = turn.did(Undone())
    if there.is_broken:
        left = (one for cut in turn.state.cut.values() for one in cut.left if one.name == there.board)
        return turn.tell(Tell.OFFCUT_BACK, *left)
    return turn.tell(Tell.OFFCUT_OFF if past.racked is None else Tell.OFFCUT_BACK, *there.left)


def _waited(turn: Turn, past: Past) -> tuple[Call, ...]:
    return tuple(turn.state.calls[each.number] for each in past.waited)


def _waiting_again(turn: Turn, past: Past) -> Turn:
    """With the questions about what waits again, of whoever called it, and with what wasn't taken; all of it told."""
    for call in _waited(turn, past):
        if call.waits and call.doubted:
            doubt = Doubt(Concern.UNSURE, call.number)
            turn = turn.did(Questioned(call.by, (call.number,), (doubt,))).tell(Tell.WAITING, call.by, doubt, call)
        elif not call.waits:
            turn = turn.tell(Tell.PUT_OFF, call) if call.put_off else turn.tell(Tell.KEPT_NOT_TAKEN, call.words)
    return turn


def _asked_again(turn: Turn, stood: tuple[int, ...]) -> Turn:
    """With a question for each value that was said to be right, now that this is taken back, where none is odd any
    more: else it would wait for nobody.
    """
    asked = {number for one in turn.state.open.values() for number in one.calls}
    alone = tuple(each for each in stood if turn.state.calls[each].standing is Standing.DOUBTFUL and each not in asked)
    doubts = tuple(Doubt(Concern.UNSURE, each) for each in alone)
    return turn.did(Questioned(turn.who, alone, doubts)) if alone else turn
