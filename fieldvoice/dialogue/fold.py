"""How each event changes what is known. Folding never fails: an event whose ground was lost changes nothing."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import datetime
from typing import Any

from fieldvoice.dialogue import events as happened
from fieldvoice.dialogue.events import Event
from fieldvoice.dialogue.state import (
    UNDO_DEPTH,
    BoxState,
    Facts,
    Past,
    Pending,
    State,
    Tick,
    Value,
    carried,
    kept,
)
from fieldvoice.dialogue.view import Exchange, Standing
from fieldvoice.records.board import CircuitWord
from fieldvoice.records.meaning import Box, Circuit, Context, Reading


def apply(state: State, event: Event, who: str, at: datetime) -> State:
    """The job after `event`, which `who` brought about."""
    return _CHANGES[type(event)](state, event, who, at)


def _heard(state: State, event: happened.Heard, who: str, _: datetime) -> State:
    return replace(state, last=Exchange(event.words, event.recognizer, who, ""))


def _proposed(state: State, event: happened.Proposed, who: str, _: datetime) -> State:
    awaited = {person: place for person, place in state.awaited.items() if person != who}
    pending = {**state.pending, who: Pending(event.board, event.values, event.doubts)}
    focus, edge = state.focus, state.edge
    for value in event.values:
        if isinstance(value.fact, Reading):
            focus = value.fact.dimension
        elif isinstance(value.fact, Context) and value.fact.edge is not None:
            edge = value.fact.edge
    return replace(state, pending=pending, awaited=awaited, focus=focus, edge=edge)


def _confirmed(state: State, event: happened.Confirmed, _who: str, _: datetime) -> State:
    pending = state.pending.get(event.whose)
    if pending is None:
        return state
    answered = next((doubt for doubt in pending.doubts if doubt.key == event.key), None)
    doubts = tuple(doubt for doubt in pending.doubts if doubt is not answered)  # each question has a yes of its own
    values = tuple(
        replace(value, standing=Standing.CONFIRMED) if value.key == event.key else value for value in pending.values
    )
    return replace(state, pending={**state.pending, event.whose: replace(pending, doubts=doubts, values=values)})


def _accepted(state: State, event: happened.Accepted, _who: str, at: datetime) -> State:
    pending = state.pending.get(event.whose)
    if pending is None or pending.doubts:
        return state
    facts = state.facts_of(pending.board)
    values, circuits = dict(facts.values), facts.circuits
    changed = kept(pending)
    old = tuple((value.key, values.get(value.key)) for value in changed)
    moved = {value.key for value in changed if isinstance(value.fact, Box) and not _same(values.get(value.key), value)}
    values.update((value.key, value) for value in changed)
    circuits = {box: word for box, word in circuits.items() if box not in moved}
    said = _circuits(pending, at)
    past = Past(event.whose, pending.board, old, changed, tuple(said))
    others = {who: each for who, each in state.pending.items() if who != event.whose}
    return replace(
        state,
        boards={**state.boards, pending.board: Facts(values, {**circuits, **said}, facts.ticks)},
        pending={who: each for who, each in others.items() if not _asks_of(each, pending.board, moved)},
        past=(*state.past[1 - UNDO_DEPTH :], past),
    )


def _asks_of(pending: Pending, board: str, moved: set[str]) -> bool:
    """Whether it is a question about the circuit of a box that is now another box."""
    return pending.board == board and any(
        isinstance(value.fact, BoxState) and value.fact.name in moved for value in pending.values
    )


def _same(old: Value | None, new: Value) -> bool:
    return old is not None and old.fact == new.fact


def _circuits(pending: Pending, at: datetime) -> dict[str, CircuitWord]:
    return {
        value.fact.name: CircuitWord(value.fact.state, value.by, at)
        for value in pending.values
        if isinstance(value.fact, BoxState) and value.fact.name is not None
    }


def _dropped(state: State, event: happened.Dropped, _who: str, _: datetime) -> State:
    return without_pending(state, event.whose)


def _struck(state: State, event: happened.Struck, who: str, _: datetime) -> State:
    facts = state.facts_of(event.board)
    gone = set(event.keys)
    old = tuple((key, facts.values.get(key)) for key in event.keys)
    values = {key: value for key, value in facts.values.items() if key not in gone}
    circuits = {box: word for box, word in facts.circuits.items() if box not in gone}
    state = _with_facts(state, event.board, replace(facts, values=values, circuits=circuits))
    return _remember(state, Past(who, event.board, old))


def _undone(state: State, _: happened.Undone, who: str, _at: datetime) -> State:
    """Puts the old values back. A circuit is never put back to dead: what was said of it is dropped instead."""
    past = last_change(state, who)
    if past is None:
        return state
    facts = state.facts_of(past.board)
    values, circuits = dict(facts.values), dict(facts.circuits)
    for key, value in past.old:
        circuits.pop(key, None)
        if value is None:
            values.pop(key, None)
        else:
            values[key] = value
    for box in past.circuits:
        circuits.pop(box, None)
    ticks = tuple(tick for tick in facts.ticks if tick is not past.ticked)
    state = _with_facts(state, past.board, Facts(values, circuits, ticks))
    return replace(state, past=tuple(each for each in state.past if each is not past))


def last_change(state: State, who: str) -> Past | None:
    """The last change that `who` made and hasn't taken back."""
    return next((past for past in reversed(state.past) if past.by == who), None)


def _asked(state: State, event: happened.Asked, who: str, _: datetime) -> State:
    return replace(state, awaited={**state.awaited, who: (event.dimension, event.at)})


def _doubted(state: State, event: happened.Doubted, who: str, at: datetime) -> State:
    facts = state.facts_of(event.board)
    circuits = {box: word for box, word in facts.circuits.items() if word.state is Circuit.LIVE}
    state_said = Circuit.UNKNOWN if event.state is Circuit.DEAD else event.state  # a doubt makes nothing dead
    circuits.update({box: CircuitWord(state_said, who, at) for box in event.boxes})
    state = _with_facts(state, event.board, replace(facts, circuits=circuits))
    open_questions = {
        person: pending
        for person, pending in state.pending.items()
        if pending.board != event.board or not any(isinstance(value.fact, BoxState) for value in pending.values)
    }
    return replace(state, pending=open_questions)


def _board_opened(state: State, event: happened.BoardOpened, _who: str, _: datetime) -> State:
    boards = state.boards if event.name in state.boards else {**state.boards, event.name: carried(state.facts)}
    return replace(state, boards=boards, board=event.name, focus=None, edge=None, awaited={})


def _ticked(state: State, event: happened.Ticked, who: str, _: datetime) -> State:
    tick = Tick(event.text, event.cut, event.opening, who, dict(event.used))
    facts = state.facts_of(event.board)
    state = _with_facts(state, event.board, replace(facts, ticks=(*facts.ticks, tick)))
    return _remember(state, Past(who, event.board, ticked=tick))


def _entries_lost(state: State, event: happened.EntriesLost, _who: str, _: datetime) -> State:
    """Everything that stood is in question, what was only read back too; nothing can be undone past a hole."""
    boards = {name: replace(facts, values=_in_question(state, name), circuits={}) for name, facts in _all(state)}
    return replace(
        state,
        boards=boards,
        pending={},
        past=(),
        awaited={},
        losses=state.losses | frozenset(event.numbers),
        holed=state.holed | frozenset(boards),
    )


def _all(state: State) -> Iterable[tuple[str, Facts]]:
    names = dict.fromkeys((*state.boards, *(pending.board for pending in state.pending.values())))
    return ((name, state.facts_of(name)) for name in names)


def _in_question(state: State, board: str) -> dict[str, Value]:
    known = state.known(board, doubtful=True)
    return {key: replace(value, standing=Standing.DOUBTFUL) for key, value in known.items()}


def _held(state: State, _: happened.Held, _who: str, _at: datetime) -> State:
    return replace(state, holding=True)


def _resumed(state: State, _: happened.Resumed, _who: str, _at: datetime) -> State:
    return replace(state, holding=False)


def _answered(state: State, event: happened.Answered, who: str, _: datetime) -> State:
    last = state.last or Exchange("", "", who, "")
    answer = " ".join(say.text for say in event.says)
    return replace(state, said=event.says, last=replace(last, answer=answer, asks=event.asks, refused=event.refused))


_CHANGES: dict[type[Event], Callable[[State, Any, str, datetime], State]] = {
    happened.Heard: _heard,
    happened.Proposed: _proposed,
    happened.Accepted: _accepted,
    happened.Confirmed: _confirmed,
    happened.Dropped: _dropped,
    happened.Struck: _struck,
    happened.Undone: _undone,
    happened.Asked: _asked,
    happened.Doubted: _doubted,
    happened.BoardOpened: _board_opened,
    happened.Ticked: _ticked,
    happened.EntriesLost: _entries_lost,
    happened.Held: _held,
    happened.Resumed: _resumed,
    happened.Answered: _answered,
}


def fold(entries: Iterable[tuple[Event, str, datetime]], state: State | None = None) -> State:
    """The job that a row of events leaves behind."""
    state = state or State()
    for event, who, at in entries:
        state = apply(state, event, who, at)
    return state


def _with_facts(state: State, board: str, facts: Facts) -> State:
    return replace(state, boards={**state.boards, board: facts})


def without_pending(state: State, whose: str) -> State:
    """The job without what was read back to `whose`."""
    return replace(state, pending={who: pending for who, pending in state.pending.items() if who != whose})


def _remember(state: State, past: Past) -> State:
    return replace(state, past=(*state.past[1 - UNDO_DEPTH :], past))
