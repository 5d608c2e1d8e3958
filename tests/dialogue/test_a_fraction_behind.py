"""A fraction that is called behind a pause is asked about as that of the reading of whole inches before it."""

from __future__ import annotations

from fractions import Fraction
from itertools import product

import pytest

from fieldvoice.records.length import Length
from tests.dialogue.talk import Wall, wall_after

PLACES = {"top": "width, top", "middle width": "width, middle", "left": "height, left"}
FRACTIONS = {"seven eighths": Fraction(7, 8), "and a half": Fraction(1, 2), "and three sixteenths": Fraction(3, 16)}


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("words", FRACTIONS)
@pytest.mark.parametrize("spoken", [False, True])
def test_it_is_asked_about(place: str, words: str, spoken: bool) -> None:
    """A yes takes both as one, a no leaves the inches; nothing is lost."""
    for answer, right in (("yes", Length(46 + FRACTIONS[words])), ("no", Length(46))):
        wall = Wall()
        for line in (f"{place} forty six", words):
            (wall.speaks if spoken else wall.types)(line)
        assert wall.asks
        assert wall.standing(PLACES[place]) == "doubtful"
        wall.types(answer)
        assert wall.value(PLACES[place]) == right.text()
        assert not [one for one in wall.session.state.not_taken("1") if one.fact is None]


@pytest.mark.parametrize("words", FRACTIONS)
@pytest.mark.parametrize(
    "before",
    [
        ("top 46 1/4",),
        ("top 46, left 96",),
        ("both heights 96",),
        ("top 46", "yes"),
        ("top 46", "what is missing", "P:left 96"),
        ("P:top 46",),
    ],
)
def test_behind_anything_else_it_is_not_taken(before: tuple[str, ...], words: str) -> None:
    """It is of none of them for sure."""
    wall = wall_after(*(each for each in before if not each.startswith("P:")))
    for each in before:
        if each.startswith("P:"):
            wall.says(each)
    readings = wall.readings
    wall.types(words)
    assert [(line.label, line.value) for line in wall.readings] == [(line.label, line.value) for line in readings]
    assert words in {one.words for one in wall.session.state.not_taken("1")}


def test_another_fraction_is_said_with_a_no() -> None:
    """As before: with a no it takes the place of the one that was called."""
    for inches, words in product(("46", "46 1/4"), ("no seven eighths", "no 7/8")):
        assert wall_after(f"top {inches}", words).value("width, top") == "46 7/8"
