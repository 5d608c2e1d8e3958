"""What is spoken while holding isn't taken, and isn't lost untold: a word once, and at the end how many calls."""

from __future__ import annotations

import random

import pytest

from tests.dialogue.talk import Wall, wall_after

STILL = "Still holding."
CALLS = (
    "top forty six",
    "forty six and a half",
    "box one single gang center thirty from left forty eight down",
    "left ninety",
    "top forty six and seven",
    "undo",
    "next board",
    "done",
    "what's missing",
)
NO_CALLS = ("", "yes", "no", "uh", "hold on", "not yet")


def _told(count: int) -> str:
    calls = "1 call was" if count == 1 else f"{count} calls were"
    return f"Listening. {calls} let go while holding. Say what is still to be taken." if count else "Listening."


@pytest.mark.parametrize("call", CALLS)
def test_the_first_call_in_a_hold_is_answered(call: str) -> None:
    """The next ones aren't: whoever pauses it may talk to somebody else."""
    wall = wall_after("t 46", "hold on")
    assert wall.speaks(call) == STILL
    assert [wall.speaks(each) for each in CALLS] == [""] * len(CALLS)
    assert wall.speaks("resume") == _told(len(CALLS) + 1)
    assert wall.value("width, top") == "46"
    assert len(wall.readings) == 1
    assert wall.view.board == "1"


@pytest.mark.parametrize("first", ["bottom forty six", "done"])
def test_over_a_restart_and_a_night_the_first_is_answered_again(first: str) -> None:
    """Who paused it has gone home, and another session holds on."""
    wall = wall_after("t 46", "hold on", "~bottom forty six")
    wall.restart()
    wall.wait(20)
    assert wall.speaks(first) == STILL
    assert wall.speaks("left ninety six") == ""
    assert wall.speaks("resume") == _told(3)


def test_each_of_two_people_is_told() -> None:
    """The partner paused it; the hanger, who reads on, knows nothing of it."""
    wall = wall_after("P:hold on", "P:~bottom forty six")
    assert wall.speaks("bottom forty six") == STILL
    assert wall.speaks("left ninety six", who="partner") == ""
    assert wall.speaks("resume") == _told(3)


@pytest.mark.parametrize("word", NO_CALLS)
def test_what_is_no_call_is_not_answered(word: str) -> None:
    """Noise and a bit of talk; nor is it counted."""
    wall = wall_after("hold on")
    assert wall.speaks(word) == ""
    assert wall.speaks("resume") == "Listening."


def test_a_typed_no_is_answered() -> None:
    """Nothing is there to object to, and it isn't listening."""
    assert wall_after("hold on").types("no") == "Holding: nothing is taken. Say resume to go on."


@pytest.mark.parametrize("before", [(), ("~bottom forty six",)])
@pytest.mark.parametrize("danger", ["careful that one is live", "box one is live", "power is on"])
def test_danger_counts_as_ever(before: tuple[str, ...], danger: str) -> None:
    """It is answered by what it does, and is no call that was let go."""
    board = ("t 46", "b 46", "l 96", "r 96", "box 1 single gang center 30 from left 48 down", "yes")
    wall = wall_after(*board, "box 1 dead and tested", "yes", "hold on", *before)
    assert "No tool goes into a box there." in wall.speaks(danger)
    assert wall.speaks("resume") == _told(len(before))


@pytest.mark.parametrize("seed", range(40))
def test_in_any_talk_each_is_told_once_a_session_and_all_are_counted(seed: int) -> None:
    """Two people, noise, orders and calls, sessions that end: counted by ourselves beside it."""
    rng = random.Random(seed)
    wall = Wall()
    for _ in range(2):  # a second hold begins anew
        wall.types("hold on")
        known: set[str] = set()
        count = 0
        for _ in range(rng.randrange(12)):
            if rng.random() < 0.15:
                wall.restart()
                known.clear()
            who = rng.choice(("hanger", "partner"))
            call = rng.random() < 0.6
            said = wall.speaks(rng.choice(CALLS if call else NO_CALLS), who=who)
            assert said == (STILL if call and who not in known else "")
            known |= {who} if call else set()
            count += call
        assert wall.speaks("resume") == _told(count)
        assert wall.readings == ()
