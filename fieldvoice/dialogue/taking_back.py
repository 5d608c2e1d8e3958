"""What was called and goes again, and what stands in its place then: what it had taken the place of, and what was in
question only beside it. What speaks for a question by now.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from fieldvoice.dialogue.amending import figures_of
from fieldvoice.dialogue.assembly import unit_of
from fieldvoice.dialogue.events import Awaited, LaidOut, NotTaken, PieceRenewed, Questioned, Restored, TakenBack
from fieldvoice.dialogue.keeping import figure_told
from fieldvoice.dialogue.matching import free_name, stem
from fieldvoice.dialogue.matters import contradictions
from fieldvoice.dialogue.plausibility import (
    Ground,
    by_number,
    fellows_of,
    found_odd,
    ground_of,
    key_of_odd,
    moved_at_wall,
    oddities,
    weigh,
)
from fieldvoice.dialogue.rooms import Rooms
from fieldvoice.dialogue.state import State, is_whole
from fieldvoice.dialogue.turn import Turn
from fieldvoice.records.facts import Key, Odd, Oddity, Of
from fieldvoice.records.ledger import Call, Concern, Doubt, Standing, Tell
from fieldvoice.records.length import ZERO
from fieldvoice.records.meaning import Incomplete, Reading


def put_back(turn: Turn, gone: tuple[int, ...]) -> tuple[Turn, tuple[int, ...]]:
    """Without those calls that wait; what they replaced while it waited, waits again for whoever called it. Which those
    are.
    """
    turn = turn.did(TakenBack(gone))
    back = _replaced_by(turn.state, gone)
    return _waiting_again(turn, back), back


def without(turn: Turn, board: str, gone: tuple[int, ...]) -> Turn:
    """Without those calls, since they were said of the wrong place: what stood there stands again, and both are told.
    Whether it is right is asked of the speaker, whose own value it was.
    """
    turn, _ = put_back(turn, gone)
    calls = turn.state.calls
    before = (calls[old] for each in gone if (old := calls[each].replaces) is not None and old in calls)
    back = tuple(one for one in before if one.in_force or one.waits)
    turn = turn.tell(Tell.TAKEN_BACK, board, *(calls[each] for each in gone), *back)
    asked = {doubt.call for doubt in turn.state.doubts}
    for one in back:
        doubt = Doubt(Concern.UNSURE, one.number)
        asks = one.by == turn.who and one.number not in asked
        turn = turn.did(Questioned(one.by, (one.number,), (doubt,))) if asks else turn
    return turn


def given_back(turn: Turn, denied: tuple[Call, ...]) -> Turn:
    """With what those that were said no to had replaced while it waited: that waits again for whoever called it. What
    was itself said no to, then or now, doesn't.
    """
    facts = {one.fact for one in denied}
    found = ((one, _replaced_by(turn.state, (one.number,))) for one in denied)
    back = tuple(each for one, olds in found if not one.denies for each in olds)
    return _waiting_again(turn, tuple(each for each in back if turn.state.calls[each].fact not in facts))


def _replaced_by(state: State, numbers: tuple[int, ...]) -> tuple[int, ...]:
    old = state.those(each for one in state.those(numbers) for each in (one.replaces, *one.displaces))
    return tuple(dict.fromkeys(each.number for each in old if each.standing is Standing.REPLACED and is_whole(each)))


def _waiting_again(turn: Turn, back: tuple[int, ...]) -> Turn:
    for who in dict.fromkeys(turn.state.calls[each].by for each in back):
        turn = turn.did(Restored(who, tuple(each for each in back if turn.state.calls[each].by == who)))
    return ask_anew(turn, back) if back else turn


def ask_anew(turn: Turn, back: tuple[int, ...]) -> Turn:
    """With the question whether it is right for each that comes back and was in question when it was replaced: nobody
    has said yes to it.
    """
    for each in back:
        one = turn.state.calls[each]
        turn = turn.did(Questioned(one.by, (each,), (Doubt(Concern.UNSURE, each),))) if one.doubted else turn
    return turn


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
                turn = turn.did(Questioned(who, (number,), now))
                if who != turn.who and not set(now) < set(mine):
                    turn = turn.tell(Tell.WAITING, who, now[0], *turn.about(now[0]))
            else:
                turn = turn.tell(Tell.READ_BACK, turn.state.calls[number])
    return turn


def told_otherwise(turn: Turn, before: State) -> Turn:
    """With the question whether it is right for each value that was told by another one, which is another figure since
    this turn: it was said to be the same, or so much more.
    """
    state, asked = turn.state, {doubt.call for doubt in turn.state.doubts}
    alike = (one for calls in state.calls.boards.values() for one in calls.like_others)
    there = [one for one in alike if one.number not in asked]
    stand = sorted((one for one in there if one.in_force or one.waits), key=lambda one: one.number)
    told = [(one, state.calls.get(one.like or 0)) for one in stand]
    for one, like in told:
        was, now = (None if like is None else each.known(like.board).get(like.key) for each in (before, state))
        if like is None or now is None or like.key == one.key:
            continue  # it was told by what it took the place of
        if (now.like, now.words) == (one.like, one.words):
            continue  # they were swapped in one breath
        if _is_otherwise(one, like, was or like, now):
            doubt = Doubt(Concern.UNSURE, one.number, calls=(now.number,))
            turn = turn.did(Questioned(turn.who, (one.number,), (doubt,))).tell(Tell.TOLD_BY_ANOTHER, one, now)
            turn = turn if turn.asks else turn.put(doubt)
    return turn


def told_by_nothing(turn: Turn, before: State) -> Turn:
    """What was told by a call that stands no more is to be said again, by whoever said it: the figure alone will do."""
    doubts = [doubt for doubt in before.doubts if doubt.concern is Concern.WHICH_OF]
    told = {doubt.call: doubt.ways[0][0] for doubt in doubts if not turn.state.all_known(doubt.calls)}
    for one in (turn.state.calls[number] for number in told if number is not None):
        fact = told[one.number]
        if one.standing is Standing.NOT_TAKEN and isinstance(fact, Reading):
            turn = turn.tell(Tell.KEPT_NOT_TAKEN, one.words)
            awaited = Awaited(fact.dimension, fact.at, instead=(one.number,))
            turn = turn.did(awaited) if one.by == turn.who else turn
    return turn


def swallowed(turn: Turn, before: State) -> Turn:
    """What lacks a part and whose name another one's call took, with another figure: it waits for its part under the
    next name. What has some of its figures, and took its place, may be meant by it: then its words stand as not taken.
    """
    asked = (number for who, mine in before.open.items() if who != turn.who for number in mine.calls)
    later = (one.number for one in before.put_off(turn.state.board) if one.by != turn.who)
    for one in (before.calls[number] for number in (*asked, *later)):
        now = turn.state.calls[one.number]
        new = [each for each in turn.state.on(one.board) if each.key == one.key and each.number not in before.calls]
        gone = now.standing is (Standing.NOT_TAKEN if one.put_off else Standing.REPLACED)
        if not isinstance(one.fact, Incomplete) or not gone or not new:
            continue
        others, own = figures_of(new[-1].fact), figures_of(one.fact)
        if new[-1].by != turn.who or not new[-1].waits or own <= others:
            continue
        kept = replace(now, standing=Standing.NOT_TAKEN)
        if own.isdisjoint(others) or one.put_off:
            kept = replace(kept, fact=replace(one.fact, name=_next_name(turn, one)), put_off=True)
            turn = turn.did(NotTaken((kept,))).tell(Tell.PUT_OFF, kept)
        else:
            turn = turn.did(NotTaken((kept,))).tell(Tell.KEPT_NOT_TAKEN, one.words)
    return turn


def _next_name(turn: Turn, one: Call) -> str:
    """The next name of a thing of that kind on its board."""
    there = {*turn.state.known(one.board, doubtful=True), *(each.key for each in turn.state.begun(one.board))}
    return free_name("box" if one.key.of is Of.BOX else stem(one.key.name), (key.name for key in there))


def awaiting_others(turn: Turn, before: State) -> Turn:
    """Where this turn ended a question of somebody else about one place, by a call of its own there: a bare figure of
    theirs may be the answer yet, and is asked about at that place.
    """
    for who, one in before.open.items():
        doubt = one.doubts[0] if one.doubts and who != turn.who else None
        asked = turn.state.call_of(doubt)
        if asked is None or asked.waits or not isinstance(asked.fact, Reading) or who in turn.state.awaited:
            continue
        instead = turn.state.known(asked.board, doubtful=True).get(asked.key)
        if instead is not None and instead.number not in before.calls:
            turn = turn.did(Awaited(asked.fact.dimension, asked.fact.at, sure=False, whose=who))
    return turn


def _is_otherwise(one: Call, like: Call, was: Call, now: Call) -> bool:
    """Whether another figure stands there now than it was told by, and than the one that it is itself."""
    return figure_told(now.fact) not in [figure_told(each.fact) for each in (one, like, was)]


def speaks_against(doubt: Doubt, state: State, rooms: Rooms, said: tuple[Call, ...] = ()) -> tuple[Doubt, ...]:
    """The question with what speaks against its call by now, or beside what was `said`: itself while its ground is
    there, another where another is, none where the sheet was turned, a neighbor called otherwise, its fellow or what it
    was told by taken off. What is itself in question speaks for nothing.
    """
    call = state.calls[doubt.call] if doubt.call is not None else None
    if doubt.concern is Concern.UNSURE and not state.all_known(doubt.calls):
        return ()  # what it was told by is another one again
    if call is None or not doubt.concern.kind.beside_others:
        return (doubt,)
    values = _newest_last(state, call, said)
    ground = ground_of(state, call.board, values, unit_of(values))
    if doubt.concern is Concern.AT_ODDS:
        return contradictions(call, (call,), values)
    if doubt.concern is not Concern.ODD:
        assert isinstance(call.fact, Reading)
        there = (*fellows_of(call.fact, ground), *ground.heights)
        return (doubt,) if doubt.value in there else by_number(call, ground)
    assert doubt.odd is not None
    about = key_of_odd(doubt.odd)
    now = [odd for odd in oddities(rooms, ground, values) if key_of_odd(odd) == about]
    if any(odd.odd is doubt.odd.odd for odd in now) or _fellow_stands(doubt.odd, call, ground):
        return (doubt,)
    return tuple(Doubt(Concern.ODD, call.number, odd=odd) for odd in now)


def _fellow_stands(odd: Oddity, call: Call, ground: Ground) -> bool:
    """Whether a reading is far from a fellow that is there still, though another one is odder by now."""
    if odd.odd is not Odd.FAR_FROM_FELLOWS or not isinstance(call.fact, Reading):
        return False
    return not set(fellows_of(call.fact, ground)).isdisjoint(odd.values[1:])


def as_it_is_now(doubt: Doubt, state: State, rooms: Rooms) -> Doubt:
    """The question with what its call is odd beside by now, where that is more than it was asked with: a yes was to
    less.
    """
    call = state.calls[doubt.call] if doubt.call is not None else None
    if call is None or doubt.odd is None:
        return doubt
    values = _newest_last(state, call)
    now = oddities(rooms, ground_of(state, call.board, values, unit_of(values)), values)
    same = (odd for odd in now if replace(odd, values=()) == replace(doubt.odd, values=()))
    return next((replace(doubt, odd=odd) for odd in same if _is_more(odd, doubt.odd)), doubt)


def _is_more(odd: Oddity, before: Oddity) -> bool:
    apart, was = (max(one.values, default=ZERO) - min(one.values, default=ZERO) for one in (odd, before))
    return apart > was


def _newest_last(state: State, call: Call, said: tuple[Call, ...] = ()) -> dict[Key, Call]:
    """What is known of a call's board with what is `said`, and with the call itself as the last one said: whatever was
    called since, it is odd while it is odd beside that. What somebody else has yet to go on from speaks for nothing.
    """
    settled, known = state.settled(call.board), state.known(call.board)
    theirs = {key for key, one in known.items() if one.waits and one.by != call.by}
    there = {key: settled.get(key) if key in theirs else one for key, one in known.items()}
    beside = {key: one for key, one in there.items() if one is not None} | {one.key: one for one in said}
    older = sorted((one for one in beside.values() if one.key != call.key), key=lambda one: one.number)
    return {one.key: one for one in (*older, call)}


def weighed(turn: Turn, board: str, back: tuple[int, ...], before: State) -> tuple[Turn, tuple[int, ...]]:
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
    """With what is odd on a board since the layout has it otherwise: a box may lie across its edge now, a window be
    elsewhere.
    """
    if not any(isinstance(event, PieceRenewed | LaidOut) for event in turn.events):
        return turn
    for board in turn.state.pieces:
        doubts = tuple(moved_at_wall(turn.state, before, board))
        for whose, theirs in _by_whom(turn, tuple(one.call for one in doubts if one.call is not None)).items():
            turn = turn.did(Questioned(whose, theirs, tuple(one for one in doubts if one.call in theirs)))
    for board in dict.fromkeys(event.board for event in turn.events if isinstance(event, PieceRenewed)):
        turn, _ = weighed(turn, board, (), before)
    return turn.put(turn.asked) if turn.asked is not None and not turn.asks else turn


def _brought_up(state: State) -> set[int]:
    """What stood, and is in question only beside other values."""
    doubts = [(one.stood, doubt) for one in state.open.values() for doubt in one.doubts]
    others = {doubt.call for _, doubt in doubts if not doubt.concern.kind.beside_others}
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
