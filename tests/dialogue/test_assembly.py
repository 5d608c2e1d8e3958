"""What people say of a place arrives at the cutting room as a board."""

from __future__ import annotations

import random
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldvoice.dialogue.assembly import board_of
from fieldvoice.language import sample
from fieldvoice.records.board import Board, EdgeSetting, Lies, Sheet, Surface
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Edge, Neighbour
from tests.dialogue.talk import Wall


def board(*lines: str) -> Board:
    """The board after those lines."""
    wall = Wall()
    wall.types(*lines, "yes")
    state = wall.session.state
    return board_of(state.board, state.known(state.board, doubtful=True), {})


SAID: list[tuple[tuple[str, ...], Callable[[Board], object], object]] = [
    (("on the ceiling",), lambda b: b.surface, Surface.CEILING),
    (("lying",), lambda b: b.lies, Lies.LYING),
    (("five eighths board",), lambda b: b.thickness, Length("5/8")),
    (("two layers",), lambda b: b.layers, 2),
    (("steel studs",), lambda b: b.framing.material, "steel"),
    (("unit millimeters",), lambda b: b.unit, Unit.MM),
    (("left edge is a wall",), lambda b: b.edges[Edge.LEFT], EdgeSetting(Neighbour.WALL)),
    (
        ("left edge is a wall", "give it a quarter"),
        lambda b: b.edges[Edge.LEFT],
        EdgeSetting(Neighbour.WALL, Length("1/4")),
    ),
    (
        ("four by ten sheet", "five eighths board"),
        lambda b: b.sheet,
        Sheet(Length(48), Length(120), Length("5/8")),
    ),
    (
        ("top 46", "at 32 46 1/4"),
        lambda b: [(str(t.at), t.value) for t in b.widths],
        [("top", Length(46)), ("32", Length("46 1/4"))],
    ),
    (("left 95", "right 95 1/4"), lambda b: [t.value for t in b.heights], [Length(95), Length("95 1/4")]),
]


@pytest.mark.parametrize(("lines", "part", "expected"), SAID)
def test_each_thing_said_has_its_place(
    lines: tuple[str, ...], part: Callable[[Board], object], expected: object
) -> None:
    """Context, edges and readings."""
    assert part(board(*lines)) == expected


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 2**32))
def test_whatever_the_language_can_say(seed: int) -> None:
    """Ten utterances of the grammar at random by two people: the session stands, answers, and resumes to the same."""
    rng = random.Random(seed)
    wall = Wall()
    for _ in range(10):
        words = sample(rng).words
        say = wall.types if rng.random() < 0.5 else wall.speaks
        say(words, who=rng.choice(["hanger", "partner"]))
        assert wall.view.last is not None
    before = wall.session.state
    wall.restart()
    assert {name: facts.values for name, facts in wall.session.state.boards.items()} == {
        name: facts.values for name, facts in before.boards.items()
    }
    assert wall.session.state.board == before.board
