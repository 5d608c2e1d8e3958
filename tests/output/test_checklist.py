"""The paper at the sheets."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from fieldvoice.output.checklist import COLUMNS, checklist
from fieldvoice.output.figures import large
from fieldvoice.records.board import CircuitWord
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import BoxKind, Circuit
from fieldvoice.records.plan import Does, Heed, HoleMarks, Hook, Offset, Step
from fieldvoice.records.said import Care, Caution
from fieldvoice.wording.cautions import every
from fieldvoice.wording.forms import as_taped
from tests.output.scene import BOX, CAUTIONS, HEIGHT, PLAN, STEPS, TAPER, inches

NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)


def test_cautions_come_first() -> None:
    """No step, mark or opening is printed before the last caution."""
    text = checklist(PLAN, CAUTIONS)
    assert text.index("CAUTIONS FIRST") < text.index("know what is") < text.index("RIGHT EDGE")


def test_every_mark_is_large_and_names_its_edge() -> None:
    """46 3/4 at the top and 46 1/8 at the bottom, from the left edge; 95 once, since it is the same all along."""
    text = checklist(PLAN, CAUTIONS)
    assert "RIGHT EDGE: straight cut, marks from the left edge (in)" in text
    for value in ("46 3/4", "46 1/8", "95"):
        assert all(f"    {row}".rstrip() in text.splitlines() for row in large(value, full="#"))
    assert text.count("all along: 95") == 1


def test_rounding_is_shown_where_it_isnt_zero() -> None:
    """46 5/32 became 46 1/8, a thirty-second under; 46 3/4 was exact and says nothing."""
    text = checklist(PLAN, CAUTIONS)
    assert "at bottom: 46 1/8 (1/32 in under exact)" in text
    assert "at top: 46 3/4\n" in text


def test_steps_have_boxes_to_tick_and_their_caution_before_them() -> None:
    """A ticked step is crossed; a caution stands right before its step."""
    text = checklist(PLAN, CAUTIONS, ticked=frozenset({1}))
    assert "[x] 1. Lean a sheet" in text
    assert "[ ] 2. Right edge: from the left factory edge" in text
    steps = text[text.index("STEPS") :]
    assert steps.index("! Box 1: nobody has said") < steps.index("[ ] 5.")


def test_a_circuit_is_told_as_it_was_said() -> None:
    """Unknown is treated as live; nothing states that a circuit is dead, only that someone said so."""
    assert "CIRCUIT NOT KNOWN: treat as live" in checklist(PLAN, CAUTIONS)
    dead = replace(PLAN, openings=(replace(BOX, state=Circuit.DEAD),))
    assert "circuit said dead and tested" in checklist(dead, CAUTIONS)
    live = replace(PLAN, openings=(replace(BOX, state=Circuit.LIVE),))
    assert "CIRCUIT SAID LIVE" in checklist(live, CAUTIONS)


def test_the_gaps_of_the_proof_and_the_warnings_are_on_the_paper() -> None:
    """What was checked is there to be checked again."""
    text = " ".join(checklist(PLAN, CAUTIONS).split())
    assert "right at middle 5/16; right at 32 in 1/4" in text
    assert "Note: The strip off the right edge is only 1 1/4 in" in text


def test_a_broken_cut_is_offered_with_its_marks() -> None:
    """Where the straight line leaves a wide gap, the closer cut stands beside it."""
    assert "right edge cut in straight pieces: 46 3/4 at top, 46 1/8 at bottom" in " ".join(
        checklist(replace(PLAN, broken=(TAPER,)), CAUTIONS).split()
    )


def test_the_page_is_plain_and_narrow() -> None:
    """Any printer takes it: ASCII and at most 78 columns."""
    text = checklist(PLAN, CAUTIONS, room="back bedroom")
    assert text.isascii()
    assert max(map(len, text.splitlines())) <= COLUMNS


def test_marks_that_differ_are_all_printed() -> None:
    """A height cut out of level shows both of its marks."""
    left, right = HEIGHT.marks
    raked = replace(HEIGHT, marks=(left, replace(right, distance=Length("94 7/8"), exact=Length("94 7/8"))))
    text = checklist(replace(PLAN, cuts=(raked,)), CAUTIONS)
    assert "at left: 95" in text
    assert "at right: 94 7/8" in text


def test_no_openings_no_section() -> None:
    """A plain board has a plain page."""
    assert "BOX" not in checklist(replace(PLAN, openings=(), steps=STEPS[:4]), ())


def test_a_mixed_number_is_never_broken_over_two_lines() -> None:
    """46 at the end of a line and 1/8 on the next would be cut as 46."""
    for width in range(1, 60):
        hole = HoleMarks((Offset(Hook.LEFT_FACTORY, inches("46 1/8")), Offset(Hook.TOP_FACTORY, inches("104 13/16"))))
        steps = (Step(Does.MARK_OPENING, opening="x" * width, kind=BoxKind.SINGLE, hole=hole),)
        text = checklist(replace(PLAN, steps=steps), ())
        assert "46 1/8 in" in text
        assert "104 13/16 in" in text


def test_a_caution_that_stands_at_steps_is_said_once_before_them() -> None:
    """With all that its steps ask, each once."""
    at_box = Caution(Care.AT_BOX, "box 1", CircuitWord(Circuit.DEAD, "hanger", NOON), NOON + timedelta(hours=4))
    steps = (
        Step(Does.MARK_OPENING, opening="box 1", kind=BoxKind.SINGLE, hole=HoleMarks(), caution=at_box),
        Step(Does.MAKE_OPENING, opening="box 1", kind=BoxKind.SINGLE, heed=Heed.DEVICE, caution=at_box),
    )
    lines = every((at_box,), steps)
    assert len(lines) == 1
    assert lines[0].startswith("Box 1: “dead and tested” are the words of hanger")
    assert lines[0].endswith("A device sits in box 1: no bit goes in there. Test again before anything touches it.")
    assert every((), steps) == lines


def test_a_rounding_that_no_tape_shows_is_told_as_less_than_the_finest() -> None:
    """5/1528 in is what a slanted edge leaves: nobody reads that off a tape."""
    left, right = HEIGHT.marks
    slanted = replace(HEIGHT, marks=(left, replace(right, distance=Length("94 7/8"), exact=Length("144974/1528"))))
    assert "(less than 1/64 in under exact)" in checklist(replace(PLAN, cuts=(slanted,)), CAUTIONS)


@pytest.mark.parametrize("unit", list(Unit))
@pytest.mark.parametrize("inches_open", ["1/8", "1/2", "5/32", "1/64", "3/7", "5/16"])
@pytest.mark.parametrize("millimeters_open", ["3", "7/2", "10", "1/3"])
def test_a_gap_is_told_as_a_tape_shows_it(unit: Unit, inches_open: str, millimeters_open: str) -> None:
    """Half a mark off at most: an eighth of an inch is 3 mm on a metric tape and not 3.175."""
    for gap in (Length(inches_open), Length.of(millimeters_open, Unit.MM)):
        told = as_taped(gap, unit)
        assert abs(told - gap) <= (Length("1/64") if unit is Unit.INCH else Length.of("1/2", Unit.MM))
        assert (told.in_unit(unit) * (64 if unit is Unit.INCH else 2)).denominator == 1
        own = gap.in_unit(unit) * (64 if unit is Unit.INCH else 2)
        assert (told == gap) is (own.denominator == 1)
