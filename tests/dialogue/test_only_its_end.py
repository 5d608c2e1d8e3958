"""A small figure alone in the place of a reading that a number goes on from may be its end, and is asked about."""

from __future__ import annotations

import pytest

from fieldvoice.records.ledger import Concern
from tests.dialogue.talk import Wall, wall_after

PLACES = ("top", "middle width", "bottom", "left", "right", "both heights", "top and bottom")
TENS = ("thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
ENDS = {"five": "5", "six and seven eighths": "6 7/8", "nine and a half": "9 1/2"}


def asked(wall: Wall) -> tuple[Concern, ...]:
    """What is asked of the hanger, each call once."""
    mine = wall.session.state.open.get("hanger")
    return () if mine is None else tuple({one.call: one.concern for one in mine.doubts}.values())


def waits(wall: Wall) -> bool:
    """Whether each reading that was called last is asked about."""
    return all(line.call.standing.value == "doubtful" for line in wall.view.readings)


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("end", ENDS)
def test_behind_a_no(place: str, end: str) -> None:
    """A no in a breath of its own, and then the end alone; a whole value, or one with its place, isn't asked about."""
    for call, figure in ((Wall.types, ENDS[end]), (Wall.speaks, end)):
        wall = wall_after(f"{place} 46", "no")
        call(wall, figure)
        assert Concern.INSTEAD in asked(wall)
        assert waits(wall)
        named = wall_after(f"{place} 46", "no")
        call(named, f"{place} {figure}")
        assert Concern.INSTEAD not in asked(named)
    assert Concern.INSTEAD not in asked(wall_after(f"{place} 46", "no", "10"))


@pytest.mark.parametrize("tens", TENS)
@pytest.mark.parametrize("end", ENDS)
def test_behind_a_question(tens: str, end: str) -> None:
    """The tens are asked about by ear; their end answers nothing, and all of it does."""
    wall = Wall()
    wall.speaks(f"left {tens}")
    assert asked(wall) == (Concern.TWIN,)
    wall.speaks(end)
    assert asked(wall) == (Concern.INSTEAD,)
    wall.speaks(f"left {tens} {end}")
    assert wall.standing("height, left") == "read back"


def test_of_a_small_reading_it_is_all() -> None:
    """No number goes on from one below ten."""
    assert asked(wall_after("top 6", "no", "7")) == ()
