"""Ctrl-Z and an end from outside or by the quit key: what was done to the terminal is undone before the program stops
or ends, and done again when it goes on.
"""

from __future__ import annotations

import signal
import sys
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType


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
