"""Undo right behind going elsewhere by what was called goes back to where work was, as it does behind an order."""

from __future__ import annotations

from itertools import product

import pytest

from tests.dialogue.talk import Wall, wall_after

WALL = ("north wall 144 by 96", "studs 24 on center from left", "lying")
WORK = {
    "kitchen": ("kitchen", "t 46 b 46"),
    "a board": ("t 46 b 46 l 96 r 96", "done"),
    "a piece": (*WALL, "next board", "t 144 b 144"),
    "a wall": (*WALL, "two layers"),
}
AWAY = ("board 7", "south wall 120 by 96", "bath", "ceiling 144 by 120", "kitchen south wall 120 by 96")
CASES = list(product(WORK, AWAY))


def _stands(talk: Wall) -> list[object]:
    calls = (one for one in talk.session.state.calls.values() if one.fact is not None and not one.gone)
    return [(one.board, one.fact, one.standing) for one in calls]


def _goes(talk: Wall, away: str) -> str:
    """Where work was before it went away."""
    here = talk.session.state.board
    talk.types(away)
    return here


@pytest.mark.parametrize(("work", "away"), CASES)
def test_undo_goes_back_with_all_as_it_was(work: str, away: str) -> None:
    """What was called goes on where it was going on."""
    talk = wall_after(*WORK[work])
    stood = _stands(talk)
    here = _goes(talk, away)
    if talk.session.state.board == here:
        assert (work, away) == ("a board", "bath")  # its room is called behind what was measured
        return
    assert f"“{away}” is taken back" in talk.types("undo")
    assert talk.session.state.board == here
    assert _stands(talk) == stood


@pytest.mark.parametrize(("work", "away"), CASES)
def test_undo_behind_more_is_of_that(work: str, away: str) -> None:
    """It stays there."""
    talk = wall_after(*WORK[work])
    _goes(talk, away)
    there = talk.session.state.board
    talk.types("1/2 inch board" if "by" in away else "b 40", "undo")
    assert talk.session.state.board == there


@pytest.mark.parametrize("work", ["kitchen", "a board", "a piece"])
def test_no_behind_a_board_by_its_name_goes_back(work: str) -> None:
    """Where nothing waited that it may be about."""
    talk = wall_after(*WORK[work], "yes")
    here = _goes(talk, "board 7")
    assert "“board 7” is taken back" in talk.types("no")
    assert talk.session.state.board == here


def test_no_behind_a_wall_is_of_its_sides() -> None:
    """They were read back."""
    talk = wall_after("t 46 b 46 l 96 r 96", "done", "south wall 120 by 96", "no")
    assert talk.session.state.board == "south wall"
    assert "130 by 96" in talk.types("130 by 96")


@pytest.mark.parametrize("called", ["top 44", "left 90", "box 1 single gang center 20 from left 40 down"])
def test_undo_behind_a_board_and_more_in_one_breath_is_of_that(called: str) -> None:
    """Work stays at the board, and what was called there is out."""
    talk = wall_after("t 46 b 46", f"board 2 {called}", "undo")
    assert talk.session.state.board == "2"
    assert not talk.session.state.known("2", doubtful=True)


def test_no_behind_a_room_of_the_board_at_hand_is_of_the_room() -> None:
    """It led nowhere."""
    assert "Not taken: room. What is it?" in wall_after("kitchen").types("no")
