"""The partner's desk: what each key and line does to the job, and what the window shows because of it."""

from __future__ import annotations

import threading
from collections.abc import Sequence
from time import monotonic
from typing import TYPE_CHECKING

from fieldvoice.commands.terminal import KeyOrder, Pressed, TypedLine, Window
from fieldvoice.dialogue.view import Job, View, in_hand
from fieldvoice.output.screen.compose import Look, compose
from fieldvoice.output.screen.parts import Medium, wrapped
from fieldvoice.records.hearing import Hearing

if TYPE_CHECKING:
    from rich.text import Text

    from fieldvoice.records.said import Say

FRESH_SECONDS = 1.0
PROMPT = "? keys > "
"""What stands before the line that is typed: the one key that tells the others."""
_PAGES = {KeyOrder.KEYS: Look.KEYS, KeyOrder.CAUTIONS: Look.CAUTIONS, KeyOrder.DETAILS: Look.STEPS}


class Desk:
    """Keys in, the screen out. Safe to call from the thread that hears as well as from the one that types."""

    def __init__(self, job: Job, who: str) -> None:
        self._job, self._who = job, who
        self._lock = threading.RLock()
        self._look, self._first = Look.NOW, 0
        self._more = self._anew = False
        self._told: list[str] = []
        self._seen: View | None = None
        self._drawn: tuple[object, float, tuple[Text, ...]] = (None, float("-inf"), ())

    def tell(self, message: str) -> None:
        """A message that stays until the next key or utterance."""
        with self._lock:
            self._told.append(message)
            self.changed()

    def changed(self) -> None:
        """The job isn't what was painted."""
        self._drawn = (None, float("-inf"), ())

    def heard(self) -> None:
        """Something was said: the job is what to look at."""
        with self._lock:
            self._told.clear()
            self._look, self._first = Look.NOW, 0
            self.changed()

    def pressed(self, pressed: Pressed) -> Sequence[Say]:
        """One key on an empty line, or a whole line; what is to be said aloud to it."""
        with self._lock:
            self._told.clear()
            self.changed()
            if isinstance(pressed, TypedLine):
                self._look = Look.NOW
                says = self._job.take(Hearing.typed(pressed.text), self._who)
            elif pressed in _PAGES:
                self._turn_to(_PAGES[pressed])
                return ()
            else:
                says = [say for say in self._ordered(pressed) if say.safety]  # a tick is seen; it needs no words
                self._seen = None  # who pressed it knows what it did
            self.changed()
            return says

    def _turn_to(self, look: Look) -> None:
        """The page that was asked for; its next part where there is more of it; then back to the job."""
        if self._look is not look:
            self._look, self._first = look, 0
        elif self._more:
            self._first += 1
        else:
            self._look = Look.NOW

    def _ordered(self, key: KeyOrder) -> Sequence[Say]:
        if key is KeyOrder.REDRAW:
            self._anew = True
        elif key is KeyOrder.TICK and self._look is Look.CAUTIONS:
            return self._read_on()
        elif key is KeyOrder.TICK and self._look is not Look.NOW:
            self._look = Look.NOW
        elif key is KeyOrder.TICK:
            return self._tick()
        elif key is KeyOrder.UNTICK:
            return self._job.untick(self._who)
        return ()

    def _read_on(self) -> Sequence[Say]:
        """The next part of the cautions; after the last one they are read, where there are any."""
        if self._more:
            self._first += 1
            return ()
        self._look = Look.NOW
        seen = self._seen or self._job.view()
        return self._job.acknowledge(seen, self._who) if seen.cautions else ()

    def _tick(self) -> Sequence[Say]:
        """The step that was shown in hand is done; before the first one the cautions are read."""
        seen = self._seen or self._job.view()
        if in_hand(seen) is None:
            return ()
        if not seen.acknowledged:
            self._look, self._first = Look.CAUTIONS, 0
            return ()
        return self._job.tick(seen, self._who) or ()

    def paint(self, window: Window, medium: Medium, typed: str, last_row: Text | None = None) -> None:
        """The job as it is at this moment, with what was told and the last row under it. It is made anew when it has
        changed, and once a second, since what is said of circuits runs out by the clock.
        """
        with self._lock:
            if self._anew:
                window.again()
                self._anew = False
            columns, rows = window.size
            told = [line for each in self._told for line in wrapped("! ", each, columns, "bold reverse")]
            under = [*told, *([last_row] if last_row is not None else [])]
            room = max(rows - 1 - len(under), 1)
            lines = self._lines(columns, room, medium)
            blank = [_blank()] * (room - len(lines)) if under else []
            window.paint([*lines, *blank, *under], f"{PROMPT}{typed}")

    def _lines(self, columns: int, rows: int, medium: Medium) -> tuple[Text, ...]:
        what, made, lines = self._drawn
        asked = (columns, rows, self._look, self._first)
        if what == asked and monotonic() - made < FRESH_SECONDS:
            return lines
        skipped = self._first * max(rows - 1, 1)
        self._seen = self._job.view()
        shown = compose(self._seen, columns, rows, self._look, medium, skipped)
        self._more = shown.more
        self._drawn = (asked, monotonic(), shown.lines)
        return shown.lines


def _blank() -> Text:
    from rich.text import Text

    return Text()
