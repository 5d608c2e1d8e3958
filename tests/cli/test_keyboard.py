"""The partner's keys: orders on an empty line, and a line that may be typed at any moment."""

from __future__ import annotations

import os
import pty
import signal
import sys
import termios
import time
from collections.abc import Iterator
from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldvoice.commands.keyboard import LONGEST_LINE, KeyOrder, Pressed, TypedLine, Typing, keyboard
from fieldvoice.errors import BadUsage


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
        assert not text or text.isprintable()
        assert len(text) <= LONGEST_LINE


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
