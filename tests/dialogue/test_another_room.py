"""Work in another room: another board, whose boxes nobody tested, and no piece of the room that was left."""

from __future__ import annotations

from itertools import product

import pytest

from fieldvoice.dialogue import circuits
from fieldvoice.records.ledger import Tell
from fieldvoice.records.plan import Tool
from tests.dialogue.talk import Wall, wall_after

MEASURED = ("t 46 7/8", "b 46 7/8", "l 96", "r 96")
TESTED = (
    "box 1 single gang center 30 from left 48 down",
    "yes",
    "box 1 dead and tested",
    "yes",
)
ROOMS = ("bath", "this is the bath", "bedroom two")


def _tool_in_a_box(wall: Wall) -> bool:
    plan = wall.view.plan
    return plan is not None and any(step.tool is Tool.ROUTER for step in plan.steps)


@pytest.mark.parametrize(("said", "then"), product(ROOMS, [(), ("done",)]))
def test_behind_a_measured_board_another_room_begins_another_board(said: str, then: tuple[str, ...]) -> None:
    """What was measured in the kitchen stays the kitchen's."""
    wall = wall_after("kitchen", *MEASURED, *then)
    wall.says(said)
    state = wall.session.state
    assert state.board == "2", wall.said
    wall.types("t 45 1/2", "b 45 1/2", "l 95 1/2", "r 95 1/2", "done", "go to board 1")
    assert wall.value("width, top") == "46 7/8"
    assert wall.settings["room"] == "kitchen"


@pytest.mark.parametrize("said", ["no, bath", "ceiling board", "it's a ceiling"])
def test_a_board_that_hangs_elsewhere_has_no_box_that_was_tested_there(said: str) -> None:
    """The claim ends and that is told, whichever way its room or its surface came to be another."""
    wall = wall_after("kitchen", *MEASURED, *TESTED, "done")
    assert _tool_in_a_box(wall)
    wall.types(said)
    told = " ".join(say.text for say in wall.said)
    wall.types("yes", "done")
    assert not _tool_in_a_box(wall), told
    assert "canceled" in told


def test_the_room_of_a_board_that_had_none_leaves_its_test() -> None:
    """Work is where it was, and has a name now."""
    wall = wall_after(*MEASURED, *TESTED, "done", "bath", "done")
    assert _tool_in_a_box(wall)


@pytest.mark.parametrize("said", ["bath circuit is live", "kitchen breaker is on", "kitchen power is on"])
def test_a_room_that_names_a_circuit_is_no_room_of_the_board(said: str) -> None:
    """The danger counts, and the board stays where it is."""
    wall = wall_after("kitchen", *MEASURED, *TESTED)
    wall.types(said)
    assert wall.settings["room"] == "kitchen"
    assert wall.session.state.board == "1"
    assert not _tool_in_a_box(wall)
    assert any(note.tell is Tell.NOT_DEAD for note in wall.session.state.said)


def test_the_next_board_of_a_room_without_walls_is_no_piece_of_another() -> None:
    """It is the bath's; the kitchen's pieces are there when work is there again."""
    wall = wall_after("kitchen", "north wall 96 by 96", "studs 16 on center from left", "bath", "next board")
    state = wall.session.state
    assert state.board not in state.pieces
    assert wall.settings["room"] == "bath"
    wall.types("kitchen", "next board")
    assert wall.session.state.board in wall.session.state.pieces


def test_a_mutant_is_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without the rule the router goes into a box of another room."""
    monkeypatch.setattr(circuits, "_elsewhere", lambda *_: False)
    wall = Wall()
    wall.types("kitchen", *MEASURED, *TESTED, "done", "ceiling board", "yes", "done")
    assert _tool_in_a_box(wall)
