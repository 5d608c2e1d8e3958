"""What ends "dead and tested" beyond the board at hand: one box that two boards have, and a wall called anew."""

from __future__ import annotations

from itertools import product

import pytest

from fieldvoice.records.meaning import Circuit
from tests.dialogue.talk import Wall, wall_after

STANDING = ("north wall 144 by 96", "studs 16 on center from left", "standing")
LAYERS = (*STANDING, "two layers")
LYING = ("north wall 144 by 96", "studs 16 on center from left", "lying")
UPRIGHT, LONG = "t 48 b 48 l 96 r 96", "t 144 b 144 l 48 r 48"
PLACES = {
    "at a joint": (STANDING, UPRIGHT, (1, 1), "center 47 1/2 from left 40 down", "center 1/2 from left 40 down"),
    "half an inch off": (
        STANDING,
        UPRIGHT,
        (1, 1),
        "center 47 1/2 from left 40 down",
        "center 0 from left 40 1/2 down",
    ),
    "three inches off": (STANDING, UPRIGHT, (1, 1), "center 46 from left 40 down", "center 1 from left 40 down"),
    "between courses": (LYING, LONG, (1, 1), "center 20 from left 47 1/2 down", "center 20 from left 1/2 down"),
    "behind a layer": (LAYERS, UPRIGHT, (2, 3), "center 4 from left 40 down", "center 20 from left 40 down"),
}
DANGER = ("{} is live", "{} is not dead", "{} has power")


def _dead(wall: Wall) -> set[tuple[str, str]]:
    words = wall.session.state.words
    return {(board, box) for board, said in words.items() for box, one in said.items() if one.state is Circuit.DEAD}


def _with_both(place: str, one: str, other: str, *, elsewhere: bool = False) -> Wall:
    """A wall with a tested box on its first board, and the other one called on the board there."""
    wall, sides, (to, on), first, second = PLACES[place]
    talk = wall_after(*wall, *["next board"] * to, sides, f"{one} single gang {first}", "yes")
    talk.types(f"{one} dead and tested", "yes", *["next board"] * on, sides)
    talk.types(f"{other} single gang {'center 20 from left 80 down' if elsewhere else second}", "yes", "yes")
    assert {box for _, box in _dead(talk)} == {one}
    return talk


@pytest.mark.parametrize(("said", "place"), list(product(DANGER, PLACES)))
def test_danger_for_one_ends_the_test_of_what_lies_at_its_place(said: str, place: str) -> None:
    """Whatever it is called there: it is one box; and it is told."""
    talk = _with_both(place, "box 1", "box 2")
    told = talk.types(said.format("box 2"))
    assert not _dead(talk)
    assert "“Dead and tested” for box 1 of board" in told


@pytest.mark.parametrize("place", ["at a joint", "behind a layer"])
def test_danger_for_one_leaves_another_box_elsewhere(place: str) -> None:
    """It may be another circuit, and has a name of its own."""
    talk = _with_both(place, "box 1", "box 2", elsewhere=True)
    talk.types("box 2 is live")
    assert {box for _, box in _dead(talk)} == {"box 1"}


def test_a_box_at_the_same_place_of_another_wall_is_another() -> None:
    """Of two walls called alike but for their names."""
    board = (
        "next board",
        UPRIGHT,
        "box {} single gang center 20 from left 40 down",
        "yes",
        "box {} dead and tested",
        "yes",
    )
    talk = wall_after(*STANDING, *(one.format(1) for one in board))
    talk.types(
        "south wall 144 by 96", "studs 16 on center from left", "standing", *(one.format(2) for one in board[:-2])
    )
    talk.types("box 2 is live")
    assert _dead(talk) == {("1", "box 1")}


ANEW = ("north wall 144 by 96", "north wall 144 by 108", "north wall 120 by 96")


@pytest.mark.parametrize("wall", [STANDING, LYING])
@pytest.mark.parametrize("anew", ANEW)
def test_a_wall_called_anew_by_its_sides_ends_its_tests(anew: str, wall: tuple[str, ...]) -> None:
    """It may be that of another room, with the same name."""
    sides = UPRIGHT if wall is STANDING else LONG
    talk = wall_after(*wall, "next board", sides, "box 1 single gang center 20 from left 20 down", "yes")
    talk.types("box 1 dead and tested", "yes", "done")
    assert _dead(talk)
    assert "is canceled" in talk.types(anew)
    assert not _dead(talk)


@pytest.mark.parametrize("said", ["go to the north wall", "north wall/no, 144 by 97", "south wall 144 by 96"])
def test_going_to_a_wall_or_putting_it_right_keeps_them(said: str) -> None:
    """So does another wall."""
    talk = wall_after(*STANDING, "next board", UPRIGHT, "box 1 single gang center 20 from left 20 down", "yes")
    talk.types("box 1 dead and tested", "yes", "done", *said.split("/"))
    assert _dead(talk)


@pytest.mark.parametrize("later", ["north wall/studs 24 on center from right", "south wall 144 by 96", "board 1"])
def test_a_test_behind_the_wall_called_anew_counts(later: str) -> None:
    """Whatever else is called of that wall, or of another one."""
    talk = wall_after(*STANDING, "next board", UPRIGHT, "box 1 single gang center 20 from left 20 down", "yes")
    talk.types("south wall 120 by 96", "studs 16 on center from left", "standing", "north wall 144 by 96")
    talk.types("board 1", "box 1 dead and tested", "yes", "done", *later.split("/"))
    assert _dead(talk)
