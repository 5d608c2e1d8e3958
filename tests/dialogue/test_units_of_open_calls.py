"""A call keeps the unit in which it was called, whatever the job is spoken in by the time it is answered."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import lru_cache

import pytest

from fieldvoice.dialogue.assembly import UNIT
from fieldvoice.records.facts import Fact, Key
from fieldvoice.records.ledger import Concern
from fieldvoice.records.length import MM_PER_INCH
from fieldvoice.records.meaning import Incomplete
from tests.dialogue.talk import Wall, wall_after

A_BOARD = ("top 42", "bottom 42", "left 90", "right 90", "box one single gang center 12 from left 14 up")
OPEN = {
    "an odd reading": (("top 44",), "yes"),
    "a box under another's name": (("box one center 13 from left",), "yes"),
    "a box without its kind": (("box two center 20 from left 14 up",), "single gang"),
    "a box without its kind, in doubt": (("box two center 20 from left 14 up", "no"), "yes"),
    "what waits for an answer": (("top 44", "left 91", "box two double gang center 22 from left 14 up"), "yes"),
    "one told by another": (("bottom same as top", "top 42 1/2"), "yes"),
    "one that was said no to": (("left 89", "no", "90"), "yes"),
    "a change": (("change box one to 13 from left",), "yes"),
    "what nobody objected to": (("box two double gang center 22 from left 14 up",), "yes"),
    "a place across the edge": (("box two double gang center 1 from left 14 up",), "yes"),
}
OTHER = {"in": "millimeters", "mm": "inches"}


def _in(unit: str, line: str) -> str:
    """A line of inches in the unit: to the millimeter that is nearest."""
    if unit == "in":
        return line
    return re.sub(r"\d+( \d/\d)?", lambda found: str(round(_inches(found.group()) * MM_PER_INCH)), line)


def _inches(text: str) -> Fraction:
    """How many inches a figure says."""
    whole, _, part = text.partition(" ")
    over, _, under = part.partition("/")
    return int(whole) + (Fraction(int(over), int(under)) if part else Fraction(0))


@lru_cache(maxsize=2)
def _board(unit: str) -> Wall:
    return wall_after(
        "work in millimeters" if unit == "mm" else "work in inches", *(_in(unit, each) for each in A_BOARD)
    )


def _opened(unit: str, name: str) -> Wall:
    wall = _board(unit).twin()
    for line in OPEN[name][0]:
        wall.types(_in(unit, line))
    return wall


def _facts(wall: Wall) -> dict[Key, Fact | Incomplete | None]:
    known = wall.session.state.known("1", doubtful=True)
    waits = {call.key: call for call in wall.session.state.on("1") if call.waits}
    return {key: call.fact for key, call in {**known, **waits}.items() if key != UNIT}


@pytest.mark.parametrize("who", ["hanger", "partner"])
@pytest.mark.parametrize("unit", ["in", "mm"])
@pytest.mark.parametrize("name", OPEN)
def test_what_is_open_keeps_its_unit(name: str, unit: str, who: str) -> None:
    """Answered before the unit changes, or after: it is of the same lengths, before and after a restart."""
    before, after = _opened(unit, name), _opened(unit, name)
    answer = OPEN[name][1]
    before.types(answer)
    before.types(OTHER[unit], who=who)
    after.types(OTHER[unit], who=who)
    again = after.twin()
    again.restart()
    for wall in (after, again):
        wall.types(answer)
        for one in (before, wall):
            one.types("yes")
        assert _facts(wall) == _facts(before)
        assert _facts(wall)


HALVES = {
    "a distance": ("outlet center 13 from left", "14 up"),
    "a size": ("window 20 wide, left edge 5 from left, 20 up", "30"),
    "a corrected distance": ("box one center 13 from left", "no, 14 from left"),
    "a corrected place": ("box two single gang center 20 from left 14 up", "no, 22 from left"),
}


@pytest.mark.parametrize("unit", ["in", "mm"])
@pytest.mark.parametrize("name", HALVES)
def test_what_goes_on_in_another_unit_is_asked_about(name: str, unit: str) -> None:
    """A figure said behind the other one's word may be of either unit: no call has both without a yes to that."""
    first, rest = HALVES[name]
    wall = _board(unit).twin()
    wall.types(_in(unit, first))
    wall.types(OTHER[unit], who="partner")
    wall.types(_in("mm" if unit == "in" else "in", rest))
    concerns = [doubt.concern for doubt in wall.session.state.open["hanger"].doubts]
    assert Concern.UNSURE in concerns or wall.session.state.not_taken("1")
    assert wall.view.draft


HEARD = {"in": ("bottom forty two", "bottom forty three"), "mm": ("bottom ten sixty seven", "bottom ten ninety two")}


@pytest.mark.parametrize("first", [A_BOARD, ()])
@pytest.mark.parametrize("unit", ["in", "mm"])
def test_one_of_two_stays_what_it_was(unit: str, first: tuple[str, ...]) -> None:
    """What it may have been was called in one unit, whoever says another one, and whatever stands there."""
    wall = _board(unit).twin() if first else wall_after("work in millimeters" if unit == "mm" else "work in inches")
    wall.speaks(*HEARD[unit])
    ways = [doubt.ways for doubt in wall.session.state.doubts]
    assert len(ways[0]) == 2
    for who in ("hanger", "partner"):
        again = wall.twin()
        again.types(OTHER[unit], who=who)
        assert [doubt.ways for doubt in again.session.state.doubts] == ways


@pytest.mark.parametrize(("unit", "figure"), [("in", "1"), ("mm", "1"), ("mm", "42"), ("in", "60 in"), ("mm", "60 in")])
def test_a_unit_is_no_answer_where_others_were_measured(unit: str, figure: str) -> None:
    """They say which unit that is, so that the figure in question was of it."""
    wall = _board(unit).twin()
    wall.types(f"top {figure}")
    assert wall.session.state.doubts
    before = _facts(wall)
    wall.types(OTHER[unit])
    assert _facts(wall) == before
    assert wall.session.state.doubts
