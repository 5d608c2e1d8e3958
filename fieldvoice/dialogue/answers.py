"""Answers: what settles a question, and what objects to what was read back."""

from __future__ import annotations

from dataclasses import replace

from fieldvoice.dialogue.amending import could_be, figures_of, in_place_of, is_bare, says_anew, with_parts
from fieldvoice.dialogue.circuits import say_dead
from fieldvoice.dialogue.completing import completed
from fieldvoice.dialogue.events import Accepted, Closed, Confirmed, SaidAgain
from fieldvoice.dialogue.finishing import ask_left_out, ask_lost, checked, done
from fieldvoice.dialogue.keeping import calls_of, keep_words, left_out, queue, queue_words
from fieldvoice.dialogue.matching import (
    begun_so,
    by_its_number,
    fitting,
    has_part,
    in_one_of,
    is_at,
    may_be,
    may_be_anew,
    nameless,
    stem,
    tells_more,
    toward,
    way_fits,
)
from fieldvoice.dialogue.plausibility import disagreeing, far_apart
from fieldvoice.dialogue.proposals import call, mend, propose, read_back, replaced, weigh_anew
from fieldvoice.dialogue.state import are_one_figure
from fieldvoice.dialogue.taking_back import as_it_is_now, calmed, speaks_against, without
from fieldvoice.dialogue.turn import Turn
from fieldvoice.records.facts import Fact, Said, key_of
from fieldvoice.records.ledger import AnsweredBy, Call, Concern, Doubt, OpenItem, Standing, Tell
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import (
    BoxKind,
    Context,
    DeadAndTested,
    Diagonal,
    Dimension,
    Edge,
    Incomplete,
    Place,
    Plumb,
    Point,
    Reading,
    Slot,
    Topic,
    WholeThing,
)
from fieldvoice.records.utterance import Answer, Part, ThingName


def yes(turn: Turn, facts: tuple[Said, ...]) -> Turn:
    """Yes answers a question of yes and no, by the person asked, about that thing."""
    doubt = turn.asked
    if not turn.mine:
        return call(turn, facts) if facts and not _was_read_back(turn, facts) else _not_asked(turn)
    if doubt is None:
        if facts and not _was_read_back(turn, facts):
            return call(turn, facts)
        of_dead = tuple(note for note in turn.state.said if note.tell in {Tell.DEAD_ALONE, Tell.DEAD_TOGETHER})
        if of_dead or turn.after_refusal or turn.state.refused:
            return turn.note(*of_dead) if of_dead else turn.tell(Tell.NOTHING_OPEN)
        return ask_lost(confirmed(turn).tell(Tell.TAKEN))
    if facts and not _are_it(turn, doubt, facts):
        if doubt.concern is Concern.LAST:
            return call(turn, facts)  # "yes but left is 87": the last read-back comes again with it
        return _names_another(turn, facts, doubt)
    return _yes_to(turn, doubt, facts)


def _was_read_back(turn: Turn, facts: tuple[Said, ...]) -> bool:
    """Whether a yes says once more the one figure that was read back last, with a place of it or without."""
    last = [one.fact for one in turn.state.called_last if one.waits]
    if len(facts) != 1 or not last or not are_one_figure(turn.state.called_last):
        return False
    fact, old = facts[0], last[0]
    if not isinstance(fact, Reading) or not isinstance(old, Reading) or fact.value != old.value:
        return False
    return is_bare(fact) or any(isinstance(one, Reading) and could_be(one, fact) for one in last)


def _yes_to(turn: Turn, doubt: Doubt, facts: tuple[Said, ...]) -> Turn:
    """Yes to the question that is open, alone or with nothing but what it is about."""
    if doubt.answered_by is AnsweredBy.ONE_OF:
        return choose(turn, doubt, facts) if facts else turn.put(doubt, Tell.PICK_ONE)
    if doubt.answered_by is AnsweredBy.PART:
        return turn.put(doubt, Tell.SAY_THE_PART)
    if turn.judged.doubtful:
        return turn.tell(Tell.ANSWER_UNCLEAR).put(doubt)
    if not facts and not was_put(turn, doubt):  # it answers what was told instead, which a part read last may hang on
        return done(turn.did(Closed(turn.who))) if doubt.concern is Concern.LAST else turn.put(doubt)
    if facts and doubt.concern is Concern.LEAVE_OUT:
        return turn.put(doubt)  # to leave it out, or to have it?
    if doubt.concern is Concern.TESTED and turn.spoken and not _in_full(turn):
        return turn.put(doubt)
    now = as_it_is_now(doubt, turn.state, turn.rooms)
    if now != doubt:
        about = tuple(now if one == doubt else one for one in turn.mine.doubts if one.call == doubt.call)
        return turn.question(*about)
    return confirm(turn)


def was_put(turn: Turn, doubt: Doubt) -> bool:
    """Whether the last answer held that question, or the last to this speaker did."""
    told = [value for note in turn.told_last for value in note.values]
    return any(
        value == doubt or (isinstance(value, OpenItem) and value.call and value.doubt == doubt) for value in told
    )


def _in_full(turn: Turn) -> bool:
    """Whether it was a full "yes", or the words that were asked about: "that's live" sounds like "that's right", and a
    bit of talk like "yeah".
    """
    said = turn.judged.utterance.meanings
    return any((isinstance(one, Answer) and one.plain) or isinstance(one, DeadAndTested) for one in said)


def _not_asked(turn: Turn) -> Turn:
    """A yes of somebody who isn't asked anything."""
    other = next(((who, one) for who, one in turn.state.open.items() if one.doubts), None)
    if other is None:
        return turn.tell(Tell.NOTHING_OPEN)
    who, one = other
    if one.doubts[0].concern is Concern.TESTED:
        return turn.refuse(Tell.ONLY_TESTER, *one.doubts[0].boxes)
    return turn.refuse(Tell.ASKED_ANOTHER, who, one.doubts[0], *turn.about(one.doubts[0]))


def of_doing(turn: Turn, answer: Answer) -> Turn | None:
    """What was done answers whether somebody tested and no other question; None where it does, or of another answer."""
    if not answer.of_doing or (turn.asked is not None and turn.asked.concern is Concern.TESTED):
        return None
    return _not_asked(turn) if turn.asked is None else turn.put(turn.asked)


def _names_another(turn: Turn, facts: tuple[Said, ...], doubt: Doubt) -> Turn:
    """A yes with something else in it is no yes: the question stays, and what was called is kept."""
    turn = queue(turn, facts)
    notices = tuple(note for note in turn.notices if note.tell is not Tell.ANSWER_FIRST)
    return replace(turn, notices=notices).put(doubt, Tell.NAMES_ANOTHER)


def _are_it(turn: Turn, doubt: Doubt, facts: tuple[Said, ...]) -> bool:
    """Whether all that was said is what is asked about, with each of its places where it is asked about several."""
    asked = [one.fact for one in turn.asked_of if one.fact is not None]
    if len(asked) < 2 or all(is_bare(fact) for fact in facts):
        return all(_is_it(turn, doubt, fact) for fact in facts)
    there = [[may_be(old, fact) and in_place_of(old, fact) == old for fact in facts] for old in asked]
    return all(map(any, there)) and all(map(any, zip(*there, strict=True)))


def _is_it(turn: Turn, doubt: Doubt, fact: Said) -> bool:
    """Whether a fact said with the yes is what was asked about; of the last read-back, whether it was read."""
    if doubt.concern is Concern.LAST:
        read = (one.fact for one in turn.state.those(doubt.calls))
        return any(
            type(old) is type(fact) and in_place_of(old, fact) == old and may_be(old, fact) for old in read if old
        )
    if doubt.call is None or doubt.call not in turn.state.calls:
        return False
    old = turn.state.calls[doubt.call].fact
    if doubt.ways:
        return any(way_fits(way, fact) for way in doubt.ways) or in_place_of(old, fact) == old
    return old is not None and type(old) is type(fact) and in_place_of(old, fact) == old and may_be(old, fact)


def confirm(turn: Turn) -> Turn:
    """Yes to the speaker's open question: the next one is asked, or the values are taken."""
    doubt = turn.asked
    assert doubt is not None
    if doubt.concern is Concern.TESTED:
        return say_dead(turn, doubt)
    if doubt.concern is Concern.LAST and turn.asked_long_ago:
        return done(turn.did(Closed(turn.who)))  # nobody has it in the ear any more, and it may be another by now
    if doubt.concern is Concern.LAST:
        return checked(turn, doubt)
    if doubt.concern is Concern.LEAVE_OUT:
        turn = left_out(turn, turn.state.asked_call(doubt))
        return turn.put(turn.asked) if turn.asked is not None else ask_left_out(turn)
    if doubt.concern is Concern.WHICH_OF and doubt.ways:
        return take_way(turn, doubt, doubt.ways[0])
    return _said_right(turn, doubt)


def _said_right(turn: Turn, doubt: Doubt) -> Turn:
    """The call that a question is about is as it was taken."""
    lost = doubt.concern is Concern.LOST
    also = tuple(each.number for each in turn.asked_of if each.number != doubt.call) if doubt == turn.asked else ()
    turn = turn.did(Confirmed(turn.who, also))
    one = turn.state.calls[doubt.call] if doubt.call is not None else None
    if turn.asked is not None:
        return turn.put(turn.asked)
    turn = confirmed(turn)
    if one is not None:
        for number in (one.number, *also):
            turn = turn.tell(Tell.CONFIRMED, turn.state.calls[number])
        turn = calmed(turn, turn.state.doubts)
        others = disagreeing(doubt, turn.state.calls[one.number], turn.state.settled(one.board))
        if others:
            return turn.question(*others)
    return ask_lost(turn) if lost else turn.put_again()


def confirmed(turn: Turn) -> Turn:
    """What waited for the speaker is taken."""
    return turn.did(Accepted(turn.who)) if turn.mine else turn


def answered(turn: Turn, facts: tuple[Said, ...], parts: tuple[Part, ...]) -> Turn | None:
    """Values or parts said while a question is open: what they settle of it, else None."""
    doubt = turn.asked
    if doubt is None or doubt.concern is Concern.LEAVE_OUT:
        return None  # what wasn't taken is taken now that it is said again
    if doubt.answered_by is AnsweredBy.PART and doubt.call is not None:
        return completed(turn, doubt, facts, parts)
    if (found := _unit_or_name(turn, doubt, facts, parts)) is not None:
        return found
    if doubt.answered_by is AnsweredBy.ONE_OF or doubt.ways:
        found = choose(turn, doubt, (*facts, *parts))
        if found is not None:
            return found
    old = None if parts else turn.state.call_of(doubt)
    if old is not None and len(facts) == 1 and _ends(turn, doubt, old, facts[0]):
        return weigh_anew(turn, old, facts[0])
    if old is not None and facts and doubt.concern is not Concern.ALREADY_CUT and _are_it(turn, doubt, facts):
        return turn.put(doubt) if turn.judged.doubtful else confirm(turn)
    if old is not None and len(facts) == 1 and replaced(turn, facts[0]) == old and says_anew(old.fact, facts[0]):
        return mend(turn, old, facts[0])
    if parts and not facts and (mended := part_mended(turn, parts) or moved(turn, parts)) is not None:
        return mended
    return _in_place_of_another(turn, facts[0]) if len(facts) == 1 and not parts else None


def _unit_or_name(turn: Turn, doubt: Doubt, facts: tuple[Said, ...], parts: tuple[Part, ...]) -> Turn | None:
    """The unit of what is asked about, or its name, said instead of an answer; None where it was neither."""
    if doubt.call is not None and len(facts) == 1 and not parts and _of_another_unit(turn, facts[0]):
        return _unit_said(turn, doubt, turn.state.calls[doubt.call], facts[0])
    name = parts[0].value if len(parts) == 1 and not facts else None
    return called_so(turn, name) if isinstance(name, ThingName) else None


def called_so(turn: Turn, said: ThingName | Incomplete) -> Turn | None:
    """What is asked about since it has the name of one that is there, under a name of its own. What it has of the other
    one may not be its own, and is asked about. None where nothing of the kind is asked.
    """
    doubt, old = turn.asked, turn.asked_about
    if doubt is None or old is None or doubt.concern is not Concern.SAME_BOX or not isinstance(old.fact, WholeThing):
        return None
    name = said.name
    if isinstance(said, Incomplete) and said != replace(Incomplete(said.kind), name=said.name):
        return None  # more than a name
    new, there = replace(old.fact, name=name), turn.state.known(old.board, doubtful=True)
    if key_of(new) in there or stem(name) != stem(old.fact.name):
        return turn.put(doubt) if isinstance(said, ThingName) else None  # another thing begins with it
    before = turn.state.calls.get(old.replaces) if old.replaces is not None else None
    turn = turn.did(SaidAgain((old.number,)))
    made = replace(old, number=turn.state.next_number, fact=new, standing=Standing.READ_BACK, replaces=None)
    shared = before is not None and figures_of(before.fact) & figures_of(new)
    unsure = (Doubt(Concern.UNSURE, made.number),) if shared else ()
    return read_back(turn, old.board, (made,), unsure=unsure)


def _of_another_unit(turn: Turn, fact: Said) -> bool:
    """Whether what is said is that the board is in another unit than it was taken for."""
    return isinstance(fact, Context) and fact.topic is Topic.UNIT and fact.value != turn.unit.value


def _unit_said(turn: Turn, doubt: Doubt, asked: Call, unit: Said) -> Turn:
    """A unit said instead of an answer. Where it is asked whether another one was meant, and nothing else was measured
    in the one before, the words with that figure are taken up anew in it. Else the figure stays what it is, and the
    question waits beside the unit.
    """
    others = (one for one in turn.state.on(asked.board) if one.in_force and one.unit == asked.unit)
    alone = all(isinstance(one.fact, Context) and not isinstance(one.fact.value, Length) for one in others)
    if doubt.concern not in {Concern.UNLIKELY, Concern.SMALL} or not alone:
        return propose(turn, (unit,))
    again = tuple(one.number for one in turn.state.waiting(turn.who) if one.words == asked.words)
    return call(queue_words(turn.did(SaidAgain(again)), asked.words), (unit,))


def part_mended(turn: Turn, parts: tuple[Part, ...]) -> Turn | None:
    """What of a thing that waits is otherwise: side, point, kind, fraction. Of what is asked about, else of the one
    thing that it can be of; None where that isn't told.
    """
    for among in (turn.asked_of, turn.state.waiting(turn.who)):
        found = [(one, new) for one in among if (new := with_parts(one.fact, parts)) is not None]
        if len(found) == 1 or are_one_figure(one for one, _ in found):
            old, new = found[0]
            return mend(turn, old, replace(new, at=None) if isinstance(new, Reading) else new)
    return None


def detailed(turn: Turn, parts: tuple[Part, ...]) -> Turn | None:
    """A kind, or the point that a box was measured to, said alone right behind the one box or opening that was read
    back: of that. None where it is of none, or of one of several.
    """
    waiting = turn.state.waiting(turn.who)
    details = all(isinstance(part.value, BoxKind | Point) for part in parts)
    if turn.asked is not None or not details or len(waiting) != 1 or waiting != turn.state.called_last:
        return None
    (old,) = waiting
    if isinstance(old.fact, WholeThing) and all(has_part(old.fact, part) for part in parts):
        return turn.tell(Tell.READ_BACK, old)
    return part_mended(turn, parts)


def moved(turn: Turn, parts: tuple[Part, ...]) -> Turn | None:
    """A place named alone where it is asked whether a reading just called is right: the figure belongs there, and what
    stood at the other place stands again. None where anything else is asked.
    """
    doubt, old, place = turn.asked, turn.asked_about, parts[0].value if len(parts) == 1 else None
    if doubt is None or doubt.answered_by is not AnsweredBy.YES_OR_NO or not isinstance(place, Slot | Edge):
        return None
    stood = old is None or old.number in turn.mine.stood
    if old is None or stood or not isinstance(old.fact, Reading) or str(old.fact.at) == str(place):
        return None
    turn = without(turn, old.board, (old.number,))
    there = replace(old.fact, dimension=None, at=Slot(str(place)))
    return turn.at_board(old.board, lambda turn: propose(turn, (there,), corrects=True))


def _in_place_of_another(turn: Turn, fact: Said) -> Turn | None:
    """A new value for something else that waits."""
    other = replaced(turn, fact)
    if other is None or (isinstance(fact, Reading) and fact.at is None) or not says_anew(other.fact, fact):
        return None
    return mend(turn, other, fact)


def _ends(turn: Turn, doubt: Doubt, old: Call, fact: Said) -> bool:
    """Whether what was said of the board instead of an answer is all that the question hangs on: how the sheet hangs,
    what stands at an edge, or how that runs off; the other diagonal.
    """
    if not isinstance(fact, Context | Diagonal | Plumb) or key_of(fact) == old.key:
        return False
    board = turn.asked_of[0].board if turn.asked_of else turn.state.board
    said = tuple(replace(one, board=board) for one in calls_of(turn, (fact,), Standing.READ_BACK))
    return doubt not in speaks_against(doubt, turn.state, turn.rooms, said)


def choose(turn: Turn, doubt: Doubt, said: tuple[Said | Part, ...]) -> Turn:
    """The one way that fits what was said; a whole new call in its place will do as well. Else the question again. What
    was itself heard with doubt settles nothing: whether that way is right is asked, which a yes answers.
    """
    named = by_its_number(doubt, said)
    if named is not None and doubt.call is not None:
        return narrowed(turn, doubt, named) if turn.spoken else take_way(turn, doubt, named)
    fits = fitting(doubt, said) or toward(doubt, said)
    if len(fits) == 1 and doubt.call is not None:
        return narrowed(turn, doubt, fits[0]) if turn.judged.doubtful else take_way(turn, doubt, fits[0])
    begun = begun_so(doubt, said) if not fits else []
    if begun and doubt.call is not None:
        return narrowed(turn, doubt, begun[0]) if len(begun) == 1 else turn.put(doubt, Tell.PICK_ONE)
    whole = tuple(each for each in said if not isinstance(each, Part))
    if len(whole) == 1 and len(said) == 1 and doubt.call is not None and not fits:
        places = {key_of(fact) for way in doubt.ways for fact in way}
        mended = in_place_of(doubt.ways[0][0], whole[0]) if doubt.ways else whole[0]
        if len(places) == 1 and any(may_be_anew(way[0], whole[0]) for way in doubt.ways):
            return _otherwise(turn, doubt, (mended,) if not isinstance(mended, Incomplete) else ())
    if whole and len(whole) == len(said) and doubt.call is not None and not fits:
        there = in_one_of(doubt, whole)
        if there is not None:
            return take_instead(turn, doubt, there)
    if len(whole) == len(said) and doubt.call is not None and tells_more(doubt, whole) and not turn.judged.doubtful:
        return call(turn.did(SaidAgain((doubt.call,))), whole)
    if whole and not fits:
        return queue(turn, whole)
    return turn.put(doubt, Tell.PICK_ONE)


def place_said(turn: Turn, dimension: Dimension | None, at: Place) -> Turn | None:
    """A place named alone where that answers: the missing edge, or the way that is there; None where it doesn't."""
    doubt = turn.asked
    if doubt is not None and doubt.answered_by is AnsweredBy.PART and isinstance(at, Slot):
        return completed(turn, doubt, (), (Part(at),))
    if doubt is None or doubt.answered_by is not AnsweredBy.ONE_OF or doubt.call is None:
        return None
    there = [way for way in doubt.ways if any(is_at(fact, dimension, at) for fact in way)]
    there = [way for way in there if len(way) == 1] or there  # a place alone is the one of that place alone
    if len(there) != 1:
        return None
    heard = turn.judged.doubtful and turn.spoken
    return narrowed(turn, doubt, there[0]) if heard else take_way(turn, doubt, there[0])


def take_instead(turn: Turn, doubt: Doubt, there: tuple[Fact, ...]) -> Turn:
    """Other values at the places of one way; where another way has other places, or more, its words stand as not taken:
    they may have been of these.
    """
    words = turn.state.asked_call(doubt).words
    turn = _otherwise(turn, doubt, there)
    places = {key_of(fact) for way in doubt.ways for fact in way}
    return keep_words(turn, words) if len(places) > len(there) else turn


def _otherwise(turn: Turn, doubt: Doubt, there: tuple[Fact, ...]) -> Turn:
    """None of the ways, but other values at their places: asked about where one of them is far from what every way has
    there, since the call in question was said to be one of these.
    """
    offered = [fact for way in doubt.ways for fact in way]
    for new in there:
        olds = [old for old in offered if key_of(old) == key_of(new)]
        if olds and all(far_apart(new, old) for old in olds):
            return narrowed(turn, doubt, there)
    return take_way(turn, doubt, there)


def narrowed(turn: Turn, doubt: Doubt, way: tuple[Fact, ...]) -> Turn:
    """Of several ways one is asked about alone, to be answered by yes or no."""
    old = turn.state.asked_call(doubt)
    if doubt.answered_by is AnsweredBy.YES_OR_NO and way == (doubt.ways[0] if old.fact is None else (old.fact,)):
        return turn.put(doubt)
    only = Doubt(Concern.WHICH_OF, doubt.call, (way,), calls=doubt.calls)
    return turn.question(only)


def said_again(turn: Turn, ways: tuple[tuple[Fact, ...], ...]) -> Turn | None:
    """What is in question, said again and as unclear as before: no further question is put beside the first, but one of
    yes and no about the way that is likeliest now. None where it is something else.
    """
    doubt = turn.asked
    if doubt is None or doubt.call is None or doubt.call not in turn.state.calls or turn.judged.utterance.objects:
        return None
    fact = turn.state.calls[doubt.call].fact
    if isinstance(fact, Incomplete):
        return None
    old = doubt.ways if fact is None else ((fact,), *doubt.ways)
    there = {tuple(map(nameless, way)): way for way in reversed(old)}
    again = next((there[same] for way in ways if (same := tuple(map(nameless, way))) in there), None)
    return None if again is None else narrowed(turn, doubt, again)


def take_way(turn: Turn, doubt: Doubt, way: tuple[Fact, ...]) -> Turn:
    """The call becomes what was meant: confirmed where it was taken for that, else read back anew."""
    old = turn.state.asked_call(doubt)
    if old.fact is not None and way == (old.fact,):
        return _said_right(turn, doubt)
    number = turn.state.next_number
    made = tuple(
        replace(
            old,
            number=number + index,
            fact=fact,
            standing=Standing.READ_BACK,
            hearings=old.hearings + 1 if way in doubt.ways or not turn.spoken else 1,
            replaces=old.replaces if old.fact is None else old.number,
            like=next(iter(doubt.calls), old.like),
        )
        for index, fact in enumerate(way)
    )
    if not made:
        return turn.put(doubt)
    if old.fact is None:
        turn = turn.did(SaidAgain((old.number,)))
    judged = replace(turn.judged, rival=None, unsure=False) if way in doubt.ways else turn.judged
    lengths = frozenset(fact.value for each in doubt.ways for fact in each if isinstance(fact, Reading))
    before = turn.judged
    turn = read_back(replace(turn, judged=judged), old.board, made, answered=lengths, corrects=True)
    return replace(turn, judged=before)
