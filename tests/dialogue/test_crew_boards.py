"""Whole boards as crews call them, typed, with every question answered: what comes of them."""

from __future__ import annotations

import pytest

from benchmarks.dialogue.crew_boards import Talk, crew_boards, talk

TABLES = (
    "crew_boards.txt",
    "crew_boards_others.txt",
    "crew_boards_holes.txt",
    "crew_boards_holes_more.txt",
    "crew_boards_veterans.txt",
)
GREET = ("good morning", "good afternoon")
"""No calls."""


@pytest.fixture(scope="module", params=TABLES)
def talks(request: pytest.FixtureRequest) -> list[Talk]:
    """Every board of a table from its first call to its plan."""
    return [talk(board) for board in crew_boards(request.param)]


def test_boards_come_out_as_called(talks: list[Talk]) -> None:
    """A plan, and on the board all that was called and nothing else."""
    assert not {one.board.name: (one.missing, one.wrong, one.draft) for one in talks if not one.right}


def test_nothing_stands_that_nobody_called(talks: list[Talk]) -> None:
    """Neither a reading nor a box, an edge or a word of a circuit."""
    assert not {one.board.name: one.wrong for one in talks if one.wrong}


def test_nearly_every_call_is_taken_at_once(talks: list[Talk]) -> None:
    """At least 97 of 100 without a question or a refusal; a greeting is no call."""
    calls = [call for one in talks for call in one.board.calls if call not in GREET]
    assert sum(one.at_once for one in talks) >= 0.97 * len(calls)


def test_few_questions(talks: list[Talk]) -> None:
    """Beside circuit and last read-back one on a board at most, but for two on one; none on three boards of four."""
    second, most = sorted(len(one.asked) for one in talks)[-2:]
    assert second <= 1
    assert most <= 2
    assert sum(not one.asked for one in talks) >= 3 / 4 * len(talks)


@pytest.mark.parametrize(
    ("table", "right", "at_once"),
    [
        ("crew_boards_partners.txt", 19, 0.95),
        ("crew_boards_rafters.txt", 15, 0.9),
        ("crew_boards_stairwell.txt", 6, 0.9),
        ("crew_boards_garage.txt", 9, 0.95),
        ("crew_boards_attic.txt", 10, 0.95),
        ("crew_boards_cellar.txt", 21, 0.87),
    ],
)
def test_boards_of_a_crew_that_the_words_were_not_made_for(table: str, right: int, at_once: float) -> None:
    """Nothing stands that nobody called; all boards but one of 20, one of 10, two of 12 and three of 24 come
    out, most at once.
    """
    talks = [talk(board) for board in crew_boards(table)]
    assert not [one.board.name for one in talks if one.wrong]
    assert sum(one.right for one in talks) >= right
    assert sum(one.at_once for one in talks) >= at_once * sum(len(one.board.calls) for one in talks)
