"""What is said aloud takes no longer than somebody at the wall listens: every question, with the longest figures."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

import pytest

from fieldvoice.records.facts import Fact
from fieldvoice.records.ledger import Call, Concern, Doubt, Notice, Standing, Tell
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import (
    Box,
    BoxKind,
    Coordinate,
    Dimension,
    Edge,
    Opening,
    OpeningKind,
    Point,
    Reading,
    Slot,
)
from fieldvoice.wording.aloud import MOST_SECONDS, seconds
from fieldvoice.wording.notices import say

LONG, TWIN = Length("14 11/16"), Length("40 11/16")
HIGH, HIGHER = Length("77 11/16"), Length("97 11/16")
READ_WHOLE = 8.1
"""A box or an opening is read back whole once: two distances figure by figure take longer than anything else."""


def _readings() -> Iterator[tuple[Reading, Reading]]:
    for at in (Slot.TOP, Slot.MIDDLE, Slot.BOTTOM):
        one = Reading(LONG, Dimension.WIDTH, at)
        yield one, replace(one, value=TWIN)
    for at in (Slot.LEFT, Slot.MIDDLE, Slot.RIGHT):
        one = Reading(HIGH, Dimension.HEIGHT, at)
        yield one, replace(one, value=HIGHER)


def _things() -> Iterator[tuple[Box | Opening, Box | Opening]]:
    """Each with itself at another distance, across and down."""
    across, down = Coordinate(Point.CENTER, LONG, Edge.RIGHT), Coordinate(Point.CENTER, HIGH, Edge.BOTTOM)
    for kind in (BoxKind.SINGLE, BoxKind.DOUBLE):
        box = Box(kind, across, down, "box 3")
        yield box, replace(box, x=replace(across, value=TWIN))
        yield box, replace(box, x=replace(across, start=Edge.LEFT))
        yield box, replace(box, y=replace(down, value=HIGHER))
    pipe = Opening(OpeningKind.PIPE, (across,), (down,), diameter=Length(3), name="pipe 2")
    yield pipe, replace(pipe, xs=(replace(across, value=TWIN),))
    yield pipe, replace(pipe, ys=(replace(down, start=Edge.TOP),))


def _call(fact: Fact, number: int = 1) -> Call:
    return Call(number, "1", "hanger", fact, "as it was said", Standing.DOUBTFUL)


def _said(tell: Tell, *values: object) -> str:
    return say(Notice(tell, values), Unit.INCH).spoken  # type: ignore[arg-type]


def _short(spoken: str, most: float = MOST_SECONDS) -> None:
    assert seconds(spoken) <= most, f"{seconds(spoken):.1f} s: {spoken}"
    assert spoken


@pytest.mark.parametrize(("one", "other"), [*_readings(), *_things()], ids=str)
def test_which_of_two_is_asked_in_time(one: Fact, other: Fact) -> None:
    """What they have in common is not said again: by yes or no, by a choice, and put once more."""
    call = _call(one)
    rival = Doubt(Concern.RIVAL, 1, ((other,),))
    which = Doubt(Concern.WHICH_OF, 1, ((one,), (other,)))
    for doubt in (rival, which):
        _short(_said(Tell.QUESTION, doubt, call))
        _short(_said(Tell.ANSWER_FIRST, doubt, call), MOST_SECONDS + 1.5)


@pytest.mark.parametrize(("one", "other"), list(_readings()), ids=str)
def test_a_reading_is_asked_about_in_time(one: Reading, other: Reading) -> None:
    """Whatever the doubt is; what stood there before is said while there is time."""
    old = replace(_call(other, 2), number=2)
    call = replace(_call(one), replaces=2)
    asked = [
        Doubt(Concern.UNSURE, 1),
        Doubt(Concern.TWIN, 1, value=other.value),
        Doubt(Concern.FELLOWS, 1, value=other.value, other=other.value),
        Doubt(Concern.OTHER_BOARDS, 1, value=other.value),
        Doubt(Concern.OBJECTED, 1, told=("partner",)),
        Doubt(Concern.WHICH_OF, 1, ((one,),)),
    ]
    for doubt in asked:
        _short(_said(Tell.QUESTION, doubt, call, old))


@pytest.mark.parametrize("thing", [one for one, _ in _things()], ids=str)
def test_what_is_read_whole_is_read_once(thing: Fact) -> None:
    """A box with both its distances; undone, it is named alone."""
    _short(_said(Tell.READ_BACK, _call(thing)), READ_WHOLE)
    gone = replace(_call(thing), standing=Standing.TAKEN_BACK)
    _short(_said(Tell.TAKEN_BACK, "1", gone))


@pytest.mark.parametrize("boxes", [("box 1",), ("box 1", "box 2")])
def test_whether_a_circuit_is_dead_is_asked_in_time(boxes: tuple[str, ...]) -> None:
    """With all that makes the answer one: by whom, and that the tester was proved."""
    spoken = _said(Tell.QUESTION, Doubt(Concern.TESTED, boxes=boxes))
    _short(spoken)
    assert all(word in spoken for word in ("dead by you", "proved before and after"))


def test_no_figure_is_lost_where_less_is_said() -> None:
    """Each figure that tells one from the other is there, in words."""
    box = Box(
        BoxKind.SINGLE, Coordinate(Point.CENTER, LONG, Edge.LEFT), Coordinate(Point.CENTER, HIGH, Edge.TOP), "box 1"
    )
    other = replace(box, x=replace(box.x, value=Length(LONG.inches + Fraction(1, 16))))
    spoken = _said(Tell.QUESTION, Doubt(Concern.RIVAL, 1, ((other,),)), _call(box))
    assert spoken == "box one: one four eleven sixteenths left, not three quarters?"
