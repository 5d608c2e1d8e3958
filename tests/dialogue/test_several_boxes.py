"""What one breath says of several boxes."""

from __future__ import annotations

import pytest

from fieldvoice.records.meaning import Circuit
from tests.dialogue.talk import A_BOARD, Wall

OTHER = "single gang center 30 1/4 from left, 20 down"


def two_boxes() -> Wall:
    """A board with box 1 and box 2."""
    wall = Wall()
    wall.types(*A_BOARD, "single gang center 30 1/4 from left, 48 down", OTHER, "what's missing")
    return wall


def circuits(wall: Wall) -> dict[str, Circuit]:
    """What counts of each box's circuit."""
    return {box: word.state for box, word in wall.session.state.circuits("1").items()}


@pytest.mark.parametrize(
    "line",
    [
        "box one and two are dead and tested",
        "box one dead and tested box two dead and tested",
        "both boxes dead and tested",
    ],
)
def test_several_boxes_are_asked_about_together(line: str) -> None:
    """Nothing is taken before the yes, and then both are."""
    wall = two_boxes()
    assert "box 1 and box 2: did you test them dead yourself" in wall.types(line)
    assert circuits(wall) == {}
    wall.types("yes")
    assert circuits(wall) == {"box 1": Circuit.DEAD, "box 2": Circuit.DEAD}


def test_both_of_three_boxes_are_asked_about() -> None:
    """Nobody is asked to confirm a third box that "both" left out; all of them can be."""
    wall = two_boxes()
    wall.types("single gang center 20 from left, 70 down", "what's missing")
    assert "Which ones did you test" in wall.types("both boxes dead and tested")
    wall.types("yes")
    assert circuits(wall) == {}
    assert "box 3: did you test them dead yourself" in wall.types("all boxes dead and tested")


def test_one_dead_and_one_live_leave_no_box_for_a_tool() -> None:
    """The live one is told first, and the other waits for its yes."""
    wall = two_boxes()
    said = wall.types("box one dead and tested box two live")
    assert "No tool goes into a box" in said
    assert circuits(wall).get("box 2") is not Circuit.DEAD


@pytest.mark.parametrize(
    "line",
    ["box one dead and tested box one live", "box one live box one dead and tested", "box one dead and tested live"],
)
def test_of_two_words_for_one_box_the_safe_one_counts(line: str) -> None:
    """Nobody is asked to confirm what the same breath denies."""
    wall = two_boxes()
    assert "did you test" not in wall.types(line)
    wall.types("yes")
    assert circuits(wall).get("box 1") is not Circuit.DEAD


def test_a_state_beside_a_value_is_said_by_itself_again() -> None:
    """The box is taken, its circuit isn't."""
    wall = Wall()
    said = wall.types(*A_BOARD, "box 1 single gang center 30 1/4 from left, 48 down dead and tested")
    assert "say it by itself" in said
    assert circuits(wall) == {}


def test_a_box_by_its_four_sides_goes_through_to_the_plan() -> None:
    """Kept in the journal, read back, and cut as large as it was called."""
    wall = Wall()
    wall.types(
        *A_BOARD, "box one left 14 1/8 to 16 1/2, down 40 to 42", "undo", "box one left 14 1/8 to 16 1/2, down 40 to 42"
    )
    wall.types("what's missing")
    wall.restart()
    assert wall.value("box 1") == (
        "box, near side 14 1/8 from left, near side 40 from top, far side 16 1/2 from left, far side 42 from top"
    )
    plan = wall.view.plan
    assert plan is not None
    (hole,) = plan.openings
    assert str(hole.right - hole.left) == "2 1/2"
