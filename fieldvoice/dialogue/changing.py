"""Corrections of what may stand already: a value changed by its place, its name or its kind."""

from __future__ import annotations

from dataclasses import replace
from typing import TypeVar, cast

from fieldvoice.dialogue.amending import beside_the_rest, could_be, is_bare, of_one
from fieldvoice.dialogue.bare_no import in_question
from fieldvoice.dialogue.events import NotTaken
from fieldvoice.dialogue.keeping import calls_of, order_waits, put_off, queue, words_kept
from fieldvoice.dialogue.proposals import call, mend, propose, replaced, set_aside, settle, which_of
from fieldvoice.dialogue.reducer import last_change
from fieldvoice.dialogue.turn import Turn
from fieldvoice.records.facts import Key, Said, key_of
from fieldvoice.records.ledger import Call, Standing, Tell
from fieldvoice.records.meaning import Box, Incomplete, Opening, OpeningKind, Reading

Thing = TypeVar("Thing", bound=Said)


def corrected(turn: Turn, new: Reading | Box | Opening | Incomplete) -> Turn:
    """A value changed by its place or name; which of several is asked where neither was said."""
    turn = set_aside(turn)
    if turn.asked is None and isinstance(new, Reading) and new.at is None and turn.refused_at is None:
        told = readings_told(turn, new)
        if len(told) > 1 or any(one.waits or new.dimension is not None for one in told):
            return one_of_those(turn, new)
    return _change(turn, new)


def readings_told(turn: Turn, new: Reading) -> list[Call]:
    """The readings that a new one of no place may be about: those that were told last, of those that wait for the
    speaker, else of those in force; where it is said to be a width, or a height, all of the board that are.
    """
    if new.dimension is not None:
        known = turn.known.values()
        return [one for one in known if isinstance(one.fact, Reading) and could_be(one.fact, new)]
    waiting = [one for one in turn.state.waiting(turn.who) if isinstance(one.fact, Reading)]
    there = waiting or [
        one for one in turn.state.on(turn.state.board) if isinstance(one.fact, Reading) and one.in_force
    ]
    return [one for one in there if one.number in turn.state.read_last.calls] or waiting


def one_of_those(turn: Turn, fact: Reading) -> Turn:
    """The right value of one of the readings that were told: which is asked, and until that is answered it waits, so
    that nothing is settled past it.
    """
    told = readings_told(turn, fact)
    figures = dict.fromkeys(tuple(one for one in turn.state.called_as_one(each) if one in told) for each in told)
    placed = (tuple(replace(fact, dimension=at.dimension, at=at.at) for at in _readings(one)) for one in figures)
    others = tuple(new for one, new in zip(figures, placed, strict=True) if new != _readings(one))
    if not others:
        turn = in_question(turn, tuple(told))
        return turn.put_again()
    if len(figures) == 1:
        return mend(turn, told[0], fact)
    return turn.at_board(told[0].board, lambda there: which_of(there, others))


def _readings(calls: tuple[Call, ...]) -> tuple[Reading, ...]:
    return tuple(one.fact for one in calls if isinstance(one.fact, Reading))


def _change(turn: Turn, new: Reading | Box | Opening | Incomplete) -> Turn:
    """A value changed by its place or name; without one, the value last spoken of."""
    behind, turn = order_waits(turn), put_off(turn, (new,))
    if behind:
        return queue(turn, (new,), corrects=True)
    if isinstance(new, Reading) and is_bare(new) and turn.refused_at is not None:
        return call(turn, (new,))  # where a value was refused with its place just now
    if _is_one_of_several(turn, new):
        return words_kept(turn).refuse(Tell.WHICH_VALUE)
    old = replaced(turn, new)
    if old is not None:
        return mend(turn, old, beside_the_rest(old.fact, new))
    new = meant(turn, new)
    if turn.asked is not None:
        return queue(turn, (new,), corrects=True)
    turn = settle(turn)
    known = turn.state.known(turn.state.board)
    named = isinstance(new, Box | Incomplete) and bool(new.name)
    if named and key_of(new) not in known and not _is_open(turn, key_of(new)):
        return _of_nothing_there(turn, new)
    if isinstance(new, Reading) and new.at is None:
        last = _last_reading(turn)
        if last is None or not could_be(last, new):
            return words_kept(turn).refuse(Tell.WHICH_VALUE)
        new = replace(new, dimension=last.dimension, at=last.at)
    return propose(turn, (new,), corrects=True)


def _is_open(turn: Turn, key: Key) -> bool:
    """Whether anything of that name waits, for an answer or for its part: it is changed as it is."""
    return any(one.key == key for one in turn.state.begun(turn.state.board))


def _of_nothing_there(turn: Turn, fact: Said) -> Turn:
    """The change of a thing that isn't there is kept; where that waits for its turn, it has its own behind it."""
    (kept,) = calls_of(turn, (fact,), Standing.NOT_TAKEN)
    queued = (one.fact for one in turn.state.not_taken(turn.state.board) if one.queued and one.fact is not None)
    behind = any(key_of(each) == kept.key for each in queued)
    turn = turn.did(NotTaken((replace(kept, queued=behind, corrects=behind),)))
    told = (Tell.KEPT_NOT_TAKEN, kept.words) if behind else (Tell.NO_BOX, kept.key.name)
    return turn.refuse(*told)


def _is_one_of_several(turn: Turn, new: Said) -> bool:
    """Whether an opening is named by its kind alone where several of that kind are."""
    if not isinstance(new, Incomplete) or new.name or not isinstance(new.kind, OpeningKind):
        return False
    known = turn.known.values()
    return sum(isinstance(one.fact, Opening) and one.fact.kind is new.kind for one in known) > 1


def meant(turn: Turn, new: Thing) -> Thing:
    """What a correction names by its kind alone: the only one of the board."""
    known = turn.known.values()
    return cast("Thing", of_one(new, (one.fact for one in known)))


def _last_reading(turn: Turn) -> Reading | None:
    """The one reading that the speaker's last change was about."""
    past = last_change(turn.state, turn.who)
    calls = turn.state.those(past.calls) if past else ()
    readings = [one.fact for one in calls if isinstance(one.fact, Reading)]
    here = past is not None and past.board == turn.state.board
    return readings[0] if here and len(readings) == 1 else None
