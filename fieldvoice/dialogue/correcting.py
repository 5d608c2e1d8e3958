"""What a no is about that says no more, or nothing that is clear: what was read back last, what stands at the place
that it names, the circuit that was said to be dead; what goes by it and is given back, what is awaited instead. And
what a correction is about: a value changed by its place, its name or its kind, though it may stand already.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TypeVar, cast

from fieldvoice.dialogue.amending import beside_the_rest, could_be, is_bare, of_one, with_figure, with_parts
from fieldvoice.dialogue.circuits import denied_dead, deny_dead, doubt_dead
from fieldvoice.dialogue.events import Awaited, Closed, NotTaken, Questioned, TakenBack
from fieldvoice.dialogue.keeping import calls_of, keep_words, order_waits, put_off, queue, words_kept
from fieldvoice.dialogue.plausibility import FELLOWS
from fieldvoice.dialogue.proposals import call, mend, propose, replaced, set_aside, settle, swapped_with, which_of
from fieldvoice.dialogue.reducer import last_change
from fieldvoice.dialogue.state import are_one_figure, is_whole
from fieldvoice.dialogue.taking_back import given_back, put_back
from fieldvoice.dialogue.turn import Turn
from fieldvoice.records.facts import Key, Odd, Said, key_of
from fieldvoice.records.ledger import AnsweredBy, Call, Concern, Doubt, Standing, Tell
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import (
    Box,
    Context,
    Diagonal,
    Dimension,
    Edge,
    Incomplete,
    Opening,
    OpeningKind,
    Place,
    Plumb,
    Reading,
    Slot,
    SurfaceCall,
    Thing,
    Topic,
)
from fieldvoice.records.utterance import Answer, Meaning, Part, Status


def objecting(turn: Turn) -> Turn:
    """An objection is about what was read back before this turn, whatever else the turn is about: it counts before word
    of danger, which is read back itself.
    """
    utterance = turn.judged.utterance
    if not utterance.objects or (utterance.status is Status.UNDERSTOOD and not turn.state.holding):
        return turn
    if sides_said(turn) is not None and surface_meant(turn):
        return turn  # it is about these
    if isinstance(utterance.begun, tuple) and turn.asked is None and not turn.state.holding:
        return object_to_place(turn, *utterance.begun, quiet=True)
    return object_to_last(turn, quiet=True)


def deny_told(turn: Turn) -> Turn:
    """A no right behind "dead and tested" cancels it; where another value was read back since, it is about that as
    well.
    """
    denied = deny_dead(turn)
    if denied is turn or any(note.tell is Tell.DEAD for note in turn.state.said):
        return denied
    return deny_dead(object_to_last(turn, quiet=True))


def of_what_was_told(turn: Turn, instead: tuple[Meaning, ...]) -> Turn:
    """The turn of a no that is about what another one had read back last: what its speaker had read back before that,
    without a question, is taken as whenever somebody goes on. What is in force already is in question, where something
    is said `instead`; where that fits the speaker's own alone, the no is about that.
    """
    last, own = told_by_another(turn), turn.state.waiting(turn.who)
    if not last or (not _fits(last, instead) and _fits(own, instead)):
        return turn
    turn = settle(turn)
    return object_to_last(turn, quiet=True) if instead and all(one.in_force for one in last) else turn


def _fits(calls: tuple[Call, ...], instead: tuple[Meaning, ...]) -> bool:
    """Whether what is said instead may be of one of the calls: a part that it has, a figure near its own."""
    return all(any(_may_have(one.fact, said) for one in calls) for said in instead)


def _may_have(old: Said | None, said: Meaning) -> bool:
    match old, said:
        case Reading(), Part(value=Edge() | Slot()):
            return True
        case Reading(), Reading():
            return not is_bare(said) or abs(old.value - said.value) < FELLOWS
        case _, Part():
            return with_parts(old, (said,)) is not None
        case _, Reading() if is_bare(said):
            return with_figure(old, said) is not None
    return True


def told_by_another(turn: Turn) -> tuple[Call, ...]:
    """What another one called and had read back last, where nothing is asked of the speaker."""
    last = turn.state.called_last
    others = all(one.by != turn.who and (one.in_force or one.waits) for one in last)
    return last if others and turn.asked is None and turn.state.told != turn.who else ()


def no_to_the_middle(turn: Turn, meanings: tuple[Meaning, ...]) -> tuple[Turn, tuple[Meaning, ...]]:
    """What may be the habit of a crew that measures no middle is a no to the one that stands or waits, as it is to a
    question.
    """
    if _NO_MIDDLE not in meanings:
        return turn, meanings
    if meanings == (_NO_MIDDLE,) and turn.asked is not None and turn.asked.answered_by is AnsweredBy.YES_OR_NO:
        return turn, (Answer(yes=False),)
    there = turn.known.values()
    if not any(isinstance(one.fact, Reading) and one.fact.at is Slot.MIDDLE for one in there):
        return turn, meanings
    rest = tuple(one for one in meanings if one != _NO_MIDDLE)
    return object_to_place(turn, Dimension.WIDTH, Slot.MIDDLE, quiet=bool(rest)), rest


_NO_MIDDLE = Context(Topic.MIDDLE_WIDTH, "no")


def in_question(turn: Turn, calls: tuple[Call, ...]) -> Turn:
    """With those calls in question, of the speaker."""
    numbers = tuple(one.number for one in calls if is_whole(one))
    doubted = {doubt.call for doubt in turn.mine.doubts}
    doubts = tuple(Doubt(Concern.OBJECTED, each, told=(turn.who,)) for each in numbers if each not in doubted)
    return turn.did(Questioned(turn.who, numbers, doubts)) if numbers else turn


def object_to_last(turn: Turn, *, quiet: bool = False) -> Turn:
    """An objection without a value: what was read back last is in question, whether it waits or is in force. `quiet`
    leaves the question to what follows in the same turn. Right behind another's question of a circuit it is about that.
    """
    if turn.asked_another is not None and turn.asked_another[2].concern is Concern.TESTED:
        whose, one, doubt = turn.asked_another
        return doubt_dead(turn.did(Closed(whose)), one.board, doubt.boxes)
    if denied_dead(turn):
        return turn
    if turn.asked is not None and turn.asked.concern is Concern.TESTED:
        return doubt_dead(turn, turn.mine.board, turn.asked.boxes)
    last = turn.state.read_last
    if last.boxes:
        return doubt_dead(turn, last.board, last.boxes)
    numbers = tuple(one.number for one in turn.state.called_last if (one.in_force or one.waits) and is_whole(one))
    if not numbers:
        return turn if quiet else _put_anew(turn)
    return object_to(turn, numbers, quiet=quiet)


def object_to(turn: Turn, numbers: tuple[int, ...], *, quiet: bool = False) -> Turn:
    """An objection to those calls: whether they are right is asked."""
    turn, whose = _objected_to(turn, numbers)
    if whose != turn.who:  # the right figure may come from the one who objects, in the next breath
        turn = turn.did(Awaited(None, None, numbers))
    return turn if quiet else _put_to(turn, whose)


def object_to_place(turn: Turn, dimension: Dimension | None, at: Place, *, quiet: bool) -> Turn:
    """An objection that names a place and breaks off: what stands there is in question, or at another place of that
    name; where nothing does, what was read back last, which belongs there. `quiet` leaves the question to what follows
    in the same turn.
    """
    standing = turn.known.values()
    named = [one for one in standing if isinstance(one.fact, Reading) and one.fact.at == at]
    there = [one for one in named if isinstance(one.fact, Reading) and dimension in {None, one.fact.dimension}] or named
    if not there:
        return object_to_last(turn, quiet=quiet)
    turn, whose = _objected_to(turn, tuple(one.number for one in there))
    return turn if quiet else _put_to(turn, whose)


def _put_anew(turn: Turn) -> Turn:
    """With the question that a no beside word of a circuit has put already; right behind what somebody else is asked
    of something unsaid the no is kept; else there is nothing to say no to.
    """
    doubts = (doubt for one in turn.state.open.values() for doubt in one.doubts)
    own = [doubt for doubt in doubts if _is_objection(doubt, turn.who)]
    beside = own and any(note.tell is Tell.NOT_DEAD for note in turn.notices)
    if not beside and turn.asked_another is not None:  # of what has no value yet: it stands until it is left out
        whose, _, doubt = turn.asked_another
        return keep_words(turn).refuse(Tell.ASKED_ANOTHER, whose, doubt, *turn.about(doubt))
    return turn.put(own[0]) if beside else turn.refuse(Tell.NOTHING_OPEN)


def _put_to(turn: Turn, whose: str) -> Turn:
    """With the question about what the speaker says no to, else the one that is open for them."""
    asked = turn.state.open_to(whose).doubts
    own = (doubt for doubt in asked if _is_objection(doubt, turn.who))
    return turn.put(next(own, asked[0])) if asked else turn


def _objected_to(turn: Turn, numbers: tuple[int, ...]) -> tuple[Turn, str]:
    """With those calls in question, and who is asked: once, but once more where somebody else objects to what is asked
    about already.
    """
    whose = next((who for who, one in turn.state.open.items() if set(numbers) & set(one.calls)), turn.who)
    asked = tuple(doubt for doubt in turn.state.open_to(whose).doubts if doubt.call in numbers)
    said = {doubt.call for doubt in asked if whose == turn.who or _is_objection(doubt, turn.who)}
    objected = tuple(Doubt(Concern.OBJECTED, each, told=(turn.who,)) for each in numbers if each not in said)
    if objected:
        turn = turn.did(Questioned(whose, numbers, (*asked, *objected)))
    return turn, whose


def _is_objection(doubt: Doubt, who: str) -> bool:
    """Whether it asks about what that speaker said no to."""
    return doubt.concern is Concern.OBJECTED and who in doubt.told


def surface_meant(turn: Turn) -> tuple[Call, ...]:
    """The wall or ceiling at hand, where nothing is open and what was said may be no sheet alone."""
    known = turn.state.known(turn.state.board).values()
    calls = tuple(one for one in known if isinstance(one.fact, SurfaceCall))
    return calls if turn.asked is None and turn.judged.utterance.status is Status.UNCLEAR else ()


def sides_said(turn: Turn) -> tuple[Length, Length] | None:
    """The two sides that are all that was said, beside a no or at a wall. Of one that waits or is at hand one unit is
    that of both, as where it is called.
    """
    utterance = turn.judged.utterance
    at_wall = turn.state.board in turn.state.surfaces
    if utterance.danger or utterance.sides is not None or not (utterance.objects or at_wall):
        return None if utterance.danger else utterance.sides
    if not surface_meant(turn) and not any(isinstance(one.fact, SurfaceCall) for one in turn.state.waiting(turn.who)):
        return None
    ways = (tuple(one for one in way if not isinstance(one, Answer)) for way in utterance.alternatives)
    sizes = (
        (one.value, other.value)
        for one, other in (way for way in ways if len(way) == len(_SIDES))
        if isinstance(one, Reading) and isinstance(other, Reading)
        if ((one.dimension, one.at), (other.dimension, other.at)) == _SIDES
    )
    return max(sizes, key=lambda sides: sides[0] + sides[1], default=None)


_SIDES = ((Dimension.WIDTH, None), (Dimension.HEIGHT, None))


def plain_no(turn: Turn) -> Turn:
    """Out with what was asked about, else with all that was read back; what comes next takes its place. Until it does,
    or is left out by a word, it stands as not taken: a wall without it is another wall. What it had replaced while that
    waited waits again; where the same stands without it, that is in question.
    """
    mine, doubt = turn.mine, turn.asked
    if (hangs := _turned_by(turn)) is not None:
        turn, back = put_back(turn, (hangs.number,))
        stands = (turn.state.calls[each] for each in (hangs.number, *back))
        return turn.tell(Tell.TAKEN_BACK, hangs.board, *stands)
    gone = tuple(one.number for one in (*turn.asked_of, *swapped_with(turn, doubt))) or mine.calls
    calls = turn.state.those(gone)
    called = tuple(one for one in calls if one.number not in mine.stood and not one.in_force)
    told = tuple(replace(one, standing=Standing.NOT_TAKEN) for one in calls)
    place = place_of_all(doubt)
    if doubt is None or doubt.concern is not Concern.LOST:  # what entries were lost of stays in question
        keys = {tuple(map(key_of, way)) for way in doubt.ways} if doubt is not None else set()
        (about,) = keys.pop() if len(keys) == 1 and all(len(one) == 1 for one in keys) else (None,)
        turn = given_back(turn.did(TakenBack(gone)), called)
        same = _the_same(turn, calls)
        out = tuple(one for one in calls if one.number not in same)
        kept = tuple(replace(one, standing=Standing.NOT_TAKEN, queued=False, about=about) for one in out)
        turn = turn.did(NotTaken(kept)) if kept else turn
        if same:
            turn = turn.tell(Tell.NOT_TAKEN_WHAT_IS_IT, *kept) if out else turn
            return object_to(turn, tuple(same.values()))
    turn = turn.did(Awaited(*place)) if place is not None else _awaiting(turn, doubt, calls)
    return turn.ask(Tell.NOT_TAKEN_WHAT_IS_IT, *told, *_before(turn, calls))


def _turned_by(turn: Turn) -> Call | None:
    """The word by which the sheet hangs otherwise, where that alone made a reading odd which stood before: a no is to
    the word.
    """
    doubt, waiting = turn.asked, turn.state.waiting(turn.who)
    odd = doubt.odd if doubt is not None and doubt.call in turn.mine.stood else None
    words = (one for one in waiting if isinstance(one.fact, Context) and one.fact.topic is Topic.LIES)
    return next(words, None) if odd is not None and odd.odd is Odd.TURNED else None


def _the_same(turn: Turn, denied: tuple[Call, ...]) -> dict[int, int]:
    """The calls that were said no to and stand still, as another call of the same: which one that is, by each."""
    found = ((one, turn.state.known(one.board, doubtful=True).get(one.key)) for one in denied if is_whole(one))
    return {one.number: there.number for one, there in found if there is not None and there.fact == one.fact}


def _before(turn: Turn, gone: tuple[Call, ...]) -> tuple[Call, ...]:
    """What was at the place of each call that was said no to: it stands, or had been replaced before it counted."""
    found = []
    for one in gone:
        old = turn.state.calls.get(one.replaces) if one.replaces is not None else None
        there = turn.state.known(one.board, doubtful=True).get(one.key) or old
        found += [there] if there is not None and is_whole(there) and there.number != one.number else []
    return tuple(found)


def place_of_all(doubt: Doubt | None) -> tuple[Dimension | None, Place] | None:
    """Where every way of a question is one reading of the same place: that."""
    ways = doubt.ways if doubt is not None and doubt.concern is Concern.WHICH_OF else ()
    places = {(one.dimension, one.at) for way in ways for one in way if isinstance(one, Reading)}
    same = len(places) == 1 and all(len(way) == 1 and isinstance(way[0], Reading) for way in ways)
    dimension, at = places.pop() if same else (None, None)
    return None if at is None else (dimension, at)


def _awaiting(turn: Turn, doubt: Doubt | None, calls: tuple[Call, ...]) -> Turn:
    """Where a figure that was objected to was called is the place of a bare value that comes instead, each of its
    places where it had several, in one call or in one for each; after a thing, or several figures, it may be any of
    theirs.
    """
    first = calls[0].fact if calls else None
    figures = {(one.fact.value, one.fact.dimension) for one in calls if isinstance(one.fact, Reading)}
    alike = len(figures) == 1 and all(isinstance(one.fact, Reading) for one in calls)
    if isinstance(first, Reading) and (are_one_figure(calls) or alike):
        return turn.did(Awaited(first.dimension, first.at, tuple(one.number for one in calls)))
    if len(calls) == 1 and isinstance(first, Plumb | Diagonal | Context | SurfaceCall | Thing):
        return turn.did(Awaited(None, None, (calls[0].number,)))
    ways = doubt.ways if doubt is not None else ()
    facts = (*(one.fact for one in calls), *(fact for way in ways for fact in way))
    several = any(isinstance(fact, Reading | Thing) for fact in facts)
    return turn.did(Awaited(None, None)) if several else turn


def not_out(turn: Turn, doubt: Doubt) -> Turn:
    """What wasn't taken isn't to be left out: what it is, is asked instead."""
    out = turn.state.calls[doubt.call] if doubt.call is not None else None
    if out is None or not is_whole(out):
        return turn.tell(Tell.SAY_WHOLE).put_again()
    if turn.asked is not None:
        return turn.tell(Tell.NOT_TAKEN_WHAT_IS_IT, out).put_again()
    return _awaiting(turn, None, (out,)).ask(Tell.NOT_TAKEN_WHAT_IS_IT, out)


OneSaid = TypeVar("OneSaid", bound=Said)


def corrected(turn: Turn, new: Reading | Thing) -> Turn:
    """A value changed by its place or name; which of several is asked where neither was said."""
    turn = set_aside(turn)
    if turn.asked is None and isinstance(new, Reading) and new.at is None and turn.refused_at is None:
        told = readings_told(turn, new)
        if len(told) > 1 or any(one.waits or new.dimension is not None for one in told):
            return one_of_those(turn, new)
    return _change(turn, new)


def readings_told(turn: Turn, new: Reading) -> list[Call]:
    """The readings that a new one of no place may be about: those that were told last, of those that wait for the
    speaker, else of those in force; where it is said to be a width, or a height, all of the board that are.
    """
    if new.dimension is not None:
        known = turn.known.values()
        return [one for one in known if isinstance(one.fact, Reading) and could_be(one.fact, new)]
    waiting = [one for one in turn.state.waiting(turn.who) if isinstance(one.fact, Reading)]
    there = waiting or [
        one for one in turn.state.on(turn.state.board) if isinstance(one.fact, Reading) and one.in_force
    ]
    return [one for one in there if one.number in turn.state.read_last.calls] or waiting


def one_of_those(turn: Turn, fact: Reading) -> Turn:
    """The right value of one of the readings that were told: which is asked, and until that is answered it waits, so
    that nothing is settled past it.
    """
    told = readings_told(turn, fact)
    figures = dict.fromkeys(tuple(one for one in turn.state.called_as_one(each) if one in told) for each in told)
    placed = (tuple(replace(fact, dimension=at.dimension, at=at.at) for at in _readings(one)) for one in figures)
    others = tuple(new for one, new in zip(figures, placed, strict=True) if new != _readings(one))
    if not others:
        turn = in_question(turn, tuple(told))
        return turn.put_again()
    if len(figures) == 1:
        return mend(turn, told[0], fact)
    return turn.at_board(told[0].board, lambda there: which_of(there, others))


def _readings(calls: tuple[Call, ...]) -> tuple[Reading, ...]:
    return tuple(one.fact for one in calls if isinstance(one.fact, Reading))


def _change(turn: Turn, new: Reading | Thing) -> Turn:
    """A value changed by its place or name; without one, the value last spoken of."""
    behind, turn = order_waits(turn), put_off(turn, (new,))
    if behind:
        return queue(turn, (new,), corrects=True)
    if isinstance(new, Reading) and is_bare(new) and turn.refused_at is not None:
        return call(turn, (new,))  # where a value was refused with its place just now
    if _is_one_of_several(turn, new):
        return words_kept(turn).refuse(Tell.WHICH_VALUE)
    old = replaced(turn, new)
    if old is not None:
        return mend(turn, old, beside_the_rest(old.fact, new))
    new = meant(turn, new)
    if turn.asked is not None:
        return queue(turn, (new,), corrects=True)
    turn = settle(turn)
    known = turn.state.known(turn.state.board)
    named = isinstance(new, Box | Incomplete) and bool(new.name)
    if named and key_of(new) not in known and not _is_open(turn, key_of(new)):
        return _of_nothing_there(turn, new)
    if isinstance(new, Reading) and new.at is None:
        last = _last_reading(turn)
        if last is None or not could_be(last, new):
            return words_kept(turn).refuse(Tell.WHICH_VALUE)
        new = replace(new, dimension=last.dimension, at=last.at)
    return propose(turn, (new,), corrects=True)


def _is_open(turn: Turn, key: Key) -> bool:
    """Whether anything of that name waits, for an answer or for its part: it is changed as it is."""
    return any(one.key == key for one in turn.state.begun(turn.state.board))


def _of_nothing_there(turn: Turn, fact: Said) -> Turn:
    """The change of a thing that isn't there is kept; where that waits for its turn, it has its own behind it."""
    (kept,) = calls_of(turn, (fact,), Standing.NOT_TAKEN)
    queued = (one.fact for one in turn.state.not_taken(turn.state.board) if one.queued and one.fact is not None)
    behind = any(key_of(each) == kept.key for each in queued)
    turn = turn.did(NotTaken((replace(kept, queued=behind, corrects=behind),)))
    told = (Tell.KEPT_NOT_TAKEN, kept.words) if behind else (Tell.NO_BOX, kept.key.name)
    return turn.refuse(*told)


def _is_one_of_several(turn: Turn, new: Said) -> bool:
    """Whether an opening is named by its kind alone where several of that kind are."""
    if not isinstance(new, Incomplete) or new.name or not isinstance(new.kind, OpeningKind):
        return False
    known = turn.known.values()
    return sum(isinstance(one.fact, Opening) and one.fact.kind is new.kind for one in known) > 1


def meant(turn: Turn, new: OneSaid) -> OneSaid:
    """What a correction names by its kind alone: the only one of the board."""
    known = turn.known.values()
    return cast("OneSaid", of_one(new, (one.fact for one in known)))


def _last_reading(turn: Turn) -> Reading | None:
    """The one reading that the speaker's last change was about."""
    past = last_change(turn.state, turn.who)
    calls = turn.state.those(past.calls) if past else ()
    readings = [one.fact for one in calls if isinstance(one.fact, Reading)]
    here = past is not None and past.board == turn.state.board
    return readings[0] if here and len(readings) == 1 else None
