"""A no, or a correction behind one, is about what was told last at hand: never lost, and never of another thing."""

from __future__ import annotations

import pytest

from fieldvoice.dialogue import objecting
from fieldvoice.records.ledger import Standing
from fieldvoice.records.meaning import Reading
from tests.dialogue.talk import Wall, wall_after

BOARD = ("top 42", "bottom 42", "left 90", "right 90")
NAMED = ("no, middle", "no middle width", "no, middle width", "no, middle height", "no, the middle", "nope, the middle")


def _in_question(wall: Wall) -> set[str]:
    state = wall.session.state
    return {str(call.fact.at) for call in state.in_question(state.board) if isinstance(call.fact, Reading)}


@pytest.mark.parametrize("said", NAMED)
@pytest.mark.parametrize("middle", ["middle 41 1/2", "middle height 89 1/2", "P:middle 41 1/2"])
@pytest.mark.parametrize("between", [(), ("top 42 1/8",)])
def test_a_no_that_names_the_middle_is_about_the_one_that_is_there(
    said: str, middle: str, between: tuple[str, ...]
) -> None:
    """Whoever called it: it is no habit of the crew's, and no plan is settled with it."""
    wall = wall_after(*BOARD, middle, *between, said)
    assert "middle" in _in_question(wall)
    assert "middle width" not in wall.settings
    wall.types("done")
    assert wall.view.draft


@pytest.mark.parametrize("said", ["no middle width", "no, middle", "we don't do middles"])
def test_where_none_is_there_it_is_a_habit(said: str) -> None:
    """Said where nothing is asked."""
    wall = wall_after(*BOARD, said)
    assert wall.settings["middle width"] == "no"


@pytest.mark.parametrize("said", NAMED)
@pytest.mark.parametrize("asked", ["top 47", "middle 30", "left 19"])
def test_under_a_question_it_is_no_habit(said: str, asked: str) -> None:
    """What is asked about isn't taken by it."""
    wall = wall_after(*BOARD, asked, said)
    assert "middle width" not in wall.settings
    wall.types("done")
    assert wall.view.draft


@pytest.mark.parametrize("said", ["no, the middle", "no, the bottom", "no, middle height", "nope, bottom"])
@pytest.mark.parametrize("last", ["top 42", "left 90", "P:top 42"])
def test_where_nothing_stands_at_the_place_it_is_about_what_was_told_last(said: str, last: str) -> None:
    """The figure belongs to another place: until that is said it doesn't stand."""
    wall = wall_after(last, said)
    (call,) = [one for one in wall.session.state.calls.values() if one.words == last.removeprefix("P:")]
    assert call.standing in {Standing.DOUBTFUL, Standing.NOT_TAKEN}
    assert wall.asks


def test_a_mutant_is_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    """A no to the middle that stands is the habit."""
    monkeypatch.setattr(objecting, "_NO_MIDDLE", None)
    wall = Wall()
    wall.types(*BOARD, "middle 41 1/2", "no, middle")
    assert "middle" not in _in_question(wall)
