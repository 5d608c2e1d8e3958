"""Boards of every kind, drawn at random in rooms that are known, cut and hung by their steps and looked over."""

from __future__ import annotations

from random import Random

import pytest

from tests.cutting.everyday import KINDS, ODD
from tests.cutting.looked_over import Found, look, look_over, printed

EVERY = {**KINDS, **ODD}


@pytest.mark.parametrize("name", EVERY)
def test_a_few_boards_of_each_kind(name: str) -> None:
    """No overlap, no mark off by more than 1/32, no gap claimed wrong, no box uncovered but by a step held back."""
    found = look_over({name: EVERY[name]}, 5, seed=7)[name]
    assert found.wrong() == 0, found.examples
    assert found.plans, found.why


@pytest.mark.slow
def test_hundreds_of_boards_of_each_kind() -> None:
    """The same over many, and 97 of 100 everyday boards get a plan."""
    usual, rest = look_over(KINDS, 300), look_over(ODD, 300)
    for table in (usual, rest):
        assert sum(found.wrong() for found in table.values()) == 0, printed(table)
    boards, plans = (sum(getattr(found, key) for found in usual.values()) for key in ("boards", "plans"))
    assert plans >= 0.97 * boards, printed(usual)


def test_eyes_that_look_see_a_board_in_the_wrong_room() -> None:
    """The same plan looked at in a room an eighth narrower, and with its boxes an eighth away, is found wrong."""
    case = KINDS["last_board_to_a_plumb_wall"](Random(3))
    narrow, moved = Found(), Found()
    room = case.room
    assert room.right is not None
    case.room = type(room)(room.left, [(t, x - 0.25) for t, x in room.right], room.top, room.bottom)
    look(case, narrow, "narrow")
    assert narrow.overlaps or narrow.gaps_wrong
    case.room = room
    for thing in case.things:
        thing.y += 1 / 8
    look(case, moved, "moved")
    assert moved.marks_off
