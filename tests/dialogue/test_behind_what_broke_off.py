"""A part alone right behind a call that broke off is its rest, as people call behind a pause: it was lost with it."""

from __future__ import annotations

from itertools import product

import pytest

from fieldvoice.language.typed import says_again
from tests.dialogue.talk import Wall, wall_after

BOARD = ("t 46 7/8", "b 46 7/8", "l 96", "r 96")
READINGS = {
    ("top", "width, top"): ("top forty six and", "width top forty six and"),
    ("left", "height, left"): ("left ninety five and", "the left ninety five and"),
}
FRACTIONS = {"seven eighths": "7/8", "three quarters": "3/4", "a half": "1/2", "a sixteenth": "1/16"}
BOX = "single gang, center 30 from left, center 48 from top"
BOXES = {
    "box one single gang center thirty from left and": ("forty eight down",),
    "box one single gang center": ("thirty from left", "forty eight down"),
    "box one single gang thirty from left forty eight down to": ("center",),
}


def _open(wall: Wall) -> list[str]:
    return [one.words for one in wall.session.state.not_taken(wall.view.board)]


@pytest.mark.parametrize("spoken", [True, False])
@pytest.mark.parametrize(("begun", "rest"), [*product((w for way in READINGS.values() for w in way), FRACTIONS)])
def test_a_fraction_is_of_the_reading_that_broke_off(begun: str, rest: str, spoken: bool) -> None:
    """By voice whether it is right is asked; what broke off stands no more as not taken."""
    wall = Wall()
    for words in (begun, rest):
        wall.says(f"~{words}" if spoken else words)
    label = "width, top" if "top" in begun else "height, left"
    assert wall.value(label) == f"{'46' if 'top' in begun else '95'} {FRACTIONS[rest]}"
    assert wall.asks is spoken
    assert not _open(wall)
    wall.types("no")
    assert wall.value(label) is None


@pytest.mark.parametrize("before", [(), BOARD])
@pytest.mark.parametrize("spoken", [True, False])
@pytest.mark.parametrize("begun", BOXES)
def test_a_box_goes_on_where_it_broke_off(begun: str, spoken: bool, before: tuple[str, ...]) -> None:
    """Beside what was read back before it, too, which is taken then."""
    wall = wall_after(*before)
    for words in (begun, *BOXES[begun]):
        wall.says(f"~{words}" if spoken else words)
    assert [one.value for one in wall.readings if one.label == "box 1"] == [BOX], wall.said
    assert not _open(wall)


@pytest.mark.parametrize(
    "between", ["b 44", "P:b 44", "done", "next board", "P:7/8", "banana"], ids=lambda words: words.replace(":", " ")
)
def test_what_comes_between_ends_it(between: str) -> None:
    """Nobody knows then whether it is the rest; of another speaker's words it never is."""
    wall = wall_after("~top forty six and", between)
    wall.speaks("seven eighths")
    assert wall.value("width, top") is None


def test_of_anothers_words_it_is_no_rest() -> None:
    """Each has said their own."""
    wall = wall_after("~top forty six and", "P:~seven eighths")
    assert not wall.readings
    assert not wall_after("P:~top forty six and", "~banana", "P:~seven eighths").readings
    assert not wall_after("~top forty six and", "P:~left ninety five and", "~seven eighths").readings


@pytest.mark.parametrize("rest", ["center", "double gang", "48 down", "left"])
def test_what_makes_no_call_with_it_stays_not_taken(rest: str) -> None:
    """Nothing is made of what doesn't go together."""
    wall = wall_after("~top forty six and", rest)
    assert not wall.readings
    assert any(says_again("top forty six and", words) for words in _open(wall))
