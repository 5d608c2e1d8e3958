"""How each event changes what is known. It never fails: an event whose ground was lost changes nothing."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import datetime
from itertools import groupby
from typing import Any

from fieldvoice.dialogue import events as happened
from fieldvoice.dialogue.events import Event, Heard
from fieldvoice.dialogue.matters import displaced
from fieldvoice.dialogue.standings import (
    behind_nothing,
    calmed,
    circuits_at,
    in_standing,
    put_open,
    tidied,
    unsaid,
    waits_again,
    with_calls,
    without_tests,
    without_ticks,
    without_words,
)
from fieldvoice.dialogue.state import UNDO_DEPTH, Denied, Open, Past, ReadLast, State, is_whole
from fieldvoice.records.board import CircuitWord
from fieldvoice.records.laying import CutPiece
from fieldvoice.records.ledger import Call, Concern, Doubt, Standing, Tell
from fieldvoice.records.meaning import Circuit, Context, Reading
from fieldvoice.records.said import Manner


def apply(state: State, event: Event, who: str, at: datetime) -> State:
    """The job after `event`, which `who` brought about."""
    return _CHANGES[type(event)](state, event, who, at)


def _heard(state: State, event: Heard, who: str, _: datetime) -> State:
    return replace(state, heard=replace(event, by=who), ordered=None, last_order=state.ordered, shown=False)


def _ordered(state: State, event: happened.Ordered, _who: str, _: datetime) -> State:
    return replace(state, ordered=Denied(event.words, replace(state, ordered=None, last_order=None)))


def _order_denied(state: State, _: happened.OrderDenied, _who: str, _at: datetime) -> State:
    """All is as it was before the order but what was said of circuits since, and nothing is as dead as it was: what the
    order made is taken back, what it did away with stands as it stood.
    """
    if state.last_order is None:
        return state
    before = state.last_order.before
    made = (call for number, call in state.calls.items() if number not in before.calls)
    moved = {(one.board, one.key.name) for one in before.calls.values() if one != state.calls.get(one.number)}
    back = with_calls(before, (replace(call, standing=Standing.TAKEN_BACK) for call in made))
    kept = replace(back, words=state.words, heard=state.heard, said=state.said, read=state.read)
    for board, ticks in state.ticks.items():
        kept = without_ticks(kept, board, {one.step for one in ticks if one.off})
    return without_words(kept, moved)


def _opened(state: State, _: happened.Opened, _who: str, _at: datetime) -> State:
    words = {board: _not_dead(words) for board, words in state.words.items()}
    dead = {board: dict(state.circuits(board).items() - words[board].items()) for board in words}
    ended = {board: {**state.ended.get(board, {}), **dead[board]} for board in words}
    asked = {who: replace(one, asked_at=None) for who, one in state.open.items()}  # nobody has it in the ear any more
    begun = replace(state, open=asked, words=words, ended=ended, read={}, know_held=frozenset())
    return behind_nothing(without_tests(begun), state)


def _not_dead(words: Mapping[str, CircuitWord]) -> dict[str, CircuitWord]:
    return {box: word for box, word in words.items() if word.state is not Circuit.DEAD}


def _called(state: State, event: happened.Called, who: str, _: datetime) -> State:
    new = {call.number for call in event.calls}
    settled = state.settled(event.board)
    there = (one for one in event.calls if one.key in settled and one.fact != settled[one.key].fact)
    moved = circuits_at(there)  # "canceled" is told
    replaced = {call.replaces for call in event.calls if call.replaces is not None} - new
    mine = state.open_to(who)
    state = with_calls(state, event.calls)
    gone = [each for each in mine.calls if each not in {*event.kept, *replaced, *new}]
    kept = tuple(each for each in event.kept if each in mine.calls and each not in replaced)
    asked = tuple(doubt for doubt in mine.doubts if doubt.call is None)
    doubts = (*event.doubts, *(doubt for doubt in asked if doubt not in event.doubts))
    confirmed, stood = mine.confirmed & frozenset(kept), mine.stood & frozenset(kept)
    state = put_open(state, who, Open(event.board, (*kept, *sorted(new)), doubts, confirmed, stood, mine.asked_at))
    state = in_standing(state, gone, Standing.TAKEN_BACK)
    replaced |= {each for call in event.calls for each in call.displaces}
    waited = [call.number for call in state.those(replaced) if call.waits]
    state = in_standing(state, waited, Standing.REPLACED)
    awaited = {person: place for person, place in state.awaited.items() if person != who}
    focus, edge = state.focus, state.edge
    for call in event.calls:
        if isinstance(call.fact, Reading):
            focus = call.fact.dimension
        elif isinstance(call.fact, Context) and call.fact.edge is not None:
            edge = call.fact.edge
    read = ReadLast(tuple(sorted(new)), board=event.board)
    return without_words(replace(state, awaited=awaited, focus=focus, edge=edge, read_last=read), moved)


def _asked(state: State, event: happened.Asked, who: str, at: datetime) -> State:
    mine = state.open_to(who)
    mine = replace(mine, asked_at=at) if event.doubt.concern.kind.in_the_ear else mine
    rest = tuple(doubt for doubt in mine.doubts if not (doubt.call is None and doubt.concern is event.doubt.concern))
    return put_open(state, who, replace(mine, board=event.board, doubts=(event.doubt, *rest)))


def _questioned(state: State, event: happened.Questioned, _who: str, _: datetime) -> State:
    calls = state.those(event.calls)
    if not calls:
        return state
    there = [call.number for call in calls]
    state = with_calls(state, (replace(call, standing=Standing.DOUBTFUL) for call in calls))
    elsewhere = {
        who: replace(one, calls=tuple(each for each in one.calls if each not in there))
        for who, one in state.open.items()
        if who != event.whose
    }
    mine = state.open_to(event.whose)
    mine = replace(
        mine,
        board=calls[0].board,
        calls=(*(each for each in mine.calls if each not in there), *there),
        doubts=(*event.doubts, *(doubt for doubt in mine.doubts if not _settled_by(doubt, event.doubts))),
        stood=mine.stood | (frozenset(there) - frozenset(mine.calls)),
    )
    return tidied(replace(state, open={**elsewhere, event.whose: mine}))


def _settled_by(doubt: Doubt, new: tuple[Doubt, ...]) -> bool:
    """Whether one of the new questions takes the place of this one: all but what is cut already is about the value."""
    return doubt.concern is not Concern.ALREADY_CUT and doubt.call in {each.call for each in new}


def _confirmed(state: State, event: happened.Confirmed, _who: str, _: datetime) -> State:
    mine = state.open_to(event.whose)
    if not mine.doubts:
        return state
    first, *rest = mine.doubts
    right = [each for each in (first.call, *event.also) if each is not None and each in state.calls]
    state = with_calls(state, (replace(call, hearings=call.hearings + 1) for call in state.those(right)))
    mine = replace(mine, confirmed=mine.confirmed | frozenset(right))
    still = tuple(each for each in rest if each.concern is not first.concern or each.call not in event.also)
    return tidied(put_open(state, event.whose, replace(mine, doubts=still)))


def _closed(state: State, event: happened.Closed, _who: str, _: datetime) -> State:
    mine = state.open_to(event.whose)
    return tidied(put_open(state, event.whose, replace(mine, doubts=mine.doubts[1:])))


def _accepted(state: State, event: happened.Accepted, _who: str, _: datetime) -> State:
    mine = state.open_to(event.whose)
    if not mine or any(doubt.call is not None for doubt in mine.doubts):
        return state
    before = {board: state.settled(board) for board in {state.calls[each].board for each in mine.calls}}
    taken = [
        state.calls[each]
        for each in mine.calls
        if state.calls[each].standing is Standing.READ_BACK or each in mine.confirmed
    ]
    newest = {(call.board, call.key): call for call in taken}  # two may have waited for one place, one confirmed before
    older = {call.number: newest[call.board, call.key] for call in taken if newest[call.board, call.key] != call}
    taken = [call for call in taken if call.number not in older]
    state = in_standing(state, older, Standing.REPLACED)
    old = [
        before[call.board][call.key].number
        for call in taken
        if call.key in before[call.board] and before[call.board][call.key].number != call.number
    ]
    places = {(call.board, call.key): call.number for call in taken}
    stood = state.those({each for one in state.open.values() for each in one.stood})  # of which another is in question
    old += [one.number for one in stood if one.waits and places.get((one.board, one.key), one.number) != one.number]
    beside = state.those(each for call in taken for each in call.displaces)
    off = tuple(call.number for call in beside if call.in_force)
    calls = []
    for call in taken:
        standing = Standing.CONFIRMED if call.number in mine.confirmed else Standing.ACCEPTED
        known = before[call.board].get(call.key)
        instead = next((number for number, new in older.items() if new == call), None)
        instead = instead or (call.replaces if known is None or _was_read_back(state, call) else known.number)
        calls.append(replace(call, standing=standing, replaces=instead))
    same = {(call.board, call.key, call.fact) for known in before.values() for call in known.values()}
    moved = circuits_at(call for call in taken if (call.board, call.key, call.fact) not in same)
    state = with_calls(state, calls)
    state = without_words(in_standing(state, (*old, *off), Standing.REPLACED), moved)
    new = sorted((call for call in calls if call.number not in mine.stood), key=lambda call: call.number)
    old_ones = tuple(call.number for call in calls if call.number in mine.stood)
    breaths = [tuple(call.number for call in said) for _, said in groupby(new, key=lambda call: call.words)]
    for breath in breaths[:-1]:  # each is a change of its own, whenever it was taken
        state = _remember(state, Past(event.whose, calls[0].board, breath))
    if calls:
        state = _remember(state, Past(event.whose, calls[0].board, breaths[-1] if breaths else (), old_ones))
    return tidied(state)


def _was_read_back(state: State, call: Call) -> bool:
    """Whether what a call takes the place of was read back with nothing asked: an undo gives that back, also what was
    put right with a no, and not what stood before it.
    """
    old = state.calls.get(call.replaces or 0)
    if old is None or not is_whole(old) or old.standing is not Standing.REPLACED or old.doubted:
        return False
    return old.key == call.key and old.fact != call.fact


def _taken_back(state: State, event: happened.TakenBack, _who: str, _: datetime) -> State:
    moved = circuits_at(state.those(event.calls))
    return without_words(in_standing(state, event.calls, Standing.TAKEN_BACK), moved)


def _restored(state: State, event: happened.Restored, _who: str, _: datetime) -> State:
    back = [call for call in state.those(event.calls) if call.standing is Standing.REPLACED]
    state = calmed(state, event.calls)
    if not back:
        return state
    state = with_calls(state, (replace(call, standing=Standing.READ_BACK) for call in back))
    mine = state.open.get(event.whose) or Open(back[0].board)
    return put_open(state, event.whose, replace(mine, calls=(*mine.calls, *(call.number for call in back))))


def _not_taken(state: State, event: happened.NotTaken, who: str, _: datetime) -> State:
    there = {(one.fact.dimension, one.fact.at) for one in event.calls if one.queued and isinstance(one.fact, Reading)}
    kept = {whose: at for whose, at in state.awaited.items() if whose != who or (at.dimension, at.at) not in there}
    calls = (replace(call, standing=Standing.NOT_TAKEN) for call in event.calls)
    return with_calls(replace(state, awaited=kept), calls)


def _struck(state: State, event: happened.Struck, who: str, _: datetime) -> State:
    calls = state.those(event.calls)
    moved = circuits_at(calls)
    state = without_words(in_standing(state, event.calls, Standing.TAKEN_BACK), moved)
    off = tuple(call.number for call in calls if call.in_force)
    return _remember(state, Past(who, event.board, off=off, waited=tuple(call for call in calls if not call.in_force)))


def _undone(state: State, _: happened.Undone, who: str, _at: datetime) -> State:
    """Puts the old calls back. A circuit is never put back to dead: what was said of it is dropped instead. What was
    corrected before it was in force is of the change that the rest of its breath made once it stands, else one of its
    own: that of whoever called it.
    """
    past = last_change(state, who)
    if past is None:
        return state
    out = state.those(past.calls)
    back = [*(each for call in out for each in (call.replaces, *call.displaces) if each is not None), *past.off]
    moved = circuits_at((*out, *state.those(back)))
    claimed = {(past.board, box) for box in past.circuits}  # by who takes it back: another one's test is their own
    state = in_standing(state, past.calls, Standing.TAKEN_BACK)
    state = in_standing(state, past.stood, Standing.DOUBTFUL)
    taken = {call.key for call in state.on(past.board) if call.in_force or call.waits}
    again = [call for call in state.those(back) if call.key not in taken and _has_room(state, call)]
    state = in_standing(state, (call.number for call in again if is_whole(call)), Standing.ACCEPTED)
    begun = (call for call in again if not is_whole(call))  # what lacks a part waits for it again
    state = with_calls(state, (replace(call, standing=Standing.NOT_TAKEN, put_off=True) for call in begun))
    for call in past.waited:
        state = waits_again(state, call)
    state = without_words(unsaid(_with_cut(state, past.offcut, past.racked) if past.offcut else state, claimed), moved)
    ticks = tuple(tick for tick in state.ticks.get(past.board, ()) if tick != past.tick)
    state = replace(state, ticks={**state.ticks, past.board: ticks})
    changed = {each for one in state.past for each in (*one.calls, *one.stood)}
    alone = [call for call in again if is_whole(call) and call.number not in changed]
    breath = {call.number: _of_its_breath(state, call) for call in alone}
    left = [
        replace(one, calls=(*one.calls, *(number for number, its in breath.items() if its is one)))
        for one in state.past
        if one is not past
    ]
    for call in alone:
        if breath[call.number] is None:
            newer = (at for at, one in enumerate(left) if one.calls and min(one.calls) > call.number)
            left.insert(next(newer, len(left)), Past(call.by, past.board, (call.number,)))
    return replace(state, past=tuple(left))


def _of_its_breath(state: State, call: Call) -> Past | None:
    """The change that the rest of its breath made, which it is of again."""

    def same(number: int) -> bool:
        between = range(min(number, call.number), max(number, call.number) + 1)
        calls = (state.calls.get(each) for each in between)
        return all(one is not None and (one.words, one.by) == (call.words, call.by) for one in calls)

    return next((one for one in reversed(state.past) if any(map(same, one.calls))), None)


def _has_room(state: State, old: Call) -> bool:
    """Whether nothing that stands leaves no room for it."""
    there = (call for call in state.on(old.board) if call.in_force or call.waits)
    return not any(displaced(call, (old,), surface=old.board in state.surfaces) for call in there)


def last_change(state: State, who: str) -> Past | None:
    """The last change that `who` made and hasn't taken back."""
    return next((past for past in reversed(state.past) if past.by == who), None)


def _awaited(state: State, event: happened.Awaited, who: str, _: datetime) -> State:
    return replace(state, awaited={**state.awaited, event.whose or who: event})


def _endangered(state: State, event: happened.Endangered, who: str, at: datetime) -> State:
    words = {board: dict(said) for board, said in state.words.items()}
    for board, box in event.boxes:
        old = words.setdefault(board, {}).get(box)
        live = event.live or (old is not None and old.state is Circuit.LIVE)
        words[board][box] = CircuitWord(Circuit.LIVE if live else Circuit.UNKNOWN, who, at)
    state = replace(state, words=words)
    return without_tests(replace(state, read_last=ReadLast())) if event.said else state


def _dead_said(state: State, event: happened.DeadSaid, who: str, at: datetime) -> State:
    said = {box: CircuitWord(Circuit.DEAD, who, at, state.next_number - 1) for box in event.boxes}
    words = {**state.words, event.board: {**state.words.get(event.board, {}), **said}}
    state = replace(state, words=words, read_last=ReadLast(boxes=event.boxes, board=event.board))
    return _remember(without_tests(state, event.board, {*event.boxes}), Past(who, event.board, circuits=event.boxes))


def _board_opened(state: State, event: happened.BoardOpened, who: str, _: datetime) -> State:
    state = replace(state, led_away=state.led_by(who, event.name, state.boards))
    boards = state.boards if event.name in state.boards else (*state.boards, event.name)
    state = _instead(state, event.carried)
    return replace(state, boards=boards, board=event.name, focus=None, edge=None, awaited={})


def _surface_opened(state: State, event: happened.SurfaceOpened, who: str, _: datetime) -> State:
    state = replace(state, led_away=state.led_by(who, event.name, (*state.boards, *state.surfaces)))
    surfaces = state.surfaces if event.name in state.surfaces else (*state.surfaces, event.name)
    state = with_calls(state, event.carried)
    return replace(state, surfaces=surfaces, board=event.name, focus=None, edge=None, awaited={})


def _house_taken(state: State, event: happened.HouseTaken, _who: str, _: datetime) -> State:
    told = {one.name: CutPiece.from_elsewhere(one) for one in event.house.offcuts}
    return replace(state, house=event.house, cut={**state.cut, **told})


def _laid_out(state: State, event: happened.LaidOut, _who: str, _: datetime) -> State:
    """What was opened and keeps no place in the new layout is a board without a piece: what was known of it is off,
    unless it is cut. What is cut stays so, and has its place again where there is one for it.
    """
    pieces = {each.board: each.piece for each in event.laying.hanging if each.piece is not None}
    off = {board for board in state.pieces if board not in pieces and board not in state.cut}
    state = in_standing(
        state, [call.number for board in off for call in state.on(board) if call.carried], Standing.TAKEN_BACK
    )
    kept = {each.board for each in event.laying.cut}
    cut = {board: one for board, one in state.cut.items() if board in kept}
    return replace(state, laying=event.laying, pieces=pieces, cut=cut)


def _instead(state: State, calls: tuple[Call, ...]) -> State:
    """With those calls in the place of what they replace."""
    return with_calls(in_standing(state, filter(None, (call.replaces for call in calls)), Standing.REPLACED), calls)


def _piece_cut(state: State, event: happened.PieceCut, who: str, _: datetime) -> State:
    before = state.cut.get(event.board)
    state = _with_cut(state, event.board, event.cut)
    told = any(one is not None and (one.is_told or one.is_broken) for one in (before, event.cut))
    return _remember(state, Past(who, state.board, offcut=event.board, racked=before)) if told else state


def _with_cut(state: State, board: str, cut: CutPiece | None) -> State:
    rest = {name: one for name, one in state.cut.items() if name != board or cut is not None}
    return replace(state, cut=rest if cut is None else {**rest, board: cut})


def _assumed(state: State, event: happened.Assumed, _who: str, _: datetime) -> State:
    said = {**state.assumed.get(event.board, {}), **dict(zip(event.edges, event.neighbors, strict=False))}
    return replace(state, assumed={**state.assumed, event.board: said})


def _checked(state: State, event: happened.Checked, _who: str, _: datetime) -> State:
    said = (replace(one, hearings=one.hearings + 1, again=one.again + 1) for one in state.those(event.calls))
    return with_calls(state, (replace(one, checked=True) for one in said))


def _cautions_read(state: State, event: happened.CautionsRead, _who: str, _: datetime) -> State:
    known = state.read.get(event.board, frozenset())
    return replace(state, read={**state.read, event.board: known | frozenset(event.cautions)})


def _ticked(state: State, event: happened.Ticked, who: str, _: datetime) -> State:
    ticks = (*state.ticks.get(event.board, ()), event.tick)
    state = replace(state, ticks={**state.ticks, event.board: ticks})
    return _remember(state, Past(who, event.board, tick=event.tick))


def _entries_lost(state: State, event: happened.EntriesLost, _who: str, _: datetime) -> State:
    """Everything that stood is in question, what was only read back too; nothing can be undone past a hole."""
    calls = [
        replace(call, standing=Standing.DOUBTFUL, hearings=1)
        for call in state.calls.values()
        if (call.in_force or call.waits) and is_whole(call)
    ]
    newest = {(call.board, call.key): call.number for call in calls}
    stays = [call for call in calls if newest[call.board, call.key] == call.number]
    older = [replace(call, standing=Standing.REPLACED) for call in calls if call not in stays]
    state = with_calls(state, (*stays, *older))
    waited = [call for call in state.calls.values() if call.waits and call.number not in {one.number for one in stays}]
    state = with_calls(state, (replace(call, standing=Standing.NOT_TAKEN) for call in waited))
    return replace(
        state,
        words={},
        open={},
        past=(),
        awaited={},
        losses=state.losses | frozenset(event.numbers),
        holed=state.holed | frozenset(call.board for call in stays),
    )


def _answered(state: State, event: happened.Answered, who: str, _: datetime) -> State:
    values = (value for each in event.notices if each.tell is Tell.TOGETHER for value in each.values)
    told = [value.number for value in values if isinstance(value, Call)]
    state = with_calls(state, (replace(call, again=call.again + 1) for call in state.those(told)))
    told_to = {**state.told_to, who: event.notices}
    told_by = state.told if state.shown and not event.asks else who
    return replace(state, said=event.notices, told=told_by, told_to=told_to, asks=event.asks, refused=event.refused)


def _remember(state: State, past: Past) -> State:
    return replace(state, past=(*state.past[1 - UNDO_DEPTH :], replace(past, behind=max(state.calls, default=0))))


_CHANGES: dict[type[Event], Callable[[State, Any, str, datetime], State]] = {
    Heard: _heard,
    happened.Ordered: _ordered,
    happened.OrderStands: lambda state, *_: replace(state, ordered=state.last_order, shown=True),
    happened.OrderDenied: _order_denied,
    happened.Opened: _opened,
    happened.Called: _called,
    happened.Asked: _asked,
    happened.Questioned: _questioned,
    happened.Confirmed: _confirmed,
    happened.Closed: _closed,
    happened.Accepted: _accepted,
    happened.TakenBack: _taken_back,
    happened.Restored: _restored,
    happened.NotTaken: _not_taken,
    happened.SaidAgain: lambda state, event, *_: in_standing(state, event.calls, Standing.REPLACED),
    happened.Struck: _struck,
    happened.Undone: _undone,
    happened.Awaited: _awaited,
    happened.Endangered: _endangered,
    happened.DeadSaid: _dead_said,
    happened.BoardOpened: _board_opened,
    happened.SurfaceOpened: _surface_opened,
    happened.HouseTaken: _house_taken,
    happened.LaidOut: _laid_out,
    happened.PieceOpened: lambda s, event, *_: replace(s, pieces={**s.pieces, event.board: event.piece}),
    happened.PieceRenewed: lambda state, event, *_: _instead(state, event.calls),
    happened.PieceCut: _piece_cut,
    happened.Assumed: _assumed,
    happened.Checked: _checked,
    happened.CautionsRead: _cautions_read,
    happened.Ticked: _ticked,
    happened.Unticked: lambda state, event, *_: without_ticks(state, event.board, event.steps),
    happened.Spoken: lambda state, event, *_: replace(state, manner=Manner(event.loudness, event.slowness)),
    happened.Prompting: lambda state, event, *_: replace(
        state, prompting=event.on, awaited=state.awaited if event.on else {}
    ),
    happened.EntriesLost: _entries_lost,
    happened.Held: lambda state, *_: replace(state, holding=True, let_go=0, know_held=frozenset()),
    happened.LetGo: lambda state, _, who, __: replace(
        state, let_go=state.let_go + 1, know_held=state.know_held | {who}
    ),
    happened.Resumed: lambda state, *_: replace(state, holding=False),
    happened.Answered: _answered,
}
