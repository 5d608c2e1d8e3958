"""Where a value belongs that was called without its place, and under which name a thing; and whether new calls belong
where they were put, were denied just now, or lack a part, before any of them is weighed.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from contextlib import suppress
from dataclasses import replace
from typing import TypeVar

from fieldvoice.dialogue.amending import (
    amended,
    could_be,
    goes_on,
    in_place_of,
    is_bare,
    of_one,
    same_name,
    says_all_again,
    together,
    with_figure,
    with_parts,
)
from fieldvoice.dialogue.events import Awaited
from fieldvoice.dialogue.matching import free_name, surfaces_called
from fieldvoice.dialogue.matters import FRAMING, SIDES_OF_SHEET, as_framed, as_gap
from fieldvoice.dialogue.prompting import NEAR, NoPlace, of_measured_ends, order_of, settled, two_pairs
from fieldvoice.dialogue.state import are_one_figure, is_whole
from fieldvoice.dialogue.turn import Turn
from fieldvoice.language.verdict import Expectation
from fieldvoice.records.facts import Fact, Key, Of, Said, key_of, surface_name
from fieldvoice.records.hearing import Hearing
from fieldvoice.records.ledger import Call, Concern, Doubt, Notice, Standing, Tell
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
    Point,
    Reading,
    Slot,
    SurfaceCall,
    Thing,
    Topic,
    WholeThing,
)
from fieldvoice.records.utterance import Correction, Part


def with_places(turn: Turn, facts: tuple[Said, ...]) -> tuple[Said, ...]:
    """The facts with places and names, later ones with an eye on earlier ones. Raises `NoPlace` where two of
    them have the same.
    """
    found: dict[Key, Said] = {}
    focus = turn.state.focus
    known = turn.known
    put_off = turn.state.put_off(turn.state.board)
    taken = {*known, *(one.key for one in turn.state.begun(turn.state.board))}
    order = order_of(known)
    measured = any(key.of in {Of.WIDTH, Of.HEIGHT} for key in taken)
    for fact in facts if order or measured else two_pairs(facts):
        fact = as_gap(said_again_of(put_off, fact))
        placed: Said = fact
        if isinstance(fact, Reading):
            if fact.at is None and (_of_a_thing(turn, fact) or _is_to_change(turn)):
                raise NoPlace(Notice(Tell.WHICH_VALUE))  # it is to change one that is there, and no new one
            way = _way(fact, (*(one.fact for one in known.values()), *found.values()), focus)
            way = way or (focus if len(facts) > 1 else None)  # in a row it is of what was called before it
            if of_measured_ends(fact, known, taken, way):
                raise NoPlace(Notice(Tell.WHICH_VALUE))
            placed = settled(fact, taken, way, order)
            focus = placed.dimension
        elif isinstance(fact, Diagonal) and fact.rising is None:
            raise NoPlace(Notice(Tell.WHICH_DIAGONAL))
        else:
            own = _in_order(turn, fact, taken, known)
            placed = as_framed(own, (*(one.fact for one in known.values()), *found.values()))
            if placed is not own:
                found = {key: one for key, one in found.items() if getattr(one, "topic", None) not in FRAMING}
        key = key_of(placed)
        taken.add(key)
        if key in found and found[key] != placed:
            raise NoPlace(Notice(Tell.TWO_VALUES, (key, *_whole(found[key]), *_whole(placed))))
        found[key] = placed
    return tuple(found.values())


_OneSaid = TypeVar("_OneSaid", bound=Said)


def said_again_of(put_off: tuple[Call, ...], fact: _OneSaid) -> _OneSaid:
    """A thing without a name under that of the one put off that it says again, if it is of one."""
    if not isinstance(fact, Thing) or fact.name:
        return fact
    again = [one.key.name for one in put_off if says_all_again(one.fact, fact)]
    return replace(fact, name=again[0]) if len(again) == 1 else fact


def _way(reading: Reading, there: Iterable[Said | None], focus: Dimension | None) -> Dimension | None:
    """Whether a middle reading is a width or a height, by the other readings of the board: "middle forty six" after a
    height of ninety five is no height, and what is near none of them isn't known. Of any other reading what was last
    spoken of.
    """
    if reading.dimension is not None or reading.at is not Slot.MIDDLE:
        return focus
    readings = [one for one in there if isinstance(one, Reading)]
    near = {one.dimension for one in readings if abs(one.value - reading.value) <= NEAR}
    if len(near) == 1:
        return near.pop()
    return focus if near or not readings else None


def as_awaited(turn: Turn, facts: tuple[Said, ...]) -> tuple[Said, ...]:
    """The facts with the first bare value where the speaker's next one is awaited: in place of what was denied. A place
    alone is that of what was denied there: of its width or its height. Where none is awaited, what was said already is
    said again.
    """
    awaited = turn.state.awaited.get(turn.who)
    if awaited is None:
        return _once_more(turn, facts)
    if awaited.instead:
        facts = tuple(_of_its_kind(fact, awaited) for fact in facts)
    for at, bare in enumerate(facts):
        if not isinstance(bare, Reading) or bare.at is not None:
            continue
        there = instead_of_denied(turn, bare)
        if not there and is_bare(bare):
            there = (replace(bare, dimension=awaited.dimension, at=awaited.at),)
        if there:
            return (*facts[:at], *there, *facts[at + 1 :])
    return facts


def _was_bare(turn: Turn, one: Call) -> bool:
    """Whether it was called as a figure without a place."""
    expected = Expectation(unit=turn.unit, number=True)
    said = turn.rooms.judged((Hearing.typed(one.words),), expected).utterance.meanings
    return len(said) == 1 and isinstance(said[0], Reading) and is_bare(said[0])


def _once_more(turn: Turn, facts: tuple[Said, ...]) -> tuple[Said, ...]:
    """A figure alone that is just that of the reading read back last, or of one that somebody else called, as that one
    said again: an echo is no other place's. Of who calls one figure after another without a place it is the next.
    """
    said = facts[0] if len(facts) == 1 and is_bare(facts[0]) else None
    if not isinstance(said, Reading):
        return facts
    known = turn.state.known(turn.state.board, doubtful=True).values()
    heard = [one for one in known if one.by != turn.who or one in turn.state.called_last]
    same = [one for one in heard if isinstance(one.fact, Reading) and one.fact.value == said.value]
    last = max(same, key=lambda one: one.number, default=None)
    return (
        facts
        if last is None or (last.by == turn.who and _was_bare(turn, last))
        else tuple(in_place_of(one.fact, said) for one in turn.state.called_as_one(last))
    )


def of_the_place_named(turn: Turn, facts: tuple[Said, ...]) -> tuple[tuple[Fact, ...], ...]:
    """What a bare figure is under a question, each way: of the place that its speaker named last, where that was since
    the question was put; of either where the place isn't sure, or the question was put anew behind it. None where no
    place was named: the question owns it. Where nothing is asked "it" is of what was read back last, or of the place
    that comes next.
    """
    doubt, awaited = turn.asked, turn.state.awaited.get(turn.who)
    bare = facts[0] if len(facts) == 1 and is_bare(facts[0]) else None
    if isinstance(bare, Reading) and bare.of_it and doubt is None and awaited is None:
        return _of_it(turn, replace(bare, of_it=False))
    if doubt is None or awaited is None or awaited.at is None or not isinstance(bare, Reading):
        return ()
    named = replace(bare, dimension=awaited.dimension, at=awaited.at)
    asked = [one.fact for one in turn.asked_of if isinstance(one.fact, Reading)]
    asked += [fact for way in doubt.ways for fact in way if isinstance(fact, Reading)]
    places = {(one.dimension, one.at): replace(bare, dimension=one.dimension, at=one.at) for one in asked}
    if any(could_be(one, named) for one in asked):
        return ()
    told = [value for note in turn.state.told_to.get(turn.who, ()) for value in note.values]
    either = not awaited.sure or doubt in told
    return ((named,), *((one,) for one in places.values())) if either else ((named,),)


def _of_it(turn: Turn, bare: Reading) -> tuple[tuple[Fact, ...], ...]:
    """A figure of what was read back last, at each of its places, and of the place that comes next; none where the two
    are one, or nothing was read back here.
    """
    last = _told_last(turn)
    if not are_one_figure(last) or any(isinstance(one.fact, Reading) and one.fact.value == bare.value for one in last):
        return ()
    ways = [tuple(in_place_of(one.fact, bare) for one in last)]
    with suppress(NoPlace):
        ways.append(with_places(turn, (bare,)))
    return tuple(tuple(fact for fact in way if isinstance(fact, Fact)) for way in ways)


def _told_last(turn: Turn) -> tuple[Call, ...]:
    known = turn.state.known(turn.state.board, doubtful=True)
    return tuple(one for one in turn.state.called_last if known.get(one.key) == one)


def _of_a_thing(turn: Turn, reading: Reading) -> bool:
    """Whether it is a figure of a thing that was read back last, and not said which."""
    return reading.of_it and any(isinstance(one.fact, WholeThing) for one in _told_last(turn))


def _is_to_change(turn: Turn) -> bool:
    """Whether it was asked which value should change: what comes is of one that is there."""
    return any(note.tell is Tell.WHICH_VALUE for note in turn.state.said)


def side_alone(parts: tuple[Part, ...]) -> Slot | None:
    """A side that is all that was said: the height there, or the width, comes in the next breath."""
    sides = {str(part.value) for part in parts if isinstance(part.value, Edge | Slot)}
    ends = {Slot.LEFT, Slot.RIGHT, Slot.TOP, Slot.BOTTOM}
    return Slot(sides.pop()) if len(parts) == 1 and sides <= ends and sides else None


THICKNESSES = frozenset(map(Length, ("1/4", "3/8", "1/2", "5/8")))
"""What boards are sold in: trade pages."""


def length_alone(turn: Turn, part: Part) -> Reading | Context | None:
    """A length that answers nothing is a reading whose place the dialogue knows, or the thickness of the board where
    none of its readings was called yet: after one it may be what is left of that.
    """
    readings = any(isinstance(call.fact, Reading) for call in turn.state.on(turn.state.board))
    if isinstance(part.value, Length) and part.value in THICKNESSES and not readings:
        return Context(Topic.THICKNESS, part.value)
    return Reading(part.value) if isinstance(part.value, Length) and part.value >= Length(1) else None


def _of_its_kind(fact: Said, awaited: Awaited) -> Said:
    if not isinstance(fact, Reading) or fact.dimension is not None or fact.at is None or fact.at != awaited.at:
        return fact
    return replace(fact, dimension=awaited.dimension)


def instead_of_denied(turn: Turn, said: Reading | Part) -> tuple[Fact, ...]:
    """A figure as what it is after a no that was a breath of its own: each place of the figure that was denied, or the
    thing that is one length.
    """
    found = (with_figure(one.fact, said) for one in denied(turn))
    return tuple(each for each in found if each is not None)


def thing_denied(turn: Turn, parts: tuple[Part, ...]) -> Fact | None:
    """The one box or opening that was said no to in a breath of its own, with those parts in the place of its own. None
    where it has no such parts, or they are its own.
    """
    calls = denied(turn)
    old = calls[0].fact if len(calls) == 1 else None
    return with_parts(old, parts) if parts and isinstance(old, WholeThing) else None


def denied(turn: Turn) -> tuple[Call, ...]:
    """What the speaker said no to, and hasn't said otherwise yet."""
    awaited = turn.state.awaited.get(turn.who)
    calls = () if awaited is None else turn.state.those(awaited.instead)
    return tuple(one for one in calls if one.standing in {Standing.NOT_TAKEN, Standing.DOUBTFUL})


def board_meant(turn: Turn, facts: Iterable[Said]) -> str:
    """The board that new values are of: that of what was denied, where they come instead of it, else that at hand."""
    calls = denied(turn) or _just_denied(turn)
    boards = {one.board for one in calls}
    return boards.pop() if len(boards) == 1 and _come_instead(calls, facts) else turn.state.board


def another_wall(turn: Turn, facts: Iterable[Said]) -> str | None:
    """The wall or ceiling whose sides were said, where that isn't the one at hand: nothing that was read back here is
    meant. None where it is, or none was.
    """
    wall = next((fact for fact in facts if isinstance(fact, SurfaceCall)), None)
    meant = () if wall is None else surfaces_called(turn.state, surface_name(wall), "")
    return None if not meant or turn.state.board in meant else meant[0]


def board_denied(turn: Turn) -> str:
    """The board of what the speaker says no to: of what is asked, else of what waits; that at hand where it is among
    several, or nothing is open.
    """
    last = turn.asked.calls if turn.asked is not None and turn.asked.concern is Concern.LAST else ()
    calls = turn.asked_of or turn.state.those(last) or turn.state.waiting(turn.who)
    boards = {one.board for one in calls} or {turn.state.board}
    return boards.pop() if len(boards) == 1 else turn.state.board


def answers_denied(turn: Turn, facts: Iterable[Said]) -> bool:
    """Whether any of the facts is what was asked for instead of what was said no to."""
    return _come_instead(denied(turn), facts)


def _come_instead(calls: tuple[Call, ...], facts: Iterable[Said]) -> bool:
    return any(is_bare(fact) or _is_instead(one, fact) for fact in facts for one in calls)


def _is_instead(denied: Call, new: Said) -> bool:
    things = Thing
    if isinstance(denied.fact, things) and isinstance(new, things):
        return same_name(denied.fact, new)
    if isinstance(denied.fact, Reading) and isinstance(new, Reading):
        return could_be(denied.fact, new)
    return denied.key == key_of(new)


def _whole(said: Said) -> tuple[Fact, ...]:
    return () if isinstance(said, Incomplete) else (said,)


def _already_there(fact: Said, known: Mapping[Key, Call]) -> Said | None:
    """The box or opening that is called once more, since no two are at one place; or the one named, with the part of it
    that is called anew.
    """
    if isinstance(fact, WholeThing) and not fact.name:
        things = (one.fact for one in known.values() if isinstance(one.fact, WholeThing))
        return next((one for one in things if replace(one, name="") == fact), None)
    if _is_sill(fact):
        fact = of_one(fact, (one.fact for one in known.values()))
    if isinstance(fact, Incomplete) and fact.name:
        call = known.get(key_of(fact))
        return amended(call.fact, fact) if call is not None and isinstance(call.fact, WholeThing) else None
    return None


def _is_sill(fact: Said) -> bool:
    """Whether it is how high a window begins and nothing else: of the only window there is, a new one without it."""
    heights = fact.distances if isinstance(fact, Incomplete) and fact.kind is OpeningKind.WINDOW else ()
    alone = [each for each in heights if each.start is Edge.BOTTOM and each.point is Point.NEAR]
    return len(alone) == len(heights) == 1 and fact == Incomplete(OpeningKind.WINDOW, heights)


def put_off_by_name(turn: Turn, facts: tuple[Said, ...]) -> dict[Key, Call]:
    """What was put off and is called by its name now: gone on with, or called anew by who called it. What is otherwise
    than somebody else's has the name alone of it.
    """
    named = {key_of(fact): fact for fact in facts if isinstance(fact, Thing) and fact.name}
    there = turn.state.known(turn.state.board, doubtful=True)
    kept = [one for one in turn.state.put_off(turn.state.board) if one.key in named and one.key not in there]
    return {one.key: one for one in kept if one.by == turn.who or _goes_on(turn, one, named[one.key])}


def _goes_on(turn: Turn, one: Call, fact: Said) -> bool:
    """Whether what another one begun is meant: by a word of change, or since nothing speaks against it."""
    changes = any(isinstance(each, Correction) for each in turn.judged.utterance.meanings)
    return (changes and isinstance(fact, Incomplete)) or goes_on(one.fact, fact)


def _begun_before(turn: Turn, fact: Said) -> Said | None:
    """What was begun under that name and waits for its parts, with those that are called now; of what another one
    begun it is only where nothing of it is otherwise.
    """
    if not isinstance(fact, Incomplete) or not fact.name:
        return None
    key = key_of(fact)
    there = (one for one in turn.state.begun(turn.state.board) if one.key == key)
    begun = (one.fact for one in there if one.by == turn.who or _goes_on(turn, one, fact))
    return next((together(old, fact) for old in begun if isinstance(old, Incomplete)), None)


def _in_order(turn: Turn, fact: Said, taken: set[Key], known: Mapping[Key, Call]) -> Said:
    """With the name or the edge that its words leave open; studs called one by one add up, and a side of the sheet is
    that of the sheet that was called.
    """
    there = _already_there(fact, known) or _begun_before(turn, fact)
    if there is not None:
        return there
    names = [key.name for key in taken if key.of in {Of.BOX, Of.OPENING}]
    if isinstance(fact, Opening | Incomplete) and isinstance(fact.kind, OpeningKind):
        return replace(fact, name=fact.name or free_name(fact.kind.value, names))
    if isinstance(fact, Box | Incomplete):
        return replace(fact, name=fact.name or free_name("box", names))
    if isinstance(fact, Context) and fact.topic is Topic.CLEARANCE and fact.edge is None:
        if turn.state.edge is None:
            raise NoPlace(Notice(Tell.WHICH_EDGE))
        return replace(fact, edge=turn.state.edge)
    if isinstance(fact, Context) and fact.topic in SIDES_OF_SHEET and isinstance(fact.value, Length):
        sheet = known.get(key_of(Context(Topic.SHEET, fact.value)))
        if sheet is not None and isinstance(sheet.fact, Context) and isinstance(sheet.fact.value, tuple):
            width, length = sheet.fact.value
            sides = (fact.value, length) if fact.topic is Topic.SHEET_WIDTH else (width, fact.value)
            return replace(sheet.fact, value=sides)
    if isinstance(fact, Context) and fact.topic is Topic.STUDS and isinstance(fact.value, tuple):
        old = known.get(key_of(fact))
        if old is not None and isinstance(old.fact, Context) and isinstance(old.fact.value, tuple):
            return replace(fact, value=tuple(sorted({*old.fact.value, *fact.value})))
    return fact


def said_no_to(turn: Turn, calls: tuple[Call, ...]) -> tuple[Doubt, ...]:
    """The question about each value that was said no to just now and comes again as it was."""
    denied = {one.fact for one in _just_denied(turn) if one.by == turn.who and is_whole(one)}
    return tuple(Doubt(Concern.CONTRADICTION, one.number) for one in calls if one.fact in denied)


def _just_denied(turn: Turn) -> tuple[Call, ...]:
    """What was asked for instead in the last breath, as it waited, and that led to no other board."""
    if any(note.tell in {Tell.BOARD, Tell.SURFACE} for note in turn.state.said):
        return ()
    notes = (note for note in turn.state.said if note.tell is Tell.NOT_TAKEN_WHAT_IS_IT)
    return tuple(
        value
        for note in notes
        for value in note.values
        if isinstance(value, Call) and value.standing is Standing.NOT_TAKEN
    )


def at_unsure_place(turn: Turn, facts: tuple[Said, ...], calls: tuple[Call, ...]) -> tuple[Doubt, ...]:
    """The question whether the first bare value belongs to the place that a slip may have named, or to the next one
    where it may be the end of what was not understood before it: "both sides" may have been said with it.
    """
    awaited = turn.state.awaited.get(turn.who)
    if awaited is None and not (turn.spoken and _was_lost(turn)):
        return ()
    if awaited is not None and awaited.sure:
        return ()
    bare = (one.number for fact, one in zip(facts, calls, strict=False) if is_bare(fact))
    return tuple(Doubt(Concern.UNSURE, number) for number in [*bare][:1])


WHOLE = Length(10)
"""A figure below it may be the end of a number of which the rest was said before it (our own rule)."""


def only_its_end(said: Iterable[Said], calls: Iterable[Call], olds: Iterable[Call]) -> tuple[Doubt, ...]:
    """The question about each small figure alone in the place of a reading that a number goes on from: "ninety", and
    then "six".
    """
    small = {fact.value for fact in said if isinstance(fact, Reading) and is_bare(fact) and fact.value < WHOLE}
    was = {one.key: one.fact.value for one in olds if isinstance(one.fact, Reading) and one.fact.value >= WHOLE}
    return tuple(
        Doubt(Concern.INSTEAD, one.number, value=was[one.key], other=one.fact.value)
        for one in calls
        if isinstance(one.fact, Reading) and one.fact.value in small and one.key in was
    )


def _was_lost(turn: Turn) -> bool:
    """Whether the last that the speaker called was spoken, and not understood."""
    own = [one for one in turn.state.on(turn.state.board) if one.by == turn.who and not one.carried]
    last = max(own, key=lambda one: one.number, default=None)
    return last is not None and last.fact is None and last.standing is Standing.NOT_TAKEN and not last.queued


def places_told(turn: Turn, fact: Said | None) -> tuple[Place, ...]:
    """Where a reading rather belongs that was objected with by voice: at one of the places of its kind that had just
    been said aloud with another value. None where its own was among them, or nothing of its kind was.
    """
    if not turn.spoken or not turn.judged.utterance.objects or not isinstance(fact, Reading):
        return ()
    notes = (note for note in turn.state.said if note.tell in _TOLD)
    calls = [value for note in notes for value in note.values if isinstance(value, Call)]
    told = {
        one.fact.at: one.fact for one in calls if isinstance(one.fact, Reading) and one.fact.dimension is fact.dimension
    }
    if fact.at in told or any(one.fact == fact for one in calls):
        return ()
    return tuple(at for at, old in told.items() if at is not None and old.value != fact.value)


_TOLD = frozenset({Tell.READ_BACK, Tell.TOGETHER, Tell.CONFIRMED, Tell.TAKEN_BACK})


def at_told_place(turn: Turn, one: Call) -> Doubt:
    """The question whether a value belongs where it was called, or to a place that had just been said."""
    assert isinstance(one.fact, Reading)
    there = tuple((replace(one.fact, at=at),) for at in places_told(turn, one.fact))
    return Doubt(Concern.WHICH_OF, one.number, ((one.fact,), *there))


def begun_in_doubt(turn: Turn, calls: tuple[Call, ...]) -> tuple[Doubt, ...]:
    """What lacks a part and was heard with doubt is asked about once it is whole."""
    if not turn.spoken or not turn.judged.doubtful:
        return ()
    return tuple(Doubt(Concern.UNSURE, one.number) for one in calls if isinstance(one.fact, Incomplete))


def lacking(calls: tuple[Call, ...]) -> tuple[Doubt, ...]:
    """The question of the first part that each of them lacks."""
    return tuple(
        Doubt(Concern.LACKS, one.number, lack=one.fact.lacks[0])
        for one in calls
        if isinstance(one.fact, Incomplete) and one.fact.lacks
    )


def still_of_that_name(turn: Turn, old: Call, new: Call) -> tuple[Doubt, ...]:
    """The question whether it replaces the one that has its name: a detail of it is no answer, to be it again is."""
    there = turn.state.settled(old.board).get(new.key)
    same = (each for each in turn.mine.doubts if each.concern is Concern.SAME_BOX)
    asked = tuple(replace(each, call=new.number) for each in same if each.call == old.number and old.key == new.key)
    return () if turn.judged.utterance.objects or (there is not None and there.fact == new.fact) else asked
