"""Reads the jobs of fieldvoice 0.1, which were SQLite files. They are never written."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from fieldvoice.errors import JournalTrouble, OldJob
from fieldvoice.journal.entry import Entry, entry_of, entry_sum
from fieldvoice.journal.format import Contents, Lost, file_of, read
from fieldvoice.journal.journal import JournalView, contents_of
from fieldvoice.records.trouble import Trouble, Wrong

_ROWS = (
    "SELECT seq, json_object('at', CAST(at AS TEXT), 'who', CAST(who AS TEXT), 'kind', CAST(kind AS TEXT),"
    "'body', json(CAST(body AS TEXT))), lower(hex(sum)) FROM entry ORDER BY seq"
)


def view(path: Path) -> JournalView:
    """A job of any version to read only. `JournalTrouble` where it isn't there or can't be read."""
    return JournalView(path, contents_of_any)


def contents_of_any(path: Path) -> Contents:
    """What a job of any version holds. `JournalTrouble` where it can't be read as one."""
    try:
        return contents_of(path)
    except OldJob:
        return _old(path)


def _old(path: Path) -> Contents:
    try:
        with closing(sqlite3.connect(f"{path.resolve().as_uri()}?mode=ro", uri=True)) as file:
            known = [Lost(first, last) for first, last in file.execute("SELECT first, last FROM lost ORDER BY first")]
            found = read(file_of(_entry(*row) for row in file.execute(_ROWS)))
    except (sqlite3.Error, ValueError, TypeError) as error:
        raise JournalTrouble(Trouble(Wrong.OLD_JOB_DAMAGED, path=path, error=error)) from error
    if known:
        found.lost, found.faults = known, []
    return found


def _entry(seq: int, text: str, sum_: str) -> Entry:
    entry = entry_of(seq, text)
    if entry_sum(entry) != sum_:
        raise ValueError(f"entry {seq} was changed")
    return entry
