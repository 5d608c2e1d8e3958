"""What is open about new calls before any of them is weighed: whether each belongs where it was put, was denied just
now, lacks a part.
"""

from __future__ import annotations

from dataclasses import replace

from fieldvoice.dialogue.amending import is_bare
from fieldvoice.dialogue.plausibility import spoken
from fieldvoice.dialogue.state import is_whole
from fieldvoice.dialogue.turn import Turn
from fieldvoice.records.facts import Said
from fieldvoice.records.hearing import Source
from fieldvoice.records.ledger import Call, Concern, Doubt, Standing, Tell
from fieldvoice.records.meaning import Incomplete, Place, Reading


def said_no_to(turn: Turn, calls: tuple[Call, ...]) -> tuple[Doubt, ...]:
    """The question about each value that was said no to just now and comes again as it was."""
    notes = (note for note in turn.state.said if note.tell is Tell.NOT_TAKEN_WHAT_IS_IT)
    values = (value for note in notes for value in note.values if isinstance(value, Call) and value.by == turn.who)
    denied = {value.fact for value in values if is_whole(value) and value.waits}
    return tuple(Doubt(Concern.CONTRADICTION, one.number) for one in calls if one.fact in denied)


def at_unsure_place(turn: Turn, facts: tuple[Said, ...], calls: tuple[Call, ...]) -> tuple[Doubt, ...]:
    """The question whether the first bare value belongs to the place that a slip may have named, or to the next one
    where it may be the end of what was not understood before it: "both sides" may have been said with it.
    """
    awaited = turn.state.awaited.get(turn.who)
    if awaited is None and not (spoken(turn.source) and _was_lost(turn)):
        return ()
    if awaited is not None and awaited.sure:
        return ()
    bare = (one.number for fact, one in zip(facts, calls, strict=False) if is_bare(fact))
    return tuple(Doubt(Concern.UNSURE, number) for number in [*bare][:1])


def _was_lost(turn: Turn) -> bool:
    """Whether the last that the speaker called was spoken, and not understood."""
    own = [one for one in turn.state.on(turn.state.board) if one.by == turn.who and not one.carried]
    last = max(own, key=lambda one: one.number, default=None)
    return last is not None and last.fact is None and last.standing is Standing.NOT_TAKEN and not last.queued


def places_told(turn: Turn, fact: Said | None) -> tuple[Place, ...]:
    """Where a reading rather belongs that was objected with by voice: at one of the places of its kind that had just
    been said aloud with another value. None where its own was among them, or nothing of its kind was.
    """
    if turn.source is not Source.SPOKEN or not turn.judged.utterance.objects or not isinstance(fact, Reading):
        return ()
    notes = (note for note in turn.state.said if note.tell in _TOLD)
    calls = [value for note in notes for value in note.values if isinstance(value, Call)]
    told = {
        one.fact.at: one.fact for one in calls if isinstance(one.fact, Reading) and one.fact.dimension is fact.dimension
    }
    if fact.at in told or any(one.fact == fact for one in calls):
        return ()
    return tuple(at for at, old in told.items() if at is not None and old.value != fact.value)


_TOLD = frozenset({Tell.READ_BACK, Tell.TOGETHER, Tell.CONFIRMED, Tell.TAKEN_BACK})


def at_told_place(turn: Turn, one: Call) -> Doubt:
    """The question whether a value belongs where it was called, or to a place that had just been said."""
    assert isinstance(one.fact, Reading)
    there = tuple((replace(one.fact, at=at),) for at in places_told(turn, one.fact))
    return Doubt(Concern.WHICH_OF, one.number, ((one.fact,), *there))


def begun_in_doubt(turn: Turn, calls: tuple[Call, ...]) -> tuple[Doubt, ...]:
    """What lacks a part and was heard with doubt is asked about once it is whole."""
    if not spoken(turn.source) or not turn.judged.doubtful:
        return ()
    return tuple(Doubt(Concern.UNSURE, one.number) for one in calls if isinstance(one.fact, Incomplete))


def lacking(calls: tuple[Call, ...]) -> tuple[Doubt, ...]:
    """The question of the first part that each of them lacks."""
    return tuple(
        Doubt(Concern.LACKS, one.number, lack=one.fact.lacks[0])
        for one in calls
        if isinstance(one.fact, Incomplete) and one.fact.lacks
    )
