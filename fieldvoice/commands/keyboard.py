"""The partner's keys: a line is typed at any moment, and on an empty line single keys are orders of their own."""

from __future__ import annotations

import codecs
import os
import select
import signal
import sys
import unicodedata
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field, replace
from enum import Enum

from fieldvoice.commands.stopping import around_a_stop
from fieldvoice.errors import BadUsage, NotHere

LONGEST_LINE = 500
"""Characters that a typed line may have. Of a longer one, as a stuck key or a paste leaves it, nothing is taken: what
was cut off may have been the end of a number.
"""
TOO_LONG = "\N{HORIZONTAL ELLIPSIS}"
"""Stands at the end of a line that is too long. It is no word of the language, so such a line is refused as a whole."""
UNREADABLE = "\N{REPLACEMENT CHARACTER}"
"""Stands for a control character within a line: were it left out, what stood at its sides would become one number."""


class KeyOrder(Enum):
    """What a key on an empty line orders. A foot switch or a presenter's clicker that types it will do."""

    TICK = "Enter"
    UNTICK = "Backspace"
    KEYS = "?"
    CAUTIONS = "!"
    DETAILS = "Tab"
    TALK = "Space"
    END = "Ctrl-D"
    REDRAW = "Ctrl-L"


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
_PASTE_BEGINS, _PASTE_ENDS = "\x1b[200~", "\x1b[201~"


@dataclass(frozen=True, slots=True)
class Typing:
    """A line while it is typed. `escape` holds the beginning of a sequence that a function key sends. While something
    is `pasted` no character of it is an order: a blank line in it ticks no step.
    """

    text: str = ""
    escape: str = ""
    pasted: bool = False

    def pressed(self, character: str) -> tuple[Typing, Pressed | None]:
        """The line after one more character, and what that ordered, if anything."""
        if self.escape or character == "\x1b":
            return self._escaped(character), None
        if character in "\r\n" and (self.text or self.pasted):
            line = self.text.strip()
            return replace(self, text=""), TypedLine(line) if line else None
        return (self.with_sign(character), None) if self.pasted else self._ordered(character)

    def _ordered(self, character: str) -> tuple[Typing, Pressed | None]:
        """A key that a person pressed."""
        if character == "\x0c":
            return self, KeyOrder.REDRAW
        if not self.text and character in _ALONE:
            return self, _ALONE[character]
        if character in "\x7f\b":
            return replace(self, text=self.text[:-1]), None
        return (Typing() if character == "\x15" else self.with_sign(character)), None

    def with_sign(self, character: str) -> Typing:
        """The line with one more character on it, which orders nothing."""
        if len(self.text) >= LONGEST_LINE:
            return self if self.text.endswith(TOO_LONG) else replace(self, text=f"{self.text[:-1]}{TOO_LONG}")
        if character.isspace():
            character = " "
        elif unicodedata.category(character) in {"Cc", "Cs"}:
            character = UNREADABLE
        return replace(self, text=self.text + character)

    def _escaped(self, character: str) -> Typing:
        """Sequences of function keys are passed over: none of them is a word. A lone Escape empties the line."""
        so_far = self.escape + character
        if len(so_far) == 1 or so_far in {"\x1b[", "\x1bO"}:
            return replace(self, escape=so_far)
        if so_far.startswith(("\x1b[", "\x1bO")):
            ended = "@" <= character <= "~"
            pasted = (self.pasted or so_far == _PASTE_BEGINS) and so_far != _PASTE_ENDS
            return replace(self, escape="" if ended else so_far, pasted=pasted)
        if self.pasted:
            return replace(self, escape="").with_sign(UNREADABLE).with_sign(character)
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
    """Single keys of this terminal while it is open; Ctrl-C still interrupts. Afterward it is as it was.

    Raises `BadUsage` where standard input is no terminal, `NotHere` where this platform has none that can do so.
    """
    if not sys.stdin.isatty():
        raise BadUsage("Single keys are read from a terminal, and standard input isn't one.")
    try:
        import termios
        import tty
    except ImportError as trouble:
        raise NotHere("Single keys can't be read on this platform. Type whole lines instead.") from trouble
    terminal = sys.stdin.fileno()
    before = termios.tcgetattr(terminal)
    woken, wake = os.pipe()
    os.set_blocking(wake, False)

    def take() -> None:
        tty.setcbreak(terminal)
        _woken(wake)

    def give() -> None:
        with suppress(termios.error):  # a terminal that is gone
            termios.tcsetattr(terminal, termios.TCSADRAIN, before)

    old = signal.signal(signal.SIGWINCH, lambda *_: _woken(wake))
    with around_a_stop(give, take):
        take()
        try:
            yield Keyboard(terminal, woken)
        finally:
            signal.signal(signal.SIGWINCH, old)
            give()
            os.close(woken)
            os.close(wake)


def _woken(wake: int) -> None:
    """One byte is enough, however often the window changes before it is read."""
    try:
        os.write(wake, b"w")
    except BlockingIOError:
        return
