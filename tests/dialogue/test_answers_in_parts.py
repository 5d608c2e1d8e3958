"""Pieces that answer a question: two at once, a size, which way a diagonal runs, how the sheet hangs."""

from __future__ import annotations

from itertools import product

import pytest

from fieldvoice.dialogue.state import is_whole
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import (
    Box,
    BoxKind,
    Context,
    Coordinate,
    Diagonal,
    Dimension,
    Edge,
    Opening,
    Point,
    Reading,
    Slot,
    Topic,
)
from tests.dialogue.talk import Wall


class Talk(Wall):
    """Lines that are typed, and what waits or stands then."""

    def __init__(self, *lines: str) -> None:
        super().__init__()
        self.types(*lines)

    @property
    def asks(self) -> bool:
        """Whether an answer is awaited."""
        return self.session.state.asks

    def facts(self, *more: str) -> list[object]:
        """Everything whole that was called, after some lines more."""
        self.types(*more)
        state = self.session.state
        return [call.fact for call in state.known(state.board, doubtful=True).values() if is_whole(call)]


def box(side: Edge, point: Point) -> Box:
    """The outlet of these talks."""
    down = Coordinate(point, Length("80 1/4"), Edge.TOP)
    return Box(BoxKind.SINGLE, Coordinate(point, Length("14 1/2"), side), down, "box 1")


SIDES = {"left": Edge.LEFT, "the left": Edge.LEFT, "from the right": Edge.RIGHT, "right": Edge.RIGHT}
POINTS = {"center": Point.CENTER, "to center": Point.CENTER, "to the center": Point.CENTER, "near edge": Point.NEAR}


@pytest.mark.parametrize(("side", "point"), list(product(SIDES, POINTS)))
def test_edge_and_point_are_asked_and_answered_at_once(side: str, point: str) -> None:
    """In either order, with a comma or without."""
    for answer in (f"{side}, {point}", f"{side} {point}", f"{point}, {side}"):
        talk = Talk("outlet 14 1/2 over, 80 1/4 down", answer)
        assert box(SIDES[side], POINTS[point]) in talk.facts(), answer


def test_one_of_the_two_leaves_the_other_asked() -> None:
    """Nothing is guessed."""
    talk = Talk("outlet 14 1/2 over, 80 1/4 down", "center")
    assert talk.asks
    assert box(Edge.LEFT, Point.CENTER) in talk.facts("the left")


def test_both_distances_answer_where_a_box_is() -> None:
    """The point that holds for both is asked for then."""
    talk = Talk("box one single gang", "14 1/2 from left 80 1/4 down", "center")
    assert box(Edge.LEFT, Point.CENTER) in talk.facts()


def test_two_distances_of_which_one_was_called_otherwise_are_not_taken_by_halves() -> None:
    """The question stays."""
    talk = Talk("box one single gang center 14 1/2 from left", "15 from left 80 1/4 down")
    assert talk.asks
    assert box(Edge.LEFT, Point.CENTER) in talk.facts("80 1/4 down")


def test_a_second_distance_the_same_way_is_no_other_distance() -> None:
    """None is down, so that the question stays."""
    talk = Talk("box one single gang center 14 1/2 from left", "20 from right")
    assert talk.asks
    assert not talk.facts()


@pytest.mark.parametrize("words", ["32 by 81 1/4", "thirty two by eighty one and a quarter"])
def test_two_sides_answer_how_large_an_opening_is(words: str) -> None:
    """Though they would be no sheet's."""
    (door,) = Talk("door 6 from the left, 14 1/4 down", words).facts()
    assert isinstance(door, Opening)
    assert (door.width, door.height) == (Length(32), Length("81 1/4"))


@pytest.mark.parametrize(("word", "rising"), [("rising", True), ("falling", False), ("it's rising", True)])
def test_a_diagonal_is_kept_while_its_way_is_asked_for(word: str, rising: bool) -> None:
    """One word settles it."""
    assert Talk("diagonal 104 1/2", word).facts() == [Diagonal(Length("104 1/2"), rising=rising)]


def test_how_the_sheet_hangs_answers_that_it_would_not_reach() -> None:
    """The reading is weighed anew as if it had just been called."""
    found = Talk("top 60", "lying", "bottom 60").facts()
    assert Context(Topic.LIES, "lying") in found
    assert Reading(Length(60), Dimension.WIDTH, Slot.TOP) in found


def test_how_the_sheet_hangs_already_is_no_answer() -> None:
    """A reading that no standing sheet reaches stays in question."""
    assert Talk("top 60", "standing").asks
