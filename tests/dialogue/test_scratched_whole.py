"""What is scratched by its name is gone whole: no older value of it, nothing that waits and nothing that was kept comes
back by itself; undo has all of it back as it was.
"""

from __future__ import annotations

from itertools import product

import pytest

from tests.dialogue.talk import Wall, wall_after

BOARD = ("top 42", "bottom 42", "left 90", "right 90")
THINGS = {
    "top": ("top 42", "top 42 1/4", "top 55", "width, top"),
    "left": ("left 90", "left 90 1/4", "left 95", "height, left"),
    "box one": (
        "box one single gang center 12 from left 14 up",
        "change box one to 13 from left",
        "box one double gang center 14 from left 14 up",
        "box 1",
    ),
    "window one": (
        "window 20 wide 30 high left edge 10 from left 40 up",
        "change window one to 22 wide",
        "window 24 wide 30 high left edge 10 from left 40 up",
        "window 1",
    ),
    "pipe one": (
        "pipe 2 inch center 12 from left 14 up",
        "change pipe one to 13 from left",
        "pipe 2 inch center 12 1/4 from left 14 up",
        "pipe 1",
    ),
}
"""What names it, what calls it first, what changes it without a question and what is asked about, and its label."""

THEN = ("called once", "read back anew", "taken anew", "asked about", "kept behind a question")


def there(wall: Wall, label: str) -> list[str]:
    """The values of a thing that stand or wait."""
    return [reading.value for reading in wall.readings if reading.label == label]


def called(name: str, then: str, second: str) -> Wall:
    """The thing, called by the hanger, and what came of it since."""
    first, anew, odd, _ = THINGS[name]
    wall = wall_after(*BOARD, *(() if first in BOARD else (first, "yes")))
    if then == "kept behind a question":
        wall.types("middle 47", who=second)
    if then != "called once":
        wall.types(odd if then == "asked about" else anew, who=second)
    if then == "taken anew":
        wall.types("yes", who=second)
    return wall


def known(name: str) -> bool:
    """Whether the language has a word for taking it out."""
    return name.split()[0] != "pipe"


CASES = [each for each in product(THINGS, THEN, ("hanger", "partner"), ("hanger", "partner")) if known(each[0])]


@pytest.mark.parametrize(("name", "then", "second", "who"), CASES)
def test_nothing_of_it_is_left_and_undo_has_it_back(name: str, then: str, second: str, who: str) -> None:
    """Whoever called it, changed it and takes it out."""
    wall = called(name, then, second)
    label = THINGS[name][3]
    before = there(wall, label)
    assert before
    said = wall.types(f"scratch {name}", who=who)
    assert f"Taken out: {label}" in said
    assert not there(wall, label)
    assert not [call for call in wall.session.state.waiting(second) if call.key.name == label]
    wall.types("undo", who=who)
    assert there(wall, label)


@pytest.mark.parametrize(("name", "then"), [each[:2] for each in CASES if each[2:] == ("hanger", "partner")])
def test_a_yes_behind_it_brings_nothing_of_it_in(name: str, then: str) -> None:
    """Not what was asked about when it was scratched, nor what was kept behind a question."""
    wall = called(name, then, "hanger")
    wall.types(f"scratch {name}", who="partner")
    wall.types("yes")
    wall.types("yes", who="partner")
    wall.types("done")
    assert not there(wall, THINGS[name][3])


@pytest.mark.parametrize("then", ["read back anew", "asked about"])
def test_no_tool_goes_into_a_box_that_is_out(then: str) -> None:
    """It can't be said to be dead any more, whichever of its values was older."""
    wall = called("box one", then, "hanger")
    wall.types("scratch box one", who="partner")
    assert "There is no box 1" in wall.types("box one dead and tested")
    assert not wall.asks
    wall.types("done")
    assert wall.session.state.circuits("1") == {}


@pytest.mark.parametrize("name", ["niche", "hatch", "panel", "skylight", "medicine cabinet", "access panel"])
def test_an_opening_is_changed_and_taken_out_by_its_own_name(name: str) -> None:
    """It is told as an opening with its number; of two of them neither goes."""
    wall = wall_after(
        *BOARD, f"{name} 14 by 20 left edge 5 from left bottom edge 20 up", f"change the {name} to 16 by 24"
    )
    assert [one.startswith("opening, 16 wide by 24 high") for one in there(wall, "opening 1")] == [True], wall.said
    two = wall.twin()
    two.types("opening 10 by 10 left edge 28 from left bottom edge 60 up", f"scratch the {name}")
    assert there(two, "opening 1"), two.said
    assert there(two, "opening 2"), two.said
    wall.types(f"scratch the {name}")
    assert not there(wall, "opening 1"), wall.said
