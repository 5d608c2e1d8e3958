"""What of an utterance the dialogue has a use for: "the same" becomes a reading, and what changes nothing is told."""

from __future__ import annotations

from collections.abc import Iterable

from fieldvoice.dialogue.habits import by_habit, level
from fieldvoice.dialogue.turn import Turn
from fieldvoice.records.ledger import Tell
from fieldvoice.records.meaning import (
    Action,
    Command,
    Context,
    Habit,
    HabitOf,
    Incomplete,
    Meaning,
    Reading,
    SameAgain,
    SameHeight,
    Topic,
)

_TOPICS = frozenset(
    {
        Topic.ORDER,
        Topic.FACTORY_EDGE,
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
        if isinstance(meaning, SameHeight):
            if not level(turn, meaning, kept):
                lost.append(Tell.NO_LEVEL)
            continue
        same = _same(turn, meaning) if isinstance(meaning, SameAgain) else _habitual(turn, meaning)
        if same is None:
            lost.append(Tell.WHICH_VALUE)
        elif _denied(turn, same):
            lost.append(Tell.BOXES_THERE)
        elif _idle(same):
            lost.append(Tell.NO_USE)
        else:
            kept.append(same)
    for tell in dict.fromkeys(lost):
        words: tuple[str, ...] = (turn.judged.utterance.heard,) if tell is Tell.NO_USE else ()
        words = turn.state.boxes(turn.state.board) if tell is Tell.BOXES_THERE else words
        turn = turn.tell(tell, *words) if kept else turn.refuse(tell, *words)
    return turn, tuple(kept)


def _habitual(turn: Turn, meaning: Meaning) -> Meaning:
    """A habit as what stands of the job; a box with the parts that the crew's habits say and its words don't."""
    if isinstance(meaning, Habit):
        said = {True: "yes", False: "no"}
        value = said[meaning.value] if isinstance(meaning.value, bool) else meaning.value.value
        return Context(_HABITS[meaning.of], value)
    return by_habit(turn.state.known(turn.state.board), meaning) if isinstance(meaning, Incomplete) else meaning


_HABITS = {
    HabitOf.BOX_POINT: Topic.BOX_POINT,
    HabitOf.OVER: Topic.OVER,
    HabitOf.MIDDLE_WIDTH: Topic.MIDDLE_WIDTH,
}


def _denied(turn: Turn, meaning: Meaning) -> bool:
    """Whether it says that there is no box where one was called."""
    return meaning == Context(Topic.BOXES, "none") and bool(turn.state.boxes(turn.state.board))


def _idle(meaning: Meaning) -> bool:
    if isinstance(meaning, Context):
        return meaning.topic in _TOPICS
    return isinstance(meaning, Command) and meaning.action in _ORDERS


def _same(turn: Turn, same: SameAgain) -> Reading | None:
    """The value of the place that was named, else the one that the speaker called last on this board."""
    called = [call.fact for call in turn.state.on(turn.state.board) if call.waits or call.in_force]
    readings = [fact for fact in called if isinstance(fact, Reading) and same.like in {None, fact.at}]
    if not readings:
        return None
    return Reading(readings[-1].value, same.dimension, same.at, readings[-1].qualifier)
