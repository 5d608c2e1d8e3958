"""The same value for the eye and for the ear: told from what it is, so that nothing is looked for in a sentence."""

from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldvoice.records.fastening import Crew
from fieldvoice.records.ledger import Call, Concern, Doubt, Notice, Standing, Tell
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Dimension, Reading, Slot
from fieldvoice.wording.forms import Form, InWords
from fieldvoice.wording.notices import say
from tests.dialogue.talk import wall_after

EYE, EAR = Form(Unit.INCH), InWords(Unit.INCH)


@pytest.mark.parametrize(
    ("shown", "spoken"),
    [
        (EYE.length(Length("46 7/8")), EAR.length(Length("46 7/8"))),
        (EYE.with_unit(Length(12)), EAR.with_unit(Length(12))),
        (Form(Unit.MM).with_unit(Length.of(1191, Unit.MM)), InWords(Unit.MM).with_unit(Length.of(1191, Unit.MM))),
        (EYE.number(12), EAR.number(12)),
        (EYE.words("bedroom 2 wall 3"), EAR.words("bedroom 2 wall 3")),
        (EYE.words("12A"), EAR.words("12A")),
        (EYE.words("top 46 7/8"), EAR.words("top 46 7/8")),
        (EYE.words("9/8 and 46 1/0"), EAR.words("9/8 and 46 1/0")),
        (EYE.reading(Dimension.HEIGHT, Length(32)), EAR.reading(Dimension.HEIGHT, Length(32))),
        (EYE.at(Slot.TOP), EAR.at(Slot.TOP)),
        (EYE.counted(1, "box", "boxes"), EAR.counted(2, "box", "boxes")),
    ],
)
def test_each_kind_of_value(shown: str, spoken: str) -> None:
    """Lengths figure by figure, counts and names as numbers."""
    assert TOLD[shown] == spoken


TOLD = {
    "46 7/8": "four six inches and seven eighths",
    "12 in": "one two inches",
    "1191 mm": "one one nine one millimeters",
    "12": "twelve",
    "bedroom 2 wall 3": "bedroom two wall three",
    "12A": "twelve A",
    "top 46 7/8": "top forty six seven eighths",
    "9/8 and 46 1/0": "nine over eight and forty six one over zero",
    "height at 32 in": "height at three two inches",
    "at the top": "at the top",
    "1 box": "two boxes",
}


@pytest.mark.parametrize(
    ("hour", "minute", "spoken"), [(8, 0, "eight o'clock"), (13, 5, "thirteen oh five"), (9, 40, "nine forty")]
)
def test_a_time_as_it_is_told(hour: int, minute: int, spoken: str) -> None:
    """The clock on the wall."""
    here = datetime.now().astimezone().tzinfo
    at = datetime(2026, 5, 4, hour, minute, tzinfo=here)
    assert (EYE.time(at.astimezone(UTC)), EAR.time(at.astimezone(UTC))) == (f"{hour:02}:{minute:02}", spoken)


@given(st.text(), st.integers(0, 10**12), st.fractions(-9999, 9999, max_denominator=64))
def test_no_figure_is_left_to_the_synthesizer(text: str, number: int, inches: object) -> None:
    """Whatever somebody types or names, in either unit."""
    for unit in Unit:
        ear = InWords(unit)
        told = (ear.words(text), ear.number(number), ear.length(Length(inches)))  # type: ignore[arg-type]
        assert not any(sign.isdecimal() for each in told for sign in each)


@pytest.mark.parametrize(
    ("notice", "spoken"),
    [
        (Notice(Tell.NO_BOARD, ("9", "1", "12")), "There is no board nine yet, only one, twelve. Say board nine to"),
        (Notice(Tell.NO_STEP, ("99", 7)), "There is no step ninety nine; this plan has seven."),
        (Notice(Tell.WEIGHT, (55, 2, Crew.TWO.value)), "Up to fifty five pounds: hung by two people."),
        (Notice(Tell.BOARD, ("12A", 1)), "Board twelve A, new."),
        (Notice(Tell.HOUSE, ("lot 12", 3, "room 4")), "three walls and ceilings. Say the room, or next board."),
        (Notice(Tell.SURFACE, ("bedroom 2 wall 3", 1)), "Bedroom two wall three, new."),
        (Notice(Tell.DEAD_RECORDED, ("box 1", "light 2")), "box one and light two: what a file"),
        (Notice(Tell.NO_BOX, ("box 14",)), "There is no box fourteen on this board"),
    ],
)
def test_numbers_that_are_no_lengths_are_told_as_numbers(notice: Notice, spoken: str) -> None:
    """Of boards, steps, pounds and rooms."""
    assert say(notice, Unit.INCH).spoken.startswith(spoken)


@pytest.mark.parametrize(
    "call",
    [
        "top 1187 mm",
        "right 2395 mm",
        "box 1 single gang center 350 mm from left 1200 mm down",
        "box 1 double gang near edge 350 mm from right 1200 mm up",
        "can light 150 mm center 300 mm from left 400 mm down",
        "50 mm pipe center 300 mm from left 200 mm up",
        "window 300 mm from left, 900 mm up, 600 mm by 900 mm",
        "clearance at the right 6 mm",
        "left wall leans in 6 mm",
        "stud at 400 mm",
        "studs 400 mm on center",
        "base covers 20 mm",
    ],
)
def test_a_length_in_another_unit_than_the_board_s_is_said_with_it(call: str) -> None:
    """Ten millimeters and ten inches sound alike without: what the eye sees with its unit the ear hears with it."""
    wall = wall_after(call)
    for one in wall.said:
        shown, said = one.text.count(" mm"), one.spoken.count("millimeters")
        assert shown == said > 0 or (said == 2 and " across" not in one.spoken)  # no time for its size


def test_the_number_in_a_name_doesn_t_run_into_a_size() -> None:
    """Light one, 150 across, is no light 1150 across."""
    wall = wall_after("metric", "can light 150 center 300 from left 400 down")
    assert wall.said[0].spoken.startswith("light one, one five zero")


def test_where_a_reading_was_taken_is_read_back_in_the_unit_of_its_board() -> None:
    """Once more and as the last read-back, which no tape in inches knows of."""
    at = Reading(Length.of(1191, Unit.MM), Dimension.WIDTH, Length.of(813, Unit.MM))
    call = Call(1, "1", "hanger", at, "as it was said", Standing.READ_BACK)
    asked = Notice(Tell.QUESTION, (Doubt(Concern.LAST), call))
    for notice in (asked, Notice(Tell.TOGETHER, (call,))):
        told = say(notice, Unit.MM)
        assert "width at 813 mm 1191" in told.text
        assert "at eight hundred and thirteen, eleven ninety one" in told.spoken
