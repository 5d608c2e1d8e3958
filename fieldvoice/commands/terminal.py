"""The partner's window: the screen on a terminal, where only what changed is written, so that nothing flickers."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from io import StringIO
from typing import TYPE_CHECKING, TextIO

from fieldvoice.commands.output import block_cell, carries_more
from fieldvoice.output.printable import in_ascii, printable

if TYPE_CHECKING:
    from rich.text import Text

    from fieldvoice.output.screen import Medium

_ENTER = "\x1b[?1049h\x1b[?25h\x1b[2J"
_LEAVE = "\x1b[?1049l"
_FEWEST = (20, 6)


class Window:
    """Paints lines on a terminal of whatever size it has at that moment; the last row is for what is being typed."""

    def __init__(self, out: TextIO | None = None) -> None:
        self._out = out or sys.stdout
        self._shown: tuple[str, ...] = ()
        self._size = (0, 0)

    @property
    def size(self) -> tuple[int, int]:
        """Columns and rows, looked up anew: a window is resized at any moment."""
        try:
            found = os.get_terminal_size(self._out.fileno())
        except (OSError, ValueError):
            return 80, 24
        return max(found.columns, _FEWEST[0]), max(found.lines, _FEWEST[1])

    def paint(self, lines: Sequence[Text], prompt: str) -> None:
        """The lines from the top, the prompt in the last row with the cursor behind it. Writes what differs from what
        is there; all of it where the window has another size.
        """
        columns, rows = self.size
        if (columns, rows) != self._size:
            self._size, self._shown = (columns, rows), ()
            self._out.write("\x1b[2J")
        safe = printable if carries_more(self._out) else _plain
        prompt = safe(prompt)
        typed = prompt if len(prompt) < columns else f"{safe('…')}{prompt[-(columns - 2) :]}"
        frame = (*_styled(lines[: rows - 1], columns, safe), *[""] * (rows - 1 - len(lines)), typed)
        before = self._shown or ("\0",) * len(frame)
        changed = [
            f"\x1b[{row};1H{line}\x1b[0m\x1b[K"
            for row, (line, old) in enumerate(zip(frame, before, strict=True), 1)
            if line != old
        ]
        self._out.write("".join(changed) + f"\x1b[{rows};{len(typed) + 1}H")
        self._out.flush()
        self._shown = frame

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
        safe.plain = shown(line.plain)
        with console.capture() as capture:
            console.print(safe, end="", no_wrap=True, overflow="ignore", crop=False)
        found.append(capture.get())
    return tuple(found)


@contextmanager
def window() -> Iterator[Window]:
    """A window of its own over what the terminal showed, which is there again afterwards."""
    sys.stdout.write(_ENTER)
    try:
        yield Window()
    finally:
        sys.stdout.write(_LEAVE)
        sys.stdout.flush()


def medium() -> Medium:
    """What this terminal can show."""
    from fieldvoice.output.screen import PLAIN, RICH

    return PLAIN if block_cell() == "#" else RICH
