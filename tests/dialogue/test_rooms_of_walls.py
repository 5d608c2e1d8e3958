"""A wall's or ceiling's room is part of its name: what is called in another room is another one, however the room was
said.
"""

from __future__ import annotations

from itertools import product

import pytest

from fieldvoice.dialogue.matching import room_of
from fieldvoice.language.understanding import understand
from fieldvoice.records.facts import Key, Of
from fieldvoice.records.hearing import Source
from fieldvoice.records.meaning import Context, SurfaceCall, Topic
from fieldvoice.records.room import name_of
from tests.dialogue.talk import Wall, wall_after

ROOMS = ("kitchen", "bedroom", "hall")
NAMES = ("north wall", "ceiling")
SAID = ("before", "with")
FIRST = (*product(ROOMS, SAID), ("", "never"))
SIDES = {"12 feet by 8 feet": ("144", "96"), "10 feet by 9 feet": ("120", "108")}


def called(wall: Wall, room: str, how: str, name: str, sides: str) -> str:
    """A surface with its framing, its room said in that way; its whole name."""
    if how == "before":
        wall.types(room)
    said = wall.types(f"{room} {name} {sides}" if how == "with" else f"{name} {sides}")
    assert not wall.refuses, said
    wall.types("16 on center from the left", "done")
    return f"{room} {name}".strip()


def sides_of(wall: Wall) -> dict[str, tuple[str, str]]:
    """The two sides of each surface as they stand."""
    state = wall.session.state
    return {
        name: (str(call.fact.width), str(call.fact.height))
        for name in state.surfaces
        for call in state.settled(name).values()
        if isinstance(call.fact, SurfaceCall)
    }


@pytest.mark.parametrize("first", FIRST)
@pytest.mark.parametrize("second", FIRST[:-1])
def test_every_room_has_its_own(first: tuple[str, str], second: tuple[str, str]) -> None:
    """Of the same name or another one: both stand with their own sides, are laid out, and are gone back to by name."""
    for old, new in product(NAMES, NAMES):
        wall = Wall()
        before = called(wall, *first, old, "12 feet by 8 feet")
        after = f"{second[0]} {new}"
        if before == after:
            continue
        assert called(wall, *second, new, "10 feet by 9 feet") == after
        expected = {before: SIDES["12 feet by 8 feet"], after: SIDES["10 feet by 9 feet"]}
        assert sides_of(wall) == expected
        plan = wall.view.room_plan
        assert plan is not None
        assert {str(name_of(one)) for one in plan.house.surfaces} == set(expected)
        for name in expected if first[0] else (after,):
            wall.types(name)
            assert wall.session.state.board == name


@pytest.mark.parametrize(("first", "second"), list(product(SAID, SAID)))
def test_the_same_room_s_is_the_same_one(first: str, second: str) -> None:
    """Other sides of it are asked about, however its room was said both times."""
    for room in ROOMS:
        wall = Wall()
        called(wall, room, first, "north wall", "12 feet by 8 feet")
        if second == "before":
            wall.types(room)
        said = wall.types(f"{'' if second == 'before' else room} north wall 10 feet by 8 feet")
        assert "24 in less than before: is that right?" in said


@pytest.mark.parametrize("mended", ["no, bedroom", "no, bedroom north wall 12 feet by 8 feet"])
@pytest.mark.parametrize("framed", [False, True])
def test_a_room_that_was_not_meant_leaves_no_wall_there(mended: str, *, framed: bool) -> None:
    """A no to the room that was just read back has the wall in the other one."""
    wall = Wall()
    if framed:
        called(wall, "office", "with", "east wall", "12 feet by 8 feet")
    wall.types("kitchen north wall 12 feet by 8 feet", mended, "16 on center", "done")
    assert {name for name in sides_of(wall) if "north" in name} == {"bedroom north wall"}
    assert "There is no kitchen north wall yet" in wall.types("go to the kitchen north wall")


@pytest.mark.parametrize("piece", [False, True])
def test_a_room_alone_leads_away_from_another_room_s_wall(*, piece: bool) -> None:
    """And from a piece of it; the crew's board and framing go along, and said again it leads back."""
    wall = Wall()
    called(wall, "kitchen", "before", "north wall", "12 feet by 8 feet")
    wall.types("5/8 board", "yes", *(["next board"] if piece else []))
    here = wall.session.state.board
    wall.types("bedroom")
    assert wall.session.state.board not in {here, *wall.session.state.surfaces}
    wall.types("yes", "east wall 10 feet by 8 feet", "yes", "16 on center", "done")
    plan = wall.view.room_plan
    assert plan is not None
    assert {str(one.thickness) for one in plan.house.surfaces} == {"5/8"}
    assert wall.types("kitchen").startswith("Kitchen north wall, as it stands.")


@pytest.mark.parametrize("surface", ["north wall", "east wall"])
@pytest.mark.parametrize("end", ["left", "right"])
@pytest.mark.parametrize("between", ["", "{0}", "done / {0}", "next board / {0}"])
def test_the_end_that_framing_was_counted_from_stays(surface: str, end: str, between: str) -> None:
    """Another spacing without an end is counted from the same one, which is read back."""
    wall = wall_after(f"{surface} 12 feet by 8 feet", f"16 on center from the {end}")
    wall.types(*filter(None, between.format(surface).split(" / ")))
    assert f"24 in on center from the {end}, instead of" in wall.types("24 on center")


@pytest.mark.parametrize("room", ["bedroom two", "bathroom 3"])
def test_a_room_with_a_number_is_said_in_words(room: str) -> None:
    """By itself and in the names of its walls; what is said aloud of it is understood as the same room."""
    wall = wall_after()
    wall.types(room)
    (said,) = (one.spoken for one in wall.said)
    assert understand(said.rstrip("."), Source.SPOKEN).meanings == understand(room, Source.TYPED).meanings
    assert "north wall, new." in wall.types(f"{room} north wall 144 by 96")


def test_the_sheets_of_several_walls_are_told_as_those_of_all() -> None:
    """Not as those of the wall that was called last."""
    wall = wall_after("north wall 144 by 96", "16 on center", "next board", "east wall 144 by 96, 16 on center")
    said = wall.types("next board")
    assert "Laid out, 2 walls and ceilings in all: 4 pieces from 4 sheets of 48 x 144." in said


def test_behind_the_last_piece_no_board_is_opened_twice() -> None:
    """One is, for what the layout doesn't know; going on from it with nothing called on it opens no other."""
    wall = wall_after("north wall 144 by 96", "16 on center", "next board", "next board", "next board", "next board")
    assert list(wall.session.state.boards) == ["1", "2", "3"]
    wall.types("top 40", "next board")
    assert list(wall.session.state.boards) == ["1", "2", "3", "4"]


@pytest.mark.parametrize("name", NAMES)
def test_a_wall_called_in_no_room_is_named_where_a_room_comes_later(name: str) -> None:
    """It keeps its name. Whoever looks for it in the room hears of it, and so does who calls it there again: else it
    counts twice.
    """
    framing, sides = "16 on center from the left", "12 feet by 8 feet"
    wall = wall_after(f"{name} {sides}", framing, "yes")
    told = f"The {name} was called in no room."
    assert told in wall.types("room kitchen")
    assert told in wall.types(f"go to kitchen {name}")
    said = wall.types(f"kitchen {name} {sides}")
    assert f"The {name} was called in no room, and counts beside it." in said
    wall.types("undo", f"take out the {name}", f"kitchen {name} {sides}", framing, "yes")
    assert set(sides_of(wall)) == {f"kitchen {name}"}
    for room, other in (("kitchen", "hall"), ("closet", "linen closet")):
        apart = wall_after(f"room {room}", f"{name} {sides}", framing, "yes")
        assert "in no room" not in apart.types(f"room {other}") + apart.types(f"{name} {sides}")


@pytest.mark.parametrize("room", ["", "kitchen "])
def test_what_was_undone_is_told_of_its_wall_and_is_missing(room: str) -> None:
    """A wall is no board, and one without its sides isn't whole; it stays at hand where more was called since."""
    wall = wall_after(f"{room}north wall 12 feet by 8 feet", "two layers", "undo")
    assert wall.types("undo").startswith(f"Undone on the {room}north wall: ")
    assert f"There is no {room}north wall yet." in wall.types("what is missing")


def test_where_the_joists_are_is_asked_with_both_ways_to_count_them() -> None:
    """Those of a ceiling may be counted from its near end; studs from a side alone."""
    assert "from the left, or from the near end." in Wall().types("ceiling 12 feet by 8 feet")
    assert Wall().types("north wall 12 feet by 8 feet").endswith("from the left.")


@pytest.mark.parametrize("before", [(), ("kitchen",), ("bathroom", "kitchen")])
@pytest.mark.parametrize("between", ["bathroom", "hall", "bedroom two"])
def test_a_piece_has_the_room_of_its_wall(before: tuple[str, ...], between: str) -> None:
    """Whatever room was said before it is opened: the next board of another room is none of its pieces."""
    wall = wall_after(*before, "kitchen", "north wall 12 by 8 feet studs 16 on center", between, "next board")
    state = wall.session.state
    assert state.board not in state.pieces
    assert room_of(state, state.board) == between.replace("two", "2")
    wall.types("go to the kitchen north wall", "next board")
    state = wall.session.state
    piece = state.pieces[state.board]
    room = state.known(state.board)[Key(Of.CONTEXT, name=Topic.ROOM.value)].fact
    assert isinstance(room, Context)
    assert (piece.surface.room, room.value) == ("kitchen", "kitchen")
