"""The job's record: a turn's entry is added at its end and never changed, and one handed back is on the disk.

The journal is the one owner of "not kept": an entry that can't be written waits in it, the turn that added it is told
(`NotKept`), and each further turn, and the end, tries again and is told again while it fails.
"""

from __future__ import annotations

import os
import threading
from collections.abc import Iterable, Iterator, Mapping
from contextlib import suppress
from datetime import UTC, datetime
from io import FileIO
from pathlib import Path
from stat import S_ISREG
from typing import Self

from fieldvoice.errors import JournalBusy, JournalTrouble, NotKept, OldJob
from fieldvoice.files.durable import InUse, hold, make, write_at
from fieldvoice.journal.format import (
    MENDED,
    OLD,
    Contents,
    Entry,
    Json,
    Lost,
    file_of,
    head_of,
    is_newer,
    is_ours,
    line_of,
    make_entry,
    mended,
    next_number,
    read,
)
from fieldvoice.records.trouble import Trouble, Wrong

MOST_BYTES = 256 * 1024 * 1024
"""What a job may have: some 300,000 turns, more than a crew says in years."""


class MemoryJournal:
    """What a session needs of a journal; by itself it lasts as long as the process. It may begin with the entries, and
    the losses, of another one. `lost` are the entries known lost: what they held is in question. `trouble` is what is
    wrong now, to be shown as long as it stands.
    """

    def __init__(
        self, entries: Iterable[Entry] = (), lost: Iterable[Lost] = (), trouble: JournalTrouble | None = None
    ) -> None:
        self._entries, self.lost, self.trouble = list(entries), tuple(lost), trouble

    def append(self, kind: str, who: str, body: Mapping[str, Json], at: datetime) -> Entry:
        """Adds one turn's entry; where the journal has a file it is on the disk when it is handed back. `NotKept` where
        it is in memory only: it is among `entries` all the same, so the turn counts, and is told together with the
        error's text. `ValueError` or `TypeError` for what isn't fit to be kept.
        """
        entry = make_entry(next_number(self._entries, self.lost), kind, who, body, at)
        self._entries.append(entry)
        return entry

    def records(self) -> Iterator[Entry]:
        """Every entry so far and the journal's own, in order."""
        return iter(tuple(self._entries))

    def entries(self) -> Iterator[Entry]:
        """Every entry, in order, those that wait for the disk among them."""
        return (entry for entry in self.records() if entry.kind != MENDED)

    def close(self) -> None:
        """Tries once more to keep what waits, then lets go of the file. `NotKept` where something still waits."""

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()


class Journal(MemoryJournal):
    """A journal in a file, or with why there is none. `mended` tells what opening found wrong and put right."""

    def __init__(
        self, path: Path, contents: Contents, file: FileIO | JournalTrouble, mended: JournalTrouble | None = None
    ) -> None:
        trouble = _not_kept(file, path, 0) if isinstance(file, JournalTrouble) else mended
        super().__init__(contents.entries, contents.lost, trouble)
        self.path, self.mended, self._file = path, mended, file
        self._end, self._sum = contents.end, contents.sum
        self._waiting: list[Entry] = []
        self._turn = threading.Lock()

    @classmethod
    def open(cls, path: Path | str) -> Self:
        """Opens the journal to write, making it where there is none. What a damaged one still holds goes into a new
        file in its place; `trouble` says so, and where the damaged one is kept. Whatever else the disk does the session
        goes on, with what can be read: `trouble` says why, and each turn gets `NotKept`.

        `JournalBusy` while another one writes it, by whatever name: two crews who each believe that they keep the job
        would cut from two. `OldJob` for one of version 0.1.
        """
        path = Path(path)
        try:
            return cls._opened(path)
        except InUse as error:
            raise JournalBusy(Trouble(Wrong.JOURNAL_BUSY, path=path)) from error
        except OldJob:
            raise
        except JournalTrouble as error:
            why = error
        except OSError as error:
            why = JournalTrouble(Trouble(Wrong.JOURNAL_NOT_OPENED, path=path, errno=error.errno))
        found = Contents()
        with suppress(JournalTrouble):
            found = contents_of(path)
        return cls(path, found, why)

    @classmethod
    def _opened(cls, path: Path) -> Self:
        place = Path(os.path.realpath(path))  # unlike `resolve`, it raises nothing where links go in a circle
        with suppress(FileExistsError):
            make(place, file_of(()))
        _check_plain(place, path)
        file = hold(place)
        try:
            data = file.readall()
            found = _contents(data, place)
            if not found.faults:
                file.truncate(found.end)
                return cls(place, found, file)
            aside = place.with_name(f"{place.name}.damaged-{datetime.now(UTC):%Y%m%dT%H%M%S%f}")
            make(aside, data)
            make(place, mended(found), over=True)
            fresh = hold(place)
        except BaseException:
            file.close()
            raise
        file.close()
        return cls(place, read(fresh.readall()), fresh, _damaged(place, aside, found))

    def append(self, kind: str, who: str, body: Mapping[str, Json], at: datetime) -> Entry:
        """The entry, on the disk."""
        with self._turn:
            entry = super().append(kind, who, body, at)
            self._waiting.append(entry)
            self._keep()
            return entry

    def close(self) -> None:
        """The file let go."""
        with self._turn:
            try:
                if self._waiting:
                    self._keep()
            finally:
                self._waiting.clear()
                if isinstance(self._file, FileIO):
                    self._file.close()
                    self._file = JournalTrouble(Trouble(Wrong.JOURNAL_CLOSED))

    def _keep(self) -> None:
        """Writes each entry that waits, then the head. A write that failed is made again at the same place."""
        try:
            if isinstance(self._file, JournalTrouble):
                raise self._file
            while self._waiting:
                line = line_of(self._waiting[0], self._sum)
                write_at(self._file, self._end, line)
                write_at(self._file, *head_of(self._waiting[0].seq, line[:32].decode()))
                del self._waiting[0]  # first: an interruption behind this one leaves nothing to be written twice
                self._end, self._sum = self._end + len(line), line[:32].decode()
        except (OSError, JournalTrouble) as error:
            self.trouble = _not_kept(error, self.path, len(self._waiting))
            raise self.trouble from error
        self.trouble = self.mended


def contents_of(path: Path) -> Contents:
    """What a file holds and what is wrong with it; nothing is changed. `JournalTrouble` where it is none of ours."""
    for _ in range(3):  # a writer may be at work in the middle of the reading
        try:
            _check_plain(path, path)
            found = _contents(path.read_bytes(), path)
        except FileNotFoundError as error:
            raise JournalTrouble(Trouble(Wrong.NO_JOURNAL, path=path)) from error
        except OSError as error:
            raise JournalTrouble(Trouble(Wrong.JOURNAL_NOT_READ, path=path, error=error.strerror)) from error
        if not found.faults:
            break
    return found


def viewed(path: Path, found: Contents) -> MemoryJournal:
    """What a file holds, to be looked at: what is added goes into no file."""
    return MemoryJournal(found.entries, found.lost, _damaged(path, None, found) if found.faults else None)


def _check_plain(place: Path, path: Path) -> None:
    """Refuses what isn't a file, or no file of ours by its size: a device or a pipe may be read from without end."""
    found = place.stat()
    if not S_ISREG(found.st_mode) or found.st_size > MOST_BYTES:
        raise JournalTrouble(Trouble(Wrong.NOT_A_JOURNAL, path=path))


def _contents(data: bytes, path: Path) -> Contents:
    if data.startswith(OLD):
        raise OldJob(Trouble(Wrong.OLD_JOB, path=path))
    if is_newer(data):
        raise JournalTrouble(Trouble(Wrong.NEWER_JOURNAL, path=path))
    if not is_ours(data):
        raise JournalTrouble(Trouble(Wrong.NOT_A_JOURNAL, path=path))
    return read(data)


def _not_kept(error: OSError | JournalTrouble, path: Path, waiting: int) -> NotKept:
    cause = error.errno if isinstance(error, OSError) else error.why
    return NotKept(Trouble(Wrong.NOT_KEPT, path=path, cause=cause, waiting=waiting))


def _damaged(path: Path, aside: Path | None, found: Contents) -> JournalTrouble:
    return JournalTrouble(Trouble(Wrong.JOURNAL_DAMAGED, path=path, aside=aside, lost=tuple(found.lost)))
