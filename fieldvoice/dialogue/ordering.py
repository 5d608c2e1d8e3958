"""An order as a whole: carried out so that a no takes it back, denied, asked about where it was heard with doubt."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from fieldvoice.dialogue.events import OrderDenied, Ordered, OrderStands, SaidAgain
from fieldvoice.dialogue.keeping import keep_words
from fieldvoice.dialogue.orders import ORDERS, in_words
from fieldvoice.dialogue.reducer import last_change
from fieldvoice.dialogue.state import Denied, State
from fieldvoice.dialogue.turn import Turn
from fieldvoice.records.ledger import Standing, Tell
from fieldvoice.records.meaning import Context, DeadAndTested, SurfaceCall, Topic
from fieldvoice.records.utterance import Action, Answer, Command, Meaning

DENIABLE = frozenset(
    {
        Action.UNDO,
        Action.SCRATCH,
        Action.DISMISS,
        Action.TAKE_OUT,
        Action.OFFCUT,
        Action.NEXT_BOARD,
        Action.GO_TO_BOARD,
        Action.GO_TO_SURFACE,
        Action.TICK,
        Action.NEXT,
        Action.BACK,
        Action.ACKNOWLEDGE,
        Action.PROMPT,
        Action.UNPROMPT,
    }
)
"""Orders that change what stands, or where work is."""


def as_order(said: Meaning | None) -> Command | None:
    """The order that it is: a board's name is one to go there."""
    if isinstance(said, Context) and said.topic is Topic.BOARD:
        return Command(Action.GO_TO_BOARD, str(said.value))
    return said if isinstance(said, Command) else None


def changes(meaning: Meaning) -> bool:
    """Whether it is an order that changes what stands or where work is, or word of a dead circuit."""
    return isinstance(meaning, DeadAndTested) or (isinstance(meaning, Command) and meaning.action in DENIABLE)


def carry_out(turn: Turn, order: Command) -> Turn:
    """What the order does; a no takes that back, if it did anything."""
    move = ORDERS[order.action]
    if order.action not in DENIABLE:
        return move(turn.did(OrderStands()) if turn.only_shows else turn, order.target)
    said, last = turn.judged.utterance, turn.state.last_order
    if order.action is Action.UNDO and last is not None and _goes_back(turn) and _all_of(turn, last):
        return _taken_back(turn, last)
    begun = turn.did(Ordered(said.heard if said.meanings == (order,) else in_words(order)))
    made = move(begun, order.target)
    if made.events != begun.events and not made.refused:
        return _done_at_last(made, begun.state, order)
    return _unordered(turn, begun, made)


def carry_away(turn: Turn, move: Callable[[Turn], Turn]) -> Turn:
    """What is called of another board, wall or room leads there as an order does, and is taken back as one."""
    begun = turn.did(Ordered(turn.judged.utterance.heard))
    made = move(begun)
    return made if made.state.board != turn.state.board else _unordered(turn, begun, made)


def _unordered(turn: Turn, begun: Turn, made: Turn) -> Turn:
    """Without the order: it did nothing that a no would take back."""
    since = made.events[len(begun.events) :]
    return replace(made, events=turn.events + since, state=replace(made.state, ordered=turn.state.ordered))


def _done_at_last(turn: Turn, before: State, order: Command) -> Turn:
    """Without the words of the same order, where they had stood as not taken."""
    kept = before.not_taken(before.board)
    same = tuple(one.number for one in kept if one.by == turn.who and one.fact is None and one.words == in_words(order))
    return turn.did(SaidAgain(same)) if same else turn


def deny_order(turn: Turn) -> Turn | None:
    """No to the order that was just carried out: what it did is taken back and told, and what waited before waits
    again. None where the turn before carried none out, something is asked since, or the order did away with nothing and
    took what was read back: then the no is about that.
    """
    last, now = turn.state.last_order, turn.state
    if last is None or turn.asked is not None or not _came_with(turn, last, Context):
        return None  # something else was read back there, which the no is about
    moved = [(one, now.calls[number]) for number, one in last.before.calls.items()]
    took = any(old.waits and new.in_force for old, new in moved)
    if took and not any((old.waits or old.in_force) and new.standing is Standing.TAKEN_BACK for old, new in moved):
        return None
    return _taken_back(turn, last)


def _taken_back(turn: Turn, last: Denied) -> Turn:
    now = turn.state
    turn = turn.did(OrderDenied()).tell(Tell.ORDER_BACK, last.words)
    here = turn.state.board
    if here != now.board:
        turn = turn.tell(Tell.SURFACE if here in turn.state.surfaces else Tell.BOARD, here, 0)
    changed = [one for number, one in turn.state.calls.items() if now.calls[number].standing is not one.standing]
    waits = [one for one in changed if one.waits]
    off = {number for one in waits for number in (one.replaces, *one.displaces)}  # told with what waits in its place
    told = [one for one in changed if one.board == here and not one.waits and not one.carried and one.number not in off]
    told = [one for one in told if one.in_force or now.calls[one.number].in_force]
    turn = turn.tell(Tell.TAKEN_BACK, here, *told) if told else turn
    for one in waits:
        turn = turn.tell(Tell.READ_BACK, one)
    for one in changed:
        turn = turn.tell(Tell.KEPT_NOT_TAKEN, one.words) if one.standing is Standing.NOT_TAKEN else turn
    return turn.put_again()


def led(turn: Turn) -> bool:
    """Whether the turn before led to the board or the wall at hand, and nothing is asked since."""
    told = (note.tell in {Tell.BOARD, Tell.SURFACE, Tell.PIECE} for note in turn.state.said)
    return turn.asked is None and not turn.mine and any(told)


def _goes_back(turn: Turn) -> bool:
    """Whether an undo is of where its speaker just went, or of the wall that they took out, and of no reading of the
    board that was left. Where a word of a dead circuit was the last that they said there, it is of that.
    """
    past = last_change(turn.state, turn.who)
    away = any(note.tell in {Tell.BOARD, Tell.SURFACE, Tell.PIECE, Tell.SURFACE_OUT} for note in turn.state.said)
    own = turn.state.told == turn.who and turn.asked is None
    return own and away and not (past is not None and past.circuits)


def _all_of(turn: Turn, last: Denied) -> bool:
    """Whether nothing waits but what came with going there."""
    came = _came_with(turn, last, Context, SurfaceCall)
    return came and all(each not in last.before.calls for each in turn.mine.calls)


def _came_with(turn: Turn, order: Denied, *kinds: type) -> bool:
    """Whether what was read back since an order is no more than of these kinds: the room that it led to, the wall."""
    made = (turn.state.calls[each] for each in turn.mine.calls if each not in order.before.calls)
    return all(isinstance(one.fact, kinds) for one in made)


_ASKS_ORDER = frozenset({Tell.ORDER_UNSURE, Tell.ORDER_RIGHT})


def _asked_orders(state: State) -> dict[str, Command]:
    """The orders of which somebody was just asked whether they were, by whom that was."""
    asked = (note.values[1:] for note in state.said if note.tell in _ASKS_ORDER and len(note.values) > 3)
    return {str(who): Command(Action(str(action)), str(target) or None) for action, target, who in asked}


def asked_order(state: State, who: str) -> Command | None:
    """The order of which that person was just asked whether it was one."""
    return _asked_orders(state).get(who)


def unsure_order(turn: Turn, order: Command | None, words: str = "") -> Turn:
    """Whether it was that order is asked, unless it was asked and the same is said again. `order` is None where more
    was said with it; `words` are those that it is asked by, where others were written.
    """
    heard = words or turn.judged.utterance.heard
    if order is None or order.action not in ORDERS:
        return turn.ask(Tell.ORDER_UNSURE, heard)
    if order == asked_order(turn.state, turn.who):
        return carry_out(turn, order)
    tell = Tell.ORDER_RIGHT if turn.asked is None else Tell.ORDER_UNSURE  # a yes answers the question that is open
    return turn.ask(tell, heard, order.action.value, order.target or "", turn.who)


def kept_order(turn: Turn) -> Turn:
    """An order of which somebody was just asked whether it was one, and that would have changed what stands: where
    another one speaks now, or neither yes nor no is said, nor the order again, its words stand as not taken.
    """
    said = turn.judged.utterance.meanings
    answers = len(said) == 1 and isinstance(said[0], Answer) and not said[0].of_doing
    for who, order in _asked_orders(turn.state).items():
        if order.action in DENIABLE and not (who == turn.who and (answers or order in map(as_order, said))):
            turn = keep_words(turn, in_words(order), whose=who)
    return turn


def answer_order(turn: Turn, *, yes: bool) -> Turn | None:
    """Yes or no to the question whether it was an order; None where none was asked about, or something else is open."""
    order = asked_order(turn.state, turn.who) if turn.asked is None else None
    if order is None:
        others = turn.asked is None and bool(_asked_orders(turn.state))
        return turn if others and not yes else None  # it is about that order, whose words stand as not taken by now
    if yes and turn.judged.doubtful:
        return turn.ask(Tell.ORDER_RIGHT, *next(one.values for one in turn.state.said if one.values[3:] == (turn.who,)))
    return carry_out(turn, order) if yes else turn.tell(Tell.ORDER_OFF)
