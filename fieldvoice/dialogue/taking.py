"""Moves that take values: calling them, mending the last one, changing an earlier one."""

from __future__ import annotations

from dataclasses import replace

from fieldvoice.dialogue import wording
from fieldvoice.dialogue.assembly import unit_of
from fieldvoice.dialogue.doubts import Ground, doubts_of, is_that_right, other_heights, twin_of
from fieldvoice.dialogue.events import Accepted, BoardOpened, Confirmed, Proposed
from fieldvoice.dialogue.fold import last_change, without_pending
from fieldvoice.dialogue.naming import box_name, free_name, key_of
from fieldvoice.dialogue.slots import NoPlace, settled
from fieldvoice.dialogue.state import BoxState, Doubt, Fact, Pending, Value, shaken
from fieldvoice.dialogue.turn import Turn
from fieldvoice.dialogue.view import Say, Standing
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Box, Circuit, Context, DeadAndTested, Diagonal, Opening, Reading, Topic


def call(turn: Turn, facts: tuple[Fact, ...]) -> Turn:
    """Values called: they are read back, and what was read back before is taken, unless it is still in question."""
    pending = turn.mine
    if pending is not None and (pending.doubts or _means_the_last(turn, pending, facts)):
        mended = mend(turn, pending, facts)
        return mended or turn.ask(wording.answer_first(pending.doubts[0].question))
    turn = settle(turn)
    board = next((fact for fact in facts if isinstance(fact, Context) and fact.topic is Topic.BOARD), None)
    if board is not None:
        turn = open_board(turn, str(board.value))
    return propose(turn, tuple(fact for fact in facts if fact is not board))


def settle(turn: Turn) -> Turn:
    """The speaker went on without objecting: a sure value is taken. One in question never is."""
    pending = turn.mine
    return turn if pending is None or pending.doubts else turn.did(Accepted(turn.who))


def open_board(turn: Turn, name: str) -> Turn:
    """Work goes to a board; the screen and the voice say which."""
    if name not in turn.state.boards:
        how = ", new"
    else:
        how = ", as it was left" if turn.state.known(name, doubtful=True) else ""
    return turn.did(BoardOpened(name)).tell(f"Board {name}{how}.")


def _means_the_last(turn: Turn, pending: Pending, facts: tuple[Fact, ...]) -> bool:
    """Whether one value alone takes the place of the one just read back: said with its place again, or its twin."""
    if len(facts) != 1 or turn.state.board != pending.board:
        return False
    if isinstance(facts[0], Box | Opening) and facts[0].name is None:
        return False  # the next box
    key = _replaced(pending, facts[0])
    if key is None or not isinstance(facts[0], Reading):
        return key is not None
    return facts[0].at is not None or any(twin_of(facts[0].value) == value for value in _lengths(pending))


def _lengths(pending: Pending) -> tuple[Length, ...]:
    return tuple(value.fact.value for value in pending.values if isinstance(value.fact, Reading))


def mend(turn: Turn, pending: Pending, facts: tuple[Fact, ...]) -> Turn | None:
    """The right value in place of one read back; None where the facts belong elsewhere. The same value again settles
    its doubt, unless it was doubtful again or is about a circuit.
    """
    if len(facts) != 1:
        return None
    key = _replaced(pending, facts[0])
    old = next((value for value in pending.values if value.key == key), None)
    if key is None or old is None:
        return None
    fact = _in_place_of(old.fact, facts[0])
    if fact == old.fact:
        return _again(turn, pending, key)
    dropped = frozenset({*_lengths(pending)})
    contrast = frozenset({each for each in map(twin_of, dropped) if each is not None})
    values = tuple(Value(key, fact, turn.who) if value.key == key else value for value in pending.values)
    still = tuple(doubt for doubt in pending.doubts if doubt.key != key)
    return read_back(turn, pending.board, values, answered=contrast, only=key, still=still)


def _again(turn: Turn, pending: Pending, key: str) -> Turn:
    doubts = tuple(doubt for doubt in pending.doubts if doubt.key == key)
    if not doubts or turn.judged.doubtful:
        return ask_open(turn, pending)
    return confirm(turn, turn.who)


def confirm(turn: Turn, whose: str) -> Turn:
    """Yes to the open question of `whose`: the next one is asked, or the values are taken."""
    pending = turn.state.pending[whose]
    turn = turn.did(Confirmed(whose, pending.doubts[0].key)) if pending.doubts else turn
    left = turn.state.pending[whose]
    if left.doubts:
        return ask_open(turn, left)
    doubted = shaken(turn.state.facts_of(left.board).values)
    turn = _confirmed(turn, whose, pending, left)
    return ask_shaken(turn) if any(value.key in {each.key for each in left.values} for value in doubted) else turn


def _confirmed(turn: Turn, whose: str, pending: Pending, left: Pending) -> Turn:
    turn = turn.did(Accepted(whose))
    if any(isinstance(value.fact, BoxState) for value in left.values):
        names = " and ".join(str(value.fact.name) for value in left.values if isinstance(value.fact, BoxState))
        return turn.tell(Say(*(f"{names}: dead and tested, says {whose} at {turn.at:%H:%M}.",) * 2, safety=True))
    unit = unit_of(turn.state.known(left.board))
    asked = [value for value in left.values if value.key == pending.doubts[0].key] if pending.doubts else []
    confirmed = [wording.read_back(value, None, unit, turn.rooms) for value in asked]
    return turn.tell(*(confirmed or [wording.plain("Taken.")]))


def ask_open(turn: Turn, pending: Pending) -> Turn:
    """The open question again, or the read-back where nothing is asked."""
    if pending.doubts:
        return turn.ask(question(pending.doubts[0], pending))
    unit = unit_of(turn.state.known(pending.board))
    return turn.tell(*(wording.read_back(value, None, unit, turn.rooms) for value in pending.values))


def ask_shaken(turn: Turn) -> Turn:
    """The next value that lost entries put in question is asked about, unless something of the speaker's is open."""
    values = shaken(turn.state.facts.values)
    if not values or turn.mine is not None:
        return turn
    value = replace(values[0], by=turn.who, standing=Standing.ACCEPTED)
    doubt = is_that_right(value, turn.unit, turn.rooms)
    turn = turn.did(Proposed(turn.state.board, (value,), (doubt,)))
    return turn.ask(Say(doubt.question, doubt.spoken))


def question(doubt: Doubt, pending: Pending) -> Say:
    """A doubt's question to say; one about a circuit goes first."""
    safety = any(isinstance(value.fact, BoxState) for value in pending.values)
    return Say(doubt.question, doubt.spoken, safety)


def _replaced(pending: Pending, fact: Fact) -> str | None:
    """The key of the one value read back that `fact` would take the place of."""
    if isinstance(fact, BoxState):
        return key_of(replace(fact, name=box_name(fact.name))) if fact.name else None
    same = [value for value in pending.values if isinstance(value.fact, type(fact))]
    if isinstance(fact, Reading):
        asked = [value for value in same if pending.doubts and value.key == pending.doubts[0].key]
        fits = [value for value in same if _could_be(value.fact, fact)]
        found = fits if fact.at is not None or fact.dimension is not None else (asked or fits)
        return found[0].key if len(found) == 1 else None
    if isinstance(fact, Box | Opening) and fact.name is None:
        return same[0].key if len(same) == 1 else None
    key = box_name(fact.name) if isinstance(fact, Box) and fact.name else key_of(fact)
    return key if any(value.key == key for value in same) else None


def _could_be(old: Fact, new: Reading) -> bool:
    """Whether the words of the new reading leave it open to be in the old one's place, or name it."""
    assert isinstance(old, Reading)
    return new.dimension in {None, old.dimension} and new.at in {None, old.at}


def _in_place_of(old: Fact, new: Fact) -> Fact:
    if isinstance(old, Reading) and isinstance(new, Reading):
        return replace(new, dimension=old.dimension, at=old.at)
    if isinstance(old, Box | Opening) and isinstance(new, Box | Opening):
        return replace(new, name=old.name)
    return new


def change(turn: Turn, new: Reading | Box | Opening) -> Turn:
    """A value changed by its place or name; without one, the value last spoken of."""
    pending = turn.mine
    if pending is not None and _replaced(pending, new) is not None:
        mended = mend(turn, pending, (new,))
        if mended is not None:
            return mended
    if pending is not None and pending.doubts:
        return turn.ask(wording.answer_first(pending.doubts[0].question))
    turn = settle(turn)
    values = turn.state.known(turn.state.board)
    if isinstance(new, Box) and new.name is not None and box_name(new.name) not in values:
        return turn.refuse(f"There is no {box_name(new.name)} on this board, so nothing was changed.")
    if isinstance(new, Reading) and new.at is None:
        last = _last_reading(turn)
        if last is None:
            return turn.refuse(wording.WHICH_VALUE)
        new = replace(new, dimension=last.dimension, at=last.at)
    return propose(turn, (new,))


def _last_reading(turn: Turn) -> Reading | None:
    """The one reading that the speaker's last change was about."""
    past = last_change(turn.state, turn.who)
    readings = [value.fact for value in past.new if isinstance(value.fact, Reading)] if past else []
    here = past is not None and past.board == turn.state.board
    return readings[0] if here and len(readings) == 1 else None


def propose(turn: Turn, facts: tuple[Fact, ...]) -> Turn:
    """Gives each value its place and reads it back, or asks."""
    if not facts:
        return turn
    try:
        values = _placed(turn, facts)
    except NoPlace as open_place:
        return turn.ask(open_place.question)
    return read_back(turn, turn.state.board, values)


def _placed(turn: Turn, facts: tuple[Fact, ...]) -> tuple[Value, ...]:
    """The facts with places and names, later ones with an eye on earlier ones. Raises `NoPlace` where two of
    them have the same.
    """
    found: dict[str, Value] = {}
    focus = turn.state.focus
    taken = set(turn.state.known(turn.state.board, doubtful=True))
    awaited = turn.state.awaited.get(turn.who)
    for fact in facts:
        placed: Fact = fact
        if isinstance(fact, Reading):
            if awaited is not None and fact.at is None and fact.dimension is None:
                fact, awaited = replace(fact, dimension=awaited[0], at=awaited[1]), None
            placed = settled(fact, taken, focus)
            focus = placed.dimension
        elif isinstance(fact, Diagonal) and fact.rising is None:
            raise NoPlace(wording.WHICH_DIAGONAL)
        elif isinstance(fact, Box):
            placed = replace(fact, name=box_name(fact.name) if fact.name else free_name("box", taken))
        elif isinstance(fact, Opening):
            placed = replace(fact, name=fact.name or free_name(fact.kind.value, taken))
        elif isinstance(fact, Context) and fact.topic is Topic.CLEARANCE and fact.edge is None:
            if turn.state.edge is None:
                raise NoPlace("Which edge gets that clearance? Say it with the edge.")
            placed = replace(fact, edge=turn.state.edge)
        key = key_of(placed)
        taken.add(key)
        if key in found and found[key].fact != placed:
            raise NoPlace(wording.two_values(found[key], placed, turn.unit))
        found[key] = Value(key, placed, turn.who)
    return tuple(found.values())


def read_back(
    turn: Turn,
    board: str,
    values: tuple[Value, ...],
    *,
    answered: frozenset[Length] = frozenset(),
    only: str | None = None,
    still: tuple[Doubt, ...] = (),
) -> Turn:
    """Records what was called, and says it in another form than it was heard in; a doubtful one as a question, the sure
    ones before it. Where one of several values was mended, `only` is its key, and `still` what is open about the rest.
    It takes the place of what was read back to the speaker in one event, so that no crash can leave neither.
    """
    known = without_pending(turn.state, turn.who).known(board)
    merged = {**known, **{value.key: value for value in values}}
    unit = unit_of(merged)
    ground = Ground(
        board,
        known,
        turn.state.facts_of(board),
        unit,
        turn.source,
        turn.judged,
        answered,
        other_heights(turn.state, board),
    )
    doubts = doubts_of(values, ground, turn.rooms)
    doubts += tuple(doubt for doubt in still if doubt.key not in {each.key for each in doubts})
    asked = {doubt.key for doubt in doubts}
    told = [value for value in values if only in {None, value.key} and value.key not in asked]
    says = [wording.read_back(value, known.get(value.key), unit, turn.rooms) for value in told]
    turn = turn.did(Proposed(board, values, doubts)).tell(*says)
    return turn.ask(question(doubts[0], Pending(board, values, doubts))) if doubts else turn


def dead_and_tested(turn: Turn, said: tuple[DeadAndTested, ...]) -> Turn:
    """Nobody's word that circuits are dead is taken as said: it is read back to them as a question."""
    if not all(each.tested for each in said):
        return turn.ask(Say(*(wording.TESTED_NEEDED,) * 2, safety=True))
    pending = turn.mine
    if pending is not None and pending.doubts and not any(isinstance(v.fact, BoxState) for v in pending.values):
        return turn.ask(wording.answer_first(pending.doubts[0].question))
    turn = settle(turn)
    values = turn.state.facts.values
    boxes = [key for key, value in values.items() if isinstance(value.fact, Box)]
    every = any(each.box is None for each in said)
    if every and len(boxes) > 2 and "both" in turn.judged.utterance.heard.lower().split():
        return turn.ask(Say(*(wording.WHICH_BOTH,) * 2, safety=True))
    named = boxes if every else list(dict.fromkeys(box_name(str(each.box)) for each in said))
    unknown = [name for name in named if name not in boxes]
    if unknown or not named:
        return turn.refuse(f"There is no {unknown[0] if unknown else 'box'} on this board, so nothing was taken.")
    facts = [BoxState(Circuit.DEAD, name) for name in named]
    states = tuple(Value(key_of(fact), fact, turn.who) for fact in facts)
    ask = wording.dead_question(tuple(named))
    doubt = Doubt(states[0].key, ask, ask)
    turn = turn.did(Proposed(turn.state.board, states, (doubt,)))
    return turn.ask(Say(ask, ask, safety=True))
