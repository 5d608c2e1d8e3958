"""A board that is measured anew may be the next one, of which nobody said so: what was tested there wasn't here."""

from __future__ import annotations

from itertools import combinations, product

import pytest

from fieldvoice.dialogue.state import State
from fieldvoice.records.meaning import Circuit
from tests.dialogue.promises import _tools
from tests.dialogue.talk import Wall, wall_after

BOARD = {"top": "46 7/8", "middle": "46 7/8", "bottom": "46 7/8", "left": "96", "right": "96"}
BOX = "box 1 single gang center 30 from left 48 down"
TESTED = (*(f"{place} {value}" for place, value in BOARD.items()), BOX, "yes", "box 1 dead and tested", "yes")
NEXT = {"top": "46 1/2", "middle": "46 1/2", "bottom": "46 3/4", "left": "95 3/4", "right": "95 3/4"}
CANCELED = "“Dead and tested” for box 1 of board 1 is canceled, since the board was measured anew"


def _dead(state: State) -> bool:
    word = state.circuits("1").get("box 1")
    return word is not None and word.state is Circuit.DEAD


def _anew(wall: Wall, calls: tuple[str, ...]) -> str:
    return " ".join(wall.says(call) for call in calls)


@pytest.mark.parametrize("done", [(), ("done",)])
@pytest.mark.parametrize("places", [*combinations(BOARD, 2)])
@pytest.mark.parametrize("values", [BOARD, NEXT], ids=["the same", "others"])
def test_two_readings_called_anew_end_the_test(
    done: tuple[str, ...], places: tuple[str, ...], values: dict[str, str]
) -> None:
    """Whether they are others or the same: the router had gone into a box that nobody tested."""
    wall = wall_after(*TESTED, *done)
    assert _dead(wall.session.state)
    told = _anew(wall, tuple(f"{place} {values[place]}" for place in places))
    assert told.count(CANCELED) == 1
    assert not _dead(wall.session.state)
    _anew(wall, ("yes", "done"))
    assert not [*_tools(wall.view)]


@pytest.mark.parametrize(
    "again",
    [
        BOX,
        "box 1 double gang center 12 from left 48 down",
        "~" + "box one single gang center thirty from left forty eight down",
    ],
)
@pytest.mark.parametrize("place", BOARD)
def test_one_reading_and_the_box_end_it(place: str, again: str) -> None:
    """In either order, at the same figures as well."""
    for calls in ((f"{place} {NEXT[place]}", again), (again, "yes", f"{place} {NEXT[place]}")):
        wall = wall_after(*TESTED, "done")
        assert "is canceled" in _anew(wall, calls)
        assert not _dead(wall.session.state)


@pytest.mark.parametrize("who", ["", "P:"])
def test_whoever_measures_anew(who: str) -> None:
    """The partner may be at the next board, too."""
    wall = wall_after(*TESTED, "done")
    assert CANCELED in _anew(wall, (f"{who}top 46 1/2", f"{who}bottom 46 1/2"))


KEEPS = (
    ("top 46 1/2",),
    ("change top to 46 1/2", "change bottom to 46 1/2", "no bottom 46 3/4"),
    ("top 46 1/2", "no, top 46 5/8", "undo"),
    (BOX,),
    ("top 46 1/2", "undo", "bottom 46 1/2", "undo"),
    ("box 2 single gang center 12 from left 48 down", "top 46 1/2"),
    ("right wall", "5/8", "top 46 1/2"),
)


@pytest.mark.parametrize("calls", KEEPS, ids=" / ".join)
def test_what_is_put_right_keeps_it(calls: tuple[str, ...]) -> None:
    """A word of change, one reading, the box alone, and what was undone: the board is the same."""
    wall = wall_after(*TESTED)
    assert "is canceled" not in _anew(wall, calls)
    assert _dead(wall.session.state)


def test_what_was_canceled_stays_so() -> None:
    """An undo brings the readings back, and nobody's test."""
    wall = wall_after(*TESTED, "top 46 1/2", "bottom 46 1/2", "undo", "undo")
    assert wall.value("width, top") == "46 7/8"
    assert not _dead(wall.session.state)


def test_a_test_of_the_board_as_it_is_now_counts() -> None:
    """It is behind what was called, and the next two readings end it again."""
    wall = wall_after(*TESTED, "top 46 1/2", "bottom 46 1/2", "box 1 dead and tested", "yes")
    assert _dead(wall.session.state)
    wall.types("left 95 3/4")
    assert _dead(wall.session.state)
    assert CANCELED in wall.types("right 95 3/4")


@pytest.mark.parametrize(("first", "second"), [*product(("top", "left"), ("middle", "right"))])
def test_readings_that_come_first_are_none_anew(first: str, second: str) -> None:
    """A box may be called and tested before its board is measured."""
    wall = wall_after(BOX, "yes", "box 1 dead and tested", "yes", *(f"{at} {BOARD[at]}" for at in ("top", "bottom")))
    assert "canceled" not in _anew(wall, (f"{first} {BOARD[first]}", f"{second} {BOARD[second]}"))
    assert _dead(wall.session.state)


def test_a_tested_box_is_no_test_over_a_restart() -> None:
    """What is kept says the same as what was told."""
    wall = wall_after(*TESTED, "top 46 1/2", "bottom 46 1/2")
    words = wall.session.state.words
    wall.restart()
    assert wall.session.state.words == words
