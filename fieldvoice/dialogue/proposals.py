"""Calls: placing them, weighing them, reading them back, and mending what was read back."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from fieldvoice.dialogue.amending import alike, could_be, figures_of, in_place_of, is_bare
from fieldvoice.dialogue.assembly import unit_of
from fieldvoice.dialogue.events import Accepted, Awaited, Called, Closed, NotTaken, Questioned, SaidAgain
from fieldvoice.dialogue.houses import go_to_room
from fieldvoice.dialogue.keeping import (
    calls_of,
    come_again,
    in_its_unit,
    order_waits,
    put_off,
    queue,
    still_like,
    words_kept,
)
from fieldvoice.dialogue.matching import is_room, room_of, rooms_meant, surfaces_called
from fieldvoice.dialogue.matters import displaced, implied, in_the_way
from fieldvoice.dialogue.new_boards import open_board
from fieldvoice.dialogue.placing import (
    as_awaited,
    at_told_place,
    at_unsure_place,
    begun_in_doubt,
    board_meant,
    denied,
    lacking,
    only_its_end,
    places_told,
    put_off_by_name,
    said_no_to,
    still_of_that_name,
    with_places,
)
from fieldvoice.dialogue.plausibility import ground_of, weigh
from fieldvoice.dialogue.prompting import NoPlace, either_way, free_places, of_measured_ends
from fieldvoice.dialogue.rivals import but_for, one_of_each, teen_or_ten
from fieldvoice.dialogue.state import are_one_figure, is_whole
from fieldvoice.dialogue.surfaces import belongs, counted, enter_room, joists_assumed, open_surface, opened, with_slope
from fieldvoice.dialogue.taking_back import calmed, put_back
from fieldvoice.dialogue.turn import Turn
from fieldvoice.records.facts import Fact, Key, Odd, Of, Said, key_of, surface_name
from fieldvoice.records.ledger import Call, Concern, Doubt, Standing, Tell
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Context, Dimension, LayoutWish, Reading, SurfaceCall, Thing, Topic


def call(turn: Turn, facts: tuple[Said, ...]) -> Turn:
    """Values called: they are read back, and what was read back before is taken, unless it is still in question: then
    they are kept until that is answered. Where no more than a part of a thing is asked for, the measuring goes on.
    """
    turn = set_aside(turn)
    behind = order_waits(turn)
    turn = put_off(turn, facts)
    if behind or turn.asked is not None:
        return queue(turn, facts)
    if (mended := _means_the_last(turn, facts)) is not None:
        return mended
    return go_on(settle(turn), facts)


def set_aside(turn: Turn) -> Turn:
    """Without the questions that "done" put: who goes on instead has said that the board isn't done, and they come
    again with it.
    """
    while turn.asked is not None and turn.asked.concern.kind.by_done:
        turn = turn.did(Closed(turn.who))
    return turn


def go_on(turn: Turn, facts: tuple[Said, ...]) -> Turn:
    """Values called where nothing is asked, beside what waits to be objected to."""
    board = next((fact for fact in facts if isinstance(fact, Context) and fact.topic is Topic.BOARD), None)
    if board is not None:
        turn = open_board(turn, str(board.value))
    room = _room_in(facts)
    rest = tuple(fact for fact in facts if not _room_in((fact,)))
    gone = go_to_room(turn, room) if room else None
    if gone is not None:
        facts = rest
        if gone.refused or not facts:
            return gone
        turn, (room,) = gone, rooms_meant(turn.state, room)
    if sum(isinstance(fact, SurfaceCall) for fact in facts) > 1:
        return words_kept(turn).refuse(Tell.ONE_SURFACE)
    call = next((fact for fact in facts if isinstance(fact, SurfaceCall)), None)
    meant = () if call is None else surfaces_called(turn.state, surface_name(call), room)
    if call is not None and len(meant) > 1:
        return words_kept(turn).refuse(Tell.WHICH_SURFACE, surface_name(call), *meant)
    here = turn.state.board
    if call is not None:
        turn = open_surface(turn, *meant)
    else:
        turn = enter_room(turn, room) if room and board is None else opened(turn, facts)
    if turn.state.board != here and room_of(turn.state, turn.state.board) == room:
        facts = rest
    turn = propose(turn, tuple(fact for fact in facts if fact is not board))
    return settle(turn) if all(isinstance(fact, LayoutWish) for fact in facts) else turn  # no cut hangs on a wish


def settle(turn: Turn) -> Turn:
    """The speaker went on without objecting: a sure value is taken. One in question never is."""
    return turn if not turn.mine or turn.asked is not None else turn.did(Accepted(turn.who))


def _means_the_last(turn: Turn, facts: tuple[Said, ...]) -> Turn | None:
    """One value alone that takes the place of what was just read back: said with its place again, or its twin."""
    if len(facts) != 1 or turn.mine.board != turn.state.board:
        return None
    fact = facts[0]
    if isinstance(fact, Thing) or (isinstance(fact, Context) and fact.topic is Topic.STUDS):
        return None  # the next one, or one under the same name, which is asked about
    old = replaced(turn, fact)
    if old is None or (_room_in(facts) and turn.state.board in turn.state.surfaces):
        return None
    if isinstance(fact, Reading) and fact.at is None:
        lengths = {one.fact.value for one in turn.state.waiting(turn.who) if isinstance(one.fact, Reading)}
        if teen_or_ten(fact.value) not in lengths:
            return None
    return mend(turn, old, fact, corrects=False)


def replaced(turn: Turn, fact: Said, whose: str | None = None) -> Call | None:
    """The one call waiting for `whose` (the speaker) that a fact would take the place of; the first of those that were
    called as one, where it names none of their places.
    """
    waiting = turn.state.waiting(whose or turn.who)
    if isinstance(fact, Reading):
        same = [one for one in waiting if isinstance(one.fact, Reading)]
        asked = [one for one in same if turn.asked is not None and one.number == turn.asked.call]
        fits = [one for one in same if could_be(one.fact, fact)]
        found = fits if fact.at is not None or fact.dimension is not None else (asked or fits)
        return found[0] if are_one_figure(found) else None
    if isinstance(fact, Thing) and not fact.name:
        things = [one for one in waiting if isinstance(one.fact, Thing)]
        same = [one for one in things if alike(one.fact, fact)]
        known = turn.known.values()
        if not same and not any(alike(one.fact, fact) for one in known):
            same = things  # its kind was misheard
        return same[0] if len(same) == 1 else None
    key = key_of(fact)
    return next((one for one in waiting if one.key == key), None)


def mend(turn: Turn, old: Call, new: Said, *, corrects: bool = True, doubted: bool = False) -> Turn:
    """The right value in place of one read back, to whomever; a figure without a place is that of all that are asked
    about as one, or were called as one. The same value again is read back again: it may have been meant for another
    place.
    """
    (new,) = counted(turn.state, (new,))
    fact = in_place_of(old.fact, new)
    waiting = turn.state.waiting(turn.who)
    if fact == old.fact and turn.asked is not None:
        return turn.put(turn.asked)
    olds = as_one(turn, old) if isinstance(new, Reading) and new.at is None else (old,)
    values = {one.fact.value for one in waiting if isinstance(one.fact, Reading)}
    contrast = frozenset(each for each in map(teen_or_ten, values) if each is not None)
    new_calls = calls_of(turn, [in_place_of(one.fact, new) for one in olds], Standing.READ_BACK)
    both = zip(new_calls, olds, strict=True)
    made = tuple(still_like(was, in_its_unit(turn, was, one)) for one, was in both)
    doubted = doubted or made[0].unit is not turn.unit
    unsure = (*((Doubt(Concern.UNSURE, made[0].number),) if doubted else ()), *still_of_that_name(turn, old, made[0]))
    unsure += only_its_end((new,), made, olds)
    return read_back(turn, old.board, made, answered=contrast, unsure=unsure, corrects=corrects)


def _room_in(facts: Iterable[Said | None]) -> str:
    """The room that is said with anything, empty where none is."""
    rooms = (str(fact.value) for fact in facts if is_room(fact))
    return next(rooms, "")


def _in_other_room(turn: Turn, calls: tuple[Call, ...]) -> Turn | None:
    """What waits of a surface, called in the room that is meant instead, since its room is part of its name; first what
    else is asked of it is answered. None where no other room was called.
    """
    board = turn.state.board
    room = _room_in(one.fact for one in calls)
    if board not in turn.state.surfaces or room in {"", room_of(turn.state, board)} or board.startswith(f"{room} "):
        return None
    new, gone = {one.key for one in calls}, {one.replaces for one in calls}
    asked = turn.state.those(doubt.call for doubt in turn.mine.doubts)
    if any(one.key not in new and one.number in turn.mine.calls and one.number not in gone for one in asked):
        return queue(turn, tuple(one.fact for one in calls if one.fact is not None), corrects=True)
    waiting = [one for one in turn.state.waiting(turn.who) if one.board == board]
    facts = [one.fact for one in (*(each for each in waiting if each.key not in new), *calls)]
    turn, _ = put_back(turn, tuple(one.number for one in waiting))
    return go_on(turn, tuple(fact for fact in facts if fact is not None))


def as_one(turn: Turn, old: Call) -> tuple[Call, ...]:
    """The call with those that a figure without a place is of as well."""
    if turn.asked_of:
        return turn.asked_of if old in turn.asked_of else (old,)
    return turn.state.called_as_one(old)


def fill(turn: Turn, old: Call, new: Said, *, doubted: bool = False) -> Turn:
    """What lacked a part, with it: a doubt about the rest of it stays."""
    doubted = doubted or any(doubt == Doubt(Concern.UNSURE, old.number) for doubt in turn.mine.doubts)
    return mend(turn, old, new, doubted=doubted)


def weigh_anew(turn: Turn, old: Call, beside: Said) -> Turn:
    """What was doubted once more as it was called, beside what was said of the board instead of an answer."""
    assert old.fact is not None
    first, again = (replace(one, board=old.board) for one in calls_of(turn, (beside, old.fact), Standing.READ_BACK))
    return read_back(turn, old.board, (first, replace(again, replaces=old.number)))


def propose(turn: Turn, facts: tuple[Said, ...], *, corrects: bool = False) -> Turn:
    """Gives each value its place and reads it back, or asks. What could not be placed is kept as not taken."""
    if not facts:
        return turn
    board = board_meant(turn, facts)
    if board != turn.state.board:
        return turn.at_board(board, lambda there: propose(there, facts, corrects=corrects))
    turn, facts = _with_room(*_of_what_is_at_hand(turn, facts))
    if not facts:
        return turn
    said, facts = facts, as_awaited(turn, facts)
    if (asked := anywhere(turn, facts)) is not None:
        return asked
    try:
        placed = with_places(turn, facts)
    except NoPlace as nowhere:
        if ways := either_way(facts):
            return which_of(turn, ways)
        lost = calls_of(turn, facts, Standing.NOT_TAKEN)
        return replace(_of_one_place(turn.did(NotTaken(lost)), nowhere, lost).note(nowhere.notice), asks=True)
    calls = calls_of(turn, placed, Standing.READ_BACK)
    if turn.spoken and len(calls) == len(facts):
        calls = tuple(replace(one, prompted=is_bare(fact)) for one, fact in zip(calls, facts, strict=True))
    off = put_off_by_name(turn, facts)
    calls = tuple(replace(one, replaces=off[one.key].number) if one.key in off else one for one in calls)
    again = (*_said_instead(turn, said), *(one.number for one in off.values()))
    unsure = (*said_no_to(turn, calls), *at_unsure_place(turn, said, calls), *only_its_end(said, calls, denied(turn)))
    unsure += tuple(at_told_place(turn, one) for one in calls if corrects and places_told(turn, one.fact))
    turn = turn.did(SaidAgain(again)) if again else turn
    return read_back(turn, turn.state.board, calls, corrects=corrects, unsure=unsure)


def _of_one_place(turn: Turn, nowhere: NoPlace, lost: tuple[Call, ...]) -> Turn:
    """Of two values for one place neither was taken: the next figure alone is the right one."""
    key = nowhere.notice.values[0] if nowhere.notice.tell is Tell.TWO_VALUES else None
    if not isinstance(key, Key) or key.of not in {Of.WIDTH, Of.HEIGHT} or key.at is None:
        return turn
    there = tuple(one.number for one in lost if isinstance(one.fact, Reading) and one.fact.at == key.at)
    return turn.did(Awaited(Dimension(key.of.value), key.at, there))


def anywhere(turn: Turn, facts: tuple[Said, ...]) -> Turn | None:
    """A value without a place after one whose place nobody understood, or where both ends of its way are measured: of
    which place it is, is asked. None where that is known.
    """
    awaited = turn.state.awaited.get(turn.who)
    said = facts[0] if len(facts) == 1 else None
    if not isinstance(said, Reading) or said.at is not None:
        return None
    known = turn.known
    taken = {*known, *(one.key for one in turn.state.on(turn.state.board) if one.waits)}
    ways = tuple((one,) for one in of_measured_ends(said, known, taken, turn.state.focus))
    if is_bare(said) and awaited is not None and awaited.at is None:
        ways = tuple((replace(said, dimension=way, at=at),) for way, at in free_places(known, taken))
    if len(ways) < 2:
        return None
    again = _said_instead(turn, facts)
    return which_of(turn.did(SaidAgain(again)) if again else turn, ways)


def _said_instead(turn: Turn, facts: tuple[Said, ...]) -> tuple[int, ...]:
    """The calls, not taken, for which a value stands that was awaited at their place, bare or named with it, and bare
    values that come again with one.
    """
    open_still = {one.number: one for one in turn.state.not_taken(turn.state.board)}
    values = {fact.value for fact in facts if isinstance(fact, Reading) and not is_bare(fact)}
    found = [
        number
        for number, one in open_still.items()
        if one.by == turn.who and isinstance(one.fact, Reading) and is_bare(one.fact) and one.fact.value in values
    ]
    awaited = turn.state.awaited.get(turn.who)
    if awaited is not None and any(is_bare(fact) or _is_there(fact, awaited) for fact in facts):
        places = {fact.at for fact in facts if isinstance(fact, Reading)}
        found += [
            each
            for each, one in open_still.items()
            if each in awaited.instead
            and (one.fact is None or (isinstance(one.fact, Reading) and (None in places or one.fact.at in places)))
        ]
    return tuple(found)


def _is_there(fact: Said, awaited: Awaited) -> bool:
    if not isinstance(fact, Reading) or awaited.at is None or fact.at != awaited.at:
        return False
    return fact.dimension is awaited.dimension or None in {fact.dimension, awaited.dimension}


def swapped_with(turn: Turn, doubt: Doubt | None) -> tuple[Call, ...]:
    """The reading that another one is asked about with, as being the other way around."""
    odd, asked = (None, None) if doubt is None else (doubt.odd, turn.state.call_of(doubt))
    if odd is None or odd.odd is not Odd.SWAPPED or asked is None or not isinstance(asked.fact, Reading):
        return ()
    other = turn.state.known(asked.board, doubtful=True).get(key_of(replace(asked.fact, at=odd.other_at)))
    return () if other is None else (other,)


def which_of(turn: Turn, ways: tuple[tuple[Fact, ...], ...], told_by: tuple[int, ...] = ()) -> Turn:
    """What may be one of several things waits as one call with its ways, and which one it is is asked: for as long as
    the calls stand that it is `told_by`. What "done" asked is over: it would tell values that the answer replaces.
    """
    turn = set_aside(turn)
    (one,) = calls_of(turn, (None,), Standing.DOUBTFUL)
    one = replace(one, board=board_meant(turn, (fact for way in ways for fact in way)))
    doubt = Doubt(Concern.WHICH_OF, one.number, ways, calls=told_by)
    others = tuple(each for each in turn.mine.doubts if each.call is not None)
    turn = turn.did(Called(one.board, (one,), (doubt, *others), turn.mine.calls))
    return turn.put(doubt)


def _of_what_is_at_hand(turn: Turn, facts: tuple[Said, ...]) -> tuple[Turn, tuple[Said, ...]]:
    """What can be said of the board or the surface at hand; the rest is kept as not taken."""
    facts = with_slope(turn.state, facts)
    others = tuple(fact for fact in facts if not belongs(turn.state, fact))
    if others:
        surface = turn.state.board in turn.state.surfaces
        turn = turn.did(NotTaken(calls_of(turn, others, Standing.NOT_TAKEN))) if surface else turn
        turn = turn.refuse(Tell.NOT_OF_SURFACE, turn.state.board) if surface else turn.refuse(Tell.NO_SURFACE)
    otherwise = joists_assumed(turn.state, facts)
    turn = turn if otherwise is None else turn.tell(Tell.JOISTS_ASSUMED, otherwise)
    return turn, counted(turn.state, tuple(fact for fact in facts if fact not in others))


def _with_room(turn: Turn, facts: tuple[Said, ...]) -> tuple[Turn, tuple[Said, ...]]:
    """What may be, beside what was called, with what it implies; what that denies is kept as not taken."""
    kept: list[Said] = []
    known = turn.known
    for fact in facts:
        there = in_the_way(turn.state, fact)
        if not there:
            kept += implied(fact, known)
            continue
        turn = turn.did(NotTaken(calls_of(turn, (fact,), Standing.NOT_TAKEN)))
        boxes = there[0].key.of in {Of.BOX, Of.OPENING}
        names = (one.key.name for one in there) if boxes else there
        turn = turn.refuse(Tell.BOXES_THERE if boxes else Tell.WIDTHS_THERE, *names)
    return turn, tuple(kept)


def read_back(
    turn: Turn,
    board: str,
    calls: tuple[Call, ...],
    *,
    answered: frozenset[Length] = frozenset(),
    unsure: tuple[Doubt, ...] = (),
    corrects: bool = False,
) -> Turn:
    """Records what was called, and tells it in another form than it was heard in; a doubtful one as a question, the
    sure ones before it. What waits waits on beside it; `unsure` is what is open about the places of the new calls.
    """
    if (elsewhere := _in_other_room(turn, calls)) is not None:
        return elsewhere
    before, gone = turn.state.doubts, {one.replaces for one in calls}
    known = {key: one for key, one in turn.state.known(board).items() if one.number not in gone}
    others = {one.key: one for one in turn.state.known(board, doubtful=True).values() if one.number in gone}
    whole = tuple(one for one in calls if is_whole(one))
    older = {one.number: _older(turn, one, known, others) for one in calls}
    unit = unit_of({**known, **{one.key: one for one in whole}})
    ground = replace(
        ground_of(turn.state, board, known, unit),
        judged=turn.judged,
        spoken=turn.spoken,
        answered=answered,
        corrects=corrects,
        replaced={**_replaced_facts(turn), **{number: old.fact for number, old in older.items() if old is not None}},
    )
    unsure = (*unsure, *begun_in_doubt(turn, calls))
    doubts = lacking(calls) + tuple(doubt for doubt in unsure if doubt.ways)  # where it belongs comes first
    doubts += weigh(whole, ground, turn.rooms) if whole else ()
    turn, kept, beside = _still_waiting(turn, calls)
    doubts = one_of_each(doubts + tuple(doubt for doubt in (*unsure, *beside) if doubt not in doubts))
    asked = {doubt.call for doubt in doubts}
    made: list[Call] = []
    there = tuple(one for one in turn.state.known(board, doubtful=True).values() if one.number not in gone)
    for one in calls:
        old = older[one.number]
        standing = Standing.DOUBTFUL if one.number in asked else Standing.READ_BACK
        old_number = old.number if old is not None else one.replaces
        off = displaced(one, (*there, *made), surface=board in turn.state.surfaces)
        one = replace(one, corrects=corrects, denies=corrects and turn.denies)
        made.append(replace(one, standing=standing, replaces=old_number, displaces=off))
    again = come_again(turn, board, made)
    own = {*(one.number for one in made), *kept}
    turn = turn.did(Called(board, tuple(made), tuple(doubt for doubt in doubts if doubt.call in own), kept))
    for doubt in doubts:
        if doubt.call is not None and doubt.call not in own and not turn.state.calls[doubt.call].waits:
            turn = turn.did(Questioned(turn.who, (doubt.call,), (doubt,)))
    turn = turn.did(SaidAgain(again)) if again else turn
    turn = calmed(_told(turn, (one for one in made if one.number not in asked), known), before)
    return turn.put_again()


def _still_waiting(turn: Turn, calls: tuple[Call, ...]) -> tuple[Turn, tuple[int, ...], tuple[Doubt, ...]]:
    """What waits on beside the new calls, all that none of them takes the place of, and what is open about it; one of
    which every place was called anew was said again.
    """
    places, gone = {one.key for one in calls}, {one.replaces for one in calls}
    kept = [each for each in turn.mine.calls if each not in gone]
    left = {doubt: but_for(doubt, places) for doubt in turn.mine.doubts if doubt.call in kept}
    over = {doubt.call for doubt, rest in left.items() if rest is None}
    beside = tuple(rest for rest in left.values() if rest is not None and rest.call not in over)
    turn = turn.did(SaidAgain(tuple(each for each in kept if each in over))) if over else turn
    return turn, tuple(each for each in kept if each not in over), beside


def _told(turn: Turn, sure: Iterable[Call], known: Mapping[Key, Call]) -> Turn:
    """Each sure call read back, with what it takes the place of."""
    for one in sure:
        if not turn.state.calls[one.number].waits:
            continue  # the same breath leaves no room for it
        old = turn.state.calls.get(one.replaces) if one.replaces is not None else None
        if old is not None and old.key != one.key and one.key in known:
            old = known[one.key]  # it was called for another place
        told = (old,) if old is not None and _is_told(old, one) else ()
        turn = turn.tell(Tell.READ_BACK, one, *told, *(turn.state.calls[each] for each in one.displaces))
    return turn


def _is_told(old: Call, new: Call) -> bool:
    """Whether what a call takes the place of is told with it: another value, or the same figure of a reading, which may
    have been another place's.
    """
    differs = old.fact != new.fact or isinstance(new.fact, Reading)
    if isinstance(old.fact, Reading) and isinstance(new.fact, Reading) and old.key != new.key:
        differs = old.fact.value != new.fact.value  # "instead of 90" says nothing of 90 at another place
    anew = old.put_off and not figures_of(old.fact) <= figures_of(new.fact)
    return (is_whole(old) or anew) and differs and not _adds_to(old, new)


def _adds_to(old: Call, new: Call) -> bool:
    """Whether the new one holds all that the old one did: a stud beside those called before."""
    if not isinstance(old.fact, Context) or not isinstance(new.fact, Context) or new.fact.topic is not Topic.STUDS:
        return False
    before, now = old.fact.value, new.fact.value
    return isinstance(before, tuple) and isinstance(now, tuple) and set(before) < set(now)


def _replaced_facts(turn: Turn) -> dict[int, Said | None]:
    """What stood at its place before each call that took one."""
    calls = turn.state.calls
    return {
        one.number: calls[one.replaces].fact
        for one in calls.values()
        if one.replaces is not None and one.replaces in calls
    }


def _older(turn: Turn, one: Call, known: dict[Key, Call], others: dict[Key, Call]) -> Call | None:
    """What a call takes the place of: what it mends, else what stands at its place, waiting or in force."""
    if one.replaces is not None and one.replaces in turn.state.calls:
        return turn.state.calls[one.replaces]
    waiting = [each for each in turn.state.on(one.board) if each.waits and each.key == one.key]
    return next(iter(waiting), None) or known.get(one.key) or others.get(one.key)
