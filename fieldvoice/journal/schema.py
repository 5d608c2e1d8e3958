"""How a journal lies in its SQLite file: the connection's settings, the tables, and the steps from older layouts."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from pathlib import Path

from fieldvoice.errors import JournalTrouble
from fieldvoice.journal.rows import Row

APPLICATION_ID = 0x46_56_4A_31
"""Stands in the file's header and tells a journal from other SQLite files ("FVJ1")."""

PAGE_BYTES = 4096
"""The same in every journal, so that a file whose header is gone can still be read page by page."""

_FIRST = """
CREATE TABLE entry (
    seq INTEGER PRIMARY KEY,
    at TEXT NOT NULL,
    who TEXT NOT NULL,
    kind TEXT NOT NULL,
    body TEXT NOT NULL,
    sum BLOB NOT NULL
) STRICT;
CREATE TABLE lost (
    first INTEGER NOT NULL,
    last INTEGER NOT NULL,
    found TEXT NOT NULL
) STRICT;
CREATE TRIGGER entry_keeps_order BEFORE INSERT ON entry WHEN NEW.seq <= (SELECT max(seq) FROM entry)
BEGIN SELECT RAISE(ABORT, 'entries are only added at the end'); END;
CREATE TRIGGER entry_is_not_changed BEFORE UPDATE ON entry
BEGIN SELECT RAISE(ABORT, 'entries are not changed'); END;
CREATE TRIGGER entry_is_not_taken_out BEFORE DELETE ON entry
BEGIN SELECT RAISE(ABORT, 'entries are not taken out'); END;
CREATE TRIGGER lost_is_not_changed BEFORE UPDATE ON lost
BEGIN SELECT RAISE(ABORT, 'losses are not changed'); END;
CREATE TRIGGER lost_is_not_taken_out BEFORE DELETE ON lost
BEGIN SELECT RAISE(ABORT, 'losses are not taken out'); END;
"""

STEPS: tuple[str, ...] = (_FIRST,)
"""Step n takes a file from layout n to layout n + 1. Steps are added at the end and never edited."""

INSERT_ROW = "INSERT INTO entry VALUES (?, ?, ?, ?, ?, ?)"

_BUSY_SECONDS = 2.0


class ForeignFile(JournalTrouble):
    """The file says that another program made it."""


def bind(row: Row) -> tuple[int | str | bytes, ...]:
    """A row's values as `INSERT_ROW` takes them."""
    seq, *texts, total = row
    return (seq, *(text.decode() for text in texts), total)


def connect(path: Path, *, read_only: bool = False) -> sqlite3.Connection:
    """A connection with the journal's settings; the caller closes it, from any thread."""
    mode = "ro" if read_only else "rwc"
    connection = sqlite3.connect(
        f"{path.absolute().as_uri()}?mode={mode}",
        uri=True,
        timeout=_BUSY_SECONDS,
        isolation_level=None,
        check_same_thread=False,
    )
    connection.text_factory = bytes  # a damaged text must not stop the reading of the others
    connection.execute("PRAGMA synchronous = FULL")
    return connection


def layout(connection: sqlite3.Connection) -> int:
    """The layout the file has: 0 where nothing is in it yet. `ForeignFile` for a file of another kind."""
    identity = _pragma(connection, "application_id")
    version = _pragma(connection, "user_version")
    empty = connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()[0] == 0
    if identity != APPLICATION_ID and not (empty and identity == 0 and version == 0):
        raise ForeignFile("This file is a database of another program, not a journal. Nothing in it was changed.")
    return version


def migrate(connection: sqlite3.Connection, steps: Sequence[str] = STEPS) -> None:
    """Brings the file to the newest layout, each step whole or not at all; `JournalTrouble` for one from the future."""
    version = layout(connection)
    if version > len(steps):
        raise JournalTrouble(
            f"This journal was written by a newer fieldvoice (layout {version}, this one knows {len(steps)}). "
            "Nothing in it was changed. Use the newer fieldvoice, or choose another file with --job."
        )
    if version == 0:
        connection.execute(f"PRAGMA page_size = {PAGE_BYTES}")
    connection.execute("PRAGMA journal_mode = WAL")
    for number, step in enumerate(steps[version:], start=version + 1):
        identity = f"PRAGMA application_id = {APPLICATION_ID}; PRAGMA user_version = {number};"
        try:
            connection.executescript(f"BEGIN IMMEDIATE; {step} {identity} COMMIT;")
        except BaseException:
            if connection.in_transaction:
                connection.execute("ROLLBACK")
            raise


def _pragma(connection: sqlite3.Connection, name: str) -> int:
    return int(connection.execute(f"PRAGMA {name}").fetchone()[0])
