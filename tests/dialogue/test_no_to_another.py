"""A no or a yes is about what was read back last, whoever called it: what its speaker had called before that stands."""

from __future__ import annotations

import pytest

from tests.dialogue.talk import wall_after

BEFORE = ("top 42", "bottom 42", "left 90", "right 90", "box one single gang center 12 from left 14 up")
"""Of which the hanger's last waits to be objected to."""
CALLED = {
    "left 89 1/2": ("no, 89 3/4", "height, left", "89 3/4"),
    "bottom 42 1/4": ("no, 42 1/8", "width, bottom", "42 1/8"),
    "box two single gang center 28 from left 14 up": ("no, 16 up", "box 2", None),
    "5/8 board": ("no, half inch", "thickness", None),
    "left leans in 1/4": ("no, 3/8", "plumb, left", None),
    "window 20 by 20, 10 from left, 60 up": ("no, 11 from left", "window 1", None),
}
"""What the partner calls, what the hanger says to it, and what it is about; its value, where that can be told."""


@pytest.mark.parametrize("said", ["no", "wrong", "that's wrong"])
@pytest.mark.parametrize("called", CALLED)
def test_a_no_alone_is_about_what_the_other_called(called: str, said: str) -> None:
    """It is in question, and what the hanger had called before isn't."""
    wall = wall_after(*BEFORE)
    wall.types(called, who="partner")
    mine = dict.fromkeys(("width, top", "width, bottom", "height, left", "height, right", "box 1"))
    before = {label: wall.value(label) for label in mine if label != CALLED[called][1]}
    assert "hanger said no. Is it right?" in wall.types(said)
    assert before == {label: wall.value(label) for label in before}
    assert not wall.session.state.not_taken("1")


@pytest.mark.parametrize("then", [(), ("yes",)])
@pytest.mark.parametrize("called", CALLED)
def test_a_no_with_a_value_is_of_the_same_thing(called: str, then: tuple[str, ...]) -> None:
    """It takes its place, or that is in question and the words are kept; nothing else gets the value."""
    said, label, value = CALLED[called]
    wall = wall_after(*BEFORE)
    wall.types(called, *then, who="partner")
    others = [one for one in ("width, top", "width, bottom", "height, left", "height, right", "box 1") if one != label]
    before = [wall.value(one) for one in others]
    wall.types(said)
    assert before == [wall.value(one) for one in others]
    if value is not None:
        assert wall.value(label) == value
    elif not wall.session.state.not_taken("1"):
        assert wall.asks or "instead of" in wall.said[0].text


def test_a_no_right_behind_ones_own_call_is_about_that() -> None:
    """The other one's came before it."""
    wall = wall_after(*BEFORE[:3])
    wall.types("left 89 1/2", who="partner")
    wall.types("right 90", "no, 89 3/4")
    assert wall.value("height, right") == "89 3/4"
    assert wall.value("height, left") == "89 1/2"


@pytest.mark.parametrize("said", ["yes 91", "correct 91", "yes left 91"])
def test_a_yes_with_the_figure_just_read_back_is_no_other_reading(said: str) -> None:
    """It had become the height at the middle."""
    wall = wall_after(*BEFORE[:4], "left 91")
    assert wall.types(said) == "Taken."
    assert wall.value("height, middle") is None
    assert wall.value("height, left") == "91"


def test_a_board_that_was_told_as_a_piece_keeps_its_number() -> None:
    """Another wall's piece gets one of its own: the first may stand on a sheet already."""
    wall = wall_after("kitchen", "north wall 12 by 8 feet, studs 16 on center", "next board", "next board")
    told = wall.session.state.board
    said = wall.types("bathroom", "north wall 12 by 8 feet, studs 16 on center", "next board")
    assert "piece 1 of the bathroom north wall" in said
    assert f"Board {told}," not in said


def test_a_no_with_a_box_of_the_board_before_asks_which_board_is_meant() -> None:
    """No new box is begun on the board at hand."""
    wall = wall_after(*BEFORE, "yes", "next board")
    assert "is that of board 1 or of board 2" in wall.types("no, box one is 13 from left")
    assert not wall.session.state.boxes(wall.session.state.board)


def test_a_box_that_lies_across_the_edge_since_the_layout_changed_is_asked_about() -> None:
    """As it is where it is called so."""
    wall = wall_after("north wall 12 by 8 feet, studs 16 on center", "next board", "top 144", "bottom 144")
    wall.types("left 48", "right 48", "box one single gang center 20 from left 60 up", "yes")
    assert not wall.asks
    wall.types("north wall", "no, 12 by 9 feet")
    assert "run across the edge" in wall.types("board one")
    assert wall.asks


@pytest.mark.parametrize("said", ["no", "wait"])
def test_a_no_behind_a_tested_box_and_another_value_is_about_both(said: str) -> None:
    """The circuit is canceled, and the value is in question."""
    wall = wall_after(*BEFORE, "yes", "box one dead and tested", "yes")
    wall.types("left 91", who="partner")
    told = wall.types(said)
    assert "No tool goes into a box there" in told
    assert "hanger said no" in told
    wall.types("middle 42", "done", who="partner")
    assert "The plan has" not in wall.types("yes", who="partner")


def test_a_figure_near_ones_own_call_alone_is_of_that() -> None:
    """A height isn't four feet off."""
    wall = wall_after(*BEFORE[:4], "top 41 1/2")
    wall.types("left 91", who="partner")
    assert "Width, top: 41 3/4" in wall.types("no, 41 3/4")
    assert wall.value("height, left") == "91"


@pytest.mark.parametrize("no", ["no", "wrong", "no no"])
@pytest.mark.parametrize(
    ("asked", "answer"),
    [
        ("add an eighth to the top", "yes"),
        ("outlet 12 from left 14 up", "center"),
        ("light 6 center 12 from left center 14 up", "6 inches"),
        ("swap top and bottom", "yes"),
    ],
)
@pytest.mark.parametrize(("one", "other"), [("hanger", "partner"), ("partner", "hanger")])
def test_a_no_to_a_question_about_what_has_no_value_yet_stands_until_it_is_left_out(
    asked: str, answer: str, no: str, one: str, other: str
) -> None:
    """The one who was asked answers on; the plan waits for the other one's word."""
    wall = wall_after("top 42", "bottom 41 1/2", "left 90", "right 90", "yes")
    wall.types(asked, who=one)
    assert f"{one.capitalize()} is asked, not you" in wall.types(no, who=other)
    wall.types(answer, "yes", "done", who=one)
    assert wall.view.draft
    assert "leave it out" in wall.types("done", who=other)
    wall.types("yes", who=other)
    assert not wall.session.state.not_taken("1")


def test_what_was_not_taken_is_left_out_one_by_one() -> None:
    """Each yes is to the one that was put, and the next is put with it."""
    wall = wall_after("top 42", "bottom 42", "left 90", "right 90", "banana 12", "banana 13", "banana 14", "done")
    for left in ("banana 13", "banana 14"):
        assert f"“{left}”" in wall.types("yes")
        assert wall.asks
    wall.types("yes")
    assert not wall.session.state.not_taken("1")
    assert not wall.asks


def test_a_part_that_is_asked_for_says_of_which_thing() -> None:
    """There may be several."""
    wall = wall_after("top 42", "bottom 42", "outlet center 12 from left center 14 up")
    assert wall.types("outlet center 30 from left").startswith("Box 2: and the other distance?")


def test_an_undo_of_what_was_not_taken_ends_in_a_sentence() -> None:
    """What isn't taken again is named beside it."""
    wall = wall_after(
        "top 42", "bottom 42", "left 90", "right 90", "light 6 center 25 from left 20 down", "scratch the light"
    )
    assert "Undone on board 1: ." not in wall.types("undo")
