"""Whole boards as crews call them, typed, with every question answered: what comes of them."""

from __future__ import annotations

import pytest

from benchmarks.dialogue.crew_boards import Talk, crew_boards, talk

UNFINISHED = {
    "door at the side": "how large the door is was never called",
    "under the stairs": "the width at the top, beside a wall that may lean, was never called",
}
"""Boards of which the crew's calls leave something open that has to be asked."""


@pytest.fixture(scope="module")
def talks() -> list[Talk]:
    """Every board of the table from its first call to its plan."""
    return [talk(board) for board in crew_boards()]


def test_boards_come_out_as_called(talks: list[Talk]) -> None:
    """A plan, and on the board all that was called and nothing else, but for those that are left open."""
    assert {one.board.name for one in talks if not one.right} == set(UNFINISHED)


def test_nothing_stands_that_nobody_called(talks: list[Talk]) -> None:
    """Neither a reading nor a box, an edge or a word of a circuit."""
    assert not {one.board.name: one.wrong for one in talks if one.wrong}


def test_what_is_left_open_gets_no_plan(talks: list[Talk]) -> None:
    """A board that lacks something stays a draft and says what it lacks."""
    assert all(one.steps is None and one.draft for one in talks if one.board.name in UNFINISHED)


def test_nearly_every_call_is_taken_at_once(talks: list[Talk]) -> None:
    """At least 97 of 100 without a question or a refusal."""
    assert sum(one.at_once for one in talks) >= 0.97 * sum(len(one.board.calls) for one in talks)


def test_few_questions(talks: list[Talk]) -> None:
    """Beside circuit and last read-back at most two on a board, and none on three boards of four."""
    assert max(len(one.asked) for one in talks) <= 2
    assert sum(not one.asked for one in talks) >= 0.75 * len(talks)
