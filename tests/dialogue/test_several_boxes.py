"""What one breath says of several boxes."""

from __future__ import annotations

from itertools import product

import pytest

from fieldvoice.records.meaning import Circuit
from tests.dialogue.talk import A_BOARD, Wall, wall_after

OTHER = "single gang center 30 1/4 from left, 20 down"


def two_boxes() -> Wall:
    """A board with box 1 and box 2."""
    return wall_after(*A_BOARD, "single gang center 30 1/4 from left, 48 down", OTHER, "what's missing")


def circuits(wall: Wall) -> dict[str, Circuit]:
    """What counts of each box's circuit."""
    return {box: word.state for box, word in wall.session.state.circuits("1").items()}


@pytest.mark.parametrize(
    "line",
    [
        "box one and two are dead and tested",
        "box one dead and tested box two dead and tested",
        "both boxes dead and tested",
        "all dead and tested",
        "all tested and dead",
    ],
)
def test_several_boxes_are_asked_about_together(line: str) -> None:
    """Nothing is taken before the yes, and then both are."""
    wall = two_boxes()
    assert "Box 1 and box 2: did you test them dead yourself" in wall.types(line)
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


FLOOR, CEILING = ("up", "sixteen"), ("down", "seventy nine")
OFF = {
    "": 0,
    " and an eighth": 2,
    " and three eighths": 6,
    " and seven sixteenths": 7,
    " and a half": 8,
    " and three quarters": 12,
    " and fifteen sixteenths": 15,
}


@pytest.mark.parametrize("way", [FLOOR, CEILING], ids=["floor", "ceiling"])
@pytest.mark.parametrize(("first", "second"), list(product(OFF, OFF)))
def test_boxes_at_almost_one_height_are_asked_about(way: tuple[str, str], first: str, second: str) -> None:
    """Nobody sets two an inch apart: more than 3/8 in, measured from one side. A yes to the new one asks of the old."""
    wall = wall_after("t 46 7/8", "m 46 7/8", "b 46 7/8", "l 96", "r 96")
    side, inches = way
    wall.speaks(f"box one single gang center eight from left {inches}{first} {side}")
    wall.speaks(f"box two single gang center thirty from left {inches}{second} {side}")
    odd = abs(OFF[first] - OFF[second]) > 6
    assert wall.asks == odd
    if odd:
        wall.speaks("yes")
        assert wall.asks
        wall.speaks("yes")
        assert not wall.asks
    wall.speaks(f"box three single gang center eighteen from left {inches}{second} {side}")
    assert not wall.asks


@pytest.mark.parametrize(
    ("first", "second"), [("sixteen up", "seventy nine and an eighth down"), ("sixteen up", "forty eight up")]
)
def test_boxes_measured_from_two_sides_or_far_apart_are_not(first: str, second: str) -> None:
    """A ceiling may be out of level, and a switch is higher than an outlet."""
    wall = wall_after("t 46 7/8", "m 46 7/8", "b 46 7/8", "l 96", "r 96")
    wall.speaks(f"box one single gang center eight from left {first}")
    wall.speaks(f"box two single gang center thirty from left {second}")
    assert not wall.asks


def test_which_of_two_begun_boxes_lacks_its_distances_is_said() -> None:
    """The first was read back in the same breath: what is asked for behind it is of the second."""
    wall = wall_after("box one single gang thirty from left", "box two double gang", "center")
    assert "Box 1: single gang, center 30 from left" in wall.types("forty down")
    for said in (*wall.said[-1:], *wall_after("window two").said[-1:]):
        assert said.text.split(":")[0] in {"Box 2", "Window 2"}
        assert "how far" in said.spoken
    assert wall.types("left").startswith("Box 2: how far from the left?")


@pytest.mark.parametrize(
    "begun",
    [
        "box 1 single gang 20 from left",
        "box 1 round center 16 down",
        "box 1 is 20 from left",
        "box 1, can light, center 20 from left, center 60 down",
        "box 1 light 6 inch center 20 from left, 60 down",
    ],
)
def test_a_box_called_by_its_number_has_that_name_whatever_it_lacks(begun: str) -> None:
    """The next one that is called without a number is another, by whomever."""
    wall = wall_after(*A_BOARD, begun)
    assert "Box 1" in wall.types("what's missing") + wall.types("read it back")
    assert "Box 2" in wall.types(OTHER, who="partner")


def test_a_light_called_as_a_box_has_the_circuit_of_that_name() -> None:
    """Word of danger is about it and no other box."""
    wall = wall_after(*A_BOARD, "box 1 light 6 inch center 20 from left, 60 down", OTHER)
    assert wall.types("box 1 is live").startswith("Box 1: not dead, says hanger.")


@pytest.mark.parametrize(
    "said", ["all not dead and tested", "all dead", "not all dead and tested", "all dead and tested but box one"]
)
def test_all_is_no_word_of_a_dead_circuit_where_any_is_left_out(said: str) -> None:
    """Neither is it one where nobody says that they were tested; a yes behind it is to nothing."""
    wall = two_boxes()
    wall.types("all dead and tested", "yes", said)
    wall.types("yes")
    if said != "all dead":
        assert Circuit.DEAD not in circuits(wall).values(), wall.said
    alone = two_boxes()
    alone.types(said, "yes")
    assert Circuit.DEAD not in circuits(alone).values(), alone.said


ALONE = ("outlet", "switch", "receptacle", "notch", "duct", "window", "box 2")
ANSWERS = {
    "how far from": "{} from left, 40 down",
    "center or edge": "center",
    "how big": "4 by 6",
    "kind of box": "single gang",
    "other distance": "40 down",
}


@pytest.mark.parametrize("first", ALONE)
@pytest.mark.parametrize("second", ALONE)
def test_a_second_thing_named_alone_is_another_one(first: str, second: str) -> None:
    """Nothing of it was said yet but what it is; the same word twice is one thing, heard twice."""
    if first == "box 2" and second in ALONE[:3]:
        return  # its kind, which is asked for
    wall = wall_after("top 46 7/8", first, second)
    across = iter((10, 30, 50))
    for _ in range(12):
        asked = wall.said[-1].text if wall.session.state.doubts else ""
        answer = next((answer for words, answer in ANSWERS.items() if words in asked), None)
        if answer is None:
            break
        wall.types(answer.format(next(across)) if "{}" in answer else answer)
    assert not wall.session.state.doubts, wall.said
    things = [told for told in wall.readings if not told.label.startswith("width")]
    assert len(things) == (1 if first == second else 2), things
    wall.types("done")
    assert not any(call.put_off or call.queued for call in wall.session.state.not_taken("1"))


@pytest.mark.parametrize("kind", ["double gang", "round box"])
def test_another_kind_behind_a_box_that_was_only_named_is_asked_about(kind: str) -> None:
    """It may be another box: what became of it is no silent one."""
    wall = wall_after("outlet", kind, "20 from left, 30 down")
    assert "is that right?" in wall.types("center")
    assert wall.asks


@pytest.mark.parametrize("named", ["switch", "outlet", "round box", "double gang"])
def test_what_kind_of_box_is_answered_by_its_name(named: str) -> None:
    """A switch is a single gang box."""
    wall = wall_after("box center 20 from left 30 down")
    assert "Box 1: " in wall.types(named)
    assert not wall.session.state.doubts
