"""The partner's window: the screen on a terminal, where only what changed is written, so that nothing flickers."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from io import StringIO
from typing import TYPE_CHECKING, TextIO

from fieldvoice.commands.output import block_cell, carries_more
from fieldvoice.commands.stopping import around_a_stop
from fieldvoice.output.text import cells, in_ascii, printable
from fieldvoice.wording.screen import WINDOW_TOO_SMALL

if TYPE_CHECKING:
    from rich.text import Text

    from fieldvoice.output.screen.parts import Medium

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
