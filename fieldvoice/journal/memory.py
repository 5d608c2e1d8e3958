"""What a session needs of a journal, and one that is kept in memory alone."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import datetime
from typing import Protocol

from fieldvoice.journal.rows import Entry, Json, check_number, make_entry
from fieldvoice.journal.span import Span


class Log(Protocol):
    """What a session needs of a journal; `lost` are the numbers of entries known lost."""

    @property
    def lost(self) -> tuple[Span, ...]:
        """The numbers of entries known lost."""

    def append(self, kind: str, who: str, body: Mapping[str, Json], at: datetime) -> Entry:
        """Keeps one more entry; once it is handed back it is kept. `JournalTrouble` where it couldn't be."""

    def entries(self) -> Iterator[Entry]:
        """Every entry, in order."""

    def close(self) -> None:
        """Lets go of the file; what is kept stays."""


class MemoryJournal:
    """A journal that lasts as long as the process; it may begin with the entries, and the losses, of another one."""

    def __init__(self, entries: Iterable[Entry] = (), lost: tuple[Span, ...] = ()) -> None:
        self._entries = list(entries)
        self.lost = lost

    def append(self, kind: str, who: str, body: Mapping[str, Json], at: datetime) -> Entry:
        """Keeps one more entry. `ValueError` or `TypeError` for one that isn't fit to be kept."""
        entry = make_entry(self.following, kind, who, body, at)
        self._entries.append(entry)
        return entry

    def keep(self, entry: Entry) -> None:
        """Keeps an entry that has its number already, once. `ValueError` where the number isn't the next one."""
        if entry not in self._entries:
            check_number(entry, self.following)
            self._entries.append(entry)

    @property
    def following(self) -> int:
        """The number that the next entry gets."""
        return self._entries[-1].seq + 1 if self._entries else 1

    def entries(self) -> Iterator[Entry]:
        """Every entry so far, in order."""
        return iter(tuple(self._entries))

    def close(self) -> None:
        """Nothing is held."""
