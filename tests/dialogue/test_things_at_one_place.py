"""No two things are at one place without a word, whatever they are, and none lies beside its board."""

from __future__ import annotations

from itertools import product

import pytest

from tests.dialogue.talk import Wall, wall_after

BOARD = ("left board", "right wall", "t 46 7/8", "m 46 7/8", "b 46 7/8", "l 96", "r 96")
SIZED = {
    "window": "window {x} from left {y} down 10 wide 12 high",
    "door": "door {x} from left {y} down 10 wide 12 high",
    "opening": "opening {x} from left {y} down 10 wide 12 high",
    "vent": "vent near edge {x} from left near edge {y} down 10 by 12",
    "pipe": "10 inch pipe near edge {x} from left near edge {y} down",
    "hole": "10 inch hole near edge {x} from left near edge {y} down",
    "round duct": "10 inch duct near edge {x} from left near edge {y} down",
    "light": "can light 10 inch across near edge {x} from left near edge {y} down",
    "sides": "window from {x} to {x2} from left, {y} to {y2} down",
    "single": "single gang near edge {x} from left near edge {y} down",
    "double": "double gang near edge {x} from left near edge {y} down",
    "round": "round box near edge {x} from left near edge {y} down",
    "octagon": "octagon near edge {x} from left near edge {y} down",
    "square": "square near edge {x} from left near edge {y} down",
    "box by sides": "box from {x} to {x2} from left, {y} to {y2} down",
}


def call(kind: str, x: int, y: int) -> str:
    """The thing with its near sides there."""
    return SIZED[kind].format(x=x, y=y, x2=x + 10, y2=y + 12)


def board(*lines: str) -> Wall:
    """A board with these called on it."""
    return wall_after(*BOARD, *lines)


KINDS = [kind for kind in SIZED if not board(call(kind, 10, 20)).asks]


def test_nearly_all_kinds_can_be_called_so() -> None:
    """Else the pairs below would show little."""
    assert len(KINDS) >= len(SIZED) - 2, sorted(set(SIZED) - set(KINDS))


@pytest.mark.parametrize(("first", "second"), [*product(KINDS, KINDS)])
def test_two_things_at_one_place_are_asked_about(first: str, second: str) -> None:
    """Each over each, in both orders."""
    assert "would overlap" in board(call(first, 10, 20)).types(call(second, 11, 21))


@pytest.mark.parametrize("who", ["", "P:"])
@pytest.mark.parametrize(("first", "second"), [*product(KINDS, KINDS)])
def test_the_question_is_about_the_one_that_was_called_last(first: str, second: str, who: str) -> None:
    """Whoever called it: a no takes that one off, and the older one stands as it was."""
    wall = board(call(first, 10, 20), "t 46 7/8")
    (older,) = [told for told in wall.readings if told.label.split(",")[0] not in {"width", "height"}]
    told = wall.says(who + call(second, 11, 21))
    newer = told.partition("Is ")[2].partition(" right, though it would overlap ")
    assert newer[2].split("?")[0] == older.label != newer[0], told
    wall.says(f"{who}no")
    things = [told for told in wall.readings if told.label.split(",")[0] not in {"width", "height"}]
    assert things == [older], wall.said


@pytest.mark.parametrize(("first", "second"), [*zip(KINDS, (*KINDS[1:], KINDS[0]), strict=True)])
def test_two_things_side_by_side_are_taken(first: str, second: str) -> None:
    """Or one above the other."""
    assert not board(call(first, 10, 20), call(second, 30, 20)).asks
    assert not board(call(first, 10, 20), call(second, 10, 60)).asks


@pytest.mark.parametrize("kind", KINDS)
def test_what_lies_beyond_the_board_is_asked_about(kind: str) -> None:
    """To the right of it or below it; a window that goes on beside it is none of these."""
    assert "beyond" in board().types(call(kind, 60, 20))
    assert "beyond" in board().types(call(kind, 10, 110))


@pytest.mark.parametrize("kind", [kind for kind in KINDS if kind not in {"window", "door", "opening", "vent", "sides"}])
def test_what_lies_across_an_edge_is_asked_about(kind: str) -> None:
    """A box, or a round hole: its center was meant, or another side."""
    assert "across" in board().types(call(kind, 46, 20))


def test_a_window_goes_on_beside_its_board() -> None:
    """Half of it is the next board's; no wall is in a window."""
    wall = wall_after("left wall", "right board", *BOARD[2:], call("window", 40, 20))
    assert not wall.asks
    assert "really go on past the right edge" in board().types(call("window", 40, 20))
    assert "really go on past the bottom edge" in board().types(call("window", 10, 90))


@pytest.mark.parametrize("kind", ["window", "door", "opening"])
@pytest.mark.parametrize(("other", "odd"), [("30 from left", True), ("80 from right", True), ("10 from right", False)])
def test_openings_of_a_wall_are_at_places_of_their_own(kind: str, other: str, odd: bool) -> None:
    """Whichever end they are called from."""
    wall = wall_after("north wall 144 by 96", f"{kind} 24 from left 20 down 30 wide 40 high")
    assert ("would overlap" in wall.types(f"window {other} 20 down 30 wide 40 high")) is odd


@pytest.mark.parametrize("place", ["center 1 from left", "center 60 from left", "center 21 from left"])
def test_a_box_that_replaces_another_is_weighed_where_it_goes(place: str) -> None:
    """That it replaces the other one is no yes to its lying across an edge, beyond it or over the next box."""
    there = ("single gang center 10 from left 20 down", "single gang center 20 from left 20 down")
    wall = board(*there)
    assert "does this replace it" in wall.types(f"box one {place}")
    said = wall.types("yes")
    assert any(word in said for word in ("across", "beyond", "overlap"))
    assert wall.view.draft
