"""A correction that names a thing by its kind is of that thing, or asked about; never of what was called last."""

from __future__ import annotations

from itertools import permutations

import pytest

from fieldvoice.dialogue import correcting, proposals
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Box, Opening, Reading, Slot
from tests.dialogue.talk import Wall

BOARD = ("top 46", "bottom 46", "left 96", "right 96")
THINGS = {
    "window": ("window 2 from left 50 up 10 wide 20 high", "no, window 3 from left"),
    "pipe": ("3 inch pipe center 20 from left 10 down", "no, pipe center 21 from left"),
    "box": ("box 1 single gang center 40 from left 10 down", "no, single gang center 41 from left 10 down"),
    "hole": ("2 inch hole center 30 from left 80 down", "no, 2 inch hole center 31 from left 80 down"),
    "duct": ("duct center 20 from left 40 up 8 wide 6 high", "no, duct center 21 from left"),
}
"""How each is called, and how it is corrected by an inch to the right."""
PAIRS = list(permutations(THINGS, 2))


def _across(wall: Wall) -> dict[str, set[str]]:
    """Where each thing is from the left, by its kind; more than one where there are several."""
    found: dict[str, set[str]] = {}
    state = wall.session.state
    for call in state.known("1", doubtful=True).values():
        if isinstance(call.fact, Box):
            found.setdefault("box", set()).add(call.fact.x.value.text())
        elif isinstance(call.fact, Opening):
            found.setdefault(call.fact.kind.value, set()).add(call.fact.xs[0].value.text())
    return found


def _is_told(wall: Wall) -> bool:
    return wall.asks or any("instead of" in say.text for say in wall.said)


@pytest.mark.parametrize(("first", "last"), PAIRS)
@pytest.mark.parametrize("goes_on", [False, True])
def test_it_is_of_what_it_names(first: str, last: str, *, goes_on: bool) -> None:
    """Another thing was called since, and was taken or not."""
    wall = Wall()
    wall.types(*BOARD, THINGS[first][0], THINGS[last][0])
    if goes_on:
        wall.types("yes")
    before = _across(wall)
    wall.types(THINGS[first][1])
    after = _across(wall)
    assert after[last] == before[last], wall.said
    assert after[first] != before[first], wall.said
    assert len(after[first]) == 1, wall.said
    assert _is_told(wall), wall.said


@pytest.mark.parametrize("kind", THINGS)
def test_of_two_of_a_kind_it_is_asked_or_is_the_last(kind: str) -> None:
    """The one that was called before is left alone unless its place is said."""
    wall = Wall()
    called, corrected = THINGS[kind]
    wall.types(*BOARD, called.replace("from left", "from right").replace("box 1", "box 2"), "yes", called)
    before = len(wall.session.state.known("1", doubtful=True))
    wall.types(corrected)
    assert len(wall.session.state.known("1", doubtful=True)) <= before + 1
    assert _is_told(wall) or wall.refuses, wall.said


def test_a_mutant_is_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    """What is called last is corrected, whatever is named."""
    monkeypatch.setattr(proposals, "alike", lambda *_: True)
    monkeypatch.setattr(correcting, "of_one", lambda fact, _: fact)
    wrong = 0
    for first, last in PAIRS:
        wall = Wall()
        wall.types(*BOARD, THINGS[first][0], THINGS[last][0])
        before = _across(wall)
        wall.types(THINGS[first][1])
        wrong += _across(wall).get(last) != before[last]
    assert wrong


KINDS = {"width": ("top", "bottom"), "height": ("left", "right")}
CORRECTS = (
    "make the {0} 50 1/4",
    "change the {0} to 50 1/4",
    "{0} should be 50 1/4",
    "{0} is really 50 1/4",
    "add a quarter to the {0}",
)


@pytest.mark.parametrize("named", KINDS)
@pytest.mark.parametrize("how", CORRECTS)
@pytest.mark.parametrize("there", [0, 1, 2])
def test_a_kind_that_is_named_is_never_a_reading_of_the_other(named: str, how: str, there: int) -> None:
    """Of the only one of its kind, of one of several once that is answered, else of none; whoever says it."""
    other = "height" if named == "width" else "width"
    before = [f"{at} 50" for at in KINDS[named][:there]] + [f"{at} 48" for at in KINDS[other]]
    for who in ("hanger", "partner"):
        wall = Wall()
        wall.types(*before)
        told = wall.types(how.format(named), who=who)
        facts = (call.fact for call in wall.session.state.known("1", doubtful=True).values())
        values = {fact.at: fact.value for fact in facts if isinstance(fact, Reading)}
        assert all(values[Slot(at)] == Length(48) for at in KINDS[other]), (before, how, told)
        assert f"{other}," not in told.lower(), (before, how, told)
        if there != 1:
            assert all(values[Slot(at)] == Length(50) for at in KINDS[named][:there]), (before, how, told)
            assert wall.asks or "Which one should change" in told or "How much is that in all" in told, told
