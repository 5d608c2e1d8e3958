"""What is called while something else is asked, and answers nothing of it, stands as not taken: "done" names it."""

from __future__ import annotations

from itertools import product

import pytest

from fieldvoice.records.ledger import OpenKind
from tests.dialogue.talk import Wall, wall_after

BOARD = ("top 42", "bottom 42", "left 90", "right 90")
ASKED = {
    "outlet center 13 from left": ("14 up",),
    "box one center 13 from left 14 up": ("single gang",),
    "window 20 wide 30 high left edge 5 from left": ("30 up",),
    "top 44": ("yes",),
    "box one single gang center 12 from left 14 up / box one center 20 from left": ("yes",),
}
"""What brings up a question, and its answer."""

CALLED = (
    "double gang",
    "far edge",
    "14 1/2 from right",
    "box one dead and tested",
    "30 1/2 down",
    "change box nine to 7 up",
)


def not_taken(wall: Wall) -> list[str]:
    """The words that "done" names."""
    return [one.call.words for one in wall.view.open if one.kind is OpenKind.NOT_TAKEN and one.call is not None]


@pytest.mark.parametrize(("asked", "called"), tuple(product(ASKED, CALLED)))
def test_what_changes_nothing_is_named(asked: str, called: str) -> None:
    """Either it changed what is known or asked, or its words are kept; a plan that has it not is never settled."""
    wall = wall_after(*BOARD, *asked.split(" / "))
    state = wall.session.state
    before = (state.calls, state.open)
    said = wall.types(called)
    after = wall.session.state
    came = (after.calls, after.open) != before and called not in not_taken(wall)
    assert came or "Not taken" in said or "nothing was changed" in said
    wall.types(*ASKED[asked])
    assert ("Not taken" in wall.types("done")) is bool(not_taken(wall))


@pytest.mark.parametrize("called", ["far edge", "14 1/2 from left", "box one dead and tested"])
def test_it_is_kept_once_and_left_out_by_a_yes(called: str) -> None:
    """Said twice it is named once, and a yes to "leave it out" ends it."""
    wall = wall_after(*BOARD, "outlet center 13 from left", called, called)
    assert not_taken(wall).count(called) == 1
    wall.types("14 up")
    assert f"“{called}”" in wall.types("done")
    assert "Left out" in wall.types("yes")
    assert "The plan has" in wall.types("done")


@pytest.mark.parametrize(
    "call", ["left 92", "box one single gang center 12 from left 14 up / box one center 20 from left"]
)
def test_a_lone_right_is_neither_yes_nor_a_side(call: str) -> None:
    """Behind "is that right?" it may be either: the question is put once more and nothing moves."""
    wall = wall_after(*BOARD, *call.split(" / "))
    before = wall.readings
    assert "Say yes, no, or the right value" in wall.types("right")
    assert wall.readings == before
    assert wall.asks
    assert not not_taken(wall)


@pytest.mark.parametrize(
    ("order", "rival"),
    [("scratch box one", "scratch box nine"), ("undo", "one"), ("scratch the top", "scratch the stop")],
)
@pytest.mark.parametrize("then", ["done", "top 42 1/4", "next", "bottom"])
def test_an_order_that_was_asked_about_and_not_answered_is_named(order: str, rival: str, then: str) -> None:
    """It would have changed what stands: going on is no answer to whether it was meant."""
    wall = wall_after(*BOARD, "box one single gang center 12 from left 14 up", "yes")
    assert "Was that" in wall.speaks(order, rival)
    wall.types(then)
    assert any(word.startswith(order.split()[0]) for word in not_taken(wall))
    wall.types("done")
    assert wall.asks


def test_an_order_said_again_is_not_named() -> None:
    """It was carried out in the end."""
    wall = wall_after(*BOARD, "box one single gang center 12 from left 14 up", "yes")
    wall.speaks("scratch box one", "scratch box nine")
    wall.types("top 42 1/4", "scratch box one")
    assert not not_taken(wall)


@pytest.mark.parametrize("call", ["top 44", "box one center 20 from left", "left 92"])
@pytest.mark.parametrize("said", ["no", "that's wrong", "nope"])
def test_another_ones_no_to_what_is_asked_is_answered_too(call: str, said: str) -> None:
    """The yes to the question is not yet one to the objection, and it counts once."""
    wall = wall_after(*BOARD, "box one single gang center 12 from left 14 up", call)
    assert "partner said no" in wall.types(said, who="partner")
    wall.types(said, who="partner")
    assert "partner said no" in wall.types("yes")
    assert wall.asks
    assert "partner said no" not in wall.types("yes")
    assert not wall.asks


SAID_AGAIN = {
    "what is asked about": ("bottom 43", "bottom 43", "yes"),
    "what lacks a part": ("box 10 from left 40 down", "box 10 from left 40 down", "single gang", "center"),
    "a claim": ("bottom 43", "box one dead and tested", "yes", "box one dead and tested", "yes"),
}


@pytest.mark.parametrize("name", SAID_AGAIN)
def test_what_is_said_again_and_taken_is_not_named(name: str) -> None:
    """It stood beside itself as not taken, and held the plan."""
    wall = wall_after(*BOARD, *(("box one single gang center 12 from left 14 up", "yes") if name == "a claim" else ()))
    wall.types(*SAID_AGAIN[name])
    assert not not_taken(wall)
    assert "The plan has" in wall.types("done")


@pytest.mark.parametrize("begun", ["window one", "pipe two"])
def test_another_thing_begun_under_a_question_of_a_name_is_not_lost(begun: str) -> None:
    """It is no other name for the box that is asked about, where it is of another kind."""
    wall = wall_after(
        *BOARD, "box one single gang center 12 from left 14 up", "box two single gang center 30 from left 14 up"
    )
    wall.types("box one single gang center 20 from left 14 up", begun)
    wall.types("yes")
    assert wall.asks or not_taken(wall)


@pytest.mark.parametrize("said", ["I did", "yes bottom 42 1/2"])
def test_what_answers_something_else_is_no_answer_to_an_order(said: str) -> None:
    """Whether the order was meant is still open."""
    wall = wall_after(*BOARD)
    assert "Was that" in wall.speaks("scratch top", "stop top")
    wall.types(said)
    assert any(word.startswith("scratch") for word in not_taken(wall))


@pytest.mark.parametrize("scratch", ["no, left is wrong", "scratch the left"])
@pytest.mark.parametrize("figure", ["47 1/2", "91"])
def test_a_figure_behind_a_scratch_is_asked_about_there(scratch: str, figure: str) -> None:
    """It was another place's, without a question."""
    wall = wall_after(*BOARD, scratch)
    assert f"Height, left: {figure}" in wall.types(figure)
    assert wall.asks
    assert wall.value("height, middle") is None


@pytest.mark.parametrize("said", ["done", "middle 42", "no", "next board", "understood"])
def test_an_order_asked_about_is_named_where_the_other_one_speaks(said: str) -> None:
    """Its question was gone with the answer to somebody else, and the plan was settled without it."""
    wall = wall_after(*BOARD, "box one single gang center 12 from left 14 up", "yes")
    assert "Was that" in wall.speaks("scratch box one", "scratch box two")
    told = wall.types(said, who="partner")
    assert "Not taken" in told
    assert "The plan has" not in told
    wall.types("go to board 1")
    assert "scratch box 1" in not_taken(wall)


@pytest.mark.parametrize(
    ("begun", "other"),
    [
        ("box two center 20 from left 14 up", "box two single gang center 28 from left 14 up"),
        ("window 20 wide 30 high left edge 5 from left", "window one 20 wide 30 high left edge 9 from left 30 up"),
    ],
)
def test_what_lacked_a_part_is_named_where_the_others_takes_its_name(begun: str, other: str) -> None:
    """With another figure it is another thing; with the same ones the other has said the rest of it."""
    wall = wall_after(*BOARD, begun)
    assert "Not taken" in wall.types(other, who="partner")
    assert begun in not_taken(wall)
    same = wall_after(*BOARD, "box two center 28 from left 14 up")
    same.types("box two single gang center 28 from left 14 up", who="partner")
    assert not not_taken(same)


@pytest.mark.parametrize("board", [("top 42", "bottom 42", "left 90", "right 90"), ("top 42",), ()])
@pytest.mark.parametrize("words", ["swap left and right", "swap top and bottom"])
def test_where_there_is_nothing_to_swap_no_figure_is_asked_for(words: str, board: tuple[str, ...]) -> None:
    """Both read the same, or aren't there: the words stand as not taken."""
    wall = wall_after(*board)
    assert "can't use it here" in wall.types(words)
    assert [call.words for call in wall.session.state.not_taken("1")] == [words]


@pytest.mark.parametrize("yes", ["yes", "yep", "correct", "that's right"])
@pytest.mark.parametrize(
    "said", ["box 1 dead", "box 1 is dead", "it's dead", "scratch box 9", "box 9 dead and tested", "top 46 and"]
)
def test_a_yes_behind_what_took_nothing_takes_nothing(said: str, yes: str) -> None:
    """It may be meant for that: "Taken" would say that a circuit is."""
    wall = wall_after("top 46 7/8", "box 1 single gang center 30 from left 48 down")
    told = wall.types(said)
    assert not wall.session.state.circuits("1"), told
    told = wall.types(yes)
    assert "Taken." not in told
    assert not wall.session.state.circuits("1")
    assert "Dead alone" not in wall.types("bottom 46 3/4")
    assert wall.standing("box 1") == "accepted"
