"""A circuit that was told to be dead no more stays so until somebody tests again; a no in time is heard of anybody."""

from __future__ import annotations

from itertools import product

import pytest

from fieldvoice.records.board import CircuitWord
from fieldvoice.records.meaning import Circuit
from fieldvoice.records.plan import Tool
from tests.dialogue.talk import Wall, wall_after

BOARD = ("top 42", "bottom 42", "left 90", "box 1 single gang center 12 from left 14 up")
TESTED = (*BOARD, "box 1 dead and tested", "yes")
AWAY = (
    "box 1 center 30 from left 14 up",
    "box 1 center 12 from right 14 up",
    "change box 1 to double gang",
    "move box 1 to 16 up",
    "box 1 to the edge",
)
BACK = (
    "box 1 single gang center 12 from left 14 up",
    "no, single gang center 12 from left 14 up",
    "no / box 1 single gang center 12 from left 14 up",
    "change box 1 to single gang / box 1 center 12 from left 14 up",
    "undo",
    "no / undo",
)


def _dead(wall: Wall) -> bool:
    word: CircuitWord | None = wall.session.state.circuits("1").get("box 1")
    return word is not None and word.state is Circuit.DEAD


@pytest.mark.parametrize(("away", "back"), [*product(AWAY, BACK)])
def test_what_was_told_to_be_canceled_comes_back_by_no_way(away: str, back: str) -> None:
    """Read back otherwise for once, a box was said to be tested somewhere else: called as it was, it is tested anew."""
    wall = wall_after(*TESTED)
    assert _dead(wall)
    told = wall.types(away)
    assert not _dead(wall)
    assert "canceled" in told or wall.refuses
    for line in (*back.split(" / "), "yes", "yes", "done"):
        wall.types(line)
        assert not _dead(wall), line


@pytest.mark.parametrize("no", ["no", "no it isn't", "wrong", "no wait", "that's not right"])
@pytest.mark.parametrize("spoken", [False, True])
def test_a_no_to_the_others_question_of_a_circuit_counts(no: str, *, spoken: bool) -> None:
    """Right behind the question whether it is dead, however unclear its rest is: the yes behind it is to nothing."""
    wall = wall_after(*BOARD, "box 1 dead and tested", f"P:{'~' if spoken else ''}{no}")
    assert "Box 1: not dead, says partner" in " ".join(say.text for say in wall.said)
    wall.types("yes")
    assert not _dead(wall)


def test_another_call_of_the_other_one_leaves_the_question() -> None:
    """It says nothing of the circuit."""
    wall = wall_after(*BOARD, "box 1 dead and tested", "P:middle 42", "yes")
    assert _dead(wall)


@pytest.mark.parametrize("name", ["box 1", "box 2"])
@pytest.mark.parametrize("between", [(), ("top 42",), ("box 3 single gang center 30 from left 14 up", "top 42 1/8")])
def test_an_undo_behind_a_scratch_has_the_box_back(name: str, between: tuple[str, ...]) -> None:
    """And takes out nothing that was read back before it."""
    boxes = ("box 1 single gang center 12 from left 14 up", "box 2 single gang center 20 from left 14 up")
    wall = wall_after(*boxes, *between)
    before = {each.label: each.value for each in wall.readings}
    wall.types(f"scratch {name}", "undo")
    if name == "box 1" or between:
        assert {each.label: each.value for each in wall.readings} == before


@pytest.mark.parametrize("detail", ["box 1 16 up", "two gang", "near edge"])
def test_a_detail_doesnt_say_that_one_box_replaces_another(detail: str) -> None:
    """Whether it is the one that has its name is asked still."""
    wall = wall_after("box 1 single gang center 12 from left 14 up", "yes", "box 1 center 13 from left", detail)
    assert wall.asks
    assert "does this replace it" in " ".join(say.text for say in wall.said)
    wall.types("yes")
    assert "13 from left" in (wall.value("box 1") or "")


@pytest.mark.parametrize(("place", "label"), [("the top", "width, top"), ("the bottom", "width, bottom")])
@pytest.mark.parametrize("no", [(), ("no",)])
def test_a_place_alone_is_where_the_next_figure_belongs(place: str, label: str, no: tuple[str, ...]) -> None:
    """Behind a no of something else, too."""
    wall = wall_after("top 42", "bottom 42", "left 90", *no, place, "42 1/2")
    assert wall.value(label) == "42 1/2"
    assert wall.value("height, left") == (None if no else "90")


BEHIND = (
    "no",
    "no, it's a switch",
    "no, box 1 is single gang",
    "no, 13 from left",
    "no, top 43",
    "no, top 42",
    "no, middle",
    "no, middle width",
    "no, board 2",
    "no, north wall 12 by 8 feet",
    "no, five eighths",
    "no, 16 on center",
    "no, two layers",
    "no banana 12",
    "no, box 2",
    "wait, bottom",
    "wrong",
    "that's not right",
    "sorry, top 43",
    "I meant top 43",
    "I meant box 2",
    "I meant box 2 dead and tested",
    "not box 1",
    "the other one",
    "~I meant box two",
    "~no, it's a switch",
)


@pytest.mark.parametrize("who", ["", "P:"])
@pytest.mark.parametrize("behind", BEHIND)
def test_a_no_right_behind_it_is_about_the_circuit_whatever_follows(behind: str, who: str) -> None:
    """It was told last: of whomever the no is, and whatever else comes of it."""
    wall = wall_after(*BOARD, "box 2 single gang center 28 from left 14 up", "top 42", *TESTED[-2:])
    assert _dead(wall)
    wall.says(f"{who}{behind}")
    assert not _dead(wall)
    assert "canceled" in " ".join(say.text for say in wall.said)


@pytest.mark.parametrize("goes_on", ["top 42 1/8", "box 3 / round center 36 from left 14 up", "middle", "done"])
def test_what_goes_on_behind_it_leaves_it(goes_on: str) -> None:
    """A call, the beginning of one, an order: none of them denies anything."""
    wall = wall_after(*TESTED)
    wall.types(*goes_on.split(" / "))
    assert _dead(wall)


@pytest.mark.parametrize(
    "behind", ["I meant box 2", "no, box 2", "no banana", "wait, which one", "no, the other one", "no, middle"]
)
def test_a_no_right_behind_the_question_is_about_the_circuit(behind: str) -> None:
    """And of no value that was read back before it; the yes behind it is to nothing."""
    wall = wall_after(*BOARD, "box 2 single gang center 28 from left 14 up", "top 42", "box 1 dead and tested", behind)
    assert "Box 1: not dead" in " ".join(say.text for say in wall.said)
    assert not wall.session.state.in_question("1")
    wall.types("yes")
    assert not _dead(wall)


@pytest.mark.parametrize("between", ["top 42 1/8", "what's missing", "bottom 42 1/8"])
def test_what_the_other_one_says_between_leaves_a_no_about_it(between: str) -> None:
    """It was told last to the one who tested."""
    wall = wall_after(*TESTED, f"P:{between}", "no, it's a switch")
    assert not _dead(wall)


@pytest.mark.parametrize("who", ["hanger", "partner"])
@pytest.mark.parametrize("said", ["not yet", "hold on", "one sec"])
def test_waiting_right_behind_it_may_be_about_it(said: str, who: str) -> None:
    """Whoever says it: no tool goes in before it is said to be dead once more."""
    wall = wall_after("top 42", "bottom 42", "left 90", "right 90", "box one single gang center 12 from left 14 up")
    wall.types("box one dead and tested", "yes")
    assert "No tool goes in" in wall.types(said, who=who)
    wall.types("resume", "done")
    assert wall.session.state.circuits("1")["box 1"].state is not Circuit.DEAD


@pytest.mark.parametrize("said", ["scratch that", "undo", "cancel that", "take that back"])
def test_the_others_undo_right_behind_it_is_about_it(said: str) -> None:
    """Whether there is anything of theirs to undo or not."""
    wall = wall_after("top 42", "bottom 42", "left 90", "right 90", "box one single gang center 12 from left 14 up")
    wall.types("box one dead and tested", "yes")
    wall.types(said, who="partner")
    assert not _dead(wall)


@pytest.mark.parametrize("claim", ["box one dead and tested", "all boxes dead and tested"])
@pytest.mark.parametrize("again", ["box one dead and tested", "all boxes dead and tested", "P:box one dead and tested"])
def test_the_undo_of_a_second_claim_cancels_the_first(claim: str, again: str) -> None:
    """It is told that nobody has said it: no tool goes in then."""
    wall = wall_after(*BOARD, "right 90", "center", claim, "yes", again)
    wall.says("P:undo" if again.startswith("P:") else "undo")
    assert not _dead(wall), wall.said
    wall.types("done")
    assert not any(step.tool is Tool.ROUTER for step in (wall.view.plan.steps if wall.view.plan else ()))
