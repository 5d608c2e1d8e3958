"""What is said aloud takes no longer than somebody at the wall listens: every question, with the longest figures."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from itertools import product
from statistics import mean, stdev

import pytest

from fieldvoice.output.voice import Synthesizer
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
from fieldvoice.records.said import Say
from fieldvoice.wording.aloud import ASKED_ON_SCREEN, ASKS, DANGER_SHOWN, MORE, says_of
from fieldvoice.wording.forms import MOST_SECONDS, InWords, seconds
from fieldvoice.wording.notices import ENTRIES_LOST, NOT_KEPT, say
from fieldvoice.wording.values import away, digits, named, plain

SCREEN = ("", MORE, ASKED_ON_SCREEN, DANGER_SHOWN)
"""What is said in the place of something, or nothing."""
SIX = 6.0
"""Seconds that somebody at the wall listens."""
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
    return _told(Notice(tell, values))  # type: ignore[arg-type]


def _told(*notices: Notice) -> str:
    """All that is said aloud of an answer, which is something and in time."""
    lines = [one.spoken for one in says_of(notices, Unit.INCH) if one.spoken]
    assert sum(map(seconds, lines)) <= MOST_SECONDS, lines
    assert lines
    return " ".join(lines)


@pytest.mark.parametrize(("one", "other"), [*_readings(), *_things()], ids=str)
def test_which_of_two_is_asked_in_time(one: Fact, other: Fact) -> None:
    """What they have in common is not said again: by yes or no, by a choice, and put once more."""
    call = _call(one)
    rival = Doubt(Concern.RIVAL, 1, ((other,),))
    which = Doubt(Concern.WHICH_OF, 1, ((one,), (other,)))
    for doubt in (rival, which):
        for tell in (Tell.QUESTION, Tell.ANSWER_FIRST):
            assert _said(tell, doubt, call).endswith(("?", "Say which."))


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
        assert "?" in _said(Tell.QUESTION, doubt, call, old)


@pytest.mark.parametrize("thing", [one for one, _ in _things()], ids=str)
def test_what_is_read_whole_is_read_once(thing: Box | Opening) -> None:
    """A box with both its distances; undone, it is named alone."""
    ear = InWords(Unit.INCH, 4)
    _told(Notice(Tell.READ_BACK, (_call(thing),)))
    gone = replace(_call(thing), standing=Standing.TAKEN_BACK)
    assert named(thing.name, ear) in _said(Tell.TAKEN_BACK, "1", gone)


@pytest.mark.parametrize("boxes", [("box 1",), ("box 1", "box 2")])
def test_whether_a_circuit_is_dead_is_asked_in_time(boxes: tuple[str, ...]) -> None:
    """With all that makes the answer one: by whom, and that the tester was proved."""
    spoken = _said(Tell.QUESTION, Doubt(Concern.TESTED, boxes=boxes))
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
    Notice(Tell.MEASURED_SINCE, ("1", "box 12"), safety=True),
    Notice(Tell.NOT_DEAD, ("hanger", 1, "box 12", "1", "box 12"), safety=True),
    Notice(Tell.HEED, ("box 12",), safety=True),
    Notice(Tell.DEAD_TOGETHER, (), safety=True),
)
WORD_OF_CAUTION = ("Untested", "Not dead", "Circuit", "No tool", "What you said of the circuit")
ENDS = (Concern.UNSURE, Concern.SAME_BOX, Concern.CONTRADICTION, Concern.OBJECTED, Concern.LOST)


def _holds(spoken: str, box: Box) -> None:
    """Its name and how far it is across; how far up or down, too, where that alone leaves a second of the time."""
    words, brief = InWords(Unit.INCH), InWords(Unit.INCH, 4)
    across, down = ([away(place, ear) for ear in (words, brief)] for place in (box.x, box.y))
    assert "box twelve" in spoken
    assert any(each in spoken for each in across)
    whole = seconds(f"box twelve {box.x.point} {across[1]} {box.y.point} {down[1]}")
    assert any(each in spoken for each in down) or whole > MOST_SECONDS - 1, spoken


def test_a_box_is_read_back_in_time_whatever_it_is() -> None:
    """Its name and its distances are there; its kind where they are shorter."""
    for box in _boxes():
        spoken = _told(Notice(Tell.READ_BACK, (_call(box),)))
        _holds(spoken, box)
        usual = replace(box, x=replace(box.x, value=Length(14)), y=replace(box.y, value=Length(48)), name="box 3")
        kind = str(box.kind).removesuffix(" gang")
        assert kind in _told(Notice(Tell.READ_BACK, (_call(replace(usual, plugged_in=False)),)))


@pytest.mark.parametrize("concern", ENDS)
def test_a_box_is_asked_about_in_time_whatever_it_is(concern: Concern) -> None:
    """With its distances, or by its name alone where they were read back just before."""
    for box in SOME:
        spoken = _told(Notice(Tell.QUESTION, (Doubt(concern, 1, told=("box 13",)), _call(box))))
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
        assert spoken.startswith(WORD_OF_CAUTION)
        assert "box twelve" in spoken or "No tool goes into a box." in spoken
        assert says_of((caution, what), Unit.INCH)[0].text == say(caution, Unit.INCH).text


@pytest.mark.parametrize("caution", CAUTIONS[:4], ids=lambda one: one.tell.value)
def test_a_caution_about_another_box_is_no_caution_about_the_one_read_back(caution: Notice) -> None:
    """It names its own, or no tool goes into any."""
    other = next(_boxes())
    spoken = _told(caution, Notice(Tell.READ_BACK, (_call(replace(other, name="box 11")),)))
    assert spoken.startswith("box twelve") or "No tool goes into a box." in spoken
    both = Notice(Tell.NOT_DEAD, ("hanger", 1, "box 12", "1", "box 12", "1", "box 11"), safety=True)
    assert "No tool goes into a box." in _told(both, Notice(Tell.READ_BACK, (_call(other),)))


def test_readings_called_at_once_are_all_read_back() -> None:
    """In plain numbers, the inches once where they are the same; and what is all there is to tell is told in fewer
    words rather than in part.
    """
    for told, said in (
        (("46 7/8", "46 7/8", "46 1/4"), "top forty six seven eighths. middle seven eighths. bottom a quarter."),
        (("40 1/2", "46 1/2", "46 1/4"), "top forty and a half. middle forty six and a half. bottom a quarter."),
    ):
        widths = (replace(one, value=Length(value)) for (one, _), value in zip(_readings(), told, strict=False))
        assert _told(*(Notice(Tell.READ_BACK, (_call(one),)) for one in widths)) == said
    assert _told(Notice(Tell.HELP)) == "Help is on the screen."


def _gone(calls: list[Call]) -> Iterator[Call]:
    """Of three calls one that isn't taken, one that is out, one that stands."""
    standings = (Standing.NOT_TAKEN, Standing.REPLACED, Standing.ACCEPTED)
    return (replace(one, standing=standing) for one, standing in zip(calls, standings, strict=False))


def _answers() -> Iterator[tuple[Notice, ...]]:
    """Cautions, read-backs, a question and what is told beside it, drawn together as no turn may ever bring them."""
    rng = random.Random(6)
    things = [*(one for pair in _readings() for one in pair), *SOME[::9], *(one for one, _ in _things())]
    plain = (Tell.TAKEN, Tell.HELP, Tell.SAY_WHOLE, Tell.NO_LEVEL, Tell.NO_PLACE_LEFT, Tell.NOT_SETTLED, Tell.HOLDING)
    for _ in range(300):
        calls = [_call(fact, number) for number, fact in enumerate(rng.sample(things, 8), 1)]
        told = [rng.choice(CAUTIONS) for _ in range(rng.choice((0, 0, 1, 2)))]
        told += [Notice(Tell.OF_BOARD, ("2", 0)), Notice(Tell.READ_BACK, (calls[0],))] * rng.choice((0, 1))
        told += [Notice(rng.choice((Tell.READ_BACK, Tell.CONFIRMED)), (one,)) for one in calls[1 : rng.randrange(6)]]
        told += [Notice(rng.choice(plain)) for _ in range(rng.choice((0, 1)))]
        told += [Notice(Tell.KEPT_NOT_TAKEN, ("what was said",))] * rng.choice((0, 1))
        told += [Notice(rng.choice((Tell.NOT_TAKEN_WHAT_IS_IT, Tell.TAKEN_OUT)), (*_gone(calls),))] * rng.choice((0, 1))
        doubt = Doubt(rng.choice(ENDS), 1, told=("box 13",))
        told += [Notice(rng.choice((Tell.QUESTION, Tell.ANSWER_FIRST)), (doubt, calls[0]))] * rng.choice((0, 1))
        yield tuple(told)


@pytest.mark.parametrize("part", range(4))
def test_of_many_things_danger_and_the_question_are_said(part: int) -> None:
    """Within the time, whatever is told at once; that there is more is said in the place of what was taken."""
    for notices in list(_answers())[part::4]:
        if not notices:
            continue
        says = says_of(notices, Unit.INCH)
        spoken = [one.spoken for one in says if one.spoken]
        assert sum(map(seconds, spoken)) <= MOST_SECONDS, spoken
        assert [one.text for one in says] == [say(notice, Unit.INCH).text for notice in notices]
        danger = [one.spoken for one in says if one.safety]
        assert not danger or any(danger), spoken
        asked = notices[-1].tell in ASKS
        assert not asked or says[-1].spoken.endswith("?") or "screen" in says[-1].spoken, spoken
        left_out = any(
            say(notice, Unit.INCH).spoken and not one.spoken for notice, one in zip(notices, says, strict=True)
        )
        no_time = sum(map(seconds, spoken)) > MOST_SECONDS - seconds(MORE)
        assert not left_out or no_time or any("screen" in one for one in spoken), spoken
        for at, notice in enumerate(notices):
            assert notice.tell is not Tell.OF_BOARD or says[at].spoken in SCREEN or says[at + 1].spoken, spoken
            fact = notice.values[0].fact if notice.tell is Tell.READ_BACK else None  # type: ignore[union-attr]
            if isinstance(fact, Reading) and says[at].spoken not in SCREEN and len(notices) > 1:
                inches, ear = Length(int(fact.value.inches)), InWords(Unit.INCH)
                whole = any(words(inches, ear) in says[at].spoken for words in (plain, digits))
                assert whole or says[at - 1].spoken not in SCREEN, spoken


def test_what_is_lost_is_said_before_all_else() -> None:
    """The first of it aloud, all of it on the screen; and what was called is still read back in time."""
    lost = (Say("All of it.", NOT_KEPT), Say("More of it.", ENTRIES_LOST))
    for box in SOME[::5]:
        says = says_of((Notice(Tell.READ_BACK, (_call(box),)),), Unit.INCH, lost)
        assert [one.spoken for one in says[:2]] == [NOT_KEPT, ""]
        assert [one.text for one in says[:2]] == ["All of it.", "More of it."]
        assert says[2].spoken
        assert sum(seconds(one.spoken) for one in says) <= MOST_SECONDS


def test_what_was_confirmed_a_moment_ago_goes_before_what_was_taken() -> None:
    """It leaves the time to what nobody has heard yet; and where it is all there is, it is said."""
    first, other = (_call(box, number) for number, box in enumerate(SOME[:2], 1))
    confirmed = Notice(Tell.CONFIRMED, (first,))
    says = says_of((confirmed, Notice(Tell.READ_BACK, (other,))), Unit.INCH)
    assert says[0].spoken in SCREEN
    assert says[1].spoken not in SCREEN
    assert says_of((confirmed,), Unit.INCH)[0].spoken not in SCREEN


def test_a_circuit_is_asked_about_whatever_else_is_danger() -> None:
    """A breath that says of some boxes that they are live and of another that it is dead: no tool goes into any, and
    the question is heard, or that the screen asks it.
    """
    for count in range(1, 4):
        live = tuple(f"box {number}" for number in range(1, count + 1))
        told = Notice(
            Tell.NOT_DEAD, ("hanger", count, *live, *(each for box in live for each in ("1", box))), safety=True
        )
        asked = Notice(Tell.QUESTION, (Doubt(Concern.TESTED, boxes=("box 9",)),), safety=True)
        says = says_of((*[told] * count, asked), Unit.INCH)
        assert "tool" in says[0].spoken
        assert says[-1].spoken.endswith("tested dead by you, tester proved before and after?") or (
            says[-1].spoken == ASKED_ON_SCREEN
        )


def test_the_voice_takes_as_long_as_is_reckoned() -> None:
    """The voice itself: answers are six seconds at most, and a tenth more or less than reckoned on the whole."""
    voice = Synthesizer()
    missed = []
    for notices in list(_answers())[::2]:
        lines = [one.spoken for one in says_of(notices, Unit.INCH) if one.spoken]
        took = sum(len(voice(line)) for line in lines) / voice.rate
        assert took <= SIX, lines
        missed.append(sum(map(seconds, lines)) - took)
    assert -0.1 < mean(missed) < 0.25
    assert stdev(missed) < 0.25
