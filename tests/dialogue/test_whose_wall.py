"""What is called of a wall behind somebody else's calling another one is asked about, as it is of boards."""

from __future__ import annotations

from itertools import product

import pytest

from tests.dialogue.talk import Wall, wall_after

FRAMED = ("studs 16 on center from left", "standing")
WALLS = ("south wall 144 by 96", "east wall 120 by 96", "ceiling 144 by 120")
CALLS = (
    "window 1 30 wide 40 high 60 from left 30 from floor",
    "door 1 36 wide 80 high 16 from left on the floor",
    "two layers",
    "studs 24 on center from right",
    "~two layers",
)
CASES = list(product(WALLS, CALLS))


def _led(wall: str) -> tuple[Wall, str]:
    """The hanger at the north wall, led away by the partner to another one; and its name."""
    talk = wall_after("north wall 144 by 96", *FRAMED)
    talk.says(f"P:{wall}")
    return talk, talk.session.state.board


def _facts(talk: Wall, name: str) -> dict[object, object]:
    return {key: one.fact for key, one in talk.session.state.known(name, doubtful=True).items()}


@pytest.mark.parametrize(("wall", "called"), CASES)
def test_it_is_of_neither_before_its_speaker_says_which(wall: str, called: str) -> None:
    """Where they say it is taken, and the other one stays as it was."""
    for goes in ("north wall", "the other"):
        talk, other = _led(wall)
        names = ("north wall", other)
        stood = {name: _facts(talk, name) for name in names}
        assert f"is that of the north wall or of the {other}?" in talk.says(called)
        assert stood == {name: _facts(talk, name) for name in names}
        mine = "north wall" if goes == "north wall" else other
        talk.types(f"go to the {mine}")
        assert "is that of" not in talk.says(called)
        rest = other if mine != other else "north wall"
        assert _facts(talk, rest) == stood[rest]
        assert talk.session.state.board == mine


@pytest.mark.parametrize("wall", WALLS)
def test_who_called_that_wall_or_names_it_is_asked_nothing(wall: str) -> None:
    """The partner, who is there; and the hanger behind the wall's own sides."""
    talk, other = _led(wall)
    assert "is that of" not in talk.says("P:two layers")
    assert talk.session.state.board == other
    talk.types(wall)
    assert "is that of" not in talk.types("two layers")


@pytest.mark.parametrize("goes", ["P:next board", "next board"])
def test_the_first_board_of_a_wall_is_no_other_wall(goes: str) -> None:
    """Whoever goes to it: readings are of it."""
    talk = wall_after("north wall 144 by 96", *FRAMED, "yes")
    talk.says(goes)
    assert "is that of" not in talk.types("t 48 b 48")
    assert talk.value("width, top") == "48"
