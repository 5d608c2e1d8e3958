"""A tick whose step is another one by what was called since is told off: nobody cuts on from a list that went back."""

from __future__ import annotations

import pytest

from fieldvoice.dialogue.carried_out import fingerprints
from fieldvoice.dialogue.finishing import plan_now
from fieldvoice.records.ledger import Tell
from fieldvoice.records.plan import CutPlan
from tests.dialogue.talk import wall_after

BOARD = "top 47 1/2, bottom 47 1/2, left 95, right 95"
CHANGES = (
    "type x",
    "5/8 board",
    "54 inch board",
    "left edge is a wall",
    "two layers",
    "top 47",
    "box 1 single gang center 30 from left 48 down",
    "sixteen on center",
)


def _stands(plan: CutPlan, step: str) -> bool:
    return step in fingerprints(plan)


@pytest.mark.parametrize("ticked", [1, 3, 7])
@pytest.mark.parametrize("change", CHANGES)
def test_ticks_that_a_change_takes_off_are_told(change: str, ticked: int) -> None:
    """Those and no others, in the turn that takes them off."""
    wall = wall_after(BOARD, "done", "understood", *["next"] * ticked)
    was = {one.step: one.number for one in wall.session.state.ticks["1"]}
    for line in (change, "yes"):
        before = wall.session.state
        plan = plan_now(before, "1", wall.now, wall.rooms)
        stood = {step for step in was if _stands(plan, step)}
        wall.types(line)
        plan = plan_now(wall.session.state, "1", wall.now, wall.rooms)
        gone = sorted(was[step] for step in stood if not _stands(plan, step))
        told = [value for note in wall.session.state.said if note.tell is Tell.TICKS_OFF for value in note.values]
        assert told == gone, (line, wall.session.state.said)


CUT = ("top 42", "bottom 42", "left 90", "right 90")
HOLE = "box 1 single gang center 12 from left 14 up"
MOVED = (
    "change left to 89 / yes",
    "change top to 41 / yes",
    "change left to 89 / yes / change top to 41 / yes",
    "scratch left / left 89 / yes",
    "both sides 89 / yes / yes",
)
"""What moves a line that was cut."""


@pytest.mark.parametrize("moved", MOVED)
def test_a_cut_is_to_be_made_anew_once_its_line_moves(moved: str) -> None:
    """Its tick falls with that of its mark, and that of the board that hangs: no edge is half done."""
    wall = wall_after(*CUT, "done", "understood", *["next"] * 20)
    assert wall.view.plan is not None
    assert len(wall.view.ticked) == len(wall.view.plan.steps)
    for line in moved.split(" / "):
        wall.types(line)
    view = wall.view
    assert view.plan is not None
    assert len(view.plan.steps) not in view.ticked
    off = set()
    for edge in {step.cut for step in view.plan.steps if step.cut is not None}:
        numbers = {at for at, step in enumerate(view.plan.steps, 1) if step.cut is edge}
        assert numbers <= view.ticked or not numbers & view.ticked, edge
        off |= set() if numbers <= view.ticked else {edge}
    assert off


def test_a_hole_is_to_be_made_anew_once_its_box_moves() -> None:
    """And not left as it was cut for the old place."""
    wall = wall_after(*CUT, HOLE, "done", "understood", *["next"] * 20)
    wall.types("move box 1 to 13 from left", "yes", "yes", "yes")
    view = wall.view
    assert view.plan is not None
    numbers = [at for at, step in enumerate(view.plan.steps, 1) if step.opening == "box 1"]
    assert len(numbers) > 1
    assert not view.ticked.intersection(numbers)


@pytest.mark.parametrize("line", ["power is on", "box 1 is live"])
def test_a_hung_board_that_is_cut_otherwise_by_word_of_a_circuit_is_told(line: str) -> None:
    """Its hole was to be made on the wall, and is none there: which ticks are off is told in that turn."""
    wall = wall_after(*CUT, HOLE, "box 1 dead and tested", "yes", "done", "understood", *["next"] * 20)
    assert "no longer ticked" in wall.types(line).lower()


def test_a_circuit_that_another_one_tested_is_asked_of_nobody() -> None:
    """Else a plan would be final beside a question that waits."""
    wall = wall_after(*CUT, HOLE, "box 1 dead and tested", "P:box 1 dead and tested", "P:yes")
    assert "hanger" not in wall.session.state.open


THERE_AND_BACK = (
    ("millimeters", "inches"),
    ("sheet 4 by 10", "undo"),
    ("5/8 board", "undo"),
    ("scratch box 1", "undo"),
    ("change top to 41 / yes", "change top to 42 / yes"),
    ("change left to 89 / yes", "undo"),
    ("left edge is a wall", "undo"),
    ("power is on", "box 1 dead and tested / yes"),
)


@pytest.mark.parametrize("again", [False, True])
@pytest.mark.parametrize(("there", "back"), THERE_AND_BACK)
def test_a_tick_that_is_off_comes_back_by_nobody_but_who_ticks(there: str, back: str, *, again: bool) -> None:
    """Whatever the plan is then, in this session and in the next: it was told off, and somebody may have cut anew."""
    wall = wall_after(*CUT, HOLE, "box 1 dead and tested", "yes", "done", "understood", *["next"] * 20)
    for line in there.split(" / "):
        wall.types(line)
    off = wall.view.ticked
    assert wall.view.plan is not None
    assert len(off) < len(wall.view.plan.steps)
    if again:
        wall.restart()
    for line in back.split(" / "):
        wall.types(line)
        done = {one.step for one in wall.session.state.ticks["1"] if not one.off}
        assert len(done) <= len(off)
    assert len(wall.view.ticked) <= len(off)
    before = len(wall.view.ticked)
    wall.types("done", "understood", "next")
    assert len(wall.view.ticked) > before


@pytest.mark.parametrize("sheet", ["sheet 4 by 10", "5/8 board", "type x", "from a new sheet"])
def test_another_sheet_is_cut_from_its_beginning(sheet: str) -> None:
    """Nothing that was done on the one that leaned there is done on it."""
    wall = wall_after(*CUT, HOLE, "done", "understood", *["next"] * 20)
    wall.types(sheet, "yes")
    assert not wall.view.ticked


@pytest.mark.parametrize("line", ["next", "tick 9", "what is missing", "understood"])
def test_a_test_that_ran_out_takes_ticks_off_aloud(line: str) -> None:
    """The hole is another one by then: nobody ticks a step of a list that went by."""
    wall = wall_after(*CUT, HOLE, "box 1 dead and tested", "yes", "done", "understood", *["next"] * 8)
    hung = wall.view.ticked
    wall.wait(5)
    assert "no longer ticked" in wall.types(line).lower()
    assert wall.view.ticked < hung
    before = wall.view.ticked
    wall.types("understood", "next")
    assert len(wall.view.ticked) == len(before) + 1


@pytest.mark.parametrize("who", ["hanger", "partner"])
@pytest.mark.parametrize("line", ["box 1 is live", "power is on", "not dead"])
def test_what_is_cut_of_another_board_is_told_with_its_board(line: str, who: str) -> None:
    """A hole that was ticked there is one that no tool may make now: not only once that board is at hand again."""
    board = ("top 42", "bottom 42", "left 90", "right 90")
    wall = wall_after(*board, "box 1 single gang center 12 from left 14 up", "yes", "box 1 dead and tested", "yes")
    wall.types("done", "understood", *["next"] * 8, "next board", *board)
    told = wall.types(line, who=who)
    assert "On board 1: The plan has changed: step" in told
    assert "no longer ticked" not in wall.types("go to board 1", who=who)


@pytest.mark.parametrize("words", ["what's next", "what is next"])
def test_a_question_ticks_nothing(words: str) -> None:
    """It is answered by what is still needed; only an order ticks."""
    wall = wall_after("top 42", "bottom 42", "left 90", "right 90", "done", "understood", "next")
    ticked = wall.view.ticked
    wall.types(words)
    assert wall.view.ticked == ticked
    wall.types("next")
    assert len(wall.view.ticked) == len(ticked) + 1


def test_a_board_that_hangs_is_none_of_the_next_layer() -> None:
    """That it is to hang in another one takes the tick off, and that is told."""
    wall = wall_after(BOARD, "done", "understood", *["next"] * 7)
    last = max(one.number for one in wall.session.state.ticks["1"])
    wall.types("second layer")
    told = [value for note in wall.session.state.said if note.tell is Tell.TICKS_OFF for value in note.values]
    assert told == [last]
