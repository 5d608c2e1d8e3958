"""The moves of the dialogue: what each kind of meaning does. No clock, no file, no sound.

A sure value is read back and taken once its speaker goes on without objecting; one in question waits for yes, no, or
the right value. What was read back belongs to the person who called it, so that two people can talk at once. The table
`ORDERS` in `orders` and `_understood` here are the whole of it.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from fieldvoice.dialogue import wording
from fieldvoice.dialogue.assembly import unit_of
from fieldvoice.dialogue.events import Asked, Doubted, Dropped, Event, Heard
from fieldvoice.dialogue.naming import box_name, label
from fieldvoice.dialogue.orders import ORDERS, resume
from fieldvoice.dialogue.rooms import Judged, Rooms
from fieldvoice.dialogue.state import BoxState, Fact, Pending, State
from fieldvoice.dialogue.taking import (
    ask_open,
    call,
    change,
    confirm,
    dead_and_tested,
    mend,
)
from fieldvoice.dialogue.ticking import tick
from fieldvoice.dialogue.turn import Turn
from fieldvoice.dialogue.view import Say
from fieldvoice.records.hearing import Hearing, Source
from fieldvoice.records.meaning import (
    Action,
    Answer,
    Box,
    Circuit,
    Command,
    Correction,
    Danger,
    DeadAndTested,
    Incomplete,
    Meaning,
    Part,
    Reading,
    Status,
    Utterance,
)
from fieldvoice.wording.questions import asked
from fieldvoice.wording.refusals import refused

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
    turn = turn.did(Heard(words, heard.recognizer, heard.source, others, heard.sound))
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
        return resume(turn, None)
    return turn.tell(wording.HOLDING) if turn.source is Source.TYPED else turn


def _danger(turn: Turn, heard: Hearing) -> Turn:
    """Word that a circuit isn't dead is taken before anything else, even from words that are doubtful or unclear."""
    rival = (meaning for meaning in turn.judged.rival or () if isinstance(meaning, Danger))
    said = tuple(dict.fromkeys((*turn.judged.utterance.danger, *rival)))
    maybe = any(_LIVE_WORDS & set(each.words.split()) for each in heard.hypotheses)
    if not said and not maybe:
        return turn
    board = turn.state.board
    known = [key for key, value in turn.state.known(board, doubtful=True).items() if isinstance(value.fact, Box)]
    every = not said or any(meaning.box is None for meaning in said)
    named = tuple(known) if every else tuple(dict.fromkeys(box_name(str(meaning.box)) for meaning in said))
    state = Circuit.LIVE if any(meaning.live for meaning in said) else Circuit.UNKNOWN
    text = wording.live_said(named, turn.who, _said_dead(turn))
    return turn.did(Doubted(board, named, state)).tell(Say(text, text, safety=True))


def _said_dead(turn: Turn) -> tuple[str, ...]:
    return tuple(box for box, word in turn.state.facts.circuits.items() if word.state is Circuit.DEAD)


def _listened(turn: Turn) -> Turn:
    utterance = turn.judged.utterance
    if utterance.status is Status.REFUSED:
        return turn.refuse(refused(utterance) or wording.NOTHING_HEARD)
    if utterance.status is Status.UNCLEAR:
        return _unclear(turn, utterance)
    return _understood(turn, _without_circuits_of_danger(utterance.meanings))


def _without_circuits_of_danger(meanings: tuple[Meaning, ...]) -> tuple[Meaning, ...]:
    """Without the states that were taken as danger already, and without "dead" for a box that the same breath calls
    anything else: of two words for one box the safe one counts.
    """
    danger = {meaning.box and box_name(meaning.box) for meaning in meanings if isinstance(meaning, Danger)}

    def stays(meaning: Meaning) -> bool:
        if not isinstance(meaning, DeadAndTested):
            return not isinstance(meaning, Danger)
        named = meaning.box and box_name(meaning.box)
        return not (danger if named is None else danger & {named, None})

    return tuple(meaning for meaning in meanings if stays(meaning))


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
    return turn.ask(asked(utterance, turn.unit) or "Which of the two was it? Say it again.")


def _understood(turn: Turn, meanings: tuple[Meaning, ...]) -> Turn:
    """Answers first, then orders and corrections one by one, then everything that is a value together."""
    if turn.judged.doubtful and any(isinstance(meaning, Command) for meaning in meanings):
        return turn.ask(f"Was that “{turn.judged.utterance.heard}”? Say it again.")
    if meanings and isinstance(meanings[0], Answer):
        return _answered(turn, meanings[0], meanings[1:])
    states = tuple(meaning for meaning in meanings if isinstance(meaning, DeadAndTested))
    if states and len(states) == len(meanings):
        return dead_and_tested(turn, states)
    values: list[Fact] = []
    for meaning in meanings:
        match meaning:
            case Command(action=action, target=target):
                turn = ORDERS[action](turn, target)
            case Correction(new=new):
                turn = change(turn, new)
            case DeadAndTested():
                turn = turn.tell(Say(wording.NOT_DEAD_TOGETHER, wording.NOT_DEAD_TOGETHER, safety=True))
            case Answer():
                turn = turn.refuse("An answer comes first, by itself. Say that again.")
            case Danger() | Incomplete() | Part():
                turn = turn.refuse(wording.SAY_THE_WHOLE)
            case _:
                values.append(meaning)
    return call(turn, tuple(values)) if values else turn


def _answered(turn: Turn, answer: Answer, rest: tuple[Meaning, ...]) -> Turn:
    whose = _open_for(turn)
    facts = tuple(
        meaning
        for meaning in rest
        if not isinstance(meaning, Command | Answer | Correction | DeadAndTested | Danger | Incomplete | Part)
    )
    facts += tuple(meaning.new for meaning in rest if isinstance(meaning, Correction))
    turn = (_yes if answer.yes else _no)(turn, whose, facts)
    if any(isinstance(meaning, DeadAndTested) for meaning in rest):
        turn = turn.tell(Say(wording.NOT_DEAD_TOGETHER, wording.NOT_DEAD_TOGETHER, safety=True))
    return turn


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
        if len(facts) == 1 and isinstance(facts[0], Reading | Box):
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
        return call(_awaiting(turn, pending), facts)
    return _after_no(turn, pending)


def _awaiting(turn: Turn, pending: Pending) -> Turn:
    """The place of a reading that was objected to is the place of a bare value that comes instead, whoever calls it."""
    first = pending.values[0].fact
    if len(pending.values) == 1 and isinstance(first, Reading) and first.at is not None:
        return turn.did(Asked(first.dimension, first.at))
    return turn


def _after_no(turn: Turn, pending: Pending) -> Turn:
    boxes = tuple(value.fact.name for value in pending.values if isinstance(value.fact, BoxState) and value.fact.name)
    if boxes:
        told = wording.live_said(boxes, turn.who, _said_dead(turn))
        return turn.did(Doubted(pending.board, boxes, Circuit.UNKNOWN)).tell(Say(told, told, safety=True))
    unit = unit_of(turn.state.known(pending.board))
    names = ", ".join(label(value.key, unit) for value in pending.values)
    return _awaiting(turn, pending).ask(f"Not taken: {names}. What is it?")
