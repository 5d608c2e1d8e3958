"""A value that was read back at one place and belongs at another: "that's the bottom"."""

from __future__ import annotations

from fieldvoice.dialogue.reducer import last_change
from fieldvoice.dialogue.state import are_one_figure
from fieldvoice.dialogue.turn import Turn
from fieldvoice.dialogue.undoing import undo
from fieldvoice.records.ledger import AnsweredBy, Call, Tell
from fieldvoice.records.meaning import Dimension, Edge, Reading, Slot
from fieldvoice.records.orders import Answer, Misplaced, Part
from fieldvoice.records.utterance import Meaning

_OF_HEIGHT = frozenset({Slot.LEFT, Slot.RIGHT})


def moved(turn: Turn, said: Misplaced) -> tuple[Turn, tuple[Meaning, ...]]:
    """Takes back what was read back last and tells its value for the other place; what stood before it stands again.
    Where it was called there, that is a yes; where a question is open to which a place is an answer, it
    answers that. What can't be told is asked.
    """
    asked = turn.asked
    if asked is not None and said.was is None and _answers(turn, said.at):
        return turn, (Part(Edge(said.at)),)
    last = () if turn.judged.doubtful else _last(turn)
    reading = last[0].fact if last else None
    if not isinstance(reading, Reading) or said.was not in {None, reading.at}:
        return turn.refuse(Tell.WHICH_VALUE), ()
    if reading.at is said.at:
        return turn, (Answer(yes=True, agreed=True),)
    after = undo(turn)
    if any(
        call.number in {one.number for one in after.state.known(turn.state.board, doubtful=True).values()}
        for call in last
    ):
        return (after if after.refused else turn.refuse(Tell.WHICH_VALUE)), ()
    dimension = Dimension.HEIGHT if said.at in _OF_HEIGHT else Dimension.WIDTH
    return after, (Reading(reading.value, dimension, said.at, reading.qualifier),)


def _answers(turn: Turn, at: Slot) -> bool:
    """Whether the open question is one about a missing piece, which a side may be."""
    doubt = turn.asked
    return doubt is not None and doubt.answered_by is AnsweredBy.PART and at in _OF_HEIGHT


def _last(turn: Turn) -> tuple[Call, ...]:
    """The one figure that its speaker called and had read back last; none where undo would take back anything else."""
    calls = turn.state.called_last
    if turn.state.read_last.board != turn.state.board or not are_one_figure(calls):
        return ()
    if any(note.tell is Tell.READ_ALL for note in turn.state.said):
        return ()  # everything was read back
    numbers = {call.number for call in calls}
    waiting = {call.number for call in turn.state.waiting(turn.who) if call.by == turn.who}
    past = last_change(turn.state, turn.who)
    undone = waiting or (set(past.calls) if past is not None else set())
    return calls if numbers and numbers == undone else ()
