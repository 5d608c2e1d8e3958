"""The partner's keys: a line is typed at any moment, and on an empty line single keys are orders of their own."""

from __future__ import annotations

import codecs
import os
import select
import signal
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from enum import Enum

from fieldvoice.errors import BadUsage, NotHere

LONGEST_LINE = 500
"""Characters that a typed line may have; more are not taken, so that a stuck key fills no memory."""


class KeyOrder(Enum):
    """What a key on an empty line orders. A foot switch or a presenter's clicker that types it will do."""

    TICK = "Enter"
    UNTICK = "Backspace"
    KEYS = "?"
    CAUTIONS = "!"
    DETAILS = "Tab"
    TALK = "Space"
    END = "Ctrl-D"


@dataclass(frozen=True, slots=True)
class TypedLine:
    """A whole line that was typed, without its Enter."""

    text: str


Pressed = KeyOrder | TypedLine

_ALONE = {
    "\r": KeyOrder.TICK,
    "\n": KeyOrder.TICK,
    "\x7f": KeyOrder.UNTICK,
    "\b": KeyOrder.UNTICK,
    "?": KeyOrder.KEYS,
    "!": KeyOrder.CAUTIONS,
    "\t": KeyOrder.DETAILS,
    " ": KeyOrder.TALK,
    "\x04": KeyOrder.END,
}


@dataclass(frozen=True, slots=True)
class Typing:
    """A line while it is typed. `escape` holds the beginning of a sequence that a function key sends."""

    text: str = ""
    escape: str = ""

    def pressed(self, character: str) -> tuple[Typing, Pressed | None]:
        """The line after one more character, and what that ordered, if anything."""
        if self.escape or character == "\x1b":
            return self._escaped(character), None
        if not self.text and character in _ALONE:
            return self, _ALONE[character]
        if character in "\r\n":
            line = self.text.strip()
            return Typing(), TypedLine(line) if line else None
        if character in "\x7f\b":
            return replace(self, text=self.text[:-1]), None
        if character == "\x15":
            return Typing(), None
        if not character.isprintable() or len(self.text) >= LONGEST_LINE:
            return self, None
        return replace(self, text=self.text + character), None

    def _escaped(self, character: str) -> Typing:
        """Sequences of function keys are passed over: none of them is a word. A lone Escape empties the line."""
        so_far = self.escape + character
        if len(so_far) == 1 or so_far in {"\x1b[", "\x1bO"}:
            return replace(self, escape=so_far)
        if so_far.startswith(("\x1b[", "\x1bO")):
            ended = "@" <= character <= "~"
            return replace(self, escape="" if ended else so_far)
        return Typing() if character == "\x1b" else Typing().pressed(character)[0]


@dataclass(slots=True)
class Keyboard:
    """Keys from a terminal that sends them without Enter and doesn't show them. `typing` is the line so far; `resized`
    tells that the window has changed since it was asked last.
    """

    _terminal: int
    _woken: int
    _decode: codecs.IncrementalDecoder = field(default_factory=lambda: codecs.getincrementaldecoder("utf-8")("replace"))
    typing: Typing = Typing()

    def wait(self, seconds: float) -> tuple[Pressed, ...]:
        """What was pressed, as soon as a key is, the window changes, or the time is over."""
        ready, _, _ = select.select([self._terminal, self._woken], [], [], seconds)
        if self._woken in ready:
            os.read(self._woken, 4096)
        if self._terminal not in ready:
            return ()
        read = os.read(self._terminal, 4096)
        if not read:
            return (KeyOrder.END,)
        found = []
        for character in self._decode.decode(read):
            self.typing, pressed = self.typing.pressed(character)
            if pressed is not None:
                found.append(pressed)
        return tuple(found)


@contextmanager
def keyboard() -> Iterator[Keyboard]:
    """Single keys of this terminal while it is open; Ctrl-C still interrupts. Afterwards it is as it was.

    Raises `BadUsage` where standard input is no terminal, `NotHere` where this platform has none that can do so.
    """
    if not sys.stdin.isatty():
        raise BadUsage("Single keys are read from a terminal, and standard input is none.")
    try:
        import termios
        import tty
    except ImportError as trouble:
        raise NotHere("Single keys can't be read on this platform. Type whole lines instead.") from trouble
    terminal = sys.stdin.fileno()
    before = termios.tcgetattr(terminal)
    woken, wake = os.pipe()
    os.set_blocking(wake, False)
    old = signal.signal(signal.SIGWINCH, lambda *_: _woken(wake))
    tty.setcbreak(terminal)
    try:
        yield Keyboard(terminal, woken)
    finally:
        signal.signal(signal.SIGWINCH, old)
        termios.tcsetattr(terminal, termios.TCSADRAIN, before)
        os.close(woken)
        os.close(wake)


def _woken(wake: int) -> None:
    """One byte is enough, however often the window changes before it is read."""
    try:
        os.write(wake, b"w")
    except BlockingIOError:
        return
