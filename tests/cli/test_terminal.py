"""The partner's window writes only what changed."""

from __future__ import annotations

import os
import re
import sys
from collections.abc import Callable
from io import StringIO

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from rich.text import Text

from fieldvoice.commands.terminal import KeyOrder, TypedLine, Window, keyboard
from fieldvoice.output.text import cells


class Glass(StringIO):
    """A terminal that keeps what was written, and shows it."""

    def __init__(self, columns: int = 80, rows: int = 24) -> None:
        super().__init__()
        self.screen = dict[int, str]()
        self.size = columns, rows

    def fileno(self) -> int:
        """No real terminal."""
        raise OSError

    def frame(self) -> list[str]:
        """What is on the glass now, by rows."""
        for row, text in re.findall(r"\x1b\[(\d+);1H\x1b\[K(.*?)\x1b\[0m", self.getvalue(), re.DOTALL):
            self.screen[int(row)] = re.sub(r"\x1b\[[0-9;]*m", "", text)
        self.seek(0)
        self.truncate()
        return [self.screen.get(row, "") for row in range(1, self.size[1] + 1)]


def test_what_is_painted_is_on_the_glass() -> None:
    """Each line in its row, the prompt in the last one."""
    glass = Glass()
    window = Window(glass)
    window.paint([Text("46 7/8", style="bold"), Text("top")], "> t 46")
    frame = glass.frame()
    assert frame[:2] == ["46 7/8", "top"]
    assert frame[-1] == "> t 46"


def test_only_what_changed_is_written() -> None:
    """One figure, one row; the rest of the glass isn't touched, so that nothing flickers."""
    glass = Glass()
    window = Window(glass)
    lines = [Text(f"row {number}") for number in range(20)]
    window.paint(lines, "> ")
    glass.frame()
    lines[7] = Text("row seven")
    window.paint(lines, "> ")
    written = glass.getvalue()
    assert written.count("\x1b[K") == 1
    assert "\x1b[8;1H" in written
    assert glass.frame()[7] == "row seven"
    window.paint(lines, "> ")
    assert "\x1b[K" not in glass.getvalue()


def test_fewer_lines_leave_nothing_behind() -> None:
    """What was under them is blank again."""
    glass = Glass()
    window = Window(glass)
    window.paint([Text("one"), Text("two"), Text("three")], "> ")
    window.paint([Text("one")], "> ")
    assert glass.frame()[:3] == ["one", "", ""]


def test_a_long_line_that_is_typed_keeps_its_end_in_sight() -> None:
    """And never runs into a second row."""
    glass = Glass()
    Window(glass).paint([], "> " + "x" * 200 + "end")
    last = glass.frame()[-1]
    assert last.endswith("end")
    assert len(last) < 80


def test_without_color_bold_and_reversed_are_left(monkeypatch: pytest.MonkeyPatch) -> None:
    """NO_COLOR takes the colors alone."""
    monkeypatch.setenv("NO_COLOR", "1")
    glass = Glass()
    Window(glass).paint([Text("danger", style="bold reverse yellow")], "> ")
    codes = set(re.findall(r"\x1b\[([0-9;]*)m", glass.getvalue()))
    assert {"1", "7"} <= {each for code in codes for each in code.split(";")}
    assert not {"33", "93"} & {each for code in codes for each in code.split(";")}


def test_names_and_words_from_elsewhere_steer_nothing() -> None:
    """Neither a line nor what is typed."""
    glass = Glass()
    Window(glass).paint([Text("board \x1b[2J\x9b31m\x07")], "> \x1b]0;title\x07")
    written = glass.getvalue()
    assert "\x1b[2J\x1b[1;1H" in written  # the window's own clearing, once
    assert written.count("\x1b[2J") == 1
    assert "\x9b" not in written
    assert "\x07" not in written
    assert "\x1b]" not in written


SIGNS = st.text(st.sampled_from("a 4/7厨房😀é\u0301-"), max_size=120)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.integers(1, 90), st.integers(1, 30), st.lists(SIGNS, max_size=30), SIGNS)
def test_no_row_is_wider_than_the_window(
    sized: Callable[[int, int], Glass], columns: int, rows: int, lines: list[str], typed: str
) -> None:
    """Letters that are two columns wide, a line that is being typed, a window of any size: every row stays in its own,
    and none is written below the last.
    """
    glass = sized(columns, rows)
    Window(glass).paint([Text(line) for line in lines], typed)
    frame = glass.frame()
    assert all(cells(row) <= columns for row in frame)
    assert max(glass.screen) <= rows


@pytest.mark.parametrize(("columns", "rows"), [(19, 24), (80, 5), (10, 3), (1, 1)])
def test_a_window_too_small_for_a_figure_shows_none(
    sized: Callable[[int, int], Glass], columns: int, rows: int
) -> None:
    """46 of 46 7/8 would be another figure."""
    glass = sized(columns, rows)
    Window(glass).paint([Text("mark 46 7/8 in")] * 5, "t 46 7/8")
    assert not re.search(r"\d", "".join(glass.frame()))


def test_while_the_program_is_stopped_nothing_is_painted(
    sized: Callable[[int, int], Glass], monkeypatch: pytest.MonkeyPatch
) -> None:
    """And everything when it goes on, since the shell wrote over it."""
    at_once = list[bytes]()
    glass = sized(80, 24)
    monkeypatch.setattr("os.write", lambda _, data: at_once.append(data))
    window = Window(glass)
    window.paint([Text("46 7/8")], "> ")
    glass.frame()
    window.leave()
    window.paint([Text("46 3/4")], "> ")
    assert glass.getvalue() == ""
    window.enter()
    window.paint([Text("46 3/4")], "> ")
    assert glass.getvalue().startswith("\x1b[2J")
    assert glass.frame()[0] == "46 3/4"
    assert [b"\x1b[?1049l" in data for data in at_once] == [True, False]


def test_what_is_typed_while_it_starts_is_a_call_and_ticks_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whole lines come first, the beginning of one goes on, and a bare Enter of before is none of a step's."""
    master, slave = os.openpty()
    with os.fdopen(slave, closefd=True) as terminal:
        monkeypatch.setattr(sys, "stdin", terminal)
        os.write(master, b"outlet 14 over\n\n\ntop 46")
        with keyboard() as keys:
            assert keys.wait(1) == (TypedLine("outlet 14 over"),)
            assert keys.typing.text == "top 46"
            os.write(master, b" 7/8\n\n")
            assert keys.wait(1) == (TypedLine("top 46 7/8"), KeyOrder.TICK)
    os.close(master)
