"""What of an utterance the dialogue has a use for: "the same" becomes a reading, and what changes nothing is told."""

from __future__ import annotations

from collections.abc import Iterable

from fieldvoice.dialogue.turn import Turn
from fieldvoice.records.ledger import Tell
from fieldvoice.records.meaning import (
    Action,
    Command,
    Context,
    Habit,
    Meaning,
    Reading,
    SameAgain,
    SameHeight,
    Topic,
)

_NO_USE = SameHeight | Habit
_TOPICS = frozenset(
    {
        Topic.ORDER,
        Topic.SHEET_WIDTH,
        Topic.SHEET_LENGTH,
        Topic.FULL,
        Topic.FACTORY_EDGE,
        Topic.BACK_BEVEL,
        Topic.IN_PLACE,
        Topic.BOXES,
        Topic.RIP,
    }
)
_ORDERS = frozenset({Action.QUIT})
"""Orders to what shows, not to the dialogue."""


def usable(turn: Turn, meanings: Iterable[Meaning]) -> tuple[Turn, tuple[Meaning, ...]]:
    """The meanings that count, "the same" with its value; the turn tells of each that nothing comes of."""
    kept: list[Meaning] = []
    lost: list[Tell] = []
    for meaning in meanings:
        same = _same(turn, meaning) if isinstance(meaning, SameAgain) else meaning
        if same is None:
            lost.append(Tell.WHICH_VALUE)
        elif _idle(same):
            lost.append(Tell.NO_USE)
        else:
            kept.append(same)
    for tell in dict.fromkeys(lost):
        words = (turn.judged.utterance.heard,) if tell is Tell.NO_USE else ()
        turn = turn.tell(tell, *words) if kept else turn.refuse(tell, *words)
    return turn, tuple(kept)


def _idle(meaning: Meaning) -> bool:
    if isinstance(meaning, Context):
        return meaning.topic in _TOPICS
    if isinstance(meaning, Command):
        return meaning.action in _ORDERS
    return isinstance(meaning, _NO_USE)


def _same(turn: Turn, same: SameAgain) -> Reading | None:
    """The value of the place that was named, else the one that the speaker called last on this board."""
    called = [call.fact for call in turn.state.on(turn.state.board) if call.waits or call.in_force]
    readings = [fact for fact in called if isinstance(fact, Reading) and same.like in {None, fact.at}]
    if not readings:
        return None
    return Reading(readings[-1].value, same.dimension, same.at, readings[-1].qualifier)
