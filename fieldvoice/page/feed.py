"""What the page shows, handed from the dialogue's thread to every viewer without ever waiting for one."""

from __future__ import annotations

import asyncio
import threading
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager, suppress
from dataclasses import dataclass, field

VIEWERS = 20
"""Browsers at once: a crew and its boss have fewer; each holds a connection."""
BEAT_SECONDS = 0.5
"""A beat comes so often. The page blanks its marks when three are missing (`static/page.js`), within two seconds."""
SLOW_SECONDS = 10.0
"""A viewer that took nothing for so long is dropped, and may come again."""


class Full(Exception):
    """As many viewers as there may be are here."""


@dataclass(eq=False, slots=True)
class Viewer:
    """The latest state that this viewer hasn't got, if any: older ones are of no use to anybody."""

    news: asyncio.Event = field(default_factory=asyncio.Event)
    latest: str | None = None
    over: bool = False


class Feed:
    """The latest state as text, and those who watch it. `publish` may be called from any thread and never waits."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._latest = ""
        self._viewers: set[Viewer] = set()
        self._loop: asyncio.AbstractEventLoop | None = None
        self._ended = False

    @property
    def latest(self) -> str:
        """What a viewer that comes now sees first."""
        with self._lock:
            return self._latest

    @property
    def viewers(self) -> int:
        """How many are watching."""
        return len(self._viewers)

    @property
    def full(self) -> bool:
        """Whether as many are watching as may: none any more, once nothing more comes."""
        return self._ended or len(self._viewers) >= VIEWERS

    def publish(self, state: str) -> None:
        """A new state for everybody: text without a line feed or carriage return, as JSON is."""
        with self._lock:
            if state == self._latest:
                return
            self._latest = state
            loop = self._loop
        if loop is not None and not loop.is_closed():
            try:
                loop.call_soon_threadsafe(self._spread, state)
            except RuntimeError:
                return  # the server has just ended: there is nobody left to tell

    def end(self) -> None:
        """Nothing more comes: everybody who watches is let go, and who comes again is shown nothing old."""
        with self._lock:
            loop, self._ended = self._loop, True
        if loop is not None and not loop.is_closed():
            with suppress(RuntimeError):
                loop.call_soon_threadsafe(self._let_go)

    def _let_go(self) -> None:
        for viewer in self._viewers:
            viewer.over = True
            viewer.news.set()

    def _spread(self, state: str) -> None:
        for viewer in self._viewers:
            viewer.latest = state
            viewer.news.set()

    @asynccontextmanager
    async def watched(self) -> AsyncIterator[Viewer]:
        """One viewer for as long as it is connected. Raises `Full`."""
        with self._lock:
            self._loop = asyncio.get_running_loop()
            latest = self._latest
        if self.full:
            raise Full
        viewer = Viewer(latest=latest)
        viewer.news.set()
        self._viewers.add(viewer)
        try:
            yield viewer
        finally:
            self._viewers.discard(viewer)


async def events(viewer: Viewer) -> AsyncIterator[str]:
    """Server-sent events for one viewer: each new state, and a beat whenever nothing was new for `BEAT_SECONDS`."""
    while True:
        try:
            await asyncio.wait_for(viewer.news.wait(), BEAT_SECONDS)
        except TimeoutError:
            yield "event: beat\ndata: 1\n\n"
            continue
        if viewer.over:
            return
        viewer.news.clear()
        state, viewer.latest = viewer.latest, None
        if state is not None:
            yield f"event: state\ndata: {state}\n\n"
