"""Undo: what a speaker called last is taken back, and what stands then is weighed as if it had just been called."""

from __future__ import annotations

from dataclasses import replace

from fieldvoice.dialogue.assembly import unit_of
from fieldvoice.dialogue.circuits import OF_DANGER, revoke
from fieldvoice.dialogue.events import Closed, PieceRenewed, Questioned, Restored, Undone
from fieldvoice.dialogue.keeping import called_at, dismissed
from fieldvoice.dialogue.plausibility import found_odd, ground_of, weigh
from fieldvoice.dialogue.reducer import last_change
from fieldvoice.dialogue.rooms import Rooms
from fieldvoice.dialogue.state import Open, Past, State
from fieldvoice.dialogue.taking_back import BESIDE_OTHERS, ask_anew, calmed, put_back
from fieldvoice.dialogue.taking_up import asked_again
from fieldvoice.dialogue.ticking import already_cut
from fieldvoice.dialogue.turn import Turn
from fieldvoice.records.facts import Key, Of
from fieldvoice.records.ledger import Call, Concern, Doubt, Standing, Tell, Value
from fieldvoice.records.meaning import Circuit


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
                return revoke(turn, tuple((turn.state.board, box) for box in asked.boxes), live=False)
            return turn.tell(Tell.TAKEN_BACK, turn.state.board, *asked.boxes, safety=True)
    if asked is not None and turn.mine is not None and _no_to_what_stood(asked, turn.mine):
        return turn.put(asked)  # the no is what is meant, not the call, which stood before it
    mine = [call for call in turn.state.calls.values() if call.by == turn.who]
    stood = turn.mine.stood if turn.mine is not None else frozenset()  # called before, and only in question since
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
        return _undo_waiting(turn, max(waiting, key=lambda call: called_at(turn.state, call)))
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


def _no_to_what_stood(asked: Doubt, mine: Open) -> bool:
    return asked.concern is Concern.OBJECTED and asked.call in mine.stood


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
    stands = tuple(
        old.number
        for each in gone
        if (old := turn.state.calls.get(turn.state.calls[each].replaces or 0)) is not None and old.in_force
    )
    back = {turn.state.calls[each].fact for each in again}  # weighed anew beside what goes, it was called before
    out = tuple(call for each in gone if (call := turn.state.calls[each]).fact not in back)
    turn, calm = _weighed(turn, last.board, again, before)
    stand = tuple(turn.state.calls[each] for each in dict.fromkeys((*again, *stands, *calm)))
    turn = calmed(turn.tell(Tell.TAKEN_BACK, last.board, *out, *stand), before.doubts)
    return turn.put(turn.asked) if turn.asked is not None else turn


def _undo_past(turn: Turn, past: Past) -> Turn:
    if past.offcut:
        return _undo_offcut(turn, past)
    calls = [turn.state.calls[each] for each in past.calls if each in turn.state.calls]
    settled = turn.state.known(past.board, doubtful=True)
    newer = [call for call in calls if settled.get(call.key) != call]
    newer += [
        settled[turn.state.calls[each].key]
        for each in (*past.off, *(call.number for call in past.waited))
        if each in turn.state.calls and turn.state.calls[each].key in settled
    ]
    if newer:
        now = settled.get(newer[0].key, newer[0])
        return turn.refuse(Tell.CHANGED_SINCE, now.by, now)
    cut = already_cut(turn, past.board, frozenset(call.key for call in calls))
    old, before = turn.state, {number for number, call in turn.state.calls.items() if call.in_force}
    calls += [turn.state.calls[each] for each in past.stood if each in turn.state.calls]
    turn = turn.did(Undone())
    back = tuple(number for number, call in turn.state.calls.items() if call.in_force and number not in before)
    turn, calm = _weighed(ask_anew(turn, back), past.board, back, old)
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
    return turn.put(turn.asked) if turn.asked is not None else turn


def _undo_offcut(turn: Turn, past: Past) -> Turn:
    """What was told onto the rack is off it, or on it again."""
    there = past.racked or turn.state.cut.get(past.offcut)
    if there is None:  # somebody else took it off since
        return turn.refuse(Tell.OFFCUT_NOT_TOLD, past.offcut)
    return turn.did(Undone()).tell(Tell.OFFCUT_OFF if past.racked is None else Tell.OFFCUT_BACK, *there.left)


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


def _weighed(turn: Turn, board: str, back: tuple[int, ...], before: State) -> tuple[Turn, tuple[int, ...]]:
    """What stands on the board is weighed anew, as if what came back had just been called: that, and whatever else is
    odd now and wasn't `before`, since what was taken back may have been all that spoke for it. What is in question
    itself speaks for nothing; what was in question only beside that stands again: which those are.
    """
    known = turn.state.known(board, doubtful=True)
    again = tuple(call for call in known.values() if call.number in back)
    rest = {key: call for key, call in _that_speak(turn.state, board).items() if call.number not in back}
    ground = replace(ground_of(turn.state, board, rest, unit_of(known)), corrects=True)
    doubts = weigh(again, ground, turn.rooms) if again else ()
    odd = _odd_now(turn.state, board, turn.rooms)
    brought = _brought_up(turn.state)
    old = {(doubt.call, doubt.concern) for doubt in _odd_now(before, board, turn.rooms)} if odd else set()
    asked = {doubt.call for doubt in turn.state.doubts} | {each.call for each in doubts}
    doubts += tuple(
        doubt
        for doubt in odd
        if doubt.call in brought or (doubt.call not in asked and (doubt.call, doubt.concern) not in old)
    )
    numbers = tuple(dict.fromkeys(doubt.call for doubt in doubts if doubt.call is not None))
    for whose, theirs in _by_whom(turn, numbers).items():
        turn = turn.did(Questioned(whose, theirs, tuple(doubt for doubt in doubts if doubt.call in theirs)))
    calm = tuple(sorted(brought - {doubt.call for doubt in odd} - set(numbers)))
    for whose, theirs in _by_whom(turn, calm).items():
        turn = turn.did(Restored(whose, theirs))
    return turn, calm


def _by_whom(turn: Turn, numbers: tuple[int, ...]) -> dict[str, tuple[int, ...]]:
    """The calls by the one who is asked about them already; the others are the speaker's."""
    asked = {doubt.call: who for who, one in turn.state.open.items() for doubt in one.doubts}
    whose = {number: asked.get(number, turn.who) for number in numbers}
    return {who: tuple(each for each in numbers if whose[each] == who) for who in dict.fromkeys(whose.values())}


def weighed_as_laid_out(turn: Turn, before: State) -> Turn:
    """With what is odd on a board since the layout has it otherwise: a box may lie across its edge now."""
    renewed = dict.fromkeys(event.board for event in turn.events if isinstance(event, PieceRenewed))
    if not renewed:
        return turn
    for board in renewed:
        turn, _ = _weighed(turn, board, (), before)
    return turn.put(turn.asked) if turn.asked is not None and not turn.asks else turn


def _brought_up(state: State) -> set[int]:
    """What stood, and is in question only beside other values."""
    doubts = [(one.stood, doubt) for one in state.open.values() for doubt in one.doubts]
    others = {doubt.call for _, doubt in doubts if doubt.concern not in BESIDE_OTHERS}
    return {doubt.call for stood, doubt in doubts if doubt.call is not None and doubt.call in stood - others}


def _that_speak(state: State, board: str) -> dict[Key, Call]:
    """What may speak against a value: all but what is in question by itself, for which what stood there before does."""
    brought = _brought_up(state)
    doubtful = state.known(board, doubtful=True)
    return {**state.known(board), **{key: call for key, call in doubtful.items() if call.number in brought}}


def _odd_now(state: State, board: str, rooms: Rooms) -> tuple[Doubt, ...]:
    """Every doubt about what is known of a board, each value beside all the others that aren't in question. The board
    as a whole is looked at once for all that speak, and once more for each of which something of it may be odd.
    """
    known = state.known(board, doubtful=True)
    ground = replace(ground_of(state, board, known, unit_of(known)), corrects=True)
    speak = _that_speak(state, board)
    odd = {name for odd in found_odd(rooms, ground, speak) for name in (odd.box, odd.other)}
    calm = replace(rooms, oddities=lambda _: ())
    found: dict[tuple[int | None, Concern], Doubt] = {}
    for key, call in known.items():
        rest = {other: one for other, one in speak.items() if other != key}
        of_a_thing = key.of in {Of.BOX, Of.OPENING}
        looked_at = speak.get(key) != call or (odd and (not of_a_thing or key.name in odd))
        for doubt in weigh((call,), replace(ground, values=rest), rooms if looked_at else calm):
            found.setdefault((doubt.call, doubt.concern), doubt)
    return tuple(found.values())
