"""The partner's terminal in a live session: the job, keys and lines at any moment, what the microphone brings."""

from __future__ import annotations

import _thread
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack, contextmanager
from time import monotonic
from typing import TYPE_CHECKING

from fieldvoice.commands.desk import Desk
from fieldvoice.commands.keyboard import Keyboard, KeyOrder, keyboard
from fieldvoice.commands.output import block_cell, live, show, tell
from fieldvoice.commands.terminal import Window, medium, window
from fieldvoice.errors import BadUsage, NotHere

if TYPE_CHECKING:
    from rich.text import Text

    from fieldvoice.dialogue.view import Job
    from fieldvoice.ears.listening import Moment
    from fieldvoice.ears.microphone import Level
    from fieldvoice.records.said import Say

CLIPPED_SECONDS = 2.0
"""So long it is shown that the sound clipped: a person must have time to see it."""
WAIT_SECONDS = 0.25
"""The keyboard is waited for so long at a time; then the window is looked after."""
IDLE, HEARING = "listening", "hearing"
KEY_UP, KEY_DOWN = "SPACE TO TALK", "TALKING, space ends"


class Screen:
    """A live screen where both ends are a terminal; elsewhere plain lines. `key` says that a key opens the microphone.

    What is told stays on the screen until the next utterance was taken. `said` gets what is to be said aloud to what
    the partner did, `changed` is called after it.
    """

    def __init__(
        self,
        job: Job,
        said: Callable[[Sequence[Say]], None],
        changed: Callable[[], None],
        *,
        key: bool,
    ) -> None:
        self._desk = Desk(job, "partner")
        self._said, self._changed = said, changed
        self._key = key
        self._idle, self._busy = (KEY_UP, KEY_DOWN) if key else (IDLE, HEARING)
        self._clipped = float("-inf")
        self._row: Text | None = None
        self._keys: Keyboard | None = None
        self._glass: Window | None = None
        self._painting = threading.Lock()
        self._presses = 0
        self._fault: Exception | None = None

    @contextmanager
    def open(self) -> Iterator[None]:
        """The screen with its keys for as long as this is open. Raises `BadUsage` where there is no terminal and a talk
        key is wanted.
        """
        with ExitStack() as opened:
            if self._key and not live():
                raise BadUsage("The talk key is read from the terminal, and this isn't one. Leave out --push-to-talk.")
            if live():
                try:
                    self._keys = opened.enter_context(keyboard())
                except NotHere:
                    if self._key:
                        raise
                else:
                    self._glass = opened.enter_context(window())
                    opened.enter_context(self._watched())
            yield

    def presses(self) -> int:
        """How often the talk key was pressed since this was asked last."""
        count, self._presses = self._presses, 0
        return count

    def show(self, lines: Sequence[str]) -> None:
        """The job after an utterance; where there is no screen, the lines that were said."""
        self._desk.heard()
        if self._glass is not None:
            self.paint()
            return
        for line in lines:
            show(line)

    def tell(self, message: str) -> None:
        """A message to the person."""
        if self._glass is None:
            tell(message)
        else:
            self._desk.tell(message)
            self.paint()

    def moment(self, now: Moment, level: Level) -> None:
        """The row of the microphone, drawn anew where it changed."""
        if self._glass is None:
            return
        from fieldvoice.output.screen.parts import MicrophoneState, meter

        self._clipped = monotonic() if level.clipping else self._clipped
        clipping = monotonic() - self._clipped < CLIPPED_SECONDS
        heard = MicrophoneState(level.db, now.noise_db, clipping, self._busy if now.speaking else self._idle, now.words)
        row = meter(heard, max(self._glass.size[0] - 1, 20), blocks=block_cell() != "#")
        if self._row is None or row.markup != self._row.markup:
            self._row = row
            self.paint()

    def paint(self) -> None:
        """The window as it should be now."""
        if self._glass is not None and self._keys is not None:
            with self._painting:
                self._desk.paint(self._glass, medium(), self._keys.typing.text, self._row)

    @contextmanager
    def _watched(self) -> Iterator[None]:
        """Keys are heeded in a thread of their own: the microphone has the main one."""
        over = threading.Event()
        thread = threading.Thread(target=self._watch, args=(over,), name="keys", daemon=True)
        thread.start()
        try:
            yield
        except KeyboardInterrupt:
            if self._fault is not None:
                raise self._fault from None
            raise
        finally:
            over.set()
            thread.join(2)

    def _watch(self, over: threading.Event) -> None:
        """Heeds keys; what goes wrong there ends the session as if it had gone wrong in the main thread."""
        try:
            self._heed(over)
        except Exception as fault:  # noqa: BLE001 - nobody else would see it, and the keys would be dead
            self._fault = fault
            _thread.interrupt_main()

    def _heed(self, over: threading.Event) -> None:
        assert self._keys is not None
        while not over.is_set():
            for pressed in self._keys.wait(WAIT_SECONDS):
                if pressed is KeyOrder.END:
                    _thread.interrupt_main()
                    return
                if pressed is KeyOrder.TALK:
                    self._presses += 1
                    continue
                says = self._desk.pressed(pressed)
                self.paint()
                self._changed()
                self._said(says)
            self.paint()
