"""Looks a journal over: what is damaged, what is missing, and the words that say so."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from fieldvoice.journal.rows import is_whole
from fieldvoice.journal.salvage import salvage
from fieldvoice.journal.schema import APPLICATION_ID, PAGE_BYTES, ForeignFile, connect, migrate
from fieldvoice.journal.span import Span, gaps
from fieldvoice.journal.trouble import not_a_journal

_DAMAGE = ("SQLITE_CORRUPT", "SQLITE_NOTADB", "SQLITE_ERROR")

SELECT_ROWS = "SELECT seq, at, who, kind, body, sum FROM entry ORDER BY seq"


@dataclass(frozen=True, slots=True)
class Findings:
    """What is wrong with a journal. `damaged` rows are there and not as written; `missing` ones aren't there;
    `structure` is what SQLite says of the file; `stranded` rows are whole in the log but SQLite passes over them;
    `unfinished` rows are cut off at the end of the log, as a write is when the power goes; `known` were lost before.
    """

    entries: int = 0
    damaged: tuple[int, ...] = ()
    missing: tuple[Span, ...] = ()
    structure: tuple[str, ...] = ()
    stranded: tuple[int, ...] = ()
    unfinished: tuple[int, ...] = ()
    known: tuple[Span, ...] = ()

    @property
    def open_end(self) -> bool:
        """Whether entries may have followed the last one that can be read, with nothing left to tell of them."""
        return bool(self.structure or self.stranded)

    @property
    def sound(self) -> bool:
        """Whether nothing new is wrong: an entry that was never finished was never acknowledged."""
        return not (self.damaged or self.missing or self.structure or self.stranded)


def examine(connection: sqlite3.Connection, log: bytes) -> Findings:
    """Checks the structure and every row; `log` is the write-ahead log as it was before the connection was made."""
    known = known_losses(connection)
    whole: list[int] = []
    damaged: list[int] = []
    structure = [line.decode() for (line,) in connection.execute("PRAGMA quick_check(5)") if line != b"ok"]
    try:
        for row in connection.execute(SELECT_ROWS):
            (whole if is_whole(row) else damaged).append(row[0])
    except sqlite3.DatabaseError as error:
        structure.append(str(error))
    last = max(whole, default=0)
    left = salvage(b"", log)
    return Findings(
        entries=len(whole),
        damaged=tuple(damaged),
        missing=tuple(gaps((*whole, *damaged), known)),
        structure=tuple(structure),
        stranded=tuple(row[0] for row in left.rows if row[0] > last),
        unfinished=tuple(sorted(seq for seq in left.damaged if seq > last)),
        known=known,
    )


def known_losses(connection: sqlite3.Connection) -> tuple[Span, ...]:
    """Entries that an earlier opening found lost. `sqlite3.DatabaseError` where the table holds something else."""
    found = connection.execute("SELECT first, last FROM lost ORDER BY first").fetchall()
    if not all(type(first) is int and type(last) is int and 0 < first <= last for first, last in found):
        raise sqlite3.DatabaseError("the table of losses holds something else")
    return tuple(Span(first, last) for first, last in found)


def look_over(path: Path, log: bytes) -> Findings:
    """Readies a journal's file and says what is wrong with it. The caller holds the journal.

    `JournalTrouble` where the file is none of ours or from the future; `sqlite3.Error` where it can't be reached.
    """
    size = path.stat().st_size if path.exists() else 0
    if size < PAGE_BYTES and (size or len(log) > PAGE_BYTES):
        # SQLite would take this for an empty database and throw the log away
        return _if_ours(path, log, "the file is cut off in its first page")
    try:
        with closing(connect(path)) as connection:
            migrate(connection)
            return examine(connection, log)
    except (ForeignFile, UnicodeDecodeError) as error:  # the latter where SQLite's own message quotes damaged text
        return _if_ours(path, log, str(error))
    except sqlite3.DatabaseError as error:
        if not str(getattr(error, "sqlite_errorname", "SQLITE_CORRUPT")).startswith(_DAMAGE):
            raise
        return _if_ours(path, log, str(error))


def _if_ours(path: Path, log: bytes, structure: str) -> Findings:
    """Damage to a journal, or `JournalTrouble` where nothing shows that the file ever was one."""
    database = path.read_bytes() if path.exists() else b""
    if database[68:72] != APPLICATION_ID.to_bytes(4, "big") and not salvage(database, log).rows:
        raise not_a_journal(path)
    return Findings(structure=(structure,))
