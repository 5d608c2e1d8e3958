"""Objections: what puts in question what was read back, or takes it back."""

from __future__ import annotations

from dataclasses import replace

from fieldvoice.dialogue.amending import (
    could_be,
    figures_of,
    in_place_of,
    is_bare,
    says_again,
    together,
    with_another_figure,
    with_figure,
    with_parts,
    with_sides,
)
from fieldvoice.dialogue.answers import choose, moved, part_mended, take_instead, take_way
from fieldvoice.dialogue.circuits import doubt_dead
from fieldvoice.dialogue.correcting import (
    corrected,
    in_question,
    meant,
    not_out,
    object_to,
    object_to_last,
    one_of_those,
    place_of_all,
    plain_no,
    readings_told,
    surface_meant,
)
from fieldvoice.dialogue.events import Closed, Questioned
from fieldvoice.dialogue.keeping import keep_words, queue_words, words_kept
from fieldvoice.dialogue.matching import has_part, in_one_of, may_be, nameless, stem, way_fits
from fieldvoice.dialogue.placing import another_wall, board_denied, denied, instead_of_denied, places_told, thing_denied
from fieldvoice.dialogue.proposals import anywhere, as_one, call, mend, propose, replaced
from fieldvoice.dialogue.state import are_one_figure
from fieldvoice.dialogue.taking_back import without
from fieldvoice.dialogue.turn import Turn
from fieldvoice.records.facts import Fact, Said, key_of
from fieldvoice.records.ledger import AnsweredBy, Call, Concern, Doubt, Tell
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import (
    BoxKind,
    Context,
    Distance,
    Edge,
    Incomplete,
    LayoutWish,
    Opening,
    Reading,
    Slot,
    SurfaceCall,
    Topic,
    WholeThing,
)
from fieldvoice.records.utterance import Answer, Part, Status, ThingName


def no(turn: Turn, facts: tuple[Said, ...]) -> Turn:
    """Objects to what was read back; a value with it takes its place in the same turn."""
    doubt = turn.asked
    if any(isinstance(fact, Context) and fact.topic is Topic.BOARD for fact in facts):
        return call(no(turn, ()), facts)  # the other board is meant instead, and is no value of this one
    if doubt is not None and doubt.concern is Concern.TESTED:
        turn = doubt_dead(turn, turn.mine.board, doubt.boxes)
        return call(turn, facts) if facts else turn
    if doubt is not None and doubt.concern is Concern.LAST:
        return turn.at_board(board_denied(turn), lambda there: _not_last(there, facts))
    if doubt is not None and doubt.concern is Concern.LEAVE_OUT:
        turn = turn.did(Closed(turn.who))
        return (_not_but(turn, facts) or call(turn, facts)) if facts else not_out(turn, doubt)
    if facts:
        if _of_what_was_lost(turn) and any(_has_no_place(turn, fact) for fact in facts):
            return words_kept(turn).refuse(Tell.SAY_WHOLE)
        wall = another_wall(turn, facts)
        if wall is not None:  # one that isn't there yet is meant instead of what was read back
            instead = wall not in turn.state.surfaces and turn.mine and turn.asked is None
            return call(no(turn, ()) if instead else turn, facts)
        return turn.at_board(board_denied(turn), lambda there: _no_with(there, facts))
    others = turn.state.refused and turn.state.told != turn.who  # what another one said in vain may be meant
    if turn.mine and not _of_what_was_lost(turn) and (doubt is not None or not others):
        return plain_no(turn)
    if any(note.tell is Tell.NOT_TAKEN_WHAT_IS_IT for note in turn.state.said) and (still := denied(turn)):
        return turn.ask(Tell.NOT_TAKEN_WHAT_IS_IT, *still)
    return object_to_last(turn)


def _of_what_was_lost(turn: Turn) -> bool:
    """Whether a no is of what wasn't taken of its speaker just before, and not of what was read back before that."""
    return turn.asked is None and turn.after_refusal and turn.state.told == turn.who


def _has_no_place(turn: Turn, fact: Said) -> bool:
    """Whether it is a figure of which neither its words nor what is awaited tell the place."""
    awaited = turn.state.awaited.get(turn.who)
    there = awaited is not None and (awaited.at is not None or is_bare(fact))  # where a bare one belongs is asked
    return isinstance(fact, Reading) and fact.at is None and not there


def _no_with(turn: Turn, facts: tuple[Said, ...]) -> Turn:
    """No, and what is right, at the board of what is denied."""
    if (found := _not_but(turn, facts)) is not None:
        return found
    if len(facts) == 1 and replaced(turn, facts[0]) is None:
        facts = (meant(turn, facts[0]),)
    other = (_of_what_is_asked(turn, facts[0]) or _none_of_them(turn, facts[0])) if len(facts) == 1 else None
    return other or _no_but(turn, facts)


def _of_what_is_asked(turn: Turn, fact: Said) -> Turn | None:
    """No, and a bare figure, where one place is asked about, or its figure was spoilt: it belongs there, and to nothing
    else that was read back. None where no place is.
    """
    if (found := _of_what_lacks(turn, fact)) is not None:
        return found
    if not isinstance(fact, Reading) or not is_bare(fact):
        return None
    doubt, awaited = turn.asked, turn.state.awaited.get(turn.who)
    place = place_of_all(doubt)
    if doubt is not None and place is not None:
        placed = replace(fact, dimension=place[0], at=place[1])
        return turn.put(doubt) if any(way_fits(way, placed) for way in doubt.ways) else take_way(turn, doubt, (placed,))
    open_still = {one.number for one in turn.state.not_taken(turn.state.board)}
    if doubt is None and awaited is not None and open_still.intersection(awaited.instead):
        if awaited.at is None and not instead_of_denied(turn, fact):  # the only place that is free needn't be its
            return anywhere(turn, (fact,)) or words_kept(turn).refuse(Tell.WHICH_VALUE)
        return propose(turn, (fact,), corrects=True)
    return None


def _of_what_lacks(turn: Turn, fact: Said) -> Turn | None:
    """No, and a figure of no place of the board while a thing lacks a part: it is of the thing. None for any other."""
    doubt, old = turn.asked, turn.asked_about
    if doubt is None or old is None or not isinstance(old.fact, Incomplete) or not isinstance(fact, Reading) or fact.at:
        return None
    new = with_another_figure(old.fact, fact)
    return words_kept(turn).put(doubt, Tell.SAY_THE_PART) if new is None else mend(turn, old, new)


def _which_of(turn: Turn) -> Doubt | None:
    """The open question which of several ways a call just made was meant."""
    doubt = turn.asked
    if doubt is None or doubt.concern is not Concern.WHICH_OF or doubt.answered_by is not AnsweredBy.ONE_OF:
        return None
    stood = doubt.call in turn.mine.stood
    return None if doubt.call is None or stood else doubt


def _none_of_them(turn: Turn, fact: Said) -> Turn | None:
    """No, and what was meant: one of the ways after all, another value at the place of one, or the value of one at
    another place. None where it is about anything else.
    """
    doubt = _which_of(turn)
    if doubt is None or doubt.call is None or not isinstance(fact, Reading) or fact.at is None:
        return None
    if any(way_fits(way, fact) for way in doubt.ways):
        return choose(turn, doubt, (fact,))
    there = in_one_of(doubt, (fact,))
    if there is not None:
        return take_instead(turn, doubt, there)
    if not any(isinstance(one, Reading) and one.value == fact.value for way in doubt.ways for one in way):
        return None
    return propose(without(turn, turn.state.board, (doubt.call,)), (fact,), corrects=True)


def unclear_no(turn: Turn, ways: tuple[tuple[Fact, ...], ...]) -> Turn | None:
    """No, and what may be the same several things once more: what it is is asked for in another way. None where nothing
    of the kind is open.
    """
    doubt = turn.asked
    if doubt is None or doubt.concern is not Concern.WHICH_OF or doubt.call is None:
        return None
    old = {tuple(map(nameless, way)) for way in doubt.ways}
    if any(tuple(map(nameless, way)) in old for way in ways):
        return plain_no(turn)
    return None


def no_part(turn: Turn, parts: tuple[Part, ...]) -> Turn | None:
    """No, and what of the one thing read back is otherwise: its fraction, its place, its kind; what it says already is
    a contradiction. None where the parts are of nothing that waits.
    """
    if (mended := last_mended(turn, parts) or _by_name(turn, parts)) is not None:
        return mended
    thing = thing_denied(turn, parts)
    instead = (thing,) if thing else tuple(each for part in parts for each in instead_of_denied(turn, part))
    if instead and turn.asked is None:
        return propose(turn, instead, corrects=True)
    if _of_what_was_lost(turn):
        return words_kept(turn).refuse(Tell.SAY_WHOLE)  # of what wasn't understood, not of what was read back before
    found = _denied_piece(turn, parts) or part_mended(turn, parts) or moved(turn, parts) or _elsewhere(turn, parts)
    waiting = turn.state.waiting(turn.who)
    if found is None and not waiting and turn.state.read_last.board not in {"", turn.state.board}:
        return words_kept(turn).refuse(Tell.SAY_BOARD, *_told_board_and_here(turn))
    if found is not None or len(waiting) != 1 or turn.asked is not None:
        return found
    (old,) = waiting
    if not isinstance(old.fact, WholeThing | Context) or not all(has_part(old.fact, part) for part in parts):
        return None
    return turn.question(Doubt(Concern.CONTRADICTION, old.number))


def no_sides(turn: Turn, sides: tuple[Length, Length]) -> Turn | None:
    """Two sides with a no, or after one: those of the one thing that was objected to; without one, where no sheet has
    them, those of an opening that was just read back, or of the wall at hand. None where that hasn't two.
    """
    objects = turn.judged.utterance.objects
    told = (turn.asked_of or turn.state.waiting(turn.who)) if objects else denied(turn) or _opening_just_called(turn)
    told = tuple(one for one in told if with_sides(one.fact, sides)) or surface_meant(turn)
    asks_of_all = turn.asked is not None and turn.asked.call is None
    new = with_sides(told[0].fact, sides) if len(told) == 1 and not asks_of_all else None
    if new is None:
        return None
    if objects and told[0].waits:
        return mend(turn, told[0], new)
    corrects = objects or not isinstance(
        new, SurfaceCall
    )  # a wall that is called otherwise without a no is asked about
    return propose(turn, (new,), corrects=corrects)


def last_mended(turn: Turn, parts: tuple[Part, ...]) -> Turn | None:
    """What of the last read-back is otherwise, said by that part alone: of the one thing of the board that has it. None
    where it may be of several, or that wasn't read just now.
    """
    doubt = turn.asked
    if doubt is None or doubt.concern is not Concern.LAST or not parts:
        return None
    board = board_denied(turn)
    there = turn.state.known(board, doubtful=True).values()
    found = [(one, new) for one in there if (new := with_parts(one.fact, parts)) is not None]
    if len(found) != 1 or found[0][0].number not in doubt.calls:
        return None
    ((_, new),) = found
    return turn.at_board(board, lambda there: _not_last(there, (new,)))


def _by_name(turn: Turn, parts: tuple[Part, ...]) -> Turn | None:
    """No, and a name: of the thing that has it, whatever was read back or is asked of another one since; where none
    has, the one that was just read back is called so. None where it is asked about.
    """
    said = parts[0].value if len(parts) == 1 else None
    if not isinstance(said, ThingName):
        return None
    name = said.name
    things = {one.key.name: one for one in turn.known.values()}
    asked = turn.asked is not None and (turn.asked.call is None or name not in things or things[name] in turn.asked_of)
    if asked:
        return None
    if name in things:
        return object_to(turn, (things[name].number,))
    waiting = turn.state.waiting(turn.who)
    old = waiting[0].fact if len(waiting) == 1 else None
    if not isinstance(old, WholeThing) or stem(old.name) != stem(name):
        return None
    there = without(turn, waiting[0].board, (waiting[0].number,))
    return propose(there, (replace(old, name=name),), corrects=True)


def _elsewhere(turn: Turn, parts: tuple[Part, ...]) -> Turn | None:
    """No, and another place: the one value that was just read back belongs there, and what stood at its own stands
    again. None where anything else was read back, or more.
    """
    wished = tuple(one for one in turn.state.called_last if isinstance(one.fact, LayoutWish) and one.by == turn.who)
    waiting, place = turn.state.waiting(turn.who) or wished, parts[0].value if len(parts) == 1 else None
    if turn.asked is not None or len(waiting) != 1 or not isinstance(place, Slot | Edge):
        return None
    (one,) = waiting
    there: Reading | Context | LayoutWish
    match one.fact:
        case Reading() as old if {str(old.at), str(place)} == {"left", "right"}:
            there = replace(old, dimension=None, at=Slot(str(place)))
        case Context(topic=topic, edge=Edge()) as old if isinstance(place, Edge) and topic is not Topic.SPACING:
            there = replace(old, edge=place)
        case LayoutWish(edge=Edge()) as old if place in {Edge.LEFT, Edge.RIGHT}:
            there = replace(old, edge=Edge(place))
        case _:
            return None
    if str(place) == str(old.at if isinstance(old, Reading) else old.edge):
        return None
    return propose(without(turn, one.board, (one.number,)), (there,), corrects=True)


def _opening_just_called(turn: Turn) -> tuple[Call, ...]:
    last = turn.state.called_last
    known = turn.known.values()
    alone = len(last) == 1 and isinstance(last[0].fact, Opening) and last[0] in known and turn.asked is None
    return last if alone and turn.judged.utterance.status is Status.UNCLEAR else ()


def _denied_piece(turn: Turn, parts: tuple[Part, ...]) -> Turn | None:
    """No, and another distance or kind of what still lacks a part: in the place of the one that was called."""
    _doubt, old = turn.asked, turn.asked_about
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
    """Something in the last read-back is wrong: with the right value it is changed, and all is read back once more. A
    yes that comes now is about nothing: that it was all right was denied.
    """
    turn = turn.did(Closed(turn.who))
    if not facts:
        return turn.ask(Tell.WHICH_VALUE)
    if len(facts) == 1 and isinstance(facts[0], Reading | WholeThing):
        return corrected(turn, facts[0])
    return propose(turn, facts, corrects=True)


def _no_but(turn: Turn, facts: tuple[Said, ...]) -> Turn:
    """No, and what is right: in the place of what was read back, or with that in question."""
    facts = _as_the_length(turn, facts)
    whose, old = _objected(turn, facts)
    if old is not None and len(facts) == 1:
        fact = in_place_of(old.fact, facts[0])
        if fact == old.fact:
            numbers = tuple(one.number for one in as_one(turn, old)) if is_bare(facts[0]) else (old.number,)
            doubts = tuple(Doubt(Concern.CONTRADICTION, each) for each in numbers)
            return turn.did(Questioned(whose, numbers, doubts)).put(doubts[0])
        new, begun = facts[0], old.fact
        if isinstance(new, Incomplete) and isinstance(begun, Incomplete) and says_again(begun, new):
            new = together(begun, new)
        return mend(turn, old, new)
    if not turn.mine and len(facts) == 1 and _told_elsewhere(turn, facts[0]):
        return words_kept(turn).refuse(Tell.SAY_BOARD, *_told_board_and_here(turn))
    if not turn.mine and len(facts) == 1 and isinstance(facts[0], Reading | WholeThing):
        return corrected(turn, facts[0])
    if len(facts) == 1 and (found := _no_but_of_no_place(turn, facts[0])) is not None:
        return found
    waiting = turn.state.waiting(turn.who)
    moved = tuple(one for one in waiting if any(_moves(one, fact) for fact in facts))
    told_again = turn.asked is None and all(_told_again(turn, fact) for fact in facts)
    elsewhere = len(facts) == 1 and bool(places_told(turn, facts[0]))
    both = len(facts) == 1 and _stands_there(turn, facts[0])
    if moved and (elsewhere or both):  # the figure may be that of another place, too: this one isn't taken out for it
        return propose(in_question(turn, moved), facts, corrects=True)
    if moved and not told_again:
        turn = without(turn, turn.state.board, tuple(one.number for one in moved))
    if bool(moved) is not told_again or elsewhere:  # both: which of the two is meant is asked
        return propose(turn, facts, corrects=True)
    return propose(in_question(turn, waiting), facts, corrects=True)


def _no_but_of_no_place(turn: Turn, fact: Said) -> Turn | None:
    """No, and a figure of no place: it is of one of the things or readings that wait, and said to be a width of one of
    the widths, with what the no is about in question. None where that isn't to be asked.
    """
    waiting = turn.state.waiting(turn.who)
    things = tuple(one for one in waiting if not isinstance(one.fact, Reading))
    if things == waiting and waiting and is_bare(fact):
        turn = keep_words(in_question(turn, things))
        return turn.put_again()  # a figure of one of them, and not which
    if not isinstance(fact, Reading) or fact.at is not None:
        return None
    if fact.dimension is not None and readings_told(turn, fact):
        return one_of_those(in_question(turn, waiting), fact)
    return one_of_those(turn, fact) if len(waiting) - len(things) > 1 else None


def _told_board_and_here(turn: Turn) -> tuple[str | int, ...]:
    return *turn.named(turn.state.read_last.board), *turn.named(turn.state.board)


def _told_elsewhere(turn: Turn, fact: Said) -> bool:
    """Whether what was read back last is at that place of another board, so that the no may be about it."""
    olds = [one.fact for one in turn.state.called_last if one.in_force and one.board != turn.state.board]
    if isinstance(fact, Incomplete):
        return bool(fact.name) and fact.name in {old.name for old in olds if isinstance(old, WholeThing)}
    return any(type(old) is type(fact) and may_be(old, fact) for old in olds if old is not None)


def _as_the_length(turn: Turn, facts: tuple[Said, ...]) -> tuple[Said, ...]:
    """A figure alone as that of the one thing read back, where that is no reading: a clearance, a lean, the width of an
    opening.
    """
    waiting = turn.state.waiting(turn.who)
    alone = facts[0] if len(facts) == 1 and len(waiting) == 1 else None
    new = with_figure(waiting[0].fact, alone) if isinstance(alone, Reading) and alone.at is None else None
    return facts if new is None or isinstance(new, Reading) else (new,)


def _not_but(turn: Turn, facts: tuple[Said, ...]) -> Turn | None:
    """A figure, and what it was said not to be ("not 47 1/2, 47 3/8"): it is of the reading that is that, whatever was
    told last or is asked of another; where none is yet, it waits for its turn. None where no reading is meant, or what
    is asked about.
    """
    said = turn.judged.utterance.meanings
    was = next((each.was for each in said if isinstance(each, Answer) and each.was is not None), None)
    fact = facts[0] if len(facts) == 1 and is_bare(facts[0]) else None
    doubt = turn.asked
    if was is None or not isinstance(fact, Reading) or (doubt is not None and _has_figure(turn, doubt, was)):
        return None
    known = turn.known.values()
    there = [one for one in known if isinstance(one.fact, Reading) and one.fact.value == was]
    if not there and doubt is not None:
        return queue_words(turn, turn.judged.utterance.heard).put(doubt, Tell.ANSWER_FIRST)
    if not there and not readings_told(turn, fact):
        return None
    if not are_one_figure(there):
        return words_kept(turn).refuse(Tell.WHICH_VALUE)
    return propose(turn, tuple(in_place_of(one.fact, fact) for one in there), corrects=True)


def _has_figure(turn: Turn, doubt: Doubt, figure: Length) -> bool:
    """Whether a question is about something of that figure."""
    asked = [*(one.fact for one in turn.asked_of), *(fact for way in doubt.ways for fact in way)]
    figures = {one.value for one in asked if isinstance(one, Reading)}.union(*map(figures_of, asked))
    return figure in figures


def denies_another(turn: Turn, new: Reading, was: Length) -> bool:
    """Whether the reading at the place that is put right isn't the figure that it is said not to be."""
    known = turn.known.get(key_of(new))
    return known is not None and isinstance(known.fact, Reading) and known.fact.value != was


def _told_again(turn: Turn, fact: Said) -> bool:
    """Whether what is put right was said once more just now, behind what was read back."""
    calls = (value for note in turn.state.said if note.tell is Tell.TOGETHER for value in note.values)
    facts = [one.fact for one in calls if isinstance(one, Call) and one.fact is not None]
    return any(type(old) is type(fact) and may_be(old, fact) and in_place_of(old, fact) != old for old in facts)


def _moves(one: Call, fact: Said) -> bool:
    """The same value at another place: what was put in the wrong one."""
    if isinstance(one.fact, Reading) and isinstance(fact, Reading):
        return one.fact.value == fact.value and fact.at is not None
    return False


def _stands_there(turn: Turn, new: Said) -> bool:
    """Whether the place that was said has a figure already, so that this one may be right there and here."""
    there = (one.fact for one in turn.known.values() if isinstance(one.fact, Reading))
    return isinstance(new, Reading) and any(could_be(old, new) for old in there)


def _objected(turn: Turn, facts: tuple[Said, ...]) -> tuple[str, Call | None]:
    """Whose and which one call the right value takes the place of: the speaker's own, else the other's."""
    if len(facts) != 1:
        return turn.who, None
    own = replaced(turn, facts[0])
    if own is not None:
        return turn.who, own
    named = key_of(facts[0]).name or (isinstance(facts[0], Reading) and facts[0].at is not None)
    for who in turn.state.open if named or not turn.mine else ():
        found = replaced(turn, facts[0], who)
        if found is not None:
            return who, found
    return turn.who, None
