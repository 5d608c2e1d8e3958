"""What is said aloud takes no longer than somebody at the wall listens: every question, with the longest figures."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from itertools import product

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
from fieldvoice.wording.aloud import says_of
from fieldvoice.wording.forms import MOST_SECONDS, InWords, seconds
from fieldvoice.wording.notices import say
from fieldvoice.wording.values import away

LONG, TWIN = Length("14 11/16"), Length("40 11/16")
HIGH, HIGHER = Length("77 11/16"), Length("97 11/16")


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


def _told(*notices: Notice) -> str:
    """All that is said aloud of an answer."""
    return " ".join(one.spoken for one in says_of(notices, Unit.INCH) if one.spoken)


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
        Doubt(Concern.INSTEAD, 1, value=other.value),
        Doubt(Concern.OBJECTED, 1, told=("partner",)),
        Doubt(Concern.WHICH_OF, 1, ((one,),)),
    ]
    for doubt in asked:
        _short(_said(Tell.QUESTION, doubt, call, old))


@pytest.mark.parametrize("thing", [one for one, _ in _things()], ids=str)
def test_what_is_read_whole_is_read_once(thing: Fact) -> None:
    """A box with both its distances; undone, it is named alone."""
    _short(_told(Notice(Tell.READ_BACK, (_call(thing),))), MOST_SECONDS + (1 if isinstance(thing, Opening) else 0))
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


LONGEST = (Length("14 11/16"), Length("27 7/16"), Length("37 13/16"), Length("77 11/16"))


def _boxes() -> Iterator[Box]:
    """Every kind of box, from every side, to every point, with and without something plugged in."""
    across, down = (Edge.LEFT, Edge.RIGHT), (Edge.TOP, Edge.BOTTOM)
    for kind, x, y, (first, second), plugged in product(BoxKind, across, down, product(Point, Point), (False, True)):
        places = (Coordinate(first, LONGEST[2], x), Coordinate(second, LONGEST[3], y))
        yield Box(kind, *places, "box 12", plugged_in=plugged)


SOME = tuple(_boxes())[::7]
"""Of every kind, from every side, to every point."""
CAUTIONS = (
    Notice(Tell.MOVED_SINCE, ("1", "box 12"), safety=True),
    Notice(Tell.NOT_DEAD, ("hanger", 1, "box 12", "1", "box 12"), safety=True),
    Notice(Tell.HEED, ("box 12",), safety=True),
    Notice(Tell.DEAD_TOGETHER, (), safety=True),
)
WORD_OF_CAUTION = {"Untested", "Not dead", "Circuit"}
ENDS = (Concern.UNSURE, Concern.SAME_BOX, Concern.CONTRADICTION, Concern.OBJECTED, Concern.LOST)
POINTS_APART, A_CAUTION = 0.3, 1.8
"""Seconds more: two points instead of one; a caution that is never left to the screen, nor is the box behind it."""


def _limit(box: Box) -> float:
    return MOST_SECONDS + (POINTS_APART if box.x.point is not box.y.point else 0)


def _holds(spoken: str, box: Box) -> None:
    for piece in ("box twelve", away(box.x, InWords(Unit.INCH)), away(box.y, InWords(Unit.INCH))):
        assert piece in spoken


def test_a_box_is_read_back_in_time_whatever_it_is() -> None:
    """Its name and both its distances are always there, figure by figure; its kind where they are shorter."""
    for box in _boxes():
        spoken = _told(Notice(Tell.READ_BACK, (_call(box),)))
        _short(spoken, _limit(box))
        _holds(spoken, box)
        usual = replace(box, x=replace(box.x, value=Length(14)), name="box 3", plugged_in=False)
        kind = str(box.kind).removesuffix(" gang")
        assert kind in _told(Notice(Tell.READ_BACK, (_call(usual),)))


@pytest.mark.parametrize("concern", ENDS)
def test_a_box_is_asked_about_in_time_whatever_it_is(concern: Concern) -> None:
    """With both its distances, or by its name alone where they were read back just before."""
    for box in SOME:
        spoken = _told(Notice(Tell.QUESTION, (Doubt(concern, 1, told=("box 13",)), _call(box))))
        _short(spoken, _limit(box) + (0.8 if concern is Concern.SAME_BOX else 0))
        assert spoken.endswith("?")
        assert "box twelve" in spoken
        if concern not in {Concern.CONTRADICTION, Concern.OBJECTED}:
            _holds(spoken, box)


@pytest.mark.parametrize("caution", CAUTIONS, ids=lambda one: one.tell.value)
@pytest.mark.parametrize("ends", [None, Concern.UNSURE])
def test_a_caution_about_a_circuit_is_said_with_its_box(caution: Notice, ends: Concern | None) -> None:
    """It comes first, and neither of them is left to the screen, whose words are whole."""
    for box in SOME:
        call = _call(box)
        what = Notice(Tell.READ_BACK, (call,)) if ends is None else Notice(Tell.QUESTION, (Doubt(ends, 1), call))
        spoken = _told(caution, what)
        _short(spoken, _limit(box) + A_CAUTION)
        assert any(spoken.startswith(word) for word in WORD_OF_CAUTION)
        _holds(spoken, box)
        assert says_of((caution, what), Unit.INCH)[0].text == say(caution, Unit.INCH).text


@pytest.mark.parametrize("caution", CAUTIONS[:3], ids=lambda one: one.tell.value)
def test_a_caution_about_another_box_keeps_its_name(caution: Notice) -> None:
    """Else it would be taken for one about the box that is read back."""
    other = next(_boxes())
    spoken = _told(caution, Notice(Tell.READ_BACK, (_call(replace(other, name="box 11")),)))
    assert spoken.startswith("box twelve")
