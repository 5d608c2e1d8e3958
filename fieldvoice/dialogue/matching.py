"""What is meant by what was said: which of the ways of a question a piece of it is, by the values alone; which wall,
ceiling or room by its name; and how boxes and openings are named.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import TypeGuard

from fieldvoice.dialogue.amending import is_bare, same_name, says_anew
from fieldvoice.dialogue.state import State
from fieldvoice.records.facts import Fact, Key, Of, Said, key_of, unshared
from fieldvoice.records.ledger import Doubt
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import (
    Context,
    Diagonal,
    Dimension,
    Distance,
    Edge,
    Place,
    Plumb,
    Point,
    Reading,
    Slot,
    Thing,
    Topic,
    WholeThing,
)
from fieldvoice.records.utterance import Lean, Ordinal, Part, Slant


def may_be(old: Said, new: Said) -> bool:
    """Whether what was said may be a value of what was called before."""
    if isinstance(old, Reading) and isinstance(new, Reading):
        return new.dimension in {None, old.dimension} and new.at in {None, old.at}
    return same_name(old, new)


def may_be_anew(old: Fact, new: Said) -> bool:
    """Whether what was said may be meant for a way of a question as a whole: of settings those of one key alone, of
    things what one of them is called anew.
    """
    same = type(old) is type(new) and (not isinstance(new, Context) or key_of(old) == key_of(new))
    return same and may_be(old, new) and says_anew(old, new)


def nameless(fact: Fact) -> Fact:
    """The fact without the name that the dialogue gave it, which is another one at each call."""
    return replace(fact, name="") if isinstance(fact, WholeThing) else fact


def way_fits(way: tuple[Fact, ...], said: Said | Part) -> bool:
    """Whether a piece of what was said is that way and no other."""
    if len(way) != 1:
        return any(way_fits((fact,), said) for fact in way)
    fact = way[0]
    if isinstance(said, Part):
        return has_part(fact, said)
    if isinstance(fact, Reading) and isinstance(said, Reading):
        if said.at is None and said.dimension is None and said.value < Length(1):
            return fact.value == said.value or fact.value.inches % 1 == said.value.inches
        return fact.value == said.value and may_be(fact, said)
    if isinstance(fact, WholeThing) and isinstance(said, WholeThing):
        return nameless(fact) == nameless(said) and same_name(fact, said)
    if isinstance(fact, WholeThing) and isinstance(said, Reading) and is_bare(said):
        return has_part(fact, Part(said.value))
    return fact == said


def has_part(fact: Said, part: Part) -> bool:
    """Whether a piece is one of the fact as it was called."""
    value = part.value
    if isinstance(fact, Thing):
        return _thing_has(fact, value)
    if isinstance(fact, Reading):
        if isinstance(value, Dimension):
            return fact.dimension is value
        if isinstance(value, Length):
            return fact.value == value or fact.value.inches % 1 == value.inches
        return fact.at is not None and str(fact.at) == str(value) if isinstance(value, Slot | Edge) else False
    if isinstance(fact, Diagonal):
        return isinstance(value, Slant) and fact.rising == (value is Slant.RISING)
    if isinstance(fact, Plumb):
        upright = fact.edge in {Edge.LEFT, Edge.RIGHT}
        return upright and isinstance(value, Lean) and (fact.value > Length(0)) == (value is Lean.IN)
    return isinstance(fact, Context) and value in {fact.value, fact.edge}


def _thing_has(thing: Thing, value: object) -> bool:
    marks = thing.places
    if isinstance(value, Distance):
        return any(
            each.value == value.value and value.start in {None, each.start} and value.point in {None, each.point}
            for each in marks
        )
    if isinstance(value, Point):
        return bool(marks) and all(each.point is value for each in marks)
    if isinstance(value, Edge | Slot):
        return any(str(each.start) == str(value) for each in marks)
    if isinstance(value, Length):
        return any(each.value == value for each in marks)
    return value == thing.kind


def fitting(doubt: Doubt, said: tuple[Said | Part, ...]) -> list[tuple[Fact, ...]]:
    """The ways that what was said may be: by what they don't share where that tells, and of a way and the same with
    more the one that was said to its end.
    """
    fits = [way for way in doubt.ways if all(way_fits(way, one) for one in said)]
    apart = dict(zip(doubt.ways, unshared(doubt.ways), strict=True))
    if len(fits) > 1 and all(apart[way] for way in fits):
        fits = [way for way in fits if all(way_fits(apart[way], one) for one in said)] or fits
    ends = [way for way in fits if len(way) == len(said)] if all(map(_names_place, said)) else []
    return ends if len(fits) > 1 and ends else fits


def begun_so(doubt: Doubt, said: tuple[Said | Part, ...]) -> list[tuple[Fact, ...]]:
    """The ways to choose from of which no more than the whole inches were said: of several it settles none, and of one
    it may be a figure of its own.
    """
    values = [each.value for each in said if isinstance(each, Reading | Part) and isinstance(each.value, Length)]
    if len(doubt.ways) < 2 or len(said) != 1 or len(values) != 1 or values[0].inches.denominator != 1:
        return []
    return [way for way in doubt.ways if len(way) == 1 and _begins(way[0], said[0], values[0])]


def _begins(fact: Fact, said: Said | Part, inches: Length) -> bool:
    if not isinstance(fact, Reading) or (isinstance(said, Reading) and not may_be(fact, said)):
        return False
    return 0 < (fact.value - inches).inches < 1


def _names_place(said: Said | Part) -> bool:
    """Whether what was said tells where it belongs, so that what another way has besides wasn't meant."""
    return isinstance(said.value, Slot | Edge) if isinstance(said, Part) else not is_bare(said)


def toward(doubt: Doubt, said: tuple[Said | Part, ...]) -> list[tuple[Fact, ...]]:
    """Where a ceiling or floor goes, by the side: of its two ways the one toward the left comes first."""
    level = [fact for way in doubt.ways for fact in way if isinstance(fact, Plumb) and fact.edge in _LEVEL]
    side = said[0].value if len(said) == 1 and isinstance(said[0], Part) else None
    if len(level) != len(doubt.ways) or len(level) != len(_SIDES) or side not in _SIDES:
        return []
    return [doubt.ways[_SIDES.index(side)]]


_LEVEL = frozenset({Edge.TOP, Edge.BOTTOM})


_SIDES: tuple[object, ...] = (Edge.LEFT, Edge.RIGHT)


def by_its_number(doubt: Doubt, said: tuple[Said | Part, ...]) -> tuple[Fact, ...] | None:
    """The way that was told first, second or third, where that alone was said."""
    if len(said) != 1 or not isinstance(said[0], Part) or not isinstance(said[0].value, Ordinal):
        return None
    return dict(zip(Ordinal, filter(None, doubt.ways), strict=False)).get(said[0].value)


def is_at(fact: Fact, dimension: Dimension | None, at: Place) -> bool:
    """Whether it is a reading of that place."""
    return isinstance(fact, Reading) and fact.at == at and dimension in {None, fact.dimension}


def in_one_of(doubt: Doubt, said: tuple[Said, ...]) -> tuple[Fact, ...] | None:
    """Other values at the places of one of the ways, all of its places said: in them."""
    for way in doubt.ways:
        placed = [_in_place(fact, one) for fact, one in zip(way, said, strict=False)]
        there = tuple(each for each in placed if each is not None)
        if len(there) == len(way) == len(said):
            return there
    return None


def _in_place(fact: Fact, said: Said) -> Fact | None:
    if isinstance(fact, Reading) and isinstance(said, Reading) and said.at is not None and may_be(fact, said):
        return replace(said, dimension=fact.dimension, at=fact.at)
    return None


def tells_more(doubt: Doubt, whole: tuple[Said, ...]) -> bool:
    """Whether one way is all there among more that was said: the call was that and more, of which a part was heard."""
    more = (way for way in doubt.ways if way and len(way) < len(whole))
    return any(all(any(way_fits((fact,), each) for each in whole) for fact in way) for way in more)


def stem(name: str) -> str:
    """What stands before the number of a name: "window" of "window 1", nothing where it has none."""
    return name.rpartition(" ")[0]


def free_name(of: str, taken: Iterable[str]) -> str:
    """The first of "box 1", "box 2", ... that isn't taken."""
    used = set(taken)
    number = 1
    while f"{of} {number}" in used:
        number += 1
    return f"{of} {number}"


ROOM = Key(Of.CONTEXT, name=Topic.ROOM.value)


def find_surfaces(state: State, name: str) -> tuple[str, ...]:
    """The whole names of the surfaces that may be meant: that of the room at hand or of the room that is said with it,
    else all that are called so.
    """
    there = state.called_surfaces
    whole = next((each for each in (in_its_room(state, name), name) if each in there), None)
    if whole is not None:
        return (whole,)
    said = tuple(each for each in _with_rooms(state, name) if each in there)
    return said or tuple(each for each in there if each.endswith(f" {name}"))


def surfaces_called(state: State, name: str, room: str) -> tuple[str, ...]:
    """The whole names that a surface called by its sides may have: its room is part of its name, the one that was said
    with it (`room`), else the one at hand. Where none is, it may be any that was called so.
    """
    room = room or room_of(state, state.board)
    return (f"{room} {name}",) if room else find_surfaces(state, name) or (name,)


def roomless(state: State, whole: str) -> str | None:
    """The surface that was called in no room and may be the one of a room that is meant by its whole name."""
    return next(
        (each for each in state.called_surfaces if whole.endswith(f" {each}") and not room_of(state, each)), None
    )


def in_its_room(state: State, name: str) -> str:
    """The whole name of a surface of the room at hand."""
    room = room_of(state, state.board)
    return f"{room} {name}" if room else name


def is_room(said: object) -> TypeGuard[Context]:
    """Whether it says which room work is in."""
    return isinstance(said, Context) and said.topic is Topic.ROOM


def room_of(state: State, board: str) -> str:
    """The room that a board or a surface was called in, empty where none was said."""
    room = state.known(board).get(ROOM)
    return str(room.fact.value) if room is not None and isinstance(room.fact, Context) else ""


def _with_rooms(state: State, name: str) -> Iterator[str]:
    """The names that it may stand for where it begins with a room ("bathroom north wall" for that of the bath)."""
    words = name.split()
    for count in range(1, len(words)):
        for room in rooms_meant(state, " ".join(words[:count])):
            yield f"{room} {' '.join(words[count:])}"


def rooms_meant(state: State, said: str) -> tuple[str, ...]:
    """The rooms of the house that somebody may mean: the one that is called so, else those whose name begins as it
    does ("bathroom" for "bath").
    """
    rooms = {} if state.house is None else dict.fromkeys(surface.room for surface in state.house.surfaces)
    wanted = plain_room(said)
    exact = tuple(room for room in rooms if plain_room(room) == wanted)
    return exact or tuple(
        room for room in rooms if plain_room(room).startswith(wanted) or wanted.startswith(plain_room(room))
    )


def plain_room(room: str) -> str:
    """The name of a room however it is spelled: "room 3" is 3."""
    return " ".join(room.lower().split()).removeprefix("room ")
