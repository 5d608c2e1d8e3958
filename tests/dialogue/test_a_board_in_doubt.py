"""A board's name that was heard with another way beside it is asked about, as any order that leads elsewhere."""

from __future__ import annotations

from itertools import product

import pytest

from tests.dialogue.talk import Wall, wall_after

NAMES = {"1": "board one", "2": "board two", "5": "board five"}
RIVALS = ("board three", "undo", "next board", "done", "help")
HEARD = list(product(NAMES, RIVALS))


def _at(name: str) -> Wall:
    """At a board that isn't the one of that name."""
    return wall_after("t 46 7/8", "next board", "b 20", *(["next board"] if name == "2" else []))


def _called(wall: Wall) -> list[object]:
    return [(one.board, one.fact, one.standing) for one in wall.session.state.calls.values() if one.fact is not None]


@pytest.mark.parametrize(("name", "rival"), HEARD)
def test_it_is_asked_and_what_is_called_next_goes_nowhere_else(name: str, rival: str) -> None:
    """A yes leads there, a board that isn't there yet is new; a no, or a value, leads nowhere."""
    for answer, leads in (("yes", True), ("~" + NAMES[name], True), ("no", False), ("left 90", False)):
        wall = _at(name)
        here = wall.session.state.board
        asked = wall.speaks(NAMES[name], rival)
        assert f"“{NAMES[name]}”?" in asked
        assert wall.session.state.board == here
        assert name in wall.session.state.boards or int(name) > 2
        wall.says(answer)
        assert wall.session.state.board == (name if leads else here)
        assert not leads or not list(wall.session.state.not_taken(here))


@pytest.mark.parametrize(("name", "rival"), HEARD)
def test_nothing_is_called_of_a_board_in_doubt(name: str, rival: str) -> None:
    """Neither there nor at the board at hand."""
    wall = _at(name)
    here, calls = wall.session.state.board, _called(wall)
    wall.speaks(f"{NAMES[name]} top forty four", rival)
    assert wall.session.state.board == here
    assert _called(wall) == calls
    wall.types("yes")
    assert wall.session.state.board == here


@pytest.mark.parametrize("name", NAMES)
def test_a_board_that_was_surely_heard_is_gone_to(name: str) -> None:
    """And one that isn't there yet is asked about no more than one that is typed; an order to go needs one."""
    wall = _at(name)
    wall.speaks(NAMES[name])
    assert wall.session.state.board == name
    wall = _at(name)
    wall.types(f"go to board {name}")
    assert (wall.session.state.board == name) == (name != "5")
