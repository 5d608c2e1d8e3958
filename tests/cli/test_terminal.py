"""The partner's window writes only what changed."""

from __future__ import annotations

import re
from io import StringIO

import pytest
from rich.text import Text

from fieldvoice.commands.terminal import Window


class Glass(StringIO):
    """A terminal of a fixed size that keeps what was written, and shows it."""

    def __init__(self) -> None:
        super().__init__()
        self.screen = dict[int, str]()

    def fileno(self) -> int:
        """No real terminal: its size is 80 by 24."""
        raise OSError

    def frame(self) -> list[str]:
        """What is on the glass now, by rows."""
        for row, text in re.findall(r"\x1b\[(\d+);1H(.*?)\x1b\[0m\x1b\[K", self.getvalue(), re.DOTALL):
            self.screen[int(row)] = re.sub(r"\x1b\[[0-9;]*m", "", text)
        self.seek(0)
        self.truncate()
        return [self.screen.get(row, "") for row in range(1, 25)]


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
