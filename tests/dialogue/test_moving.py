"""What is said in few words of what was just called: where it belongs, that it is as another one, its other side."""

from __future__ import annotations

from itertools import permutations

import pytest

from tests.dialogue.talk import Wall

PLACES = {"top": "width, top", "bottom": "width, bottom", "left": "height, left", "right": "height, right"}
WAYS = ("that's the {at}", "no, that's the {at}", "{at} not {was}", "that was the {at}, not the {was}")
PAIRS = tuple(permutations(PLACES, 2))


def _standing(wall: Wall) -> dict[str, str]:
    return {told.label: told.value for told in wall.readings}


@pytest.mark.parametrize(("was", "at"), PAIRS)
@pytest.mark.parametrize("before", [None, "44 1/2"])
def test_the_value_just_read_back_goes_to_its_place(was: str, at: str, before: str | None) -> None:
    """Whichever way it is said; what stood before it where it was stands again, and what was at the other place is
    told to be replaced.
    """
    way = WAYS[PAIRS.index((was, at)) % len(WAYS)]
    wall = Wall()
    if before is not None:
        wall.types(f"{was} {before}")
    wall.types(f"{was} 45 7/8")
    told = wall.types(way.format(at=at, was=was))
    assert "Undone" in told
    assert _standing(wall) == {PLACES[at]: "45 7/8", **({PLACES[was]: before} if before is not None else {})}


@pytest.mark.parametrize("at", PLACES)
def test_where_it_was_called_there_it_is_a_yes(at: str) -> None:
    """Nothing moves."""
    wall = Wall()
    wall.types(f"{at} 45 7/8")
    assert wall.types(f"that's the {at}") == "Taken."
    assert _standing(wall) == {PLACES[at]: "45 7/8"}


@pytest.mark.parametrize(
    "lines",
    [
        (),
        ("wall left",),
        ("top 45, left 95",),
        ("top 45", "left 95", "read it all back"),
        ("top 45", "next board"),
        ("top 45", "power's on"),
    ],
)
def test_where_no_one_value_was_read_back_last_nothing_moves(lines: tuple[str, ...]) -> None:
    """It is asked, and all stands as it stood."""
    wall = Wall()
    if lines:
        wall.types(*lines)
    stood = _standing(wall)
    assert "Say its place" in wall.types("that's the bottom")
    assert _standing(wall) == stood


def test_another_place_than_the_one_that_is_denied_is_asked() -> None:
    """What is said to be no value of the left is no word of the top."""
    wall = Wall()
    wall.types("top 45 7/8")
    assert "Say its place" in wall.types("bottom, not left")
    assert _standing(wall) == {"width, top": "45 7/8"}


def test_it_answers_the_question_from_which_side() -> None:
    """A distance whose edge is asked for."""
    wall = Wall()
    wall.types("outlet 30 over, 16 up")
    assert "center or edge" in wall.types("that's the left")


@pytest.mark.parametrize("room", ["", "kitchen "])
@pytest.mark.parametrize("said", ["south wall same as north", "south is the same as the north wall"])
def test_a_wall_as_another_one(room: str, said: str) -> None:
    """Its sides are read back; where none is called so, or its top slopes, it is asked."""
    wall = Wall()
    assert "same as what" in wall.types(said)
    wall.types(f"{room}north wall 12 foot by 8 foot")
    assert "South wall: 144 by 96 in" in wall.types(said)
    wall.types("left 96, right 60")
    assert "same as what" in wall.types("east wall same as south")


@pytest.mark.parametrize("kind", ["outlet", "two gang", "octagon"])
def test_the_same_height_as_the_only_box(kind: str) -> None:
    """Taken where there is one box, asked where there is none or more than one."""
    wall = Wall()
    wall.types("left 95 1/2")
    again = f"another {kind} 60 from left same height"
    assert "which box" in wall.types(again)
    wall.types("dismiss that", f"{kind} center 30 from left 16 up")
    assert "center 60 from left, center 16 from bottom" in wall.types(f"another {kind} center 60 from left same height")
    assert "which box" in wall.types(f"another {kind} center 75 from left same height")


@pytest.mark.parametrize(
    ("begun", "rest", "whole"),
    [
        ("north wall 144", "96", "North wall: 144 by 96 in"),
        ("north wall 12 foot", "8 foot", "North wall: 144 by 96 in"),
        ("kitchen north wall 144", "96 1/2", "North wall: 144 by 96 1/2 in"),
        ("ceiling 120 wide", "144", "Ceiling: 120 by 144 in"),
    ],
)
def test_a_wall_that_broke_off_behind_its_first_side(begun: str, rest: str, whole: str) -> None:
    """The figure that comes right behind it is the other side, of whoever said the first; nothing is left over."""
    wall = Wall()
    wall.types(begun)
    assert whole in wall.types(rest)
    assert not wall.session.state.not_taken(wall.session.state.board)
    other = Wall()
    other.types(begun)
    assert whole not in other.types(rest, who="partner")


def test_two_sides_behind_an_opening_are_its_own() -> None:
    """Asked for or not; those of a sheet are a sheet."""
    wall = Wall()
    wall.types("north wall 12 foot by 8 foot", "studs 16 on center", "window 30 from left, 40 up")
    assert "36 wide by 50 high" in wall.types("it's 36 by 50")
    assert "instead of window, 36 wide by 50 high" in wall.types("it's 40 by 44")
    assert "Sheet: 48 by 96" in wall.types("it's 4 by 8")


def test_how_many_sheets() -> None:
    """The layout answers, made first where it wasn't yet."""
    wall = Wall()
    assert "no wall or ceiling" in wall.types("how many sheets")
    wall.types("north wall 12 foot by 8 foot", "studs 16 on center")
    assert "2 sheets of 48 x 144" in wall.types("how many sheets do we need")
