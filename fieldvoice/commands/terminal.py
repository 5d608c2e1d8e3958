"""The partner's terminal: keys and lines at any moment, single keys as orders on an empty line; the window, in which
only what changed is written, so that nothing flickers; and Ctrl-Z or an end from outside, before which what was done to
the terminal is undone, and done again when it goes on.
"""

from __future__ import annotations

import codecs
import os
import select
import signal
import sys
import threading
import unicodedata
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field, replace
from enum import Enum
from io import StringIO
from types import FrameType
from typing import TYPE_CHECKING, TextIO

from fieldvoice.commands.output import block_cell, carries_more
from fieldvoice.errors import BadUsage, NotHere
from fieldvoice.output.text import cells, in_ascii, printable
from fieldvoice.wording.captions import WINDOW_TOO_SMALL

if TYPE_CHECKING:
    from rich.text import Text

    from fieldvoice.output.screen.parts import Medium


@contextmanager
def around_a_stop(leave: Callable[[], None], back: Callable[[], None]) -> Iterator[None]:
    """`leave` is called before the program stops, `back` when it goes on, also where something else had stopped it.
    Those that were opened later leave first and come back last. To be opened in the main thread.
    """

    def stop(number: int, frame: FrameType | None) -> None:
        leave()
        (stop_before if callable(stop_before) else _stop)(number, frame)
        back()  # also where nobody could set it going again, so that the system didn't stop it

    def go_on(number: int, frame: FrameType | None) -> None:
        if callable(on_before):
            on_before(number, frame)
        back()

    ends_before = {number: signal.signal(number, _end) for number in (signal.SIGTERM, signal.SIGQUIT)}
    stop_before = signal.signal(signal.SIGTSTP, stop)
    on_before = signal.signal(signal.SIGCONT, go_on)
    try:
        yield
    finally:
        signal.signal(signal.SIGTSTP, stop_before)
        signal.signal(signal.SIGCONT, on_before)
        for number, before in ends_before.items():
            signal.signal(number, before)


def _end(number: int, _: FrameType | None) -> None:
    """Ends by way of all that is open, which is put in order by it."""
    sys.exit(128 + number)


def _stop(number: int, _: FrameType | None) -> None:
    """As without any of this. To this thread: another one would leave it time to run on before all of them stop."""
    handler = signal.signal(number, signal.SIG_DFL)
    signal.pthread_kill(threading.get_ident(), number)
    signal.signal(number, handler)


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
    _ahead: tuple[Pressed, ...] = ()

    def take_up(self, typed: bytes) -> None:
        """What was typed before anything was shown: its lines are calls, and no key of it is an order, since nobody saw
        what that would tick.
        """
        self._ahead = tuple(each for each in self._pressed(typed) if isinstance(each, TypedLine))

    def wait(self, seconds: float) -> tuple[Pressed, ...]:
        """What was pressed, as soon as a key is, the window changes, or the time is over."""
        if self._ahead:
            ahead, self._ahead = self._ahead, ()
            return ahead
        ready, _, _ = select.select([self._terminal, self._woken], [], [], seconds)
        if self._woken in ready:
            os.read(self._woken, 4096)
        if self._terminal not in ready:
            return ()
        read = os.read(self._terminal, 4096)
        if not read:
            return (KeyOrder.END,)
        return tuple(self._pressed(read))

    def _pressed(self, read: bytes) -> Iterator[Pressed]:
        for character in self._decode.decode(read):
            self.typing, pressed = self.typing.pressed(character)
            if pressed is not None:
                yield pressed


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
        tty.setcbreak(terminal, termios.TCSANOW)  # what was typed while it started is kept
        _woken(wake)

    def give() -> None:
        with suppress(termios.error):  # a terminal that is gone
            termios.tcsetattr(terminal, termios.TCSADRAIN, before)

    old = signal.signal(signal.SIGWINCH, lambda *_: _woken(wake))
    with around_a_stop(give, take):
        take()
        keys = Keyboard(terminal, woken)
        if select.select([terminal], [], [], 0)[0]:
            keys.take_up(os.read(terminal, 4096))
        try:
            yield keys
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


_ENTER = "\x1b[?1049h\x1b[?25h\x1b[?7l\x1b[?2004h\x1b[2J"
"""A screen of its own, on which a row that is too long runs into no other one, and a paste is told from keys."""
_LEAVE = "\x1b[?2004l\x1b[?7h\x1b[?1049l"
_FEWEST = (20, 6)
_BLANK = str.maketrans("\n\t", "  ")


class Window:
    """Paints lines on a terminal of whatever size it has at that moment; the last row is for what is being typed."""

    def __init__(self, out: TextIO | None = None) -> None:
        self._out = out or sys.stdout
        self._shown: tuple[str, ...] = ()
        self._size = (0, 0)
        self._away = False

    @property
    def size(self) -> tuple[int, int]:
        """Columns and rows to compose for: never fewer than anything can be told in."""
        columns, rows = self._found()
        return max(columns, _FEWEST[0]), max(rows, _FEWEST[1])

    def _found(self) -> tuple[int, int]:
        """Columns and rows, looked up anew: a window is resized at any moment."""
        try:
            found = os.get_terminal_size(self._out.fileno())
        except (OSError, ValueError):
            return 80, 24
        return (found.columns, found.lines) if found.columns and found.lines else (80, 24)  # 0 where nobody knows

    def paint(self, lines: Sequence[Text], prompt: str) -> None:
        """The lines from the top, the prompt in the last row with the cursor behind it. Writes what differs from what
        is there; all of it where the window has another size. Of a window that is too small for a whole figure
        nothing is shown but that.
        """
        if self._away:
            return
        columns, rows = size = self._found()
        if size != self._size:
            self._size, self._shown = size, ()
            self._out.write("\x1b[2J")
        safe = printable if carries_more(self._out) else _plain
        if columns < _FEWEST[0] or rows < _FEWEST[1]:
            lines, typed = (), WINDOW_TOO_SMALL[: max(columns - 1, 1)]
        else:
            typed = _end_of(safe(prompt), columns - 1, safe("…"))
        frame = (*_styled(lines[: rows - 1], columns, safe), *[""] * (rows - 1 - len(lines)), typed)
        before = self._shown or ("\0",) * len(frame)
        changed = [
            f"\x1b[{row};1H\x1b[K{line}\x1b[0m"  # erased first: behind a full row the last sign of it would go
            for row, (line, old) in enumerate(zip(frame, before, strict=True), 1)
            if line != old
        ]
        self._out.write("".join(changed) + f"\x1b[{rows};{cells(typed) + 1}H")
        self._out.flush()
        self._shown = frame

    def leave(self) -> None:
        """The terminal is as it was before; nothing is painted until it is entered again."""
        self._away = True
        _at_once(self._out, _LEAVE)

    def enter(self) -> None:
        """The window over the terminal; the next time everything is painted."""
        _at_once(self._out, _ENTER)
        self._away = False
        self.again()

    def again(self) -> None:
        """What is on the terminal isn't what was painted: the next time everything is."""
        self._size = (0, 0)


def _plain(text: str) -> str:
    return in_ascii(printable(text))


def _styled(lines: Sequence[Text], columns: int, shown: Callable[[str], str]) -> tuple[str, ...]:
    """The lines as the terminal takes them: with NO_COLOR bold and reversed still tell things apart."""
    from rich.console import Console

    plain = bool(os.environ.get("NO_COLOR"))
    console = Console(
        file=StringIO(), force_terminal=True, width=columns, no_color=plain, color_system="standard", highlight=False
    )
    found = []
    for line in lines:
        safe = line.copy()
        safe.plain = shown(line.plain).translate(_BLANK)
        safe.truncate(columns, overflow="ellipsis")  # a figure that is cut off would be another figure
        with console.capture() as capture:
            console.print(safe, end="", no_wrap=True, overflow="ignore", crop=False)
        found.append(capture.get())
    return tuple(found)


def _end_of(text: str, room: int, cut: str) -> str:
    """The end of a line that is typed, with a sign that its beginning isn't there."""
    if cells(text) <= room:
        return text
    while cells(text) > room - cells(cut):
        text = text[1:]
    return f"{cut}{text}"


def _at_once(out: TextIO, text: str) -> None:
    """Past what Python holds back: a signal may come in the middle of writing that."""
    with suppress(OSError, ValueError):
        os.write(out.fileno(), text.encode())


@contextmanager
def window() -> Iterator[Window]:
    """A window of its own over what the terminal showed, which is there again afterward."""
    found = Window()
    sys.stdout.write(_ENTER)
    try:
        with around_a_stop(found.leave, found.enter):
            yield found
    finally:
        sys.stdout.write(_LEAVE)
        sys.stdout.flush()


def medium() -> Medium:
    """What this terminal can show."""
    from fieldvoice.output.screen.parts import PLAIN, RICH

    return PLAIN if block_cell() == "#" else RICH
