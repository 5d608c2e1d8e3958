"""What "done" asked is over once anything is called: no value is told in it that another has taken the place of."""

from __future__ import annotations

import pytest

from fieldvoice.records.facts import Key
from fieldvoice.records.ledger import Call, Concern, Doubt
from tests.dialogue.talk import Wall

READINGS = ("top forty six", "bottom forty six", "left ninety five", "right ninety five")
CALLED = {
    "top forty six and seven": "seven eighths",
    "right ninety four and nine": "nine sixteenths",
    "bottom is an eighth less than the top": "yes",
    "make it an eighth less": "yes",
    "top forty seven": "yes",
}
"""What is called instead of a yes, and what then answers."""


@pytest.mark.parametrize("called", CALLED)
@pytest.mark.parametrize("who", ["hanger", "partner"])
@pytest.mark.parametrize("again", [False, True])
def test_no_replaced_value_is_told(called: str, who: str, again: bool) -> None:
    """Every last read-back holds what is in force at that moment, and the answers behind it bring no other."""
    wall = Wall()
    for line in (*READINGS, "done"):
        wall.speaks(line)
    assert _last_checks(wall)
    for person, line in (
        (who, called),
        (who, CALLED[called]),
        ("hanger", "yes"),
        ("hanger", "done"),
        ("hanger", "yes"),
    ):
        wall.speaks(line, who=person)
        known = wall.session.state.known("1")
        assert all(known.get(call.key) == call for call in _last_checks(wall)), (line, wall.session.state.said)
        if again:
            wall.restart()


def _last_checks(wall: Wall) -> list[Call]:
    """The calls that are told in a last read-back now."""
    return [
        wall.session.state.calls[value.number]
        for note in wall.session.state.said
        if any(isinstance(value, Doubt) and value.concern is Concern.LAST for value in note.values)
        for value in note.values
        if isinstance(value, Call)
    ]


@pytest.mark.parametrize("hours", [0.05, 0.2, 30])
def test_a_yes_that_comes_late_hears_it_once_more(hours: float) -> None:
    """After five minutes nobody has in the ear what a yes would be to."""
    wall = Wall()
    for words in ("top forty two", "bottom forty two", "left eighty eight"):
        wall.speaks(words)
    assert "Last check" in wall.types("done")
    wall.wait(hours)
    late = hours > 0.1
    assert ("Last check" in wall.types("yes")) is late
    assert wall.asks is late
    if late:
        assert "The plan has" in wall.types("yes")


def test_a_yes_behind_a_restart_hears_it_once_more() -> None:
    """Whoever opens the job anew may be somebody else."""
    wall = Wall()
    for words in ("top forty two", "bottom forty two", "left eighty eight", "done"):
        wall.speaks(words)
    wall.restart()
    assert "Last check" in wall.types("yes")
    assert "The plan has" in wall.types("yes")


SETTINGS = (
    *("upper course", "green board", "five eighths board", "two layers", "second layer", "steel studs"),
    *("sixteen on center", "first stud at seven", "cut the left edge", "back bevel the left", "no boxes"),
    *("keep the tapered edge at the top", "boxes to the center", "left is wall", "right gap one eighth"),
    *("fifty four inch sheet", "twelve footer"),
)
"""Each changes the cut, the sheet or its screws, and is one misheard word from another."""


@pytest.mark.parametrize("said", SETTINGS)
@pytest.mark.parametrize("spoken", [True, False])
def test_what_else_a_cut_depends_on_is_in_the_last_check(said: str, *, spoken: bool) -> None:
    """Heard once it is read once more; typed it isn't."""
    wall = Wall()
    for line in ("top forty two", "bottom forty two", "left eighty eight", "right eighty eight"):
        wall.speaks(line)
    before = set(wall.session.state.known("1"))
    if spoken:
        wall.speaks(said)
    else:
        wall.types(said)
    new = set(wall.session.state.known("1")) - before
    assert new, wall.said
    read: set[Key] = set()
    wall.speaks("done")
    while checks := _last_checks(wall):
        read |= {call.key for call in checks}
        wall.speaks("yes")
    assert new <= read if spoken else not new & read, (wall.said, read)


@pytest.mark.parametrize("said", ["yes but {0}", "all good except {0}", "fine except {0}", "yeah except {0}"])
@pytest.mark.parametrize(
    ("right", "place"), [("left ninety four", "height, left"), ("bottom forty five", "width, bottom")]
)
def test_a_yes_with_what_is_otherwise_changes_that_and_is_no_yes_to_the_rest(said: str, right: str, place: str) -> None:
    """The rest is read once more before there is a plan."""
    wall = Wall()
    for line in (*READINGS, "done", said.format(right)):
        wall.speaks(line)
    assert wall.value(place) in {"94", "45"}, wall.said
    assert not wall.session.state.not_taken("1")
    wall.speaks("done")
    read: set[Key] = set()
    while checks := _last_checks(wall):
        read |= {call.key for call in checks}
        wall.speaks("yes")
    assert len(read) == len(READINGS), wall.said
