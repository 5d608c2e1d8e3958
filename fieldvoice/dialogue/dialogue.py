"""The moves of the dialogue: what each kind of meaning does. No clock, no file, no sound, no sentence.

A sure value is read back and taken once its speaker goes on without objecting; one in question waits for an answer to
its question. What was read back belongs to the person who called it, so that two people can talk at once.
"""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import replace
from datetime import datetime

from fieldvoice.dialogue.amending import in_place_of, is_bare
from fieldvoice.dialogue.answers import answered, called_so, detailed, of_doing, place_said, said_again, yes
from fieldvoice.dialogue.carried_out import rack_changed, registered, registered_elsewhere, say_source, ticks_gone
from fieldvoice.dialogue.circuits import claim_dead, denied_claim, endanger, untested, without_danger
from fieldvoice.dialogue.completing import its_fraction
from fieldvoice.dialogue.correcting import (
    corrected,
    deny_told,
    no_to_the_middle,
    objecting,
    of_what_was_told,
    sides_said,
)
from fieldvoice.dialogue.events import Awaited, Heard, LetGo
from fieldvoice.dialogue.figure_alone import of_which
from fieldvoice.dialogue.finishing import say_defaults, say_from_floor, say_sheet_of_unit, say_together
from fieldvoice.dialogue.houses import take_house
from fieldvoice.dialogue.keeping import (
    SAY_AGAIN,
    holds_figures,
    keep_words,
    kept_for_unit,
    kept_where_nothing_came,
    leads_away,
    may_be_a_yes,
    named_again,
    queue,
    repeated,
    words_kept,
)
from fieldvoice.dialogue.matching import free_name
from fieldvoice.dialogue.new_boards import in_step
from fieldvoice.dialogue.objections import denies_another, last_mended, no, no_part, no_sides, unclear_no
from fieldvoice.dialogue.ordering import (
    answer_order,
    as_order,
    carry_away,
    carry_out,
    changes,
    deny_order,
    kept_order,
    led,
    unsure_order,
)
from fieldvoice.dialogue.orders import at_its_board, resume
from fieldvoice.dialogue.placing import (
    answers_denied,
    as_awaited,
    denied,
    instead_of_denied,
    length_alone,
    of_the_place_named,
    said_again_of,
    side_alone,
    thing_denied,
)
from fieldvoice.dialogue.prompting import NoPlace, order_of, prompt, settled
from fieldvoice.dialogue.proposals import call, propose, which_of
from fieldvoice.dialogue.rivals import PLACED, as_wholes, called
from fieldvoice.dialogue.rooms import Judged, Rooms
from fieldvoice.dialogue.state import State, are_one_figure
from fieldvoice.dialogue.surfaces import belongs, lay_out
from fieldvoice.dialogue.taking_back import (
    awaiting_others,
    calmed,
    swallowed,
    told_by_nothing,
    told_otherwise,
    weighed_as_laid_out,
)
from fieldvoice.dialogue.taking_up import (
    brought_along,
    by_what_stands,
    in_order,
    part_of_each,
    part_of_put_off,
    size_said,
    taken_up,
    went_on,
)
from fieldvoice.dialogue.turn import Turn
from fieldvoice.dialogue.usable import of_what_is_asked, reckoned, usable, without_figure
from fieldvoice.records.facts import Fact, Key, Said, key_of
from fieldvoice.records.hearing import Hearing, Source
from fieldvoice.records.ledger import Concern, Tell
from fieldvoice.records.meaning import (
    Box,
    DeadAndTested,
    Dimension,
    Edge,
    Incomplete,
    Reading,
    Slot,
    WholeThing,
)
from fieldvoice.records.room import House
from fieldvoice.records.room_plan import Progress
from fieldvoice.records.utterance import (
    Action,
    Answer,
    Ask,
    Command,
    Correction,
    Meaning,
    Part,
    Question,
    Refusal,
    Spoilt,
    Status,
    Utterance,
    Why,
)


def respond(
    state: State, heard: Hearing, judged: Judged, who: str, at: datetime, rooms: Rooms, *, present: bool
) -> Turn:
    """Decides one turn: `heard` is the utterance as it came in, `judged` what it was taken for. Its events are to be
    recorded, in order, and then its notices told.
    """
    judged = by_what_stands(state, as_wholes(judged), who, rooms)
    words = judged.utterance.heard or heard.words
    others = tuple(each.words for each in heard.hypotheses if each.words != words)
    turn = Turn(state, who, at, rooms, judged, heard.source, present)
    turn = turn.did(Heard(words, heard.recognizer, heard.source, others, heard.sound, who))
    turn = endanger(objecting(deny_told(kept_order(turn))))
    turn = _held(turn) if state.holding else taken_up(kept_for_unit(turn) or _in_its_turn(turn), _listened)
    turn = repeated(kept_where_nothing_came(turn), words, state.next_number)
    return _outcome(state, untested(state, turn), then=prompt)


def at_screen(state: State, words: str, who: str, at: datetime, rooms: Rooms, move: Callable[[Turn], Turn]) -> Turn:
    """Decides what somebody does on the screen, told in words: what the move makes of the turn."""
    return _outcome(state, move(_at_screen(state, words, who, at, rooms)))


def respond_house(
    state: State, house: House, file: str, who: str, at: datetime, rooms: Rooms, progress: Progress | None
) -> Turn:
    """Decides what a planned house does to the job. Raises `CannotCut` where it can't be laid out."""
    return take_house(_at_screen(state, file, who, at, rooms), house, file, progress).closed()


def _at_screen(state: State, words: str, who: str, at: datetime, rooms: Rooms) -> Turn:
    turn = Turn(state, who, at, rooms, Judged(Utterance(Status.UNDERSTOOD, words)), Source.TYPED)
    return turn.did(Heard(words, "screen", Source.TYPED, by=who))


def _outcome(before: State, turn: Turn, then: Callable[[Turn], Turn] = lambda turn: turn) -> Turn:
    turn = brought_along(turn)
    turn = turn if turn.asks else calmed(turn, before.doubts)
    turn = swallowed(told_by_nothing(told_otherwise(turn, before), before), before)
    turn = awaiting_others(ticks_gone(turn, before), before)
    turn = in_step(lay_out(say_source(say_defaults(say_sheet_of_unit(say_from_floor(turn, before), before)))))
    turn = say_together(weighed_as_laid_out(turn, before))
    settled = any(notice.tell is Tell.STEPS for notice in turn.notices)
    turn = registered(turn) if settled or turn.state.board in turn.state.cut else turn
    return then(rack_changed(registered_elsewhere(turn, before), before)).closed()


def _held(turn: Turn) -> Turn:
    """While holding "resume", word of a live circuit and an objection count; what is typed and would change anything is
    kept as not taken, and what is spoken is counted.
    """
    utterance = turn.judged.utterance
    if Command(Action.RESUME) in utterance.meanings:
        rest = tuple(each for each in utterance.meanings if each != Command(Action.RESUME))
        turn = resume(turn, None)
        return taken_up(_understood(turn, without_danger(rest)), _listened) if rest else turn
    if turn.spoken:
        turn = _let_go(turn) if holds_figures(utterance) or any(map(_is_order, utterance.meanings)) else turn
    elif holds_figures(utterance) or any(map(changes, utterance.meanings)):
        turn = keep_words(turn)
    if utterance.objects and turn.asked is not None:
        return turn.put_again()
    return turn if turn.spoken else turn.tell(Tell.HOLDING)


def _is_order(meaning: Meaning) -> bool:
    return isinstance(meaning, DeadAndTested) or (isinstance(meaning, Command) and meaning.action is not Action.HOLD)


def _let_go(turn: Turn) -> Turn:
    """A call that is spoken while holding. Who calls is told once in a hold, and once in a session, since talk that
    isn't meant goes on meanwhile.
    """
    knows = turn.who in turn.state.know_held
    turn = turn.did(LetGo())
    return turn if knows else turn.tell(Tell.STILL_HOLDING)


def _in_its_turn(turn: Turn) -> Turn:
    """What is said now, behind what its speaker called under a question that has ended since by no answer of theirs:
    that was said before it, and may ask something now. What answers is of what was told before.
    """
    said = turn.judged.utterance
    answers = any(isinstance(each, Answer) or each == Command(Action.UNDO) for each in said.meanings)
    first = answers or said.objects or denied(turn)  # what was said no to comes first
    return _listened(turn if first or turn.only_shows or turn.asked is not None else in_order(turn, _listened))


def _listened(turn: Turn) -> Turn:
    utterance = turn.judged.utterance
    if turn.asked is not None and named_again(turn):
        return turn.put(turn.asked)
    sides = sides_said(turn)
    filled = (size_said(turn, sides) or no_sides(turn, sides)) if sides is not None else of_which(turn)
    filled = filled or (of_what_is_asked(turn) if sides is None else None)
    if filled is not None:
        return filled
    if utterance.status is Status.UNDERSTOOD:
        return _understood(turn, without_danger(utterance.meanings))
    turn = _refused(turn, utterance) if utterance.status is Status.REFUSED else _unclear(turn, utterance)
    return turn.put(turn.asked) if utterance.objects and turn.asked is not None and not turn.asks else turn


def _refused(turn: Turn, utterance: Utterance) -> Turn:
    """Nothing is taken of it; what may have held a call is kept until it is said again or dismissed."""
    why = utterance.why or Refusal(Why.NOTHING_HEARD)
    if utterance.danger and not utterance.beside:
        return turn
    turn = turn.refuse(Tell.REFUSED, why)
    if why.why in SAY_AGAIN or (utterance.objects and turn.asked is not None):
        return turn  # what it objects to is in question, which says all
    return _words_kept(turn, utterance)


def _words_kept(turn: Turn, utterance: Utterance) -> Turn:
    """The words as not taken; where they name a place and spoil its value, or tell it by another, the next bare value
    belongs there.
    """
    number = turn.state.next_number
    kept = words_kept(turn)
    told = utterance.ask.relative if utterance.ask is not None else None
    spoilt = utterance.spoilt if told is None or told.swaps else Spoilt(told.dimension, told.at)
    if spoilt is None or (turn.asked is not None and spoilt.at is None):
        return kept
    return kept.did(Awaited(spoilt.dimension, spoilt.at, instead=(number,), sure=not spoilt.guessed))


def _unclear(turn: Turn, utterance: Utterance) -> Turn:
    """What it may have been waits as one call, with the question that settles it; where nothing safe can be told of it,
    its words are kept as not taken.
    """
    question = utterance.ask or Question(Ask.WHICH_OF)
    if utterance.danger and not (utterance.alternatives or utterance.beside or utterance.begun):
        return turn
    if question.about is Ask.DID_YOU_MEAN and isinstance(order := utterance.alternatives[0][0], Command):
        slip, word = map(str, question.values)
        return unsure_order(turn, order, utterance.heard.lower().replace(slip, word, 1))
    told, told_by = reckoned(turn, question)
    found = (told,) if told else _ways(turn, utterance)
    ways = tuple(way for way in found if all(belongs(turn.state, fact) for fact in way))
    if found and not ways:
        return words_kept(turn).refuse(Tell.NOT_OF_SURFACE, turn.state.board)
    if not ways:
        return _of_no_way(turn, utterance, question)
    again = said_again(turn, ways)
    if again is not None:
        return again
    denied = unclear_no(turn, ways) if utterance.objects else None
    return denied if denied is not None else which_of(turn, ways, told_by)


def _of_no_way(turn: Turn, utterance: Utterance, question: Question) -> Turn:
    """What is begun of an unclear utterance goes on in the next breath; else its words stand as not taken."""
    if question.relative is not None and (found := without_figure(turn, question.relative)) is not None:
        return found
    if isinstance(utterance.begun, Incomplete):
        if (found := called_so(turn, utterance.begun)) is not None:
            return found
        sure = replace(turn, judged=replace(turn.judged, unsure=False)) if turn.source is Source.TYPED else turn
        return call(sure, (utterance.begun,))  # what it lacks is asked for, a part at a time
    place = utterance.begun if isinstance(utterance.begun, tuple) else None
    named = place or _side_among(utterance)
    if named is not None and (found := place_said(turn, *named)) is not None:
        return found
    denied = turn.asked if utterance.objects else None
    if place is not None and denied is not None:
        return turn.put(denied)  # what the no is about is in question, which nothing at that place answers
    about = Ask.TOO_MANY if question.about is Ask.WHICH_OF else question.about
    if denied is not None:
        return turn.tell(Tell.UTTERANCE_ASKED, about.value, *question.values).put(denied)
    turn = _words_kept(turn, utterance) if place is None else turn.did(Awaited(*place))
    if about is Ask.VAGUE and utterance.suspect:
        return turn.ask(Tell.DEAD_ALONE, safety=True)  # nobody reads it off a tape
    return turn.ask(Tell.UTTERANCE_ASKED, about.value, *question.values)


def _side_among(utterance: Utterance) -> tuple[None, Slot] | None:
    """The side that an utterance may be alone: "right" is one, or a yes. None where it may be no side, or several."""
    alone = (way[0].value for way in utterance.alternatives if len(way) == 1 and isinstance(way[0], Part))
    sides = {Slot(each) for each in alone if isinstance(each, Edge)}
    return (None, sides.pop()) if len(sides) == 1 else None


def _ways(turn: Turn, utterance: Utterance) -> tuple[tuple[Fact, ...], ...]:
    """What an unclear utterance may mean, each way in its places; none where any of it is no call."""
    known = turn.known
    put_off = turn.state.put_off(turn.state.board)
    found = []
    for way in utterance.alternatives:
        placed: dict[Key, Fact] = {}
        focus = turn.state.focus
        said = called(way)
        facts = tuple(each for each in said if isinstance(each, Said))
        if len(facts) < len(said):
            return ()
        for fact in _awaited(turn, facts):
            if not isinstance(fact, PLACED):
                return ()
            taken = {*known, *placed, *(one.key for one in put_off)}
            if isinstance(fact, Reading):
                try:
                    fact = settled(fact, taken, focus, order_of(known))
                except NoPlace:
                    return ()
                focus = fact.dimension
            fact = _called(turn, said_again_of(put_off, fact), taken)
            if key_of(fact) in placed:
                return ()  # two values for one place
            placed[key_of(fact)] = fact
        found.append(tuple(placed.values()))
    return tuple(dict.fromkeys(way for way in found if way))


def _called(turn: Turn, fact: Fact, taken: Collection[Key]) -> Fact:
    """A box or an opening under its name: that of what was objected to, else the next."""
    if not isinstance(fact, WholeThing) or fact.name:
        return fact
    old = [one.fact for one in turn.state.waiting(turn.who) if isinstance(one.fact, type(fact))]
    if turn.judged.utterance.objects and len(old) == 1 and isinstance(old[0], WholeThing):
        return replace(fact, name=old[0].name)
    names = (key.name for key in taken)
    return replace(fact, name=free_name("box" if isinstance(fact, Box) else fact.kind.value, names))


def _awaited(turn: Turn, facts: tuple[Said, ...]) -> tuple[Said, ...]:
    """With a bare value where one was asked for, else where what is objected to was called."""
    old = [one for one in turn.state.waiting(turn.who) if isinstance(one.fact, Reading)]
    if turn.who in turn.state.awaited or not turn.judged.utterance.objects or not are_one_figure(old):
        return as_awaited(turn, facts)
    first, *rest = facts or (None,)
    return (*(in_place_of(one.fact, first) for one in old), *rest) if first is not None and is_bare(first) else facts


def _understood(turn: Turn, meanings: tuple[Meaning, ...]) -> Turn:
    """Answers first, then orders and corrections one by one, then everything that is a value together."""
    if turn.judged.doubtful and any(map(as_order, meanings)):
        return unsure_order(turn, as_order(meanings[0]) if len(meanings) == 1 else None)
    if turn.asked is not None and may_be_a_yes(turn):
        return turn.put(turn.asked, Tell.ANSWER_FIRST)
    turn, meanings = usable(*no_to_the_middle(turn, meanings))
    if not meanings:
        return turn
    if meanings and isinstance(meanings[0], Answer):
        return of_doing(turn, meanings[0]) or _answered(turn, meanings[0], meanings[1:])
    deads = tuple(meaning for meaning in meanings if isinstance(meaning, DeadAndTested))
    if deads and len(deads) == len(meanings):
        return claim_dead(turn, deads)
    turn = _ordered(turn, meanings)
    if deads:
        turn = turn.tell(Tell.DEAD_TOGETHER, safety=True)
    facts = tuple(meaning for meaning in meanings if isinstance(meaning, Said))
    parts = tuple(meaning for meaning in meanings if isinstance(meaning, Part))
    if not facts and not parts:
        return turn
    if any(map(leads_away, facts)):
        return carry_away(turn, lambda begun: _values(begun, facts, parts))
    return _values(at_its_board(turn, facts), facts, parts)


def _ordered(turn: Turn, meanings: tuple[Meaning, ...]) -> Turn:
    for meaning in meanings:
        match meaning:
            case Command():
                turn = carry_out(turn, meaning)
            case Correction(new=Reading() as new, was=was) if was is not None and denies_another(turn, new, was):
                turn = words_kept(turn).refuse(Tell.WHICH_VALUE)
            case Correction(new=new):
                turn = corrected(turn, new)
            case Answer():
                turn = turn.refuse(Tell.ANSWER_ALONE)
    return turn


def _values(turn: Turn, facts: tuple[Said, ...], parts: tuple[Part, ...]) -> Turn:
    if facts and not parts and went_on(turn) and not answers_denied(turn, facts):
        return queue(turn, facts)
    ways = of_the_place_named(turn, facts)
    return which_of(turn, ways) if len(ways) > 1 else _of_what_is_open(turn, ways[0] if ways else facts, parts)


def _of_what_is_open(turn: Turn, facts: tuple[Said, ...], parts: tuple[Part, ...]) -> Turn:
    found = part_of_each(turn, parts) or answered(turn, facts, parts)
    if found is None and facts:
        found = _answers_another(turn, facts)
    elif found is None:
        found = last_mended(turn, parts) or part_of_put_off(turn, parts)
        found = found or detailed(turn, parts) or its_fraction(turn, parts)
    if found is not None:
        return found
    thing = thing_denied(turn, parts) if turn.asked is None and not facts else None
    if thing is not None:
        return propose(turn, (thing,), corrects=True)
    lengths = tuple(each for part in parts for each in (instead_of_denied(turn, part) or (length_alone(turn, part),)))
    side = side_alone(parts) if not facts and turn.asked is None else None
    if side is not None:
        across = side in {Slot.TOP, Slot.BOTTOM}
        begun = turn.did(Awaited(Dimension.WIDTH if across else Dimension.HEIGHT, side))
        return begun.ask(Tell.UTTERANCE_ASKED, Ask.BROKE_OFF.value, turn.judged.utterance.heard)
    if any(each is None for each in lengths):
        if turn.asked is not None:
            turn = turn.put(turn.asked)
        elif not turn.judged.utterance.danger:  # beside word of danger it says where that is
            turn = words_kept(turn).refuse(Tell.SAY_WHOLE)
        return call(turn, facts) if facts else turn
    return call(turn, (*facts, *(each for each in lengths if each is not None)))


def _answers_another(turn: Turn, facts: tuple[Said, ...]) -> Turn | None:
    """A figure alone that is one of those that somebody else was just asked to choose from: it is no place's of the
    speaker's. None for any other.
    """
    fact = facts[0] if len(facts) == 1 else None
    if turn.asked_another is None or turn.asked is not None or not isinstance(fact, Reading) or not is_bare(fact):
        return None
    whose, _, doubt = turn.asked_another
    if fact.value not in {one.value for way in doubt.ways for one in way if isinstance(one, Reading)}:
        return None
    return words_kept(turn).refuse(Tell.ASKED_ANOTHER, whose, doubt, *turn.about(doubt))


def _answered(turn: Turn, answer: Answer, rest: tuple[Meaning, ...]) -> Turn:
    """Yes or no, of what it is about: a no may be to another one's call."""
    if answer.yes:
        return _answer(turn, answer, rest)
    return _answer(of_what_was_told(turn, rest), answer, rest)


def _answer(turn: Turn, answer: Answer, rest: tuple[Meaning, ...]) -> Turn:
    deads = tuple(meaning for meaning in rest if isinstance(meaning, DeadAndTested))
    facts = tuple(meaning for meaning in rest if isinstance(meaning, Said))
    facts += tuple(meaning.new for meaning in rest if isinstance(meaning, Correction))
    parts = tuple(meaning for meaning in rest if isinstance(meaning, Part))
    ordered = answer_order(turn, yes=answer.yes) if not rest else None
    if ordered is not None:
        return ordered
    if deads:
        if len(deads) < len(rest):
            turn = keep_words(turn)
        return _dead_with_answer(turn, answer, deads)
    if parts and not answer.yes and not facts and parts[0].each == 1 and (mended := no_part(turn, parts)) is not None:
        return mended
    if parts and turn.asked is not None and parts[0].each == 1 and (found := answered(turn, facts, parts)) is not None:
        return found
    if parts:
        turn = keep_words(turn)
    denied = None if answer.yes or parts or not all(map(leads_away, facts)) else deny_order(turn)
    if denied is None and not answer.yes and all(map(leads_away, rest)) and led(turn):
        denied = turn if rest else None  # of where the order led, and of no value
    turn = (yes if answer.yes else no)(turn, facts) if denied is None else call(denied, facts) if facts else denied
    for meaning in rest:
        if isinstance(meaning, Command):
            turn = carry_out(turn, meaning)
    return turn


def _dead_with_answer(turn: Turn, answer: Answer, deads: tuple[DeadAndTested, ...]) -> Turn:
    """Yes with the names of the boxes asked about is a yes; with any other box it is a claim about that one."""
    doubt = turn.asked
    named = {each.box for each in deads} - {None}
    every = any(each.box is None for each in deads)
    tested = all(each.tested for each in deads)
    if answer.yes and doubt is not None and doubt.concern is Concern.TESTED:
        if tested and not every and named == set(doubt.boxes):
            return yes(turn, ())
        return claim_dead(turn, deads)
    if answer.yes:
        return turn.tell(Tell.DEAD_TOGETHER, safety=True) if turn.mine else claim_dead(turn, deads)
    return denied_claim(turn, deads) or no(turn, ()).tell(Tell.DEAD_TOGETHER, safety=True)
