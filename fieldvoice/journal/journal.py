"""The job's record: entries are added at its end and never changed, and an entry handed back is on the disk.

One `Journal` writes a file at a time; a second one is told (`JournalBusy`) and may view it. Each thread has a
connection of its own, and writes take turns.
"""

from __future__ import annotations

import os
import sqlite3
import threading
from collections.abc import Callable, Iterator, Mapping
from contextlib import ExitStack, closing, suppress
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from shutil import copyfile
from tempfile import TemporaryDirectory
from typing import Self

from filelock import FileLock, Timeout

from fieldvoice.errors import JournalTrouble
from fieldvoice.journal.examine import SELECT_ROWS, known_losses, look_over
from fieldvoice.journal.memory import Log, MemoryJournal
from fieldvoice.journal.repair import finish_repair, log_of, read_bytes, repair
from fieldvoice.journal.rows import DamagedRow, Entry, Json, check_number, entry_to_row, make_entry, row_to_entry
from fieldvoice.journal.schema import INSERT_ROW, bind, connect
from fieldvoice.journal.span import Span
from fieldvoice.journal.trouble import (
    JournalBusy,
    Unwritable,
    busy,
    damage,
    not_kept,
    not_read,
    not_there,
    only_viewed,
    unwritable,
)

__all__ = ["Entry", "Journal", "JournalBusy", "Json", "Log", "MemoryJournal"]

_SELECT_ROW = "SELECT seq, at, who, kind, body, sum FROM entry WHERE seq = ?"
_NEXT = "SELECT max(coalesce((SELECT max(seq) FROM entry), 0), coalesce((SELECT max(last) FROM lost), 0)) + 1"

_Numbered = Callable[[sqlite3.Connection], Entry]


class Journal:
    """A journal in an SQLite file.

    `notice` tells what opening found wrong and repaired, else None; `lost` are the numbers of entries known lost;
    `following` is the number that the next entry gets.
    """

    def __init__(
        self,
        path: Path,
        held: ExitStack,
        *,
        read_only: bool = False,
        lost: tuple[Span, ...] = (),
        notice: str | None = None,
    ) -> None:
        self.path = path
        self.read_only = read_only
        self.lost = lost
        self.notice = notice
        self.following = 1
        self._failed: Entry | None = None
        self._held = held
        self._turn = threading.Lock()
        self._mine = threading.local()
        self._connections: list[sqlite3.Connection] = []

    @classmethod
    def open(cls, path: Path | str) -> Journal:
        """Opens the journal to write, making it where there is none. A damaged one is repaired first (see `notice`).

        `JournalBusy` while another one writes it; `JournalTrouble` where it can't be read or written.
        """
        place = Path(path)
        with ExitStack() as held:
            held.callback(_hold(place).release)
            found = _ready(place)
            notice = damage(place, found.aside, found.lost) if found.aside else None
            journal = cls(place, held.pop_all(), lost=found.lost, notice=notice)
            journal.following = found.following
            return journal

    @classmethod
    def view(cls, path: Path | str) -> Journal:
        """Opens the journal to read only, changing nothing: alongside the one that writes it, else as it is now.

        `JournalTrouble` where it isn't there or can't be read.
        """
        place = Path(path)
        if not place.is_file():
            raise not_there(place)
        with ExitStack() as held:
            try:
                with suppress(Unwritable):
                    held.callback(_hold(place).release)
            except JournalBusy:
                return _alongside(place)
            return _copied(place)

    def append(self, kind: str, who: str, body: Mapping[str, Json], at: datetime) -> Entry:
        """Adds an entry; it is on the disk when it is handed back.

        `JournalTrouble` where it couldn't be kept; the earlier ones are. Called again with the same, it isn't added
        twice, though a write may fail so late that the entry is there after all. `ValueError` or `TypeError` for an
        entry that isn't fit to be kept.
        """

        def numbered(connection: sqlite3.Connection) -> Entry:
            entry = make_entry(_next(connection), kind, who, body, at)
            again = replace(entry, seq=entry.seq - 1)
            return again if again == self._failed and _is_there(connection, again) else entry

        return self._write(numbered)

    def keep(self, entry: Entry) -> None:
        """Keeps an entry that has its number already, once: where a write failed so late that the entry is there
        after all, it isn't added again. `ValueError` where the number isn't the next one.
        """

        def numbered(connection: sqlite3.Connection) -> Entry:
            if not _is_there(connection, entry):
                check_number(entry, _next(connection))
            return entry

        self._write(numbered)

    def entries(self) -> Iterator[Entry]:
        """Every entry, in order. `JournalTrouble` where one turns out damaged since the journal was opened."""
        try:
            for row in self._connection().execute(SELECT_ROWS):
                yield row_to_entry(row)
        except sqlite3.Error as error:
            raise not_read(error, self.path) from error
        except DamagedRow as error:
            raise JournalTrouble(f"{self.path}: {error}. Close the job and open it again to save the rest.") from error

    def close(self) -> None:
        """Closes the file for every thread and lets another one write it."""
        with self._turn:
            for connection in self._connections:
                connection.close()
            self._connections.clear()
            self._mine = threading.local()
        self._held.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def _write(self, numbered: _Numbered) -> Entry:
        """Adds the entry that `numbered` gives within the transaction, unless it is there."""
        if self.read_only:
            raise only_viewed(self.path)
        with self._turn:
            try:
                entry = _in_one_piece(self._connection(), self._noted(numbered))
            except sqlite3.Error as error:
                self._drop()
                raise not_kept(error, self.path) from error
            self.following = entry.seq + 1
            self._failed = None
            return entry

    def _noted(self, numbered: _Numbered) -> _Numbered:
        """Remembers the entry before it is written, for the case that the write fails."""

        def noted(connection: sqlite3.Connection) -> Entry:
            self._failed = numbered(connection)
            return self._failed

        return noted

    def _connection(self) -> sqlite3.Connection:
        """The connection of the thread that asks."""
        mine: sqlite3.Connection | None = getattr(self._mine, "connection", None)
        if mine is None:
            mine = self._mine.connection = connect(self.path, read_only=self.read_only)
            self._connections.append(mine)
        return mine

    def _drop(self) -> None:
        """Forgets this thread's connection after an error, so that the next try starts afresh."""
        mine: sqlite3.Connection | None = getattr(self._mine, "connection", None)
        if mine is not None:
            self._mine.connection = None
            self._connections.remove(mine)
            mine.close()


def _in_one_piece(connection: sqlite3.Connection, numbered: _Numbered) -> Entry:
    connection.execute("BEGIN IMMEDIATE")
    try:
        entry = numbered(connection)
        if entry.seq == _next(connection):
            connection.execute(INSERT_ROW, bind(entry_to_row(entry)))
        connection.execute("COMMIT")
    except BaseException:
        if connection.in_transaction:
            connection.execute("ROLLBACK")
        raise
    return entry


def _is_there(connection: sqlite3.Connection, entry: Entry) -> bool:
    row: object = connection.execute(_SELECT_ROW, (entry.seq,)).fetchone()
    return row == entry_to_row(entry)


def _next(connection: sqlite3.Connection) -> int:
    return int(connection.execute(_NEXT).fetchone()[0])


def _hold(path: Path) -> FileLock:
    """The lock that says who writes, in a file of its own beside the journal."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise unwritable(path) from error
    if not os.access(path.parent, os.W_OK) or (path.exists() and not os.access(path, os.W_OK)):
        raise unwritable(path)
    lock = FileLock(path.with_name(path.name + ".lock"), thread_local=False)
    try:
        lock.acquire(blocking=False)
    except Timeout as error:
        raise busy(path) from error
    except OSError as error:
        raise unwritable(path) from error
    return lock


@dataclass(frozen=True, slots=True)
class _Ready:
    """A journal ready to be used: the number of its next entry, what is lost, and where the damaged file went if there
    was damage now.
    """

    following: int
    lost: tuple[Span, ...]
    aside: Path | None = None


def _ready(path: Path) -> _Ready:
    """Makes the journal, or looks it over and repairs it. The caller holds it."""
    try:
        finish_repair(path)
        log = read_bytes(log_of(path))
        findings = look_over(path, log)
        lost, aside = (findings.known, None) if findings.sound else repair(path, log, open_end=findings.open_end)
        with closing(connect(path)) as connection:
            return _Ready(_next(connection), lost, aside)
    except (OSError, sqlite3.Error) as error:
        raise not_read(error, path) from error


def _alongside(path: Path) -> Journal:
    """A view of a journal that another one writes: what that one adds is seen."""
    try:
        with closing(connect(path, read_only=True)) as connection:
            lost = known_losses(connection)
    except sqlite3.Error as error:
        raise not_read(error, path) from error
    return Journal(path, ExitStack(), read_only=True, lost=lost)


def _copied(path: Path) -> Journal:
    """A view of a copy: a log can't be read without being written to, nor damage mended."""
    with ExitStack() as held:
        copy = Path(held.enter_context(TemporaryDirectory(prefix="fieldvoice-"))) / path.name
        try:
            for source, target in ((path, copy), (log_of(path), log_of(copy))):
                if source.exists():
                    copyfile(source, target)
        except OSError as error:
            raise not_read(error, path) from error
        found = _ready(copy)
        notice = damage(path, None, found.lost) if found.aside else None
        return Journal(copy, held.pop_all(), read_only=True, lost=found.lost, notice=notice)
