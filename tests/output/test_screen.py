"""What the partner sees, from a phone's terminal to a large screen."""

from __future__ import annotations

import errno
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldvoice.dialogue.view import Exchange, View
from fieldvoice.output.figures import ASCII, BLOCKS, Figure, largest
from fieldvoice.output.screen.compose import Look, compose, sketched
from fieldvoice.output.screen.measuring import hole_sketch
from fieldvoice.output.screen.parts import PLAIN, RICH, Medium
from fieldvoice.output.sketch import Ink
from fieldvoice.records.board import Board
from fieldvoice.records.ledger import Notice, Standing, Tell
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Box as CalledBox
from fieldvoice.records.meaning import BoxKind, Circuit, Coordinate, Dimension, Edge, Point, Reading, Slot
from fieldvoice.records.plan import Does, HoleMarks, Hook, Offset, Step
from fieldvoice.records.said import BoxWord
from fieldvoice.records.trouble import Trouble, Wrong
from fieldvoice.wording import steps as wording
from fieldvoice.wording import warnings
from fieldvoice.wording.captions import TOO_SMALL
from fieldvoice.wording.cautions import said
from fieldvoice.wording.notices import text
from tests.dialogue.talk import wall_after
from tests.output.golden_screens import pictures
from tests.output.scene import ASKED, CAUTIONS, DONE, EMPTY, GATHERING, PLAN, TAPER, line, reading

SIZES = [(40, 15), (60, 20), (80, 24), (120, 40), (200, 60), (480, 135)]
AT = datetime(2026, 3, 2, 14, 30, tzinfo=UTC)


def shown(view: View, columns: int = 80, rows: int = 24, look: Look = Look.NOW, medium: Medium = RICH) -> list[str]:
    """The screen as plain lines."""
    return [text.plain for text in compose(view, columns, rows, look, medium).lines]


def flat(lines: list[str]) -> str:
    """The words of the screen with the line breaks taken out."""
    return " ".join(" ".join(lines).split())


def with_box(view: View) -> View:
    """The same board with a box in it."""
    box = CalledBox(
        BoxKind.SINGLE,
        Coordinate(Point.CENTER, Length("30 1/4"), Edge.LEFT),
        Coordinate(Point.CENTER, Length(48), Edge.TOP),
        "box 1",
    )
    hole = view.hole or Board("2")
    return replace(view, hole=replace(hole, boxes=(box,)))


def test_an_empty_board_says_what_to_call() -> None:
    """Before the first reading the screen shows an example of one."""
    assert "top forty six and seven eighths" in flat(shown(EMPTY))


def test_everything_about_a_board_in_the_making() -> None:
    """The last reading large, the hole with what is known, what lacks, who said what and what it became."""
    lines = shown(GATHERING)
    text = flat(lines)
    assert "MEASURING, not to cut yet" in lines[0]
    large = largest((Figure("46 1/4"),), 40, 9)
    assert large is not None
    assert all(any(line.startswith(row) for line in lines) for row in large.lines)
    assert "<-- 46 3/4 -->" in text
    assert "Needed: the height at the left" in text
    assert "hanger: “bottom forty six and a quarter”. Width, bottom: 46 1/4." in text


@pytest.mark.parametrize(("lines", "end"), [((), False), (("b 46 3/4", "l 95", "r 95"), True)])
def test_a_box_that_waits_for_a_part_stays_on_the_screen(lines: tuple[str, ...], *, end: bool) -> None:
    """Until it is asked for; and nobody is told that nothing more is needed."""
    view = wall_after("outlet 14 1/2 over 15 up", "t 46 7/8", *lines).view
    text = flat(shown(view))
    assert "Waits for its missing part: Box 1: single gang, 14 1/2, 15 from bottom" in text
    assert "Nothing more is needed" not in text
    assert ("All is measured: say done" in text) is end


@pytest.mark.parametrize("size", SIZES[1:])
def test_what_waits_behind_a_question_stays_on_the_screen(size: tuple[int, int]) -> None:
    """So that nobody calls it again; it isn't needed any more, and comes in with the answer."""
    asked = ("t 42", "b 44")
    behind = {"left 95": "Height, left: 95", "next board": "“next board”"}
    text = flat(shown(wall_after(*asked, *behind).view, *size))
    assert "Waits for the answer: " in text
    assert all(each in text for each in behind.values()), text
    assert "Needed: " not in text
    assert "Waits for the answer" not in flat(shown(wall_after(*asked, "left 95", "yes").view, *size))


@pytest.mark.parametrize("size", SIZES)
def test_a_board_that_lacks_nothing_says_how_to_end_it(size: tuple[int, int]) -> None:
    """Once nothing is needed the screen names the word for it, and not while something is needed or asked."""
    last = GATHERING.last
    assert last is not None
    whole = replace(GATHERING, missing=())
    assert "say done" in flat(shown(whole, *size))
    assert "say done" not in flat(shown(GATHERING, *size))
    assert "say done" not in flat(shown(replace(whole, last=replace(last, asks=True)), *size))
    assert "say done" not in flat(shown(replace(EMPTY, missing=()), *size))


def test_a_value_in_question_is_large_and_named_so() -> None:
    """A doubtful value goes before one that was only read back, and the words say so, not a color."""
    view = replace(
        GATHERING, readings=(*GATHERING.readings, line(reading("93", Dimension.HEIGHT, Slot.LEFT), Standing.DOUBTFUL))
    )
    lines = shown(view)
    large = largest((Figure("93"),), 40, 9)
    assert large is not None
    assert any(line.startswith(large.lines[0]) for line in lines)
    assert "height, left, in inches: IN QUESTION" in flat(lines)


@pytest.mark.parametrize(("columns", "rows"), SIZES[2:])
def test_both_marks_of_the_first_cut_are_numerals(columns: int, rows: int) -> None:
    """The moment the plan is ready, at 80 by 24 and larger, each under its place, with the edge to hook on."""
    lines = shown(DONE, columns, rows - 1)
    text = flat(lines)
    assert "RIGHT EDGE: hook on the left factory edge" in text
    assert "then" not in text
    ink = sum(line.count("█") + line.count("▀") + line.count("▄") for line in lines[1:])
    assert ink > 100


@pytest.mark.parametrize("medium", [RICH, PLAIN])
def test_with_a_box_in_the_board_both_marks_are_numerals_at_60_by_20(medium: Medium) -> None:
    """The line of danger is there, and pushes neither off; where only ASCII can be shown one is large, one is text."""
    lines = shown(with_box(DONE), 60, 19, medium=medium)
    assert "WARNING box 1 not said dead and tested: no tool in it" in flat(lines)
    cells = BLOCKS if medium is RICH else ASCII
    pair = (Figure("46 3/4", "TOP"), Figure("46 1/8", "BOTTOM"))
    for figure in pair if medium is RICH else pair[:1]:
        alone = largest((figure,), 60, 5 if medium is RICH else 8, cells)
        assert alone is not None
        assert all(any(row in line for line in lines) for row in alone.lines)
    assert medium is RICH or "then BOTTOM 46 1/8" in flat(lines)


@pytest.mark.parametrize(
    ("said", "line"),
    [
        ((), "WARNING box 1 not said dead and tested: no tool in it"),
        ((BoxWord("box 1", Circuit.LIVE, "hanger", AT),), "WARNING box 1 said LIVE: no tool in it"),
        ((BoxWord("box 1", Circuit.DEAD, "hanger", AT),), "CAUTION box 1: dead and tested, said hanger"),
    ],
)
@pytest.mark.parametrize(("columns", "rows"), SIZES)
@pytest.mark.parametrize("view", [DONE, GATHERING], ids=["cutting", "measuring"])
def test_the_line_of_danger_never_leaves_the_screen(
    said: tuple[BoxWord, ...], line: str, columns: int, rows: int, view: View
) -> None:
    """Whatever was said of the circuit, whatever is ticked, at every size and in every look."""
    for ticked in (frozenset[int](), frozenset({1}), frozenset({1, 2, 3, 4, 5})):
        view = replace(with_box(view), circuits=said, ticked=ticked)
        assert line in flat(shown(view, columns, rows))


def test_the_hour_of_a_word_is_the_one_on_the_wall() -> None:
    """In the zone of whoever looks, not in UTC."""
    view = replace(with_box(DONE), circuits=(BoxWord("box 1", Circuit.DEAD, "hanger", AT),))
    assert f"said hanger {AT.astimezone():%H:%M}" in flat(shown(view))


def test_the_marks_follow_the_step_in_hand() -> None:
    """Ticking the taper brings the height cut; ticking that brings the box."""
    height = flat(shown(replace(DONE, ticked=frozenset({1, 2, 3}))))
    assert "BOTTOM EDGE: hook on the top factory edge" in height
    across, down = (Offset(hook, Length(value)) for hook, value in ((Hook.LEFT_FACTORY, "30 1/4"), (Hook.TOP_CUT, 48)))
    marking = Step(Does.MARK_OPENING, opening="box 1", kind=BoxKind.SINGLE, hole=HoleMarks((across, down)))
    plan = replace(PLAN, steps=(*PLAN.steps[:4], marking, PLAN.steps[4]))
    for ticked in (frozenset({1, 2, 3, 4}), frozenset({1, 2, 3, 4, 5})):
        box = flat(shown(replace(DONE, plan=plan, ticked=ticked)))
        assert "BOX 1 CENTER: from the left factory edge and the top cut edge" in box
    assert "Every step of this board is ticked. Say next board." in flat(
        shown(replace(DONE, ticked=frozenset(range(1, 6))))
    )


def test_a_step_brings_its_own_caution() -> None:
    """At the step that it belongs to, before it, and not before."""
    caution = "no tool goes into it."
    assert caution not in flat(shown(DONE))
    text = flat(shown(replace(DONE, ticked=frozenset({1, 2, 3, 4}))))
    assert text.index(caution) < text.index("5. Cut box 1")


@pytest.mark.parametrize(("columns", "rows"), SIZES)
def test_a_draft_looks_unlike_a_plan(columns: int, rows: int) -> None:
    """By its shapes: shaded rows above and below, no step and no mark of a cut."""
    draft, plan = shown(replace(DONE, draft=True), columns, rows), shown(DONE, columns, rows)
    assert draft[-1] == "▞" * columns
    assert draft[0].count("▞") >= 4
    assert not any("▞" in line for line in plan)
    assert "hook on" not in flat(draft)
    assert "not to cut yet" in draft[0]


@pytest.mark.parametrize(("columns", "rows"), SIZES)
def test_a_question_is_never_left_out(columns: int, rows: int) -> None:
    """It stands above everything but the title and the danger."""
    asking = replace(with_box(DONE), last=Exchange("thirty", "vosk", "hanger", (ASKED,), asks=True))
    assert f"ANSWER: {text(ASKED, Unit.INCH)}" in flat(shown(asking, columns, rows))


def test_a_refusal_says_not_taken() -> None:
    """What was refused can't be mistaken for a reading."""
    view = replace(
        GATHERING, last=Exchange("nine eighths", "vosk", "hanger", (Notice(Tell.NOTHING_OPEN),), refused=True)
    )
    assert f"Not taken: {text(Notice(Tell.NOTHING_OPEN), Unit.INCH)}" in flat(shown(view))


def test_a_job_that_is_not_kept_says_so() -> None:
    """On every screen, however small."""
    view = replace(DONE, journal_trouble=Trouble(Wrong.NOT_KEPT, path="a.job", cause=errno.ENOSPC, waiting=1))
    assert "NOT KEPT: The disk is full" in flat(shown(view, 40, 15))


def test_holding_shows_in_the_title() -> None:
    """A paused microphone looks paused."""
    assert "HOLDING" in shown(replace(GATHERING, holding=True))[0]


def test_the_pages_that_a_key_brings() -> None:
    """All cautions in full; all steps, ticked or not, with the notes; the keys."""
    cautions = flat(shown(DONE, look=Look.CAUTIONS))
    assert all(said(caution) in cautions for caution in CAUTIONS)
    steps = flat(shown(replace(DONE, ticked=frozenset({1})), look=Look.STEPS))
    assert "[x] 1. Lean a sheet" in steps
    assert "[ ] 5. Cut box 1" in steps
    assert f"Note: {warnings.text(PLAN.warnings[0], DONE.unit)}" in steps
    assert "Backspace" in flat(shown(DONE, look=Look.KEYS))


def test_no_word_of_a_long_page_is_out_of_reach() -> None:
    """Page after page, every step is shown, and each page but the last says that there is more."""
    steps = tuple(Step(Does.WAIT, opening=f"box {number}") for number in range(1, 31))
    view = replace(DONE, plan=replace(PLAN, steps=steps))
    seen, first = "", 0
    while True:
        lines = [text.plain for text in compose(view, 60, 12, Look.STEPS, first=first).lines]
        assert len(lines) <= 12
        if "more lines" not in lines[-1]:
            seen += "\n".join(lines)
            break
        seen += "\n".join(lines[:-1]) + "\n"
        first += 11
    assert all(f"{number:>2}. {wording.text(step, DONE.unit)[:20]}" in seen for number, step in enumerate(steps, 1))


@settings(max_examples=80, deadline=None)
@given(
    st.integers(20, 300),
    st.integers(8, 100),
    st.sampled_from([DONE, GATHERING, EMPTY, with_box(DONE), replace(DONE, draft=True)]),
    st.sampled_from([RICH, PLAIN]),
    st.sampled_from(list(Look)),
)
def test_the_screen_fits(columns: int, rows: int, view: View, medium: Medium, look: Look) -> None:
    """No line is wider than the window and nothing scrolls away, at any size."""
    lines = shown(view, columns, rows, look, medium)
    assert len(lines) <= rows
    assert max(map(len, lines)) <= columns
    assert medium is RICH or all(character.isascii() or character in "“”…·" for line in lines for character in line)


def test_a_window_too_small_says_so_and_shows_no_step_without_its_caution() -> None:
    """Rather than a step whose caution has scrolled away."""
    view = replace(with_box(DONE), ticked=frozenset({1, 2, 3, 4}))
    text = flat(shown(view, 40, 5))
    assert TOO_SMALL in text
    assert "Cut box 1" not in text


def test_figures_grow_with_the_window() -> None:
    """A large screen is read from farther away."""
    small, large = (max(len(line) - len(line.lstrip("█")) for line in shown(DONE, *size)[1:]) for size in SIZES[2:5:2])
    assert large > small


def test_the_sketch_hooks_on_where_the_cut_is_measured_from() -> None:
    """A cut of the right edge from the left: hooks on the left, marks at the taper's ends."""
    drawn = sketched(PLAN, TAPER)
    assert [ink for _, ink in drawn.hooks] == [Ink.HOOK_LEFT] * 2
    assert [float(x) for x, _ in drawn.marks] == [46.75, 46.125]
    assert any("▶" in line for line in shown(DONE, 120, 40))


@pytest.mark.parametrize(("file", "text"), [pytest.param(*each, id=each[0].stem) for each in pictures()])
def test_each_look_at_each_size_is_as_it_was_looked_at(file: Path, text: str) -> None:
    """Where one is to change, `python -m tests.output.golden_screens` draws it anew: look at it before it is kept."""
    assert text == file.read_text(encoding="utf-8")


@pytest.mark.parametrize(("across", "down"), [(4, 10), (20, 48), (42, 88)])
@pytest.mark.parametrize("far", [True, False])
def test_a_box_stands_in_the_sketch_where_it_is(across: int, down: int, *, far: bool) -> None:
    """Nearer to the side that it is nearer to, from whichever edge it was called; of a board of no size nowhere."""
    x = Coordinate(Point.CENTER, Length(46 - across if far else across), Edge.RIGHT if far else Edge.LEFT)
    y = Coordinate(Point.CENTER, Length(95 - down if far else down), Edge.BOTTOM if far else Edge.TOP)
    widths = (Reading(Length(46), Dimension.WIDTH, Slot.TOP),)
    heights = (Reading(Length(95), Dimension.HEIGHT, Slot.LEFT),)
    board = Board("1", widths=widths, heights=heights, boxes=(CalledBox(BoxKind.SINGLE, x, y, "box 1"),))
    rows = [line.plain for line in hole_sketch(board, 80, 20, RICH)]
    (row,) = (number for number, line in enumerate(rows) if "[box 1]" in line)
    at = rows[row].index("[box 1]") + 3
    assert abs(at - (3 + 58 * across / 46)) < 6
    assert abs(row - (2 + 11 * down / 95)) < 3
    assert not any("box" in line.plain for line in hole_sketch(replace(board, widths=()), 80, 20, RICH))


@pytest.mark.parametrize("asked", [(), ("bottom 42 or 43",), ("outlet 20 from left",), ("bottom 80",)])
@pytest.mark.parametrize("lost", [("top banana 4",), ("top 46 and", "left 9 9/8")])
@pytest.mark.parametrize("at", [("top 46 7/8",), ("north wall 12 foot by 8 foot",)])
def test_what_was_not_taken_is_listed_whatever_is_asked(
    at: tuple[str, ...], lost: tuple[str, ...], asked: tuple[str, ...]
) -> None:
    """Each by its words, until it is said again or left out."""
    screen = flat(shown(wall_after(*at, *lost, *asked).view, 120, 40))
    assert "Not taken: " in screen
    assert all(f"“{words}”" in screen.partition("Not taken: ")[2] for words in lost), screen
    assert "Not taken: " not in flat(shown(wall_after(*at).view, 120, 40))


@pytest.mark.parametrize(("columns", "rows"), [(60, 20), (80, 24), (120, 40)])
def test_a_wall_that_is_not_laid_out_shows_what_was_called_of_it(columns: int, rows: int) -> None:
    """Its openings and its framing, as far as they came: a slip is seen before there is a layout."""
    view = wall_after("north wall 14 feet by 96 and a half", "window 48 by 36, 60 from the left, 42 up").view
    shown = " ".join(" ".join(each.plain for each in compose(view, columns, rows).lines).split())
    assert "near side 60 from left, near side 42 from bottom" in shown
    framed = wall_after(
        "north wall 14 feet by 96 and a half", "window 48 by 36, 60 from the left, 42 up", "16 on center"
    )
    shown = " ".join(" ".join(each.plain for each in compose(framed.view, columns, rows).lines).split())
    assert "spacing 16 in on center from the left" in shown


def test_pieces_of_two_layers_say_which() -> None:
    """Two layers have two upper courses: each board is listed with its own."""
    view = wall_after("north wall 96 by 84, 16 on center", "two layers", "done").view
    assert view.surface is not None
    assert view.surface.plan is not None
    lines = [" ".join(each.plain.split()) for each in compose(view, 120, 40).lines]
    for piece in view.surface.plan.pieces:
        (line,) = (each for each in lines if each.startswith((f"{piece.name.number} ", f"▶{piece.name.number}◀ ")))
        assert f", layer {piece.layer}, from" in line
    single = wall_after("north wall 96 by 84, 16 on center", "done").view
    assert not any(", layer" in each.plain for each in compose(single, 120, 40).lines)
