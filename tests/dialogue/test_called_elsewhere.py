"""What is called behind an order to go elsewhere belongs there, even where a question held the order up."""

from __future__ import annotations

from itertools import product

import pytest

from fieldvoice.dialogue.orders import in_words
from fieldvoice.dialogue.rooms import rooms
from fieldvoice.language.verdict import Expectation
from fieldvoice.records.hearing import Hearing
from fieldvoice.records.ledger import Standing
from fieldvoice.records.utterance import NEXT_ROOM, NEXT_WALL, Action, Command
from tests.dialogue.talk import Wall

ROOMS = rooms()
DOUBTED = ("wall right, board left", "top 46 7/8, bottom 46 5/8", "left 95, right 95", "middle 40")
"""A board whose last reading is asked about."""
ORDERS = {"next board": "2", "go to board 2": "2", "board two": "2", "go to the north wall": "north wall"}
"""What takes the work away from board 1, and where to."""
CALLS = ("top 40 1/4", "box 3 single gang center 12 from left, 48 down", "left 90")
"""What may be called there."""
ANSWERS = (("yes",), ("no", "middle 46 3/4"), ("no, middle 46 3/4",))
"""What settles the question."""


def cases() -> list[tuple[str, str, tuple[str, ...], str]]:
    """A third of all combinations of order, call, answer and disturbance, in which each pair of them occurs."""
    ways = product(enumerate(ORDERS), enumerate(CALLS), enumerate(ANSWERS), enumerate(("", "restart", "twice")))
    return [(a, b, c, d) for (i, a), (j, b), (k, c), (m, d) in ways if (i + j + k + m) % 3 == 0]


@pytest.mark.parametrize(("order", "call", "answer", "again"), cases())
def test_nothing_called_behind_an_order_stands_where_its_speaker_was_before(
    order: str, call: str, answer: tuple[str, ...], again: str
) -> None:
    """However the question is answered, and over a restart: nothing of the call is on board 1, and nothing is lost."""
    wall = Wall(its_rooms=ROOMS)
    if order == "go to board 2":
        wall.types("next board", "board 1")
    if "wall" in order:
        wall.types("north wall 148 by 97", "16 on center from the left", "board 1")
    wall.types(*DOUBTED)
    assert wall.asks
    wall.types(order, *([order] if again == "twice" else []), call)
    if again == "restart":
        wall.restart()
    wall.types(*answer)
    state = wall.session.state
    assert state.board == ORDERS[order]
    assert not [one for one in state.on("1") if one.words == call and (one.waits or one.in_force)]
    there = [one for one in state.on(state.board) if one.words == call]
    assert there[-1].standing is Standing.NOT_TAKEN if "wall" in order else there[-1].waits


def test_orders_to_go_elsewhere_are_understood_as_they_are_kept() -> None:
    """The words in which an order waits mean that order."""
    walls = [f"{room}{side} wall" for room in ("", "kitchen ") for side in ("north", "east")]
    orders = [
        Command(Action.NEXT_BOARD),
        *(Command(Action.GO_TO_BOARD, str(number)) for number in range(1, 40)),
        *(
            Command(Action.GO_TO_BOARD, f"{wall}piece {number}")
            for number in (1, 12)
            for wall in ("", "kitchen east wall ")
        ),
        *(Command(Action.GO_TO_SURFACE, name) for name in (NEXT_WALL, NEXT_ROOM, "kitchen ceiling", *walls)),
    ]
    for order in orders:
        assert meant(in_words(order)) == (order,)


def meant(words: str) -> tuple[object, ...]:
    """What the words mean where nothing is asked."""
    judged = ROOMS.judged((Hearing.typed(words),), Expectation())
    return judged.utterance.meanings


def test_an_order_that_leads_nowhere_leaves_what_was_called_behind_it_not_taken() -> None:
    """There is no board 7: nobody knows where the top belongs, so it has to be said again."""
    wall = Wall(its_rooms=ROOMS)
    wall.types(*DOUBTED, "go to board 7", "top 40 1/4", "yes")
    assert wall.value("width, top") == "46 7/8"
    left = wall.session.state.not_taken("1")
    assert [(one.words, one.queued) for one in left] == [("top 40 1/4", False)]


def test_what_comes_behind_a_second_question_waits_for_that_one() -> None:
    """The order is carried out, and the second value there is asked about: the third waits for its answer."""
    wall = Wall(its_rooms=ROOMS)
    wall.types(*DOUBTED, "next board", "top 36 7/8", "middle 30", "bottom 36 3/4", "no, 46 3/4")
    assert wall.asks
    assert wall.session.state.board == "2"
    wall.types("no", "middle 36 5/8")
    assert [wall.value(f"width, {at}") for at in ("top", "middle", "bottom")] == ["36 7/8", "36 5/8", "36 3/4"]


def test_the_right_value_just_behind_the_order_answers_still() -> None:
    """The question was put again, and that value is what it asks for."""
    wall = Wall(its_rooms=ROOMS)
    wall.types(*DOUBTED, "next board", "middle 46 3/4")
    assert wall.session.state.board == "2"
    wall.types("board 1")
    assert wall.value("width, middle") == "46 3/4"


def test_a_question_is_put_once_in_a_breath() -> None:
    """The order and the value behind it wait for the same answer."""
    wall = Wall(its_rooms=ROOMS)
    wall.types(*DOUBTED, "next board, top 40 1/4")
    assert len(wall.said) == 1


@pytest.mark.parametrize("line", ["top 40 1/4", "box 3 single gang center 12 from left, 48 down"])
def test_what_is_no_answer_to_what_was_denied_is_kept_and_the_question_put_again(line: str) -> None:
    """Behind an order that waits nobody gets an empty answer, and what was denied comes first."""
    wall = Wall(its_rooms=ROOMS)
    wall.types(*DOUBTED)
    wall.types("next board", "left 90", "no")
    assert "What is it?" in wall.types(line)
    assert line in {one.words for one in wall.session.state.not_taken("1")}
    wall.types("middle 46 3/4")
    assert wall.session.state.board == "2"
    assert [one for one in wall.session.state.on("2") if one.words == line]
