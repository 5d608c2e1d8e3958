"""The names of boxes and openings, and which wall, ceiling or room is meant by what was said."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TypeGuard

from fieldvoice.dialogue.state import State
from fieldvoice.records.facts import Key, Of
from fieldvoice.records.meaning import Context, Topic


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
