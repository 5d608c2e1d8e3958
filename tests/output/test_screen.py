"""What the partner sees, at 80 by 24 and smaller."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldvoice.dialogue.view import Exchange, Standing, View
from fieldvoice.output.glyphs import large
from fieldvoice.output.screen import compose
from fieldvoice.records.board import CircuitWord
from fieldvoice.records.length import Unit
from fieldvoice.records.meaning import Circuit
from fieldvoice.records.plan import Code, Does, Step, Warning
from fieldvoice.safety import SHUT_OFF, box_caution
from tests.output.scene import CAUTIONS, DONE, EMPTY, GATHERING, PLAN, line


def shown(view: View, columns: int = 80, rows: int = 24) -> list[str]:
    """The screen as plain lines."""
    return [text.plain for text in compose(view, columns, rows)]


def flat(lines: list[str]) -> str:
    """The words of the screen with the line breaks taken out."""
    return " ".join(" ".join(lines).split())


def test_an_empty_board_says_what_to_call() -> None:
    """Before the first reading the screen shows an example of one."""
    assert "top forty six and seven eighths" in flat(shown(EMPTY))


def test_everything_about_a_board_in_the_making() -> None:
    """Readings, what is missing and why, the last thing heard, who heard it and what was read back."""
    text = flat(shown(GATHERING))
    assert "width, top: 46 7/8" in text
    assert "width, middle: 46 3/4 (confirmed)" in text
    assert "the height at the left: the board is cut to it" in text
    assert "“bottom forty six and a quarter” (hanger, by whisper)" in text
    assert "Read back: Bottom: four six, and one quarter." in text


def test_the_value_just_read_back_is_large() -> None:
    """The hanger can check the figure from the wall."""
    lines = shown(GATHERING)
    assert all(row.rstrip() in lines for row in large("46 1/4"))


def test_a_value_in_question_is_large_and_named_so() -> None:
    """A doubtful value goes before one that was only read back, and the words say so, not a colour."""
    view = replace(GATHERING, readings=(*GATHERING.readings, line("height, left", "93", Standing.DOUBTFUL)))
    lines = shown(view)
    assert large("93")[0].rstrip() in lines
    assert "height, left: 93 (IN QUESTION)" in flat(lines)


def test_cautions_stand_before_everything_but_the_title() -> None:
    """Cautions first, then what was heard, the marks and the steps."""
    lines = shown(DONE)
    assert lines[1].startswith("! CAUTION: Power")
    assert flat(lines).index("Keep every tool out of it.") < flat(lines).index("Steps (5)")


def test_once_work_has_begun_a_box_keeps_its_caution_and_the_others_still_hold() -> None:
    """The sheet leans: general cautions give their rows to the marks, the box's stays whole, and none is forgotten."""
    text = flat(shown(replace(DONE, ticked=frozenset({1}))))
    assert "Keep every tool out of it." in text
    assert "Look at what is behind the wall." not in text
    assert "The 2 cautions read before step 1 still hold" in text


@pytest.mark.parametrize("state", [None, Circuit.LIVE, Circuit.DEAD])
def test_what_safety_says_of_a_box_never_leaves_the_screen(state: Circuit | None) -> None:
    """Whatever was said of its circuit, and whichever steps are ticked, the box's caution stands in full."""
    word = CircuitWord(state, "hanger", datetime(2026, 3, 2, 9, 30, tzinfo=UTC)) if state else None
    caution = box_caution("box 1", word)
    for ticked in (frozenset[int](), frozenset({1}), frozenset({1, 2, 3, 4, 5})):
        text = flat(shown(replace(DONE, cautions=(*CAUTIONS, caution, SHUT_OFF), ticked=ticked)))
        assert caution in text
        assert SHUT_OFF in text


def test_notes_are_told_of_even_where_they_do_not_fit() -> None:
    """A note may forbid a cut, so that there is one always shows."""
    plan = replace(PLAN, warnings=tuple(Warning(Code.FROM_FLOOR, f"box {n}") for n in range(9)))
    text = flat(shown(replace(DONE, plan=plan)))
    assert "9 notes on this plan: read below or on paper before the cut." in text


def test_the_marks_of_the_step_in_hand_are_large() -> None:
    """Ticking the taper brings the height cut; ticking that brings the box."""
    assert any("at top" in row and "at bottom" in row for row in shown(DONE))
    assert large("95")[0].rstrip() in shown(replace(DONE, ticked=frozenset({1, 2, 3})))
    box = flat(shown(replace(DONE, ticked=frozenset({1, 2, 3, 4}))))
    assert "from left factory edge from top factory edge" in box


def test_marks_too_wide_for_two_go_under_the_first() -> None:
    """At 40 columns one mark is large and the other follows in words."""
    assert "then 46 1/8 at bottom" in flat(shown(DONE, 40, 60))


def test_all_ticked_says_so() -> None:
    """A finished board has no mark left to show."""
    assert "Every step of this board is ticked." in flat(shown(replace(DONE, ticked=frozenset(range(1, 6)))))


def test_a_draft_plan_is_never_shown_large() -> None:
    """While readings are missing, the large figures are readings and the steps are marked as a draft."""
    lines = shown(replace(DONE, so_far=True))
    assert "DRAFT, do not cut yet" in flat(lines)
    assert not any("at top" in row for row in lines)


def test_a_question_is_never_left_out() -> None:
    """The question stands even where there is room for nothing else."""
    asking = replace(DONE, last=Exchange("thirty", "vosk", "hanger", "Thirteen, one three, or thirty?", asks=True))
    assert "ANSWER THIS: Thirteen, one three, or thirty?" in flat(shown(asking, 80, 3))


def test_a_refusal_says_not_taken() -> None:
    """What was refused can't be mistaken for a reading."""
    view = replace(
        GATHERING, last=Exchange("nine eighths", "vosk", "hanger", "No tape has nine eighths.", refused=True)
    )
    assert "Not taken: No tape has nine eighths." in flat(shown(view))


def test_trouble_with_the_journal_is_never_left_out() -> None:
    """A job that isn't saved says so on every screen."""
    view = replace(DONE, journal_trouble="The disk is full: this goes on in memory only.")
    assert "! JOURNAL: The disk is full" in flat(shown(view, 80, 10))


def test_holding_shows_in_the_title() -> None:
    """A paused microphone looks paused."""
    assert "HOLDING" in shown(replace(DONE, holding=True))[0]


def test_steps_left_out_are_counted() -> None:
    """A step is shown whole or not at all, and the rest is counted."""
    steps = tuple(Step(Does.WAIT, opening=f"box {number}") for number in range(1, 31))
    text = flat(shown(replace(DONE, plan=replace(PLAN, steps=steps, openings=(), warnings=()))))
    count = text.count("measure it again first.")
    assert f"… and {30 - count} more" in text
    assert text.count("mark or cut box") == count


cautions = st.lists(st.text("abcdefg hij", min_size=1, max_size=300).filter(str.strip), max_size=12).map(tuple)


@settings(max_examples=60, deadline=None)
@given(cautions, st.integers(20, 120), st.integers(2, 40), st.sampled_from([DONE, GATHERING, EMPTY]))
def test_no_word_of_a_caution_is_ever_lost(extra: tuple[str, ...], columns: int, rows: int, view: View) -> None:
    """Whatever the screen's size, each caution stands in full, and no line is wider than the screen."""
    view = replace(view, cautions=CAUTIONS + extra)
    lines = shown(view, columns, rows)
    assert max(map(len, lines)) <= columns
    text = "".join("".join(lines).split())
    for caution in view.cautions:
        assert "".join(caution.split()) in text


@settings(max_examples=60, deadline=None)
@given(st.integers(24, 60), st.integers(60, 200), st.sampled_from([DONE, GATHERING, EMPTY]))
def test_the_screen_fits(rows: int, columns: int, view: View) -> None:
    """At 24 rows and more, nothing scrolls away."""
    assert len(shown(view, columns, rows)) <= rows


@pytest.mark.parametrize("rows", [1, 4, 8])
def test_too_small_for_the_steps_says_how_many_rows_are_needed(rows: int) -> None:
    """A window too small for the cautions shows no step at all rather than a step without its caution."""
    text = flat(shown(replace(DONE, cautions=CAUTIONS * 1), 80, rows))
    assert ("No room for the steps: make this window" in text) == (rows < 7)
    if rows < 7:
        assert "Snap a line" not in text


def test_millimetres_are_shown_as_such() -> None:
    """A metric job shows metric marks and says so."""
    text = flat(shown(replace(DONE, unit=Unit.MM)))
    assert "LEFT edge, mm" in text
