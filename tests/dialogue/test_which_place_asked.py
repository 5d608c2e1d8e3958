"""A figure of which the place is asked isn't gone where another figure is said at one of the places."""

from __future__ import annotations

from itertools import permutations

import pytest

from tests.dialogue.talk import Wall, wall_after

ASKED = {
    "no with a figure": ("top 46, bottom 46", "no 46 1/2"),
    "a no, then a figure": ("bottom 46, top 45 7/8", "no", "46 1/2"),
    "no with a figure, three": ("top 46, middle width 46, bottom 46", "no 46 1/2"),
}
"""Calls behind which the place of 46 1/2 is asked."""


def lost(wall: Wall) -> list[str]:
    """The words that stand as not taken."""
    return [one.words for one in wall.session.state.not_taken("1") if one.fact is None]


@pytest.mark.parametrize("how", ["{}", "no {}"])
@pytest.mark.parametrize("asked", ASKED)
@pytest.mark.parametrize(("said", "other"), [*permutations(("top", "bottom"), 2)])
def test_it_stands_as_not_taken(how: str, asked: str, said: str, other: str) -> None:
    """Until it is said again with its place, or left out; what was said counts at its own."""
    wall = wall_after(*ASKED[asked])
    wall.types(how.format(f"{said} 46 1/4"), "yes")
    assert lost(wall) == [ASKED[asked][-1]]
    wall.types("left 96", "done")
    assert wall.view.draft
    wall.types(f"{other} 46 1/2")
    assert wall.value(f"width, {said}") == "46 1/4"
    assert wall.value(f"width, {other}") == "46 1/2"


@pytest.mark.parametrize("asked", ASKED)
@pytest.mark.parametrize("answer", ["top", "top 46 1/2", "bottom"])
def test_its_place_answers(asked: str, answer: str) -> None:
    """Nothing is left over then."""
    assert not lost(wall_after(*ASKED[asked], answer))


@pytest.mark.parametrize("figure", ["six", "five"])
@pytest.mark.parametrize(("one", "other"), [*permutations(("left", "right"), 2)])
def test_what_was_heard_for_two_places(one: str, other: str, figure: str) -> None:
    """Heard for the one or the other, and then another figure for one: the first may have been the other's."""
    wall = Wall()
    wall.speaks(f"{one} ninety six", f"{other} ninety {figure}")
    wall.speaks(f"{one} ninety four")
    assert lost(wall) == [f"{one} ninety six"]


def test_two_figures_for_the_same_places_are_settled_by_others() -> None:
    """What was asked is which figures, and that is said."""
    wall = Wall()
    wall.speaks("left ninety six right ninety five", "left ninety four right ninety three")
    wall.speaks("left ninety five and a half right ninety four and a half")
    assert not lost(wall)
    assert wall.value("height, left") == "95 1/2"
