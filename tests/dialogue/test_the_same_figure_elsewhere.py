"""The figure that was read back last, said with a no of another place: it may be of that one alone, or of both."""

from __future__ import annotations

import random
from itertools import permutations

import pytest

from tests.dialogue.talk import wall_after

WIDTHS = ("top", "middle", "bottom")
HEIGHTS = ("left", "right")
NO = ("no", "actually", "i mean", "sorry", "remeasured", "wrong,")


BOARD = {"top": "46", "middle": "46", "bottom": "46", "left": "96", "right": "96"}


def _cases() -> list[tuple[str, str, str, str, str]]:
    """The no, the place it names, the place that was called last, and the figure: near the others."""
    rng = random.Random(5)
    return [
        (no, kind, named, last, f"{BOARD[named]} {rng.choice(('1/8', '1/4', '3/8'))}")
        for kind, places in (("width", WIDTHS), ("height", HEIGHTS))
        for named, last in permutations(places, 2)
        for no in NO
    ]


@pytest.mark.parametrize("answer", ["yes", "no"])
@pytest.mark.parametrize(("no", "kind", "named", "last", "figure"), _cases())
def test_where_the_other_place_has_a_figure_it_is_asked(
    no: str, kind: str, named: str, last: str, figure: str, answer: str
) -> None:
    """It had been taken out of the place that was called last, untold at the end: one height misses a slope."""
    there = sorted(BOARD, key="middle".__eq__)  # a middle that comes first is of a width, or of a height
    before = [f"{place} {BOARD[place]}" for place in there if place != last]
    wall = wall_after(*before, "yes", f"{last} {figure}")
    assert not wall.asks
    told = wall.types(f"{no} {named} {figure}")
    assert f"{named}: {figure}, instead of {BOARD[named]}" in told
    assert f"{last}: {figure}: hanger said no. Is it right?" in told
    assert "Not taken yet" in wall.types("done")
    wall.types(answer)
    assert wall.value(f"{kind}, {named}") == figure
    assert wall.value(f"{kind}, {last}") == (figure if answer == "yes" else None)


@pytest.mark.parametrize("no", NO)
@pytest.mark.parametrize(("last", "named"), [*permutations(WIDTHS, 2), ("left", "right"), ("right", "left")])
def test_where_the_other_place_has_none_it_belongs_there(no: str, last: str, named: str) -> None:
    """It was said of the wrong place: that has nothing then."""
    kind = "width" if last in WIDTHS else "height"
    other = () if kind == "width" else ("top 46", "bottom 46")
    wall = wall_after(*other, f"{last} 46 1/2", f"{no} {named} 46 1/2")
    assert wall.value(f"{kind}, {named}") == "46 1/2"
    assert wall.value(f"{kind}, {last}") is None
    assert not wall.asks


@pytest.mark.parametrize("no", NO)
def test_what_was_put_right_before_does_not_come_back(no: str) -> None:
    """The older value of the place that was called last had stood again."""
    wall = wall_after("t 46", "b 46", "l 96", "r 95 1/2", "r 95", f"{no} left 95", "yes")
    assert (wall.value("height, left"), wall.value("height, right")) == ("95", "95")
    wall = wall_after("t 46", "b 46", "l 95", "yes", "r 95", f"{no} left 95")
    assert wall.asks  # what stood there is the same: then the no is about the right
