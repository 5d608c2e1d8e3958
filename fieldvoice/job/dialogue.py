"""The moves of the dialogue: what each kind of meaning does. No clock, no file, no sound.

A sure value is read back and taken once its speaker goes on without objecting; one in question waits for yes, no, or
the right value. What was read back belongs to the person who called it, so that two people can talk at once. The
tables `ORDERS` and `_step` below are the whole of it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime

from fieldvoice.errors import CannotCut
from fieldvoice.job import wording
from fieldvoice.job.assembly import board_of, unit_of
from fieldvoice.job.events import Asked, Doubted, Dropped, Event, Heard, Held, Resumed, Struck, Undone
from fieldvoice.job.fold import last_change
from fieldvoice.job.looking import plan_now
from fieldvoice.job.naming import box_name, figures, label
from fieldvoice.job.rooms import Judged, Rooms
from fieldvoice.job.state import Fact, Pending, State, Value
from fieldvoice.job.taking import (
    ask_open,
    call,
    change,
    confirm,
    dead_and_tested,
    mend,
    open_board,
    settle,
)
from fieldvoice.job.ticking import already_cut, tick
from fieldvoice.job.turn import Turn
from fieldvoice.job.view import Say
from fieldvoice.records.hearing import Hearing, Source
from fieldvoice.records.meaning import (
    Action,
    Answer,
    BoxMark,
    BoxState,
    Circuit,
    Command,
    Correction,
    Meaning,
    Reading,
    Status,
    Utterance,
)
from fieldvoice.records.plan import Missing
from fieldvoice.safety import box_caution, counting

_LIVE_WORDS = frozenset({"live", "hot"})


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a turn comes to: events to record, in order, and what to say once they are recorded."""

    events: tuple[Event, ...]
    says: tuple[Say, ...]
    state: State


def respond(state: State, heard: Hearing, judged: Judged, who: str, at: datetime, rooms: Rooms) -> Outcome:
    """Decides one turn: `heard` is the utterance as it came in, `judged` what it was taken for."""
    words = judged.utterance.heard or heard.words
    others = tuple(each.words for each in heard.hypotheses if each.words != words)
    turn = Turn(state, who, at, rooms, judged, heard.source)
    turn = turn.did(Heard(words, heard.recognizer, heard.source, others))
    turn = _danger(turn, heard)
    turn = (_held if state.holding else _listened)(turn).closed()
    return Outcome(turn.events, turn.says, turn.state)


def respond_tick(state: State, number: int, who: str, at: datetime, rooms: Rooms) -> Outcome:
    """Decides what ticking a step on the screen does."""
    utterance = Utterance(Status.UNDERSTOOD, f"tick {number}")
    turn = Turn(state, who, at, rooms, Judged(utterance), Source.TYPED)
    turn = tick(turn.did(Heard(f"tick {number}", "screen", Source.TYPED)), str(number)).closed()
    return Outcome(turn.events, turn.says, turn.state)


def _held(turn: Turn) -> Turn:
    """While holding, only "resume" and word of a live circuit count."""
    if Command(Action.RESUME) in turn.judged.utterance.meanings:
        return _resume(turn, None)
    return turn.tell(wording.HOLDING) if turn.source is Source.TYPED else turn


def _danger(turn: Turn, heard: Hearing) -> Turn:
    """Word that a circuit isn't dead is taken before anything else, even from words that are doubtful or unclear."""
    said = [
        meaning
        for meaning in (*turn.judged.utterance.meanings, *(turn.judged.rival or ()))
        if isinstance(meaning, BoxState) and meaning.state is not Circuit.DEAD
    ]
    maybe = any(_LIVE_WORDS & set(each.words.split()) for each in heard.hypotheses)
    if not said and not maybe:
        return turn
    board = turn.state.board
    known = [key for key, value in turn.state.known(board, doubtful=True).items() if isinstance(value.fact, BoxMark)]
    every = not said or any(meaning.name is None for meaning in said)
    named = tuple(known) if every else tuple(box_name(str(meaning.name)) for meaning in said)
    state = said[0].state if said else Circuit.UNKNOWN
    text = wording.live_said(named, turn.who, _said_dead(turn))
    return turn.did(Doubted(board, named, state)).tell(Say(text, text, safety=True))


def _said_dead(turn: Turn) -> tuple[str, ...]:
    return tuple(box for box, word in turn.state.facts.circuits.items() if word.state is Circuit.DEAD)


def _listened(turn: Turn) -> Turn:
    utterance = turn.judged.utterance
    if utterance.status is Status.REFUSED:
        return turn.refuse(utterance.why or wording.NOTHING_HEARD)
    if utterance.status is Status.UNCLEAR:
        return _unclear(turn, utterance)
    meanings = tuple(
        meaning
        for meaning in utterance.meanings
        if not (isinstance(meaning, BoxState) and meaning.state is not Circuit.DEAD)
    )
    return _understood(turn, meanings)


def _unclear(turn: Turn, utterance: Utterance) -> Turn:
    """The question is put; where all ways it may have gone agree on the place, a bare number will answer it."""
    places = {
        (meaning.dimension, meaning.at)
        for way in utterance.alternatives
        for meaning in way
        if isinstance(meaning, Reading)
    }
    single = all(len(way) == 1 for way in utterance.alternatives)
    if single and len(places) == 1:
        dimension, at = next(iter(places))
        if at is not None:
            turn = turn.did(Asked(dimension, at))
    return turn.ask(utterance.ask or "Which of the two was it? Say it again.")


def _understood(turn: Turn, meanings: tuple[Meaning, ...]) -> Turn:
    """Answers first, then orders and corrections one by one, then everything that is a value together."""
    if meanings and isinstance(meanings[0], Answer):
        return _answered(turn, meanings[0], meanings[1:])
    values: list[Fact] = []
    for meaning in meanings:
        match meaning:
            case Command(action=action, target=target):
                turn = ORDERS[action](turn, target)
            case Correction(new=new):
                turn = change(turn, new)
            case BoxState() if len(meanings) == 1:
                turn = dead_and_tested(turn, meaning)
            case BoxState():
                turn = turn.tell(Say(wording.NOT_DEAD_TOGETHER, wording.NOT_DEAD_TOGETHER, safety=True))
            case Answer():
                turn = turn.refuse("An answer comes first, by itself. Say that again.")
            case _:
                values.append(meaning)
    return call(turn, tuple(values)) if values else turn


def _answered(turn: Turn, answer: Answer, rest: tuple[Meaning, ...]) -> Turn:
    whose = _open_for(turn)
    facts = tuple(meaning for meaning in rest if not isinstance(meaning, Command | Answer | Correction | BoxState))
    facts += tuple(meaning.new for meaning in rest if isinstance(meaning, Correction))
    if answer.yes:
        return _yes(turn, whose, facts)
    return _no(turn, whose, facts)


def _open_for(turn: Turn) -> str | None:
    """Whose read-back an answer is about: the speaker's own, else the only other one."""
    if turn.who in turn.state.pending:
        return turn.who
    others = list(turn.state.pending)
    return others[-1] if others else None


def _yes(turn: Turn, whose: str | None, facts: tuple[Fact, ...]) -> Turn:
    if whose is None:
        return call(turn, facts) if facts else turn.tell(wording.NOTHING_OPEN)
    pending = turn.state.pending[whose]
    if facts:
        return call(turn, facts)
    boxes = " and ".join(str(v.fact.name) for v in pending.values if isinstance(v.fact, BoxState))
    if boxes and whose != turn.who:
        return turn.refuse(wording.held_by_question(boxes))
    if turn.judged.doubtful and pending.doubts:
        return ask_open(turn.tell(wording.SAY_YES_AGAIN), pending)
    return confirm(turn, whose)


def _no(turn: Turn, whose: str | None, facts: tuple[Fact, ...]) -> Turn:
    """Objects to what was read back; a value with it takes its place in the same turn."""
    if whose is None:
        if len(facts) == 1 and isinstance(facts[0], Reading | BoxMark):
            return change(turn, facts[0])
        return turn.refuse(wording.NOTHING_OPEN)
    pending = turn.state.pending[whose]
    if whose == turn.who and facts:
        mended = mend(turn, pending, facts)
        if mended is not None:
            return mended
        readings = [value for value in pending.values if isinstance(value.fact, Reading)]
        if len(readings) > 1 and len(facts) == 1 and isinstance(facts[0], Reading) and facts[0].at is None:
            return turn.ask(wording.WHICH_VALUE)
    turn = turn.did(Dropped(whose))
    if facts:
        return call(turn, facts)
    return _after_no(turn, pending)


def _after_no(turn: Turn, pending: Pending) -> Turn:
    boxes = tuple(value.fact.name for value in pending.values if isinstance(value.fact, BoxState) and value.fact.name)
    if boxes:
        told = wording.live_said(boxes, turn.who, _said_dead(turn))
        return turn.did(Doubted(pending.board, boxes, Circuit.UNKNOWN)).tell(Say(told, told, safety=True))
    unit = unit_of(turn.state.known(pending.board))
    names = ", ".join(label(value.key, unit) for value in pending.values)
    first = pending.values[0].fact
    if len(pending.values) == 1 and isinstance(first, Reading) and first.at is not None:
        turn = turn.did(Asked(first.dimension, first.at))
    return turn.ask(f"Not taken: {names}. What is it?")


def _undo(turn: Turn, _: str | None) -> Turn:
    """Takes back what was just read back to the speaker, else the speaker's last change."""
    pending = turn.mine
    if pending is not None:
        return turn.did(Dropped(turn.who)).tell(f"Taken back: {_names(turn, pending.values)}.")
    past = last_change(turn.state, turn.who)
    if past is None:
        return turn.refuse(wording.NOTHING_TO_UNDO)
    values = turn.state.facts_of(past.board).values
    newer = [value for value in past.new if values.get(value.key) != value]
    if newer:
        by = next((values[value.key].by for value in newer if value.key in values), "somebody")
        return turn.refuse(f"{_names(turn, tuple(newer))} was changed by {by} since. Say change, with its place.")
    cut = already_cut(turn, past.board, tuple(key for key, _ in past.old))
    turn = turn.did(Undone())
    return turn.tell(_undone(turn, past.board, past.old, past.ticked is not None, past.circuits), *cut)


def _undone(
    turn: Turn,
    board: str,
    old: tuple[tuple[str, Value | None], ...],
    ticked: bool,  # noqa: FBT001 - a fact, not a switch
    circuits: tuple[str, ...],
) -> Say:
    unit = unit_of(turn.state.known(board))
    parts = [
        f"{label(key, unit)} is {'out' if value is None else f'{figures(value.fact, unit)} again'}"
        for key, value in old
    ]
    parts += ["the tick is off"] if ticked else []
    parts += [f"{box}: nobody has said that it is dead and tested" for box in circuits]
    text = f"Undone on board {board}: {'; '.join(parts)}."
    return Say(text, text, safety=bool(circuits))


def _names(turn: Turn, values: tuple[Value, ...]) -> str:
    return ", ".join(label(value.key, turn.unit) for value in values)


def _scratch(turn: Turn, target: str | None) -> Turn:
    """Takes a value off the board by its name or place."""
    wanted = set((target or "").split())
    pending = turn.mine
    if pending is not None and any(wanted <= set(value.key.split()) for value in pending.values):
        return turn.did(Dropped(turn.who)).tell(f"Taken back: {_names(turn, pending.values)}.")
    values = turn.state.facts.values
    found = [key for key in values if wanted and wanted <= set(key.split())]
    if len(found) != 1:
        why = "is more than one thing" if found else "isn't on this board"
        return turn.refuse(f"“{target}” {why}, so nothing was taken out. Say its place and whether width or height.")
    cut = already_cut(turn, turn.state.board, (found[0],))
    turn = turn.did(Struck(turn.state.board, (found[0],)))
    return turn.tell(f"Taken out: {label(found[0], turn.unit)}.", *cut)


def _say_again(turn: Turn, _: str | None) -> Turn:
    pending = turn.mine
    if pending is not None:
        return ask_open(turn, pending)
    return turn.tell(*(turn.state.said or (wording.plain("Nothing was said yet."),)))


def _missing(turn: Turn, _: str | None) -> Turn:
    """What the plan still needs and why; first whatever waits for an answer."""
    waiting = [pending.doubts[0].question for pending in turn.state.pending.values() if pending.doubts]
    items = _needs(turn)
    turn = turn.tell(*(f"Still to answer: {question}" for question in waiting))
    for lead, required in (("Still needed", True), ("Better to know too", False)):
        needs = [f"{item.what} ({item.why})" for item in items if item.required is required]
        turn = turn.tell(f"{lead}: {'; '.join(needs)}.") if needs else turn
    return turn if waiting or items else turn.tell(f"Nothing is missing on board {turn.state.board}.")


def _needs(turn: Turn) -> tuple[Missing, ...]:
    name = turn.state.board
    circuits = counting(turn.state.facts.circuits, turn.at)
    return turn.rooms.missing(board_of(name, turn.state.known(name, doubtful=True), circuits))


def _read_all(turn: Turn, _: str | None) -> Turn:
    name = turn.state.board
    values = turn.state.known(name).values()
    says = [wording.read_back(value, None, turn.unit, turn.rooms) for value in values]
    return turn.tell(f"Board {name}.", *says) if says else turn.tell(f"Board {name} has nothing yet.")


def _settled_then(move: Callable[[Turn, str | None], Turn]) -> Callable[[Turn, str | None], Turn]:
    """A move that goes on without objecting, so that what was read back is taken; not past an open question."""

    def moved(turn: Turn, target: str | None) -> Turn:
        pending = turn.mine
        if pending is not None and pending.doubts:
            return turn.ask(wording.answer_first(pending.doubts[0].question))
        return move(settle(turn), target)

    return moved


def _done(turn: Turn, target: str | None) -> Turn:
    """The readings of this board are all called: what to heed at its boxes, then whether there is a plan."""
    turn = _missing(turn, target)
    if any(item.required for item in _needs(turn)):
        return turn
    try:
        plan = plan_now(turn.state, turn.at, turn.rooms)
    except CannotCut as why:
        return turn.tell(str(why))
    circuits = counting(turn.state.facts.circuits, turn.at)
    heed = (box_caution(box.name, circuits.get(box.name)) for box in plan.board.boxes)
    return turn.tell(*(Say(text, text, safety=True) for text in heed), f"The plan has {len(plan.steps)} steps.")


def _next_board(turn: Turn, _: str | None) -> Turn:
    numbers = [int(name) for name in turn.state.boards if name.isdigit()]
    return open_board(turn, str(max(numbers, default=0) + 1))


def _go_to_board(turn: Turn, name: str | None) -> Turn:
    if name is None or name not in turn.state.boards:
        there = ", ".join(turn.state.boards)
        return turn.refuse(f"There is no board {name} yet; there is {there}. Say board {name} to begin it.")
    return open_board(turn, name)


def _hold(turn: Turn, _: str | None) -> Turn:
    return turn.did(Held()).tell(wording.HOLDING)


def _resume(turn: Turn, _: str | None) -> Turn:
    return turn.did(Resumed()).tell(wording.RESUMED)


def _help(turn: Turn, _: str | None) -> Turn:
    return turn.tell(wording.HELP)


ORDERS: Mapping[Action, Callable[[Turn, str | None], Turn]] = {
    Action.UNDO: _undo,
    Action.SAY_AGAIN: _say_again,
    Action.MISSING: _missing,
    Action.READ_BACK: _read_all,
    Action.DONE: _settled_then(_done),
    Action.NEXT_BOARD: _settled_then(_next_board),
    Action.GO_TO_BOARD: _settled_then(_go_to_board),
    Action.HOLD: _hold,
    Action.RESUME: _resume,
    Action.HELP: _help,
    Action.TICK: _settled_then(tick),
    Action.SCRATCH: _scratch,
}
"""What each order does. Those that go on without objecting take what was read back; the others leave it open."""
