"""A no and nothing else: what goes by it, what is given back, and what is awaited instead."""

from __future__ import annotations

from dataclasses import replace

from fieldvoice.dialogue.answers import ask_next
from fieldvoice.dialogue.events import Awaited, NotTaken, TakenBack
from fieldvoice.dialogue.objecting import object_to
from fieldvoice.dialogue.state import Open, are_one_figure, is_whole
from fieldvoice.dialogue.taking_back import given_back
from fieldvoice.dialogue.turn import Turn
from fieldvoice.records.facts import key_of
from fieldvoice.records.ledger import Call, Concern, Doubt, Standing, Tell
from fieldvoice.records.meaning import (
    Box,
    Context,
    Diagonal,
    Dimension,
    Incomplete,
    Opening,
    Place,
    Plumb,
    Reading,
    SurfaceCall,
)


def plain_no(turn: Turn, mine: Open, doubt: Doubt | None) -> Turn:
    """Out with what was asked about, else with all that was read back; what comes next takes its place. Until it does,
    or is left out by a word, it stands as not taken: a wall without it is another wall. What it had replaced while that
    waited waits again; where the same stands without it, that is in question.
    """
    gone = tuple(one.number for one in turn.asked_of) or mine.calls
    calls = tuple(turn.state.calls[each] for each in gone)
    told = tuple(replace(one, standing=Standing.NOT_TAKEN) for one in calls)
    place = place_of_all(doubt)
    if doubt is None or doubt.concern is not Concern.LOST:  # what entries were lost of stays in question
        keys = {tuple(map(key_of, way)) for way in doubt.ways} if doubt is not None else set()
        (about,) = keys.pop() if len(keys) == 1 and all(len(one) == 1 for one in keys) else (None,)
        turn = given_back(turn.did(TakenBack(gone)), tuple(one for one in calls if one.number not in mine.stood))
        same = _the_same(turn, calls)
        out = tuple(one for one in calls if one.number not in same)
        kept = tuple(replace(one, standing=Standing.NOT_TAKEN, queued=False, about=about) for one in out)
        turn = turn.did(NotTaken(kept)) if kept else turn
        if same:
            turn = turn.tell(Tell.NOT_TAKEN_WHAT_IS_IT, *kept) if out else turn
            return object_to(turn, tuple(same.values()))
    turn = turn.did(Awaited(*place)) if place is not None else _awaiting(turn, doubt, calls)
    return turn.ask(Tell.NOT_TAKEN_WHAT_IS_IT, *told, *_before(turn, calls))


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
    places where it had several; after a thing, or several figures, it may be any of theirs.
    """
    first = calls[0].fact if calls else None
    if isinstance(first, Reading) and are_one_figure(calls):
        return turn.did(Awaited(first.dimension, first.at, tuple(one.number for one in calls)))
    if len(calls) == 1 and isinstance(first, Plumb | Diagonal | Context | SurfaceCall | Box | Opening | Incomplete):
        return turn.did(Awaited(None, None, (calls[0].number,)))
    ways = doubt.ways if doubt is not None else ()
    figures = (*(one.fact for one in calls), *(fact for way in ways for fact in way))
    several = any(isinstance(fact, Reading | Box | Opening | Incomplete) for fact in figures)
    return turn.did(Awaited(None, None)) if several else turn


def not_out(turn: Turn, doubt: Doubt) -> Turn:
    """What wasn't taken isn't to be left out: what it is, is asked instead."""
    out = turn.state.calls[doubt.call] if doubt.call is not None else None
    if out is None or not is_whole(out):
        return ask_next(turn.tell(Tell.SAY_WHOLE))
    if turn.asked is not None:
        return ask_next(turn.tell(Tell.NOT_TAKEN_WHAT_IS_IT, out))
    return _awaiting(turn, None, (out,)).ask(Tell.NOT_TAKEN_WHAT_IS_IT, out)
