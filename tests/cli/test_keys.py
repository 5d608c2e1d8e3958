"""The talk key, read from a real terminal."""

from __future__ import annotations

import os
import pty
import sys
import termios
import time
from collections.abc import Callable, Iterator
from contextlib import suppress

import pytest

from fieldvoice.commands.keys import presses
from fieldvoice.errors import BadUsage


@pytest.fixture
def keyboard(monkeypatch: pytest.MonkeyPatch) -> Iterator[int]:
    """A terminal in place of standard input; what is written to it is typed."""
    typing, terminal = pty.openpty()
    with os.fdopen(terminal, "r", encoding="utf-8") as stdin:
        monkeypatch.setattr(sys, "stdin", stdin)
        yield typing
    os.close(typing)


def arrived(count: Callable[[], int], within: float = 2.0) -> int:
    """How many presses were seen until some were, or the time was over."""
    until = time.monotonic() + within
    while not (seen := count()) and time.monotonic() < until:
        time.sleep(0.01)
    return seen


def test_presses_come_without_enter_and_other_keys_are_none(keyboard: int) -> None:
    """Two of the bytes are spaces; then there is nothing, and asking doesn't wait."""
    with presses(b" ") as count:
        assert count() == 0
        os.write(keyboard, b" x ")
        assert arrived(count) == 2
        started = time.monotonic()
        assert count() == 0
        assert time.monotonic() - started < 0.5


def test_the_terminal_is_as_it_was_afterwards(keyboard: int) -> None:
    """Also where something goes wrong meanwhile; while it lasts keys aren't echoed and Ctrl-C interrupts."""
    before = termios.tcgetattr(sys.stdin.fileno())
    with suppress(KeyboardInterrupt), presses(b" "):
        local = termios.tcgetattr(sys.stdin.fileno())[3]
        assert not local & (termios.ECHO | termios.ICANON)
        assert local & termios.ISIG
        raise KeyboardInterrupt
    assert termios.tcgetattr(sys.stdin.fileno()) == before


def test_without_a_terminal_there_is_no_talk_key(monkeypatch: pytest.MonkeyPatch) -> None:
    """Said at once, with what to leave out."""
    with open(os.devnull, encoding="utf-8") as nothing:  # noqa: PTH123 - a file that is no terminal
        monkeypatch.setattr(sys, "stdin", nothing)
        with pytest.raises(BadUsage, match="--push-to-talk"), presses(b" "):
            pass
