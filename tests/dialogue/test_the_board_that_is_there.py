"""A board of which nothing but the room was said is the next one already; and the row goes on beside a named wall."""

from __future__ import annotations

from itertools import product

import pytest

from fieldvoice.records.meaning import Edge, Neighbor
from tests.dialogue.talk import Wall, wall_after

KITCHEN = ("kitchen", "t 46", "b 46", "l 96", "r 96", "done")
BATH = ("t 45", "b 45", "l 95", "r 95", "done")


@pytest.mark.parametrize("room", ["bath", "this is the bath", "~bath"])
@pytest.mark.parametrize("times", [1, 2, 3])
def test_next_board_leaves_no_empty_board_behind(room: str, times: int) -> None:
    """The room opened it: it had become the third, with an empty one between them."""
    wall = wall_after(*KITCHEN, room)
    for _ in range(times):
        assert wall.types("next board") == "Board 2, new."
    wall.types(*BATH)
    assert wall.view.board == "2"
    assert wall.settings["room"] == "bath"
    assert wall.types("next board").startswith("Board 3, new.")


@pytest.mark.parametrize(
    "called", ["t 45", "lying", "5/8", "box 1 single gang center 30 from left 48 down", "right wall"]
)
def test_what_anything_was_called_on_is_left(called: str) -> None:
    """It is a board of its own."""
    wall = wall_after(*KITCHEN, "bath", called, "yes")
    assert "Board 3, new." in wall.types("next board")


def test_a_board_of_which_nothing_was_said_is_left() -> None:
    """Who says it twice means it."""
    assert wall_after("t 46", "next board").types("next board").startswith("Board 3, new.")


def test_the_first_board_of_a_room_is_the_first() -> None:
    """The room alone was said before it."""
    assert wall_after("kitchen").types("next board") == "Board 1, new."


def _stands(wall: Wall) -> tuple[Neighbor, Neighbor]:
    plan = wall.view.plan
    assert plan is not None
    return plan.board.edges[Edge.LEFT].neighbor, plan.board.edges[Edge.RIGHT].neighbor


MEASURED = ("t 46", "m 46", "b 46", "l 96", "r 96")
FROM_LEFT = ("30 from the left wall", "30 off the left wall")
FROM_RIGHT = ("10 from the right wall", "10 off the right wall")
THINGS = ("box {} single gang center", "pipe {} center")


@pytest.mark.parametrize(("thing", "left"), [*product(THINGS, FROM_LEFT)])
def test_the_row_goes_on_beside_a_wall_that_a_thing_was_measured_from(thing: str, left: str) -> None:
    """As where the wall was called: it had been a board between two walls."""
    said = f"{thing.format(1)} {left} 48 down"
    size = ("3",) if thing.startswith("pipe") else ()
    wall = wall_after(*MEASURED, said, *size)
    assert "By default: left wall, right board." in wall.said[-1].text
    assert _stands(wall) == (Neighbor.WALL, Neighbor.BOARD) == _stands(wall_after("left wall", *MEASURED))


@pytest.mark.parametrize(("left", "right"), [*product(FROM_LEFT, FROM_RIGHT)])
@pytest.mark.parametrize("swapped", [False, True])
def test_between_two_walls_that_were_named_there_is_no_other_board(left: str, right: str, swapped: bool) -> None:
    """Whichever was named first; and one that was called counts as one that was named."""
    boxes = [f"box {at} single gang center {side} 48 down" for at, side in enumerate((left, right), 1)]
    assert _stands(wall_after(*MEASURED, *(reversed(boxes) if swapped else boxes))) == (Neighbor.WALL, Neighbor.WALL)
    assert _stands(wall_after(*MEASURED, "right wall", boxes[0])) == (Neighbor.WALL, Neighbor.WALL)


@pytest.mark.parametrize("right", FROM_RIGHT)
def test_at_a_right_wall_a_board_stands_at_the_left(right: str) -> None:
    """As by default; the first board of a row stays at the left wall unless the other one is named."""
    box = f"box 1 single gang center {right} 48 down"
    assert _stands(wall_after(*MEASURED, box)) == (Neighbor.BOARD, Neighbor.WALL)
    assert _stands(wall_after("first board", *MEASURED)) == (Neighbor.WALL, Neighbor.BOARD)
    assert _stands(wall_after("first board", *MEASURED, box)) == (Neighbor.BOARD, Neighbor.WALL)


@pytest.mark.parametrize("words", ["confirm", "confirmed", "confirm that", "that's confirmed", "Confirm."])
def test_confirm_is_a_yes(words: str) -> None:
    """To what is asked, and to what was read back; a circuit by voice wants its full yes."""
    wall = wall_after("t 46", "b 44")
    assert wall.asks
    wall.types(words)
    assert not wall.asks
    assert wall.standing("width, bottom") == "confirmed"
    assert wall_after("t 46").types(words) == "Taken."
    tested = wall_after(*MEASURED, "box 1 single gang center 30 from left 48 down", "yes", "box 1 dead and tested")
    assert "says hanger" not in tested.speaks(words.lower().rstrip("."))
