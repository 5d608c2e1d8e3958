"""Single keys from the terminal, while something else is going on."""

from __future__ import annotations

import os
import select
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from fieldvoice.errors import BadUsage, NotHere


@contextmanager
def presses(key: bytes) -> Iterator[Callable[[], int]]:
    """While this is open, keys come without Enter and aren't shown; what it gives tells how often `key` came since it
    was asked last, and never waits. Ctrl-C still interrupts. The terminal is as it was afterwards.

    Raises `BadUsage` where standard input is no terminal, `NotHere` where this platform has none that can do so.
    """
    if not sys.stdin.isatty():
        raise BadUsage("The talk key is read from the terminal, and standard input is none. Leave out --push-to-talk.")
    try:
        import termios
        import tty
    except ImportError as trouble:
        raise NotHere(
            "Single keys can't be read on this platform, so there is no talk key. Leave out --push-to-talk."
        ) from trouble
    terminal = sys.stdin.fileno()
    before = termios.tcgetattr(terminal)
    tty.setcbreak(terminal)
    try:
        yield lambda: _waiting(terminal).count(key)
    finally:
        termios.tcsetattr(terminal, termios.TCSADRAIN, before)


def _waiting(terminal: int) -> bytes:
    """What was typed and not yet read."""
    ready, _, _ = select.select([terminal], [], [], 0)
    return os.read(terminal, 4096) if ready else b""
