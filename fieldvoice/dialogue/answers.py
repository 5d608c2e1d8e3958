"""Answers: what settles a question, and what objects to what was read back."""

from __future__ import annotations

from dataclasses import replace

from fieldvoice.dialogue.amending import together, with_fraction, with_part
from fieldvoice.dialogue.circuits import revoke, say_dead
from fieldvoice.dialogue.events import (
    Accepted,
    Awaited,
    Checked,
    Closed,
    Confirmed,
    NotTaken,
    Questioned,
    SaidAgain,
    TakenBack,
)
from fieldvoice.dialogue.finishing import ask_lost, finish
from fieldvoice.dialogue.habits import as_part, usual
from fieldvoice.dialogue.plausibility import disagreeing, spoken
from fieldvoice.dialogue.proposals import (
    Said,
    call,
    change,
    in_place_of,
    is_bare,
    keep_words,
    mend,
    propose,
    put_back,
    queue,
    read_back,
    replaced,
    same_name,
    says_again,
    weigh_anew,
)
from fieldvoice.dialogue.state import Open, is_whole
from fieldvoice.dialogue.turn import Turn
from fieldvoice.records.ledger import AnsweredBy, Call, Concern, Doubt, Fact, Standing, Tell, key_of
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import (
    FRAMED,
    Answer,
    Box,
    BoxKind,
    Context,
    DeadAndTested,
    Diagonal,
    Dimension,
    Distance,
    Edge,
    Incomplete,
    Lack,
    Neighbor,
    Opening,
    OpeningKind,
    Part,
    Place,
    Point,
    Reading,
    Slant,
    Slot,
    Topic,
)
from fieldvoice.records.plan import Odd, Oddity

ROUND = frozenset({OpeningKind.PIPE, OpeningKind.LIGHT, OpeningKind.HOLE})
"""Openings whose size is a diameter."""


def yes(turn: Turn, facts: tuple[Said, ...]) -> Turn:
    """Yes answers a question of yes and no, by the person asked, about that thing."""
    mine, doubt = turn.mine, turn.asked
    if mine is None:
        return call(turn, facts) if facts else _not_asked(turn)
    if doubt is None:
        if facts:
            return call(turn, facts)
        return ask_lost(confirmed(turn).tell(Tell.TAKEN))
    if facts and not all(_is_it(turn, doubt, fact) for fact in facts):
        return _names_another(turn, facts, doubt)
    if doubt.answered_by is AnsweredBy.ONE_OF:
        return choose(turn, doubt, facts) if facts else turn.put(doubt, Tell.PICK_ONE)
    if doubt.answered_by is AnsweredBy.PART:
        return turn.put(doubt, Tell.SAY_THE_PART)
    if turn.judged.doubtful:
        return turn.tell(Tell.ANSWER_UNCLEAR).put(doubt)
    if doubt.concern is Concern.TESTED and spoken(turn.source) and not _in_full(turn):
        return turn.put(doubt)
    return confirm(turn)


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


def _names_another(turn: Turn, facts: tuple[Said, ...], doubt: Doubt) -> Turn:
    """A yes with something else in it is no yes: the question stays, and what was called is kept."""
    turn = queue(turn, facts)
    notices = tuple(note for note in turn.notices if note.tell is not Tell.ANSWER_FIRST)
    return replace(turn, notices=notices).put(doubt, Tell.NAMES_ANOTHER)


def _is_it(turn: Turn, doubt: Doubt, fact: Said) -> bool:
    """Whether a fact said with the yes is what was asked about."""
    if doubt.call is None or doubt.call not in turn.state.calls:
        return False
    old = turn.state.calls[doubt.call].fact
    if doubt.ways:
        return any(_fits(way, fact) for way in doubt.ways) or in_place_of(old, fact) == old
    return old is not None and type(old) is type(fact) and in_place_of(old, fact) == old and _may_be(old, fact)


def _may_be(old: Said, new: Said) -> bool:
    if isinstance(old, Reading) and isinstance(new, Reading):
        return new.dimension in {None, old.dimension} and new.at in {None, old.at}
    return same_name(old, new)


def confirm(turn: Turn) -> Turn:
    """Yes to the speaker's open question: the next one is asked, or the values are taken."""
    doubt = turn.asked
    assert doubt is not None
    if doubt.concern is Concern.TESTED:
        board = turn.mine.board if turn.mine is not None else turn.state.board
        return say_dead(turn.did(Closed(turn.who)), board, doubt)
    if doubt.concern is Concern.LAST:
        return finish(turn.did(Checked(doubt.calls), Closed(turn.who)))
    if doubt.concern is Concern.LEAVE_OUT:
        assert doubt.call is not None
        out = turn.state.calls[doubt.call]
        return _next(turn.did(TakenBack((doubt.call,))).tell(Tell.DISMISSED, out))
    if doubt.concern is Concern.WHICH_OF and doubt.ways:
        return _chosen(turn, doubt, doubt.ways[0])
    return _said_right(turn, doubt)


def _said_right(turn: Turn, doubt: Doubt) -> Turn:
    """The call that a question is about is as it was taken."""
    lost = doubt.concern is Concern.LOST
    turn = turn.did(Confirmed(turn.who))
    one = turn.state.calls[doubt.call] if doubt.call is not None else None
    if turn.asked is not None:
        return turn.put(turn.asked)
    turn = confirmed(turn)
    if one is not None:
        turn = turn.tell(Tell.CONFIRMED, turn.state.calls[one.number])
        others = disagreeing(doubt, turn.state.calls[one.number], turn.state.settled(one.board))
        if others:
            turn = turn.did(Questioned(turn.who, tuple(each.call for each in others if each.call is not None), others))
            return turn.put(others[0])
    return ask_lost(turn) if lost else turn


def _next(turn: Turn) -> Turn:
    return turn.put(turn.asked) if turn.asked is not None else turn


def confirmed(turn: Turn) -> Turn:
    """What waited for the speaker is taken."""
    return turn.did(Accepted(turn.who)) if turn.mine is not None else turn


def no(turn: Turn, facts: tuple[Said, ...]) -> Turn:
    """Objects to what was read back; a value with it takes its place in the same turn."""
    doubt = turn.asked
    if doubt is not None and doubt.concern is Concern.TESTED:
        turn = revoke(turn, tuple((turn.mine.board if turn.mine else "", box) for box in doubt.boxes), live=False)
        return call(turn, facts) if facts else turn
    if doubt is not None and doubt.concern is Concern.LAST:
        return _not_last(turn, facts)
    if doubt is not None and doubt.concern is Concern.LEAVE_OUT:
        turn = turn.did(Closed(turn.who))
        return call(turn, facts) if facts else _next(turn.tell(Tell.SAY_WHOLE))
    other = (_of_what_is_asked(turn, facts[0]) or _none_of_them(turn, facts[0])) if len(facts) == 1 else None
    if other is not None:
        return other
    if facts:
        return _no_but(turn, facts)
    if turn.mine is not None:
        return _plain_no(turn, turn.mine, doubt)
    return object_to_last(turn)


def _of_what_is_asked(turn: Turn, fact: Said) -> Turn | None:
    """No, and a bare figure, where one place is asked about, or its figure was spoilt: it belongs there, and to nothing
    else that was read back. None where no place is.
    """
    if not isinstance(fact, Reading) or not is_bare(fact):
        return None
    doubt, awaited = turn.asked, turn.state.awaited.get(turn.who)
    place = _place_of_all(doubt)
    if doubt is not None and place is not None:
        placed = replace(fact, dimension=place[0], at=place[1])
        return turn.put(doubt) if any(_fits(way, placed) for way in doubt.ways) else _chosen(turn, doubt, (placed,))
    open_still = {one.number for one in turn.state.not_taken(turn.state.board)}
    if doubt is None and awaited is not None and open_still.intersection(awaited.instead):
        return propose(turn, (fact,), corrects=True, beside=True)
    return None


def _which_of(turn: Turn) -> Doubt | None:
    """The open question which of several ways a call just made was meant."""
    doubt = turn.asked
    if doubt is None or doubt.concern is not Concern.WHICH_OF or doubt.answered_by is not AnsweredBy.ONE_OF:
        return None
    stood = turn.mine is not None and doubt.call in turn.mine.stood
    return None if doubt.call is None or stood else doubt


def _none_of_them(turn: Turn, fact: Said) -> Turn | None:
    """No, and what was meant: one of the ways after all, another value at the place of one, or the value of one at
    another place. None where it is about anything else.
    """
    doubt = _which_of(turn)
    if doubt is None or doubt.call is None or not isinstance(fact, Reading) or fact.at is None:
        return None
    if any(_fits(way, fact) for way in doubt.ways):
        return choose(turn, doubt, (fact,))
    there = _in_one_of(doubt, fact)
    if there is not None:
        return _chosen(turn, doubt, (there,))
    if not any(isinstance(one, Reading) and one.value == fact.value for way in doubt.ways for one in way):
        return None
    turn, back = put_back(turn, (doubt.call,))
    turn = turn.tell(Tell.TAKEN_BACK, turn.state.board, *(turn.state.calls[each] for each in (doubt.call, *back)))
    return propose(turn, (fact,), corrects=True, beside=True)


def unclear_no(turn: Turn, ways: tuple[tuple[Fact, ...], ...]) -> Turn | None:
    """No, and what may be the same several things once more: what it is is asked for in another way. None where nothing
    of the kind is open.
    """
    doubt = turn.asked
    if doubt is None or turn.mine is None or doubt.concern is not Concern.WHICH_OF or doubt.call is None:
        return None
    old = {tuple(map(nameless, way)) for way in doubt.ways}
    if any(tuple(map(nameless, way)) in old for way in ways):
        return _plain_no(turn, turn.mine, doubt)
    return None


def no_part(turn: Turn, parts: tuple[Part, ...]) -> Turn | None:
    """No, and what of the one thing read back is otherwise: its fraction, its place, its kind. None where the parts are
    of nothing that waits.
    """
    waiting = turn.state.waiting(turn.who)
    old = waiting[0] if len(waiting) == 1 else None
    begun = _denied_piece(turn, parts)
    if begun is not None:
        return begun
    if old is None or not isinstance(old.fact, Reading | Box | Opening):
        return None
    new: Reading | Box | Opening = old.fact
    for part in parts:
        after = with_fraction(new, part) if isinstance(new, Reading) else with_part(new, part)
        if after == new:
            return None
        new = after
    return mend(turn, old, new)


def _denied_piece(turn: Turn, parts: tuple[Part, ...]) -> Turn | None:
    """No, and another distance or kind of what still lacks a part: in the place of the one that was called."""
    doubt = turn.asked
    old = turn.state.calls.get(doubt.call) if doubt is not None and doubt.call is not None else None
    if old is None or not isinstance(old.fact, Incomplete):
        return None
    new = old.fact
    for part in parts:
        if isinstance(part.value, Distance):
            more = together(new, Incomplete(None, (part.value,)))
        elif isinstance(part.value, BoxKind) and new.kind is not None:
            more = replace(new, kind=part.value)
        else:
            return None
        if not isinstance(more, Incomplete):
            return mend(turn, old, more)
        new = more
    return None if new == old.fact else mend(turn, old, new)


def _not_last(turn: Turn, facts: tuple[Said, ...]) -> Turn:
    """Something in the last read-back is wrong: with the right value it is changed, and all is read back once more."""
    if not facts:
        return turn.ask(Tell.WHICH_VALUE)
    turn = turn.did(Closed(turn.who))
    if len(facts) == 1 and isinstance(facts[0], Reading | Box | Opening):
        return change(turn, facts[0])
    return propose(turn, facts, corrects=True)


def _plain_no(turn: Turn, mine: Open, doubt: Doubt | None) -> Turn:
    """Out with what was asked about, else with all that was read back; what comes next takes its place. Until it does,
    or is left out by a word, it stands as not taken: a wall without it is another wall.
    """
    if doubt is not None and doubt.call is not None:
        gone: tuple[int, ...] = (doubt.call,)
    else:
        gone = mine.calls
    calls = tuple(turn.state.calls[each] for each in gone)
    place = _place_of_all(doubt)
    if doubt is None or doubt.concern is not Concern.LOST:  # what entries were lost of stays in question
        keys = {tuple(map(key_of, way)) for way in doubt.ways} if doubt is not None else set()
        (about,) = keys.pop() if len(keys) == 1 and all(len(one) == 1 for one in keys) else (None,)
        out = tuple(replace(one, standing=Standing.NOT_TAKEN, queued=False, about=about) for one in calls)
        turn = turn.did(TakenBack(gone), NotTaken(out))
    turn = turn.did(Awaited(*place)) if place is not None else _awaiting(turn, calls)
    return turn.ask(Tell.NOT_TAKEN_WHAT_IS_IT, *calls, *_before(turn, calls))


def _before(turn: Turn, gone: tuple[Call, ...]) -> tuple[Call, ...]:
    """What was at the place of each call that was said no to: it stands, or had been replaced before it counted."""
    found = []
    for one in gone:
        old = turn.state.calls.get(one.replaces) if one.replaces is not None else None
        stands = turn.state.settled(one.board).get(one.key)
        there = stands or old
        found += [there] if there is not None and is_whole(there) and there.number != one.number else []
    return tuple(found)


def _place_of_all(doubt: Doubt | None) -> tuple[Dimension | None, Place] | None:
    """Where every way of a question is one reading of the same place: that."""
    ways = doubt.ways if doubt is not None and doubt.concern is Concern.WHICH_OF else ()
    places = {(one.dimension, one.at) for way in ways for one in way if isinstance(one, Reading)}
    same = len(places) == 1 and all(len(way) == 1 and isinstance(way[0], Reading) for way in ways)
    dimension, at = places.pop() if same else (None, None)
    return None if at is None else (dimension, at)


def _awaiting(turn: Turn, calls: tuple[Call, ...]) -> Turn:
    """The place of a reading that was objected to is the place of a bare value that comes instead; after a thing it may
    be a figure of that.
    """
    first = calls[0].fact if len(calls) == 1 else None
    if isinstance(first, Box | Opening | Incomplete):
        return turn.did(Awaited(None, None))
    if isinstance(first, Reading) and first.at is not None:
        return turn.did(Awaited(first.dimension, first.at))
    return turn


def _no_but(turn: Turn, facts: tuple[Said, ...]) -> Turn:
    """No, and what is right: in the place of what was read back, or with that in question."""
    whose, old = _objected(turn, facts)
    if old is not None and len(facts) == 1:
        fact = in_place_of(old.fact, facts[0])
        if fact == old.fact:
            doubt = Doubt(Concern.CONTRADICTION, old.number)
            turn = turn.did(Questioned(whose, (old.number,), (doubt,)))
            return turn.put(doubt)
        return mend(_moved_away(turn, old, fact), old, facts[0])
    if turn.mine is None and len(facts) == 1 and isinstance(facts[0], Reading | Box | Opening):
        return change(turn, facts[0])
    readings = [one for one in turn.state.waiting(turn.who) if isinstance(one.fact, Reading)]
    things = tuple(one for one in turn.state.waiting(turn.who) if isinstance(one.fact, Box | Opening))
    if things and not readings and len(facts) == 1 and is_bare(facts[0]):
        turn = keep_words(_in_question(turn, things), (turn.judged.utterance.heard,))
        return turn.put(turn.asked) if turn.asked is not None else turn  # a figure of a box, and not which
    if len(readings) > 1 and len(facts) == 1 and isinstance(facts[0], Reading) and facts[0].at is None:
        return turn.ask(Tell.WHICH_VALUE)
    waiting = turn.state.waiting(turn.who)
    moved = tuple(one.number for one in waiting if any(_moves(one, fact) for fact in facts))
    told_again = turn.asked is None and all(_told_again(turn, fact) for fact in facts)
    if moved and not told_again:
        turn, back = put_back(turn, moved)
        turn = turn.tell(Tell.TAKEN_BACK, turn.state.board, *(turn.state.calls[each] for each in (*moved, *back)))
    if bool(moved) is not told_again:  # both: which of the two is meant is asked
        return propose(turn, facts, corrects=True, beside=True)
    return propose(_in_question(turn, waiting), facts, corrects=True, beside=True)


def _told_again(turn: Turn, fact: Said) -> bool:
    """Whether what is put right was said once more just now, behind what was read back."""
    calls = (value for note in turn.state.said if note.tell is Tell.TOGETHER for value in note.values)
    facts = [one.fact for one in calls if isinstance(one, Call) and one.fact is not None]
    return any(type(old) is type(fact) and _may_be(old, fact) and in_place_of(old, fact) != old for old in facts)


def _moved_away(turn: Turn, old: Call, fact: Said) -> Turn:
    """Without the same figure at another place, where it was put just now: what stood there stands again."""
    gone = tuple(
        one.number
        for one in turn.state.waiting(turn.who)
        if one.number != old.number and one.number in turn.state.read_last.calls and _moves(one, fact)
    )
    if not gone:
        return turn
    turn, back = put_back(turn, gone)
    return turn.tell(Tell.TAKEN_BACK, old.board, *(turn.state.calls[each] for each in (*gone, *back)))


def _moves(one: Call, fact: Said) -> bool:
    """The same value at another place: what was put in the wrong one."""
    if isinstance(one.fact, Reading) and isinstance(fact, Reading):
        return one.fact.value == fact.value and fact.at is not None
    return False


def _objected(turn: Turn, facts: tuple[Said, ...]) -> tuple[str, Call | None]:
    """Whose and which one call the right value takes the place of: the speaker's own, else the other's."""
    if len(facts) != 1:
        return turn.who, None
    own = replaced(turn, facts[0])
    if own is not None:
        return turn.who, own
    named = key_of(facts[0]).name or (isinstance(facts[0], Reading) and facts[0].at is not None)
    for who in turn.state.open if named or turn.mine is None else ():
        found = replaced(turn, facts[0], who)
        if found is not None:
            return who, found
    return turn.who, None


def _in_question(turn: Turn, calls: tuple[Call, ...]) -> Turn:
    numbers = tuple(one.number for one in calls if is_whole(one))
    doubted = {doubt.call for doubt in (turn.mine.doubts if turn.mine else ())}
    doubts = tuple(Doubt(Concern.OBJECTED, each, told=(turn.who,)) for each in numbers if each not in doubted)
    return turn.did(Questioned(turn.who, numbers, doubts)) if numbers else turn


def object_to_last(turn: Turn, *, quiet: bool = False) -> Turn:
    """An objection without a value: what was read back last is in question, whether it waits or is in force. `quiet`
    leaves the question to what follows in the same turn.
    """
    last = turn.state.read_last
    if last.boxes:
        return revoke(turn, tuple((last.board, box) for box in last.boxes), live=False)
    numbers = tuple(
        each
        for each in last.calls
        if each in turn.state.calls and (turn.state.calls[each].in_force or turn.state.calls[each].waits)
    )
    numbers = tuple(each for each in numbers if is_whole(turn.state.calls[each]))
    if not numbers:
        return turn if quiet else turn.refuse(Tell.NOTHING_OPEN)
    turn, whose = _objected_to(turn, numbers)
    asked = turn.state.open[whose].doubts[0] if whose in turn.state.open and turn.state.open[whose].doubts else None
    return turn if quiet or asked is None else turn.put(asked)


def object_to_place(turn: Turn, dimension: Dimension | None, at: Place) -> Turn:
    """An objection that names a place and breaks off: what stands there is in question, nothing else is."""
    standing = turn.state.known(turn.state.board, doubtful=True).values()
    there = tuple(
        one.number
        for one in standing
        if isinstance(one.fact, Reading) and one.fact.at == at and dimension in {None, one.fact.dimension}
    )
    return _objected_to(turn, there)[0] if there else turn


def _objected_to(turn: Turn, numbers: tuple[int, ...]) -> tuple[Turn, str]:
    """With those calls in question, and who is asked."""
    whose = next((who for who, one in turn.state.open.items() if set(numbers) & set(one.calls)), turn.who)
    known = {doubt.call for doubt in turn.state.open[whose].doubts} if whose in turn.state.open else set()
    doubts = tuple(Doubt(Concern.OBJECTED, each, told=(turn.who,)) for each in numbers if each not in known)
    if doubts:
        turn = turn.did(Questioned(whose, numbers, doubts))
    return turn, whose


def answered(turn: Turn, facts: tuple[Said, ...], parts: tuple[Part, ...]) -> Turn | None:
    """Values or parts said while a question is open: what they settle of it, else None."""
    doubt = turn.asked
    if doubt is None:
        return None
    if doubt.answered_by is AnsweredBy.PART and doubt.call is not None:
        return _filled(turn, doubt, facts, parts)
    if doubt.answered_by is AnsweredBy.ONE_OF or doubt.ways:
        found = choose(turn, doubt, (*facts, *parts))
        if found is not None:
            return found
    if len(facts) == 1 and not parts and doubt.call is not None and doubt.call in turn.state.calls:
        old = turn.state.calls[doubt.call]
        if _turns(facts[0], doubt.odd):
            return weigh_anew(turn, old, facts[0])
        if _is_it(turn, doubt, facts[0]) and doubt.concern is not Concern.ALREADY_CUT:
            return turn.put(doubt) if turn.judged.doubtful else confirm(turn)
        if replaced(turn, facts[0]) == old:
            return mend(turn, old, facts[0])
    return _in_place_of_another(turn, facts[0]) if len(facts) == 1 and not parts else None


def _in_place_of_another(turn: Turn, fact: Said) -> Turn | None:
    """A new value for something else that waits."""
    other = replaced(turn, fact)
    anew = other is not None and _has_place(fact) and _says_anew(other.fact, fact)
    return mend(turn, other, fact) if other is not None and anew else None


def _turns(fact: Said, odd: Oddity | None) -> bool:
    """Whether the sheet was said to hang the other way than a reading was doubted for."""
    if odd is None or odd.odd is not Odd.TURNED:
        return False
    return isinstance(fact, Context) and fact.topic is Topic.LIES and fact.value != odd.lies


def _says_anew(old: Said | None, new: Said) -> bool:
    """Whether a box or an opening without a name is one that waits, said anew: with one of its distances. Else it is
    the next one, which takes nobody's place.
    """
    if not isinstance(old, Box | Opening) or not isinstance(new, Box | Opening) or new.name:
        return True
    return type(old) is type(new) and bool(_distances(old) & _distances(new))


def _distances(thing: Box | Opening) -> set[tuple[Length, Edge]]:
    places = (thing.x, thing.y) if isinstance(thing, Box) else (*thing.xs, *thing.ys)
    return {(each.value, each.start) for each in places}


def _has_place(fact: Said) -> bool:
    return not isinstance(fact, Reading) or fact.at is not None


def choose(turn: Turn, doubt: Doubt, said: tuple[Said | Part, ...]) -> Turn:
    """The one way that fits what was said; a whole new call in its place will do as well. Else the question again. What
    was itself heard with doubt settles nothing: whether that way is right is asked, which a yes answers.
    """
    fits = [way for way in doubt.ways if all(_fits(way, one) for one in said)]
    if len(fits) == 1 and doubt.call is not None:
        return narrowed(turn, doubt, fits[0]) if turn.judged.doubtful else _chosen(turn, doubt, fits[0])
    whole = tuple(each for each in said if not isinstance(each, Part))
    if len(whole) == 1 and len(said) == 1 and doubt.call is not None and not fits:
        places = {key_of(fact) for way in doubt.ways for fact in way}
        mended = in_place_of(doubt.ways[0][0], whole[0]) if doubt.ways else whole[0]
        if len(places) == 1 and _may_be(doubt.ways[0][0], whole[0]) and type(doubt.ways[0][0]) is type(whole[0]):
            return _chosen(turn, doubt, (mended,) if not isinstance(mended, Incomplete) else ())
        if (there := _in_one_of(doubt, whole[0])) is not None:
            return _chosen(turn, doubt, (there,))
    if len(whole) == len(said) and doubt.call is not None and _tells_more(doubt, whole) and not turn.judged.doubtful:
        return call(turn.did(SaidAgain((doubt.call,))), whole)
    if whole:
        return queue(turn, whole)
    return turn.put(doubt, Tell.PICK_ONE)


def place_said(turn: Turn, dimension: Dimension | None, at: Place) -> Turn | None:
    """A place named alone where that answers: the missing edge, or the way that is there; None where it doesn't."""
    doubt = turn.asked
    if doubt is not None and doubt.answered_by is AnsweredBy.PART and isinstance(at, Slot):
        return _filled(turn, doubt, (), (Part(at),))
    if doubt is None or doubt.answered_by is not AnsweredBy.ONE_OF or doubt.call is None:
        return None
    there = [way for way in doubt.ways if any(_is_at(fact, dimension, at) for fact in way)]
    if len(there) != 1:
        return None
    heard = turn.judged.doubtful and spoken(turn.source)
    return narrowed(turn, doubt, there[0]) if heard else _chosen(turn, doubt, there[0])


def _is_at(fact: Fact, dimension: Dimension | None, at: Place) -> bool:
    return isinstance(fact, Reading) and fact.at == at and dimension in {None, fact.dimension}


def _in_one_of(doubt: Doubt, said: Said) -> Fact | None:
    """Another value at the place of one of the ways, with that place said: in it."""
    for fact in (fact for way in doubt.ways if len(way) == 1 for fact in way):
        if isinstance(fact, Reading) and isinstance(said, Reading) and said.at is not None and _may_be(fact, said):
            return replace(said, dimension=fact.dimension, at=fact.at)
    return None


def _tells_more(doubt: Doubt, whole: tuple[Said, ...]) -> bool:
    """Whether one way is all there among more that was said: the call was that and more, of which a part was heard."""
    more = (way for way in doubt.ways if way and len(way) < len(whole))
    return any(all(any(_fits((fact,), each) for each in whole) for fact in way) for way in more)


def narrowed(turn: Turn, doubt: Doubt, way: tuple[Fact, ...]) -> Turn:
    """Of several ways one is asked about alone, to be answered by yes or no."""
    assert doubt.call is not None
    old = turn.state.calls[doubt.call]
    if doubt.answered_by is AnsweredBy.YES_OR_NO and way == (doubt.ways[0] if old.fact is None else (old.fact,)):
        return turn.put(doubt)
    only = Doubt(Concern.WHICH_OF, doubt.call, (way,))
    return turn.did(Questioned(turn.who, (doubt.call,), (only,))).put(only)


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


def nameless(fact: Fact) -> Fact:
    """The fact without the name that the dialogue gave it, which is another one at each call."""
    return replace(fact, name="") if isinstance(fact, Box | Opening) else fact


def _chosen(turn: Turn, doubt: Doubt, way: tuple[Fact, ...]) -> Turn:
    """The call becomes what was meant: confirmed where it was taken for that, else read back anew."""
    assert doubt.call is not None
    old = turn.state.calls[doubt.call]
    if old.fact is not None and way == (old.fact,):
        return _said_right(turn, doubt)
    kept = tuple(one.number for one in turn.state.waiting(turn.who) if one.number != old.number)
    still = tuple(each for each in (turn.mine.doubts if turn.mine else ()) if each.call in kept)
    number = turn.state.next_number
    made = tuple(
        replace(
            old,
            number=number + index,
            fact=fact,
            standing=Standing.READ_BACK,
            hearings=old.hearings + 1,
            replaces=old.replaces if old.fact is None else old.number,
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
    turn = read_back(
        replace(turn, judged=judged), old.board, made, answered=lengths, kept=kept, still=still, corrects=True
    )
    return replace(turn, judged=before)


def _fits(way: tuple[Fact, ...], said: Said | Part) -> bool:
    """Whether a piece of what was said is that way and no other."""
    if len(way) != 1:
        return any(_fits((fact,), said) for fact in way)
    fact = way[0]
    if isinstance(said, Part):
        return _has_part(fact, said)
    if isinstance(fact, Reading) and isinstance(said, Reading):
        if said.at is None and said.dimension is None and said.value < Length(1):
            return fact.value == said.value or fact.value.inches % 1 == said.value.inches
        return fact.value == said.value and _may_be(fact, said)
    if isinstance(fact, Box | Opening) and isinstance(said, Box | Opening):
        return nameless(fact) == nameless(said) and same_name(fact, said)
    if isinstance(fact, Box | Opening) and isinstance(said, Reading) and is_bare(said):
        return _has_part(fact, Part(said.value))
    return fact == said


def _has_part(fact: Fact, part: Part) -> bool:
    value = part.value
    if isinstance(fact, Reading):
        if isinstance(value, Length):
            return fact.value == value or fact.value.inches % 1 == value.inches
        return fact.at is not None and str(fact.at) == str(value) if isinstance(value, Slot | Edge) else False
    if isinstance(fact, Box):
        places = (fact.x, fact.y)
        return (
            (isinstance(value, Point) and all(each.point is value for each in places))
            or (isinstance(value, Edge) and any(each.start is value for each in places))
            or (isinstance(value, BoxKind) and fact.kind is value)
            or (isinstance(value, Length) and any(each.value == value for each in places))
        )
    if isinstance(fact, Opening):
        marks = (*fact.xs, *fact.ys)
        return (isinstance(value, Length) and any(each.value == value for each in marks)) or (
            isinstance(value, Edge) and any(each.start is value for each in marks)
        )
    if isinstance(fact, Diagonal):
        return isinstance(value, Slant) and fact.rising == (value is Slant.RISING)
    return isinstance(fact, Context) and fact.value == value


def _filled(turn: Turn, doubt: Doubt, facts: tuple[Said, ...], parts: tuple[Part, ...]) -> Turn | None:
    """The missing part in its call, or the next piece of it; what was called is kept."""
    assert doubt.call is not None
    old = turn.state.calls[doubt.call]
    if len(facts) == 1 and not parts and isinstance(old.fact, Incomplete) and says_again(old.fact, facts[0]):
        return mend(turn, old, facts[0])
    if not isinstance(old.fact, Incomplete):
        return None
    if len(facts) == 1 and not parts and not isinstance(facts[0], Reading):
        return _by_said_habit(turn, old, old.fact, facts[0])
    new = old.fact
    for piece in (*facts, *parts):
        more = filled(new, piece)
        if more == new and isinstance(piece, Part) and piece.value not in new.distances:
            return turn.put(doubt, Tell.SAY_THE_PART)  # none of it, rather than a piece in silence
        if more == new and not isinstance(piece, Part):
            return None
        new = more
    if new == old.fact:
        return turn.put(doubt, Tell.SAY_THE_PART)
    turn = mend(turn, old, new.whole or new)
    habit = usual(turn.state)
    return turn if habit is None or turn.asked is not None else propose(turn, (habit,), beside=True)


def sized(turn: Turn, sides: tuple[Length, Length]) -> Turn | None:
    """Two sides said where the size of an opening is asked for; None where it isn't."""
    doubt = turn.asked
    old = turn.state.calls.get(doubt.call) if doubt is not None and doubt.call is not None else None
    if doubt is None or doubt.lack is not Lack.SIZE or old is None or not isinstance(old.fact, Incomplete):
        return None
    if old.fact.kind in ROUND:
        return None
    new = replace(old.fact, width=sides[0], height=sides[1])
    return mend(turn, old, new.whole or new)


def _by_said_habit(turn: Turn, old: Call, asked: Incomplete, said: Said) -> Turn | None:
    """A habit said where its part is asked for answers the question, and holds from then on."""
    part = as_part(said)
    new = asked if part is None else filled(asked, part)
    if new == asked:
        return None
    turn = mend(turn, old, new.whole or new)
    return queue(turn, (said,)) if turn.asked is not None else propose(turn, (said,), beside=True)


_EDGES = {Neighbor.FLOOR: Edge.BOTTOM, Neighbor.CEILING: Edge.TOP}
"""What distances are called from by what stands there."""


def filled(call: Incomplete, said: Part | Said) -> Incomplete:
    """The call with that piece where it was missing; as it was where the piece doesn't fit. A bare figure is the next
    distance, then the next size; what belongs to a distance is kept until its figure comes.
    """
    if isinstance(said, Reading):
        return _figured(call, said)
    if not isinstance(said, Part):
        return call
    value, lacks = said.value, call.lacks
    if isinstance(value, Neighbor):
        value = _EDGES.get(value, value)
    if isinstance(value, BoxKind) and Lack.KIND in lacks:
        return replace(call, kind=value)
    if isinstance(value, Point) and Lack.POINT in lacks:
        return replace(call, distances=tuple(replace(each, point=each.point or value) for each in call.distances))
    if isinstance(value, Point) and Lack.DISTANCE in lacks and not call.distances:
        return replace(call, point=value)
    if isinstance(value, Edge) or (isinstance(value, Slot) and value is not Slot.MIDDLE):
        return _from(call, Edge(str(value)))
    if isinstance(value, Distance) and Lack.DISTANCE in lacks:
        return _placed(call, value)
    if isinstance(value, Length) and Lack.SIZE in lacks and call.kind in ROUND:
        return replace(call, diameter=value)
    return call


def _figured(call: Incomplete, said: Reading) -> Incomplete:
    """The call with a figure that names no place of the board: of its next distance, else of its size."""
    if said.at is not None:
        return call
    if said.dimension is None and Lack.DISTANCE in call.lacks:
        return _placed(call, Distance(said.value))
    if Lack.SIZE not in call.lacks or said.value < Length(1):
        return call
    if call.kind in ROUND:
        return replace(call, diameter=said.value) if said.dimension is None else call
    if call.width is None and said.dimension is not Dimension.HEIGHT:
        return replace(call, width=said.value)
    if call.height is None and said.dimension is not Dimension.WIDTH:
        return replace(call, height=said.value)
    return call


def _placed(call: Incomplete, said: Distance) -> Incomplete:
    """With one more distance, of which the edge or the point may have been said before."""
    start, point = said.start or call.start, said.point or call.point
    if _taken(call, start):
        return call
    before = tuple(replace(each, point=each.point or point) for each in call.distances)  # said once it holds for both
    known = point or (before[0].point if before else None) or (Point.NEAR if call.kind in FRAMED else None)
    return replace(call, distances=(*before, Distance(said.value, known, start)), point=None, start=None)


def _taken(call: Incomplete, start: Edge | None) -> bool:
    """Whether a distance from that edge would run the way of one that was called: of two across none is down."""
    down = {Edge.TOP, Edge.BOTTOM}
    others = (each.start for each in call.distances if each.start is not None)
    return start is not None and any((each in down) == (start in down) for each in others)


def _from(call: Incomplete, start: Edge) -> Incomplete:
    """The first distance without its edge counted from there, else the next one."""
    if _taken(call, start):
        return call
    open_ones = [index for index, each in enumerate(call.distances) if each.start is None]
    if open_ones:
        made = (replace(each, start=start) if at == open_ones[0] else each for at, each in enumerate(call.distances))
        return replace(call, distances=tuple(made))
    return replace(call, start=start) if Lack.DISTANCE in call.lacks else call
