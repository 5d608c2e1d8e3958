"""What the events of a job have in common: calls that get another standing, and what is open beside them then."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable
from collections.abc import Set as AbstractSet
from dataclasses import replace

from fieldvoice.dialogue.state import Open, State, has_circuit, is_whole
from fieldvoice.records.ledger import Call, Concern, Doubt, Standing
from fieldvoice.records.meaning import Circuit


def with_calls(state: State, calls: Iterable[Call]) -> State:
    """The job with those calls as they are now."""
    return replace(state, calls=state.calls.having(calls))


def in_standing(state: State, numbers: Iterable[int], standing: Standing) -> State:
    """Those calls in that standing; what waits no longer is out of everybody's questions."""
    calls = state.those(numbers)
    if standing is Standing.REPLACED:
        calls = tuple(replace(call, doubted=call.standing is Standing.DOUBTFUL) for call in calls)
    return tidied(with_calls(state, (replace(call, standing=standing) for call in calls)))


def tidied(state: State) -> State:
    """Without questions about what waits no more, and without people for whom nothing is open. What was told by a call
    that another has taken the place of is nothing now: its words stand as not taken.
    """
    asked = (doubt for doubt in state.doubts if doubt.concern is Concern.WHICH_OF)
    off = {doubt.call for doubt in asked if not state.all_known(doubt.calls)}
    state = with_calls(state, (replace(call, standing=Standing.NOT_TAKEN) for call in state.those(filter(None, off))))
    found: dict[str, Open] = {}
    for who, one in state.open.items():
        calls = tuple(call.number for call in state.those(one.calls) if call.waits)
        doubts = tuple(doubt for doubt in one.doubts if _stands(state, doubt, calls))
        if calls or doubts:
            found[who] = replace(one, calls=calls, doubts=doubts)
    return replace(state, open=found)


def _stands(state: State, doubt: Doubt, calls: tuple[int, ...]) -> bool:
    if doubt.concern is Concern.LEAVE_OUT:
        call = state.call_of(doubt)
        return call is not None and call.standing is Standing.NOT_TAKEN
    if doubt.concern is Concern.LAST:
        return all(each in state.calls and state.calls[each].in_force for each in doubt.calls)
    return doubt.call is None or doubt.call in calls


def without_tests(state: State, board: str = "", boxes: AbstractSet[str] | None = None) -> State:
    """Without questions whether circuits are dead: any, or those of boxes that somebody has said it of."""

    def off(one: Open, doubt: Doubt) -> bool:
        of_them = boxes is None or (one.board == board and boxes >= {*doubt.boxes})
        return of_them and doubt.concern is Concern.TESTED

    return _asking(state, off)


def _asking(state: State, off: Callable[[Open, Doubt], bool]) -> State:
    """Without the questions that are off, whoever is asked."""
    left = {
        who: replace(one, doubts=tuple(doubt for doubt in one.doubts if not off(one, doubt)))
        for who, one in state.open.items()
    }
    return tidied(replace(state, open=left))


def put_open(state: State, who: str, one: Open) -> State:
    """The job with that open for somebody."""
    return replace(state, open={**state.open, who: one})


def without_ticks(state: State, board: str, steps: Collection[str]) -> State:
    """The job with those steps of a board to be done anew: that one was done can't be undone any more."""
    ticks = tuple(replace(one, off=one.off or one.step in steps) for one in state.ticks.get(board, ()))
    past = tuple(one for one in state.past if one.board != board or one.tick is None or one.tick.step not in steps)
    return replace(state, ticks={**state.ticks, board: ticks}, past=past)


def without_words(state: State, moved: set[tuple[str, str]]) -> State:
    """Without the word that circuits at these boxes are dead, and without questions about them, whoever is asked."""
    if not moved:
        return state

    def off(one: Open, doubt: Doubt) -> bool:
        return doubt.concern is Concern.TESTED and any((one.board, box) in moved for box in doubt.boxes)

    return _asking(unsaid(state, moved), off)


def unsaid(state: State, boxes: set[tuple[str, str]]) -> State:
    """As if nobody had said that circuits at these boxes are dead: a word of danger stays, wherever the box turns out
    to be, and so does what somebody is asked.
    """
    words = {
        board: {box: word for box, word in said.items() if (board, box) not in boxes or word.state is Circuit.LIVE}
        for board, said in state.words.items()
    }
    ended = {
        board: {box: word for box, word in said.items() if (board, box) not in boxes}
        for board, said in state.ended.items()
    }
    return replace(state, words=words, ended=ended)


def circuits_at(calls: Iterable[Call]) -> set[tuple[str, str]]:
    """The holes among those calls that a circuit is behind, each by its board and its name."""
    return {(call.board, call.key.name) for call in calls if has_circuit(call.fact)}


def behind_nothing(state: State, before: State) -> State:
    """What waited for its turn behind the questions `before` of somebody who is asked nothing now stands as not taken:
    nobody has in the ear any more in which order it was said.
    """
    ended = {
        who for who, one in before.open.items() if one.doubts and not (who in state.open and state.open[who].doubts)
    }
    late = (call for call in state.calls.values() if call.queued and call.standing is Standing.NOT_TAKEN)
    return with_calls(state, [replace(call, queued=False) for call in late if call.by in ended])


def calmed(state: State, numbers: Iterable[int]) -> State:
    """Without the questions about those calls: in force where they were, else read back."""
    taken = {each for past in state.past for each in (*past.calls, *past.stood)}
    calm = [call for call in state.those(numbers) if call.standing is Standing.DOUBTFUL]
    asked = {call.number for call in calm}
    now = {number: Standing.ACCEPTED if number in taken else Standing.READ_BACK for number in asked}
    state = with_calls(state, (replace(call, standing=now[call.number]) for call in calm))
    return _asking(state, lambda _, doubt: doubt.call in asked)


def waits_again(state: State, call: Call) -> State:
    """A call as it waited for its speaker; what had a question is in doubt, and what wasn't whole is not taken."""
    if call.standing is Standing.NOT_TAKEN or not is_whole(call):
        return with_calls(state, (replace(call, standing=Standing.NOT_TAKEN),))
    mine = state.open.get(call.by) or Open(call.board)
    back = replace(call, standing=Standing.READ_BACK, doubted=call.standing is Standing.DOUBTFUL)
    return put_open(with_calls(state, (back,)), call.by, replace(mine, calls=(*mine.calls, call.number)))
