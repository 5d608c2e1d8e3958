"""What was called under a question is taken up once that is answered, in the order in which it was called."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import replace
from functools import partial

from fieldvoice.dialogue.amending import with_parts
from fieldvoice.dialogue.answers import answered
from fieldvoice.dialogue.assembly import unit_of
from fieldvoice.dialogue.completing import filled, sized
from fieldvoice.dialogue.correcting import corrected
from fieldvoice.dialogue.events import BoardOpened, NotTaken, SaidAgain
from fieldvoice.dialogue.keeping import behind_order, called_at, keep_words, leads_away, put_off, queued, said_at_wall
from fieldvoice.dialogue.matching import room_of
from fieldvoice.dialogue.on_the_wall import ends_where_measured, is_on_its_piece
from fieldvoice.dialogue.placing import denied
from fieldvoice.dialogue.proposals import go_on, settle
from fieldvoice.dialogue.rooms import Judged, Rooms
from fieldvoice.dialogue.state import State
from fieldvoice.dialogue.turn import Turn
from fieldvoice.language.verdict import Expectation
from fieldvoice.records.facts import Key, Of, Said
from fieldvoice.records.hearing import Hearing, Source
from fieldvoice.records.ledger import Call, Notice, Standing, Tell
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Context, Edge, Incomplete, Lack, Reading, Slot, SurfaceCall, Thing, Topic
from fieldvoice.records.utterance import Ask, Command, Meaning, Part, SameHeight, Status, Utterance

Listened = Callable[[Turn], Turn]


def by_what_stands(state: State, judged: Judged, who: str, rooms: Rooms) -> Judged:
    """What was heard with what it leaves to what stands: the height of the only box that there is, a ceiling where
    nothing waits that it may stand at, a "left wall" as one of the room where no board is begun, the second side of a
    wall or a ceiling whose call broke off behind the first, and the name of one whose sides were just asked for.
    """
    level = judged.utterance.ask.level if judged.utterance.ask is not None else None
    if level is not None:
        boxes = [key.name for key in state.known(state.board, doubtful=True) if key.of is Of.BOX]
        one = len(boxes) == 1 and level.name != boxes[0]
        same = (level, SameHeight(None, boxes[0])) if one else ()
        whole = replace(judged.utterance, status=Status.UNDERSTOOD, meanings=same, ask=None)
        return replace(judged, utterance=whole) if same else judged
    surfaces = [way for way in judged.utterance.alternatives if len(way) == 1 and _is_surface(way[0])]
    if len(surfaces) == 1 and not any(_stands_at_edge(call.fact) for call in state.waiting(who)):
        meant = replace(judged.utterance, status=Status.UNDERSTOOD, meanings=surfaces[0], ask=None, alternatives=())
        return replace(judged, utterance=meant)
    walls = [way for way in judged.utterance.alternatives if len(way) == 1 and isinstance(way[0], SurfaceCall)]
    if len(walls) == 1 and _of_a_room(state):
        called = replace(judged.utterance, status=Status.UNDERSTOOD, meanings=walls[0], ask=None, alternatives=())
        return replace(judged, utterance=called)
    begun = "" if who in state.open else _named(state, who) or _broken_off(state, judged.utterance, who)
    again = _behind(state, begun, judged, rooms) if begun else ()
    if any(isinstance(one, SurfaceCall) for each in again for one in each.meanings):
        return replace(judged, utterance=again[0])
    return _with_its_rest(state, judged, who, rooms)


def _behind(state: State, begun: str, judged: Judged, rooms: Rooms) -> tuple[Utterance, ...]:
    """What is said behind words that were begun, with them, where it is understood so; else none."""
    expected = Expectation(unit=unit_of(state.known(state.board)))
    again = rooms.judged((Hearing.typed(f"{begun} {judged.utterance.heard}"),), expected).utterance
    return (again,) if again.status is Status.UNDERSTOOD else ()


def _with_its_rest(state: State, judged: Judged, who: str, rooms: Rooms) -> Judged:
    """A part alone right behind a call that broke off, as one call where that is one: whether it is right is asked."""
    last, said = _last_words(state, who), judged.utterance
    notes = state.told_to.get(who, ())
    broke = any(note.tell is Tell.UTTERANCE_ASKED and note.values[0] == Ask.BROKE_OFF.value for note in notes)
    parts = bool(said.meanings) and all(isinstance(one, Part) for one in said.meanings)
    if not (last and broke and parts) or said.status is not Status.UNDERSTOOD or state.open_to(who).doubts:
        return judged
    again = _behind(state, last, judged, rooms)
    called = any(isinstance(one, Reading | Thing) for each in again for one in each.meanings)
    return replace(judged, utterance=again[0], unsure=True) if called else judged


def _stands_at_edge(fact: object) -> bool:
    return isinstance(fact, Context) and fact.topic is Topic.NEIGHBOR


def _is_surface(said: Meaning) -> bool:
    return isinstance(said, Context) and said.topic is Topic.SURFACE


def _of_a_room(state: State) -> bool:
    """Whether work is at a wall or in a room, and at no board of which anything was measured."""
    measured = any(isinstance(one.fact, Reading) for one in state.on(state.board))
    return not measured and (state.board in state.surfaces or bool(room_of(state, state.board)))


def _named(state: State, who: str) -> str:
    """The wall or ceiling that was named in the last turn without being there yet."""
    notes = (note for note in state.said if note.tell is Tell.SURFACE_NOT_YET and state.told == who)
    return next((str(note.values[0]) for note in notes), "")


def _broken_off(state: State, utterance: Utterance, who: str) -> str:
    """The words that broke off right before, where a figure alone is said now."""
    last = _last_words(state, who)
    said = utterance.meanings[0] if len(utterance.meanings) == 1 else None
    return f"{last}," if last and isinstance(said, Reading) and said.at is None else ""


def _last_words(state: State, who: str) -> str:
    """The words that stand as not taken of who speaks, where they came last; none where their figures were of another
    unit.
    """
    last = state.calls.get(state.next_number - 1)
    if last is None or last.standing is not Standing.NOT_TAKEN or last.fact is not None or last.by != who:
        return ""
    return last.words if last.unit in {None, unit_of(state.known(state.board))} else ""


def taken_up(turn: Turn, listened: Listened) -> Turn:
    """The turn with all that its speaker called under a question that isn't open any more. Words that were kept for the
    unit are `listened` to in it, and what came behind an order to go elsewhere belongs there.
    """
    if turn.asks or turn.refused or turn.only_shows:
        return turn
    first = tuple(one for one in denied(turn) if one.fact is not None or one.about is not None)
    if first:
        return turn if turn.notices else turn.ask(Tell.NOT_TAKEN_WHAT_IS_IT, *first)
    return in_order(turn, listened)


def in_order(turn: Turn, listened: Listened) -> Turn:
    """The same as far as nothing is asked."""
    left = queued(turn)
    while left and turn.asked is None:
        one, left = left[0], left[1:]
        if one.fact is None and turn.asks:
            break
        if one.fact is not None:
            goes, then = leads_away(one.fact), partial(_called, one=one, fact=one.fact)
        else:
            expected = Expectation(unit=turn.unit, number=turn.who in turn.state.awaited)
            judged = turn.rooms.judged((Hearing.typed(one.words),), expected)
            goes = bool(judged.utterance.meanings) and all(map(_leads_away, judged.utterance.meanings))
            then = partial(_heard, one=one, judged=judged, listened=listened)
        if goes:
            turn, left = _gone(turn, one, left, then)
        elif (since := _called_since(turn, one)) is not None:
            turn = _too_late(turn, one, since)
        else:
            turn = _unless_refused(turn, one, then)
    return turn


def _leads_away(meaning: Meaning) -> bool:
    return isinstance(meaning, Command) or leads_away(meaning)


def brought_along(turn: Turn, but: Collection[Key] = ()) -> Turn:
    """Where work went to a board of a wall or ceiling: what was said of it there is read back as it was heard then, or
    waits behind what that asks. What lies on another board, or is measured from where this one doesn't end, waits at
    the wall. What is called now at the same place is said `but` once.
    """
    if not any(isinstance(event, BoardOpened) and event.name == turn.state.board for event in turn.events):
        return turn
    piece = turn.state.pieces.get(turn.state.board)
    for one in () if piece is None else said_at_wall(turn.state, str(piece.surface)):
        if one.by != turn.who or one.key in but or one.fact is None:
            continue
        on_it = is_on_its_piece(turn.state, turn.state.board, one.fact)
        if on_it is False or not ends_where_measured(turn.state, turn.state.board, one.fact):
            stays = {False: Tell.ELSEWHERE, True: Tell.FROM_THIS_BOARD, None: Tell.STAYS_AT_WALL}
            told = Notice(stays[on_it], (one,))
            turn = turn if told in turn.notices else turn.note(told)
            continue
        turn = put_off(turn, (one.fact,))
        if turn.asked is None:
            turn = _unless_refused(turn, one, partial(_called, one=one, fact=one.fact))
            continue
        number, board = turn.state.next_number, turn.state.board
        here = replace(one, number=number, board=board, queued=True, replaces=one.number)
        turn = turn.did(SaidAgain((one.number,)), NotTaken((here,)))
    return turn


def went_on(turn: Turn) -> bool:
    """Whether the speaker ordered work elsewhere under a question, and called something there: what comes now is no
    answer to the question, even where it is of the same place.
    """
    behind = behind_order(turn.state, turn.state.board)
    return any(one.number in behind for one in queued(turn))


def asked_again(turn: Turn, parts: tuple[Part, ...] = ()) -> Turn:
    """The turn with the first that its speaker put off, of those that lack these parts, in question again; nothing of
    it is told yet.
    """
    lacking = _that_lack(turn, parts)
    if turn.asked is not None or not lacking:
        return turn
    again = _taken_again(settle(turn), *lacking[0])
    return again if again.asked is None else replace(again, notices=turn.notices, asks=turn.asks)


def _that_lack(turn: Turn, parts: tuple[Part, ...]) -> list[tuple[Call, Incomplete]]:
    """What the speaker put off that lacks these parts."""
    mine = (one for one in turn.state.put_off(turn.state.board) if one.by == turn.who)
    things = [(one, one.fact) for one in mine if isinstance(one.fact, Incomplete)]
    return [(one, thing) for one, thing in things if all(filled(thing, part) != thing for part in parts)]


def _taken_again(turn: Turn, one: Call, thing: Thing) -> Turn:
    """What was put off is called again, under another name where another thing has its own by now."""
    there = one.key in turn.state.known(one.board, doubtful=True)
    if there and not one.corrects:
        thing = replace(thing, name="")
    return _called(turn.did(SaidAgain((one.number,))), replace(one, corrects=one.corrects and there), thing)


def part_of_each(turn: Turn, parts: tuple[Part, ...]) -> Turn | None:
    """A part said of all things that lack it, or of both: of what is asked about and of what was put off. None where it
    was said of one, or where nothing lacks it; of both where there are more, it is asked for as before.
    """
    if all(part.each == 1 for part in parts):
        return None
    asked = turn.asked_about
    of_asked = asked is not None and isinstance(asked.fact, Incomplete) and filled(asked.fact, parts[0]) != asked.fact
    lacking = _that_lack(turn, parts)
    if any(1 < part.each < len(lacking) + of_asked for part in parts):
        return turn.put(turn.asked, Tell.SAY_THE_PART) if turn.asked is not None else None
    found = answered(turn, (), parts) if of_asked else turn
    for one, thing in lacking:
        more = filled(thing, parts[0])
        found = None if found is None else _taken_again(found, one, more.whole or more)
    return None if found is turn else found


def part_of_put_off(turn: Turn, parts: tuple[Part, ...]) -> Turn | None:
    """A part of what was put off, said while nothing is asked. A side alone may be the board's, and any part that of
    the thing that was read back last: then it is asked for, and what was said stands as not taken until it is said
    again. None where nothing was put off that lacks it.
    """
    again = asked_again(turn, parts)
    if again is turn:
        return None
    if again.asked is None:
        return again
    sides = all(isinstance(part.value, Edge | Slot | Length) for part in parts)
    if sides or any(with_parts(one.fact, parts) is not None for one in turn.state.called_last):
        return keep_words(again).put(again.asked)
    return answered(again, (), parts)


def size_said(turn: Turn, sides: tuple[Length, Length]) -> Turn | None:
    """Two sides as those of what lacks its size: of what is asked about, else of what was put off. None where nothing
    does.
    """
    if turn.denies or turn.asked is not None:
        return sized(turn, sides)
    again = next((one for one, thing in _that_lack(turn, ()) if Lack.SIZE in thing.lacks), None)
    if again is None or not isinstance(again.fact, Incomplete):
        return None
    return sized(_taken_again(settle(turn), again, again.fact), sides)


def _unless_refused(turn: Turn, one: Call, then: Listened) -> Turn:
    """The turn that takes a call up, which stands as not taken where that came to nothing."""
    again = turn.did(SaidAgain((one.number,)))
    first = again.state.next_number
    turn = then(again)
    if not turn.refused or turn.state.next_number > first:
        return turn
    turn, kept = _let_go(turn, one)
    return turn.tell(Tell.KEPT_NOT_TAKEN, kept.words)


def _let_go(turn: Turn, one: Call) -> tuple[Turn, Call]:
    """The turn in which what waited stands as not taken, and how it stands so."""
    kept = replace(one, number=turn.state.next_number, queued=False, replaces=one.number)
    return turn.did(NotTaken((kept,))), kept


def _called_since(turn: Turn, one: Call) -> Call | None:
    """What stands at its place and was called behind it, so that it doesn't give way to it."""
    there = turn.known.get(one.key)
    later = there is not None and there.fact != one.fact and called_at(turn.state, there) > one.number
    return there if later and not one.corrects else None


def _too_late(turn: Turn, one: Call, since: Call) -> Turn:
    """What waited stands as not taken, and what was called behind it stays."""
    turn, kept = _let_go(turn.did(SaidAgain((one.number,))), one)
    return turn.tell(Tell.CALLED_SINCE, kept, since)


def _called(turn: Turn, one: Call, fact: Said) -> Turn:
    """A call is read back beside the answer, as it was heard then: its own words, and as often as it was heard."""
    if isinstance(fact, SurfaceCall) or (isinstance(fact, Context) and fact.topic is Topic.BOARD):
        turn = settle(turn)  # work goes elsewhere
    heard = replace(turn, judged=Judged(Utterance(Status.UNDERSTOOD, one.words)), source=_source(one))
    then = corrected(heard, fact) if one.corrects and isinstance(fact, Reading | Thing) else go_on(heard, (fact,))
    return replace(then, judged=turn.judged, source=turn.source)


def _heard(turn: Turn, one: Call, judged: Judged, listened: Listened) -> Turn:
    """Words are heard as they were when they were said."""
    heard = listened(replace(turn, judged=judged, source=_source(one)))
    return replace(heard, judged=turn.judged, source=turn.source)


def _source(one: Call) -> Source:
    return Source.TYPED if one.hearings > 1 else Source.SPOKEN


def _gone(turn: Turn, one: Call, behind: tuple[Call, ...], then: Listened) -> tuple[Turn, tuple[Call, ...]]:
    """The turn that carries an order out, and what came behind it as called where that led. Where the order came to
    nothing nobody knows where it belongs, so that it stands as not taken.
    """
    turn = then(turn.did(SaidAgain((one.number, *(each.number for each in behind)))))
    number = turn.state.next_number
    here = tuple(
        replace(each, number=number + index, board=turn.state.board, queued=not turn.refused, replaces=each.number)
        for index, each in enumerate(behind)
    )
    turn = turn.did(NotTaken(here)) if here else turn
    if not turn.refused:
        return turn, here
    for each in here:
        turn = turn.tell(Tell.KEPT_NOT_TAKEN, each.words)
    return turn, ()
