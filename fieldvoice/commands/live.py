"""The partner's terminal during a live session: the job, and under it what the microphone brings."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from time import monotonic
from typing import TYPE_CHECKING

from fieldvoice.commands.output import clear_row, console, live, show, show_line, tell

if TYPE_CHECKING:
    from fieldvoice.dialogue.view import View
    from fieldvoice.ears.listening import Moment
    from fieldvoice.ears.microphone import Level

CLIPPED_SECONDS = 2.0
"""So long it is shown that the sound clipped: a person must have time to see it."""
IDLE, HEARING = "listening", "hearing"
KEY_UP, KEY_DOWN = "SPACE TO TALK", "TALKING, space ends"


class Screen:
    """A live screen where both ends are a terminal; elsewhere plain lines. `key` says that a key opens the microphone.

    What is told stays on the screen until the next utterance was taken.
    """

    def __init__(self, *, key: bool) -> None:
        self._live = live()
        self._idle, self._busy = (KEY_UP, KEY_DOWN) if key else (IDLE, HEARING)
        self._view: View | None = None
        self._told: list[str] = []
        self._clipped = float("-inf")
        self._last = ""

    def show(self, view: View, lines: Sequence[str]) -> None:
        """The job after an utterance; where there is no screen, the lines that were said."""
        self._view = view
        self._told.clear()
        if self._live:
            self._draw()
        else:
            for line in lines:
                show(line)

    def tell(self, message: str) -> None:
        """A message to the person."""
        if self._live and self._view is not None:
            self._told.append(message)
            self._draw()
        else:
            tell(message)

    def moment(self, now: Moment, level: Level) -> None:
        """The last row, drawn anew where it changed."""
        if not self._live:
            return
        from fieldvoice.commands.output import block_cell
        from fieldvoice.output.meter import Heard, meter

        self._clipped = monotonic() if level.clipping else self._clipped
        clipping = monotonic() - self._clipped < CLIPPED_SECONDS
        heard = Heard(level.db, now.noise_db, clipping, self._busy if now.speaking else self._idle, now.words)
        terminal = console()
        line = meter(heard, max(terminal.width - 1, 20), blocks=block_cell() != "#")
        if line.markup != self._last:
            self._last = line.markup
            clear_row()
            show_line(line, end="")
            sys.stdout.flush()

    def _draw(self) -> None:
        from fieldvoice.commands.display import draw

        assert self._view is not None
        draw(self._view, self._told)
        self._last = ""
