"""The partner's keys: orders on an empty line, and a line that may be typed at any moment."""

from __future__ import annotations

import os
import pty
import signal
import sys
import termios
import time
import unicodedata
from collections.abc import Iterator
from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldvoice.commands.terminal import LONGEST_LINE, KeyOrder, Pressed, TypedLine, Typing, keyboard
from fieldvoice.errors import BadUsage
from fieldvoice.language.understanding import understand
from fieldvoice.records.hearing import Source


def typed(characters: str) -> tuple[str, list[Pressed]]:
    """What stands on the line after those characters, and what they ordered."""
    typing, found = Typing(), list[Pressed]()
    for character in characters:
        typing, pressed = typing.pressed(character)
        if pressed is not None:
            found.append(pressed)
    return typing.text, found


@pytest.mark.parametrize(
    ("characters", "line", "ordered"),
    [
        ("\n", "", [KeyOrder.TICK]),
        ("\x7f", "", [KeyOrder.UNTICK]),
        ("?", "", [KeyOrder.KEYS]),
        (" ", "", [KeyOrder.TALK]),
        ("\x04", "", [KeyOrder.END]),
        ("t 46 7/8\n", "", [TypedLine("t 46 7/8")]),
        ("t 46 7/8", "t 46 7/8", []),
        ("what?\n", "", [TypedLine("what?")]),
        ("t 46\x7f\x7f47\n", "", [TypedLine("t 47")]),
        ("top\x15\n", "", [KeyOrder.TICK]),
        ("\x1b[A\x1bOP\x1b[15~\n", "", [KeyOrder.TICK]),
        ("t 4\x1b[D6\n", "", [TypedLine("t 46")]),
        ("a\x7f\n", "", [KeyOrder.TICK]),
        ("\x0c", "", [KeyOrder.REDRAW]),
        ("t 4\x0c6\n", "", [KeyOrder.REDRAW, TypedLine("t 46")]),
        ("t 46\t7/8\n", "", [TypedLine("t 46 7/8")]),
        ("t 46\xa07/8\n", "", [TypedLine("t 46 7/8")]),
        ("t 4\x006\n", "", [TypedLine("t 4\ufffd6")]),
    ],
)
def test_keys_and_lines(characters: str, line: str, ordered: list[Pressed]) -> None:
    """A key orders on an empty line alone; function keys are no words."""
    assert typed(characters) == (line, ordered)


@given(st.text())
def test_whatever_is_typed_ends_in_a_line_that_can_be_shown(characters: str) -> None:
    """No control character stays on the line, and it never grows without end."""
    line, ordered = typed(characters)
    for text in (line, *(each.text for each in ordered if isinstance(each, TypedLine))):
        assert not any(unicodedata.category(character) in {"Cc", "Cs", "Zl", "Zp"} for character in text)
        assert len(text) <= LONGEST_LINE


@given(st.text(st.characters(codec="utf-8", exclude_characters="\x1b")))
def test_a_paste_holds_lines_and_no_orders(characters: str) -> None:
    """Neither a blank line in it nor what would be a key on an empty one ticks, unticks or ends anything."""
    _, ordered = typed(f"\x1b[200~{characters}\x1b[201~")
    assert all(isinstance(each, TypedLine) for each in ordered)
    assert typed(f"\x1b[200~{characters}\n\x1b[201~\n")[1][-1:] == [KeyOrder.TICK]


@given(st.lists(st.text("t 46/78?!", max_size=20)))
def test_a_paste_is_taken_line_by_line(lines: list[str]) -> None:
    """The last line waits for its Enter."""
    line, ordered = typed(f"\x1b[200~{chr(10).join(lines)}\x1b[201~")
    assert ordered == [TypedLine(each.strip()) for each in lines[:-1] if each.strip()]
    assert line == (lines[-1] if lines else "")


@given(
    st.text(st.characters(codec="utf-8", categories=["Cc"], exclude_characters="\r\n\x1b\x0c\x7f\b\x15"), min_size=1)
)
def test_what_is_no_sign_never_joins_two_figures(between: str) -> None:
    """What stood at the sides of a character that can't be shown would become another number."""
    line, _ = typed(f"t 4{between}6")
    assert line != "t 46"
    assert line.startswith("t 4")
    assert line.endswith("6")


@given(st.integers(LONGEST_LINE - 20, LONGEST_LINE + 20))
def test_of_a_line_that_is_too_long_nothing_is_taken(blanks: int) -> None:
    """Its end may have been the end of a number: cut off, the rest is another one."""
    whole = f"{'t':<{blanks}}46 7/8"
    line, _ = typed(whole)
    assert (line == whole) == (len(whole) <= LONGEST_LINE)
    assert bool(understand(line, Source.TYPED).meanings) == (line == whole)


@pytest.fixture
def terminal(monkeypatch: pytest.MonkeyPatch) -> Iterator[int]:
    """A terminal in place of standard input; what is written to it is typed."""
    typing, inner = pty.openpty()
    with os.fdopen(inner, "r", encoding="utf-8") as stdin:
        monkeypatch.setattr(sys, "stdin", stdin)
        yield typing
    os.close(typing)


def test_keys_come_without_enter_and_waiting_ends(terminal: int) -> None:
    """A key is there at once; without one the wait is as long as asked for and no longer."""
    with keyboard() as keys:
        os.write(terminal, "ü46\n".encode())
        assert keys.wait(5) == (TypedLine("ü46"),)
        started = time.monotonic()
        assert keys.wait(0.05) == ()
        assert time.monotonic() - started < 2


def test_a_window_that_changes_ends_the_wait(terminal: int) -> None:
    """So that the screen is drawn anew at once."""
    assert terminal
    with keyboard() as keys:
        os.kill(os.getpid(), signal.SIGWINCH)
        started = time.monotonic()
        assert keys.wait(30) == ()
        assert time.monotonic() - started < 10


def test_the_terminal_is_as_it_was_afterwards(terminal: int) -> None:
    """Also where something goes wrong meanwhile; while it lasts keys aren't echoed and Ctrl-C interrupts."""
    assert terminal
    before = termios.tcgetattr(sys.stdin.fileno())
    with suppress(KeyboardInterrupt), keyboard():
        local = termios.tcgetattr(sys.stdin.fileno())[3]
        assert not local & (termios.ECHO | termios.ICANON)
        assert local & termios.ISIG
        raise KeyboardInterrupt
    assert termios.tcgetattr(sys.stdin.fileno()) == before


def test_without_a_terminal_there_are_no_keys(monkeypatch: pytest.MonkeyPatch) -> None:
    """Said at once."""
    with open(os.devnull, encoding="utf-8") as nothing:  # noqa: PTH123 - a file that is no terminal
        monkeypatch.setattr(sys, "stdin", nothing)
        with pytest.raises(BadUsage, match="terminal"), keyboard():
            pass
