"""Reads the jobs of fieldvoice 0.1, which were SQLite files. They are never written."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from fieldvoice.errors import JournalTrouble
from fieldvoice.journal.entry import Entry, entry_of, entry_sum
from fieldvoice.journal.format import Contents, file_of, read
from fieldvoice.journal.span import Span

START = b"SQLite format 3\0"

_ROWS = """SELECT seq, json_object('at', CAST(at AS TEXT), 'who', CAST(who AS TEXT), 'kind', CAST(kind AS TEXT),
    'body', json(CAST(body AS TEXT))), lower(hex(sum)) FROM entry ORDER BY seq"""


def read_old(path: Path) -> Contents:
    """What such a file holds. `JournalTrouble` where it can't be read as one."""
    try:
        with closing(sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro", uri=True)) as file:
            known = [Span(first, last) for first, last in file.execute("SELECT first, last FROM lost ORDER BY first")]
            found = read(file_of(_entry(*row) for row in file.execute(_ROWS)))
    except (sqlite3.Error, ValueError, TypeError) as error:
        raise JournalTrouble(
            f"{path} is no journal, or one of fieldvoice 0.1 that is damaged ({error}). It was left as it is. Choose "
            "another file with --job, and take the readings again before cutting."
        ) from error
    if known:
        found.lost, found.faults = known, []
    return found


def _entry(seq: int, text: str, sum_: str) -> Entry:
    entry = entry_of(seq, text)
    if entry_sum(entry) != sum_:
        raise ValueError(f"entry {seq} isn't as it was written")
    return entry
