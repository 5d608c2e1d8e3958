"""A journal that lets the session go on when the disk doesn't: what can't be kept waits in memory, and that is said."""

from __future__ import annotations

import threading
from collections.abc import Iterator, Mapping
from datetime import datetime
from pathlib import Path
from typing import Self

from fieldvoice.errors import JournalTrouble
from fieldvoice.journal.journal import Entry, Journal, JournalBusy, Json, MemoryJournal
from fieldvoice.journal.rows import make_entry
from fieldvoice.journal.span import Span
from fieldvoice.journal.trouble import losses


class SteadyJournal:
    """A journal whose `append` never fails for the disk's sake; it has the face of the one it wraps.

    `trouble` says what is wrong, None while everything is kept: show it as long as it stands. With each further entry
    the waiting ones are tried again, in order.
    """

    def __init__(self, log: Journal | MemoryJournal, trouble: str | None = None) -> None:
        self._log = log
        self._standing = trouble
        self._failing: str | None = None
        self._waiting: list[Entry] = []
        self._turn = threading.Lock()

    @classmethod
    def open(cls, path: Path | str) -> Self:
        """Opens the journal at `path` to write; where that can't be, a journal in memory that says so, beginning with
        the entries that can be read.

        `JournalBusy` while another fieldvoice writes it: people say whether to view it or take another file.
        """
        try:
            journal = Journal.open(path)
        except JournalBusy:
            raise
        except JournalTrouble as error:
            return cls(_readable(Path(path)), f"{error} The session goes on in memory only.")
        if journal.notice is None and journal.lost:
            return cls(journal, f"{losses(journal.lost)} Check every reading against the wall before cutting.")
        return cls(journal, journal.notice)

    @property
    def trouble(self) -> str | None:
        """What is wrong, in words for the people at the wall."""
        if self._failing is None:
            return self._standing
        waiting = "1 entry is" if len(self._waiting) == 1 else f"{len(self._waiting)} entries are"
        return f"{self._failing} The session goes on: {waiting} in memory only, and lost if fieldvoice ends like this."

    @property
    def lost(self) -> tuple[Span, ...]:
        """The numbers of entries known lost."""
        return self._log.lost

    def append(self, kind: str, who: str, body: Mapping[str, Json], at: datetime) -> Entry:
        """Adds an entry; `trouble` tells whether it is on the disk. `ValueError` or `TypeError` for an unfit one."""
        with self._turn:
            try:
                self._catch_up()
                return self._log.append(kind, who, body, at)
            except JournalTrouble as error:
                entry = make_entry(self._following(), kind, who, body, at)
                self._waiting.append(entry)
                self._failing = str(error)
                return entry

    def entries(self) -> Iterator[Entry]:
        """Every entry, in order: those kept and those waiting. `JournalTrouble` where the kept ones can't be read."""
        waiting = tuple(self._waiting)
        first = waiting[0].seq if waiting else None
        for entry in self._log.entries():
            if entry.seq == first:  # kept after all, or caught up meanwhile: it is among the waiting
                break
            yield entry
        yield from waiting

    def close(self) -> None:
        """Tries once more to keep what waits, then closes. What still waits is lost, as `trouble` says."""
        with self._turn:
            try:
                self._catch_up()
            except JournalTrouble as error:
                self._failing = str(error)
            finally:
                self._log.close()

    def _catch_up(self) -> None:
        while self._waiting:
            self._log.keep(self._waiting[0])
            del self._waiting[0]
        self._failing = None

    def _following(self) -> int:
        return self._waiting[-1].seq + 1 if self._waiting else self._log.following


def _readable(path: Path) -> MemoryJournal:
    try:
        with Journal.view(path) as journal:
            return MemoryJournal(journal.entries(), journal.lost)
    except JournalTrouble:
        return MemoryJournal()
