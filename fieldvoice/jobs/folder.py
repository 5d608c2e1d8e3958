"""Where jobs are kept, and which are there. Those of fieldvoice 0.1, which were SQLite files, are read and never
written.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from fieldvoice.errors import JournalTrouble, OldJob
from fieldvoice.jobs.transfer import entry_sum
from fieldvoice.journal.format import Contents, Entry, Lost, entry_of, file_of, read
from fieldvoice.journal.journal import MemoryJournal, contents_of, viewed
from fieldvoice.records.trouble import Trouble, Wrong

SUFFIX = ".job"


@dataclass(frozen=True, slots=True)
class JobSummary:
    """One job: how many entries, from when to when, whose, what is lost, and what is wrong with it if anything."""

    path: Path
    entries: int = 0
    first: datetime | None = None
    last: datetime | None = None
    people: tuple[str, ...] = ()
    lost: tuple[Lost, ...] = ()
    trouble: JournalTrouble | None = None


def jobs_folder() -> Path:
    """The folder for jobs in the user's data folder of this platform; it may not be there yet."""
    from platformdirs import user_data_path

    return user_data_path("fieldvoice", appauthor=False) / "jobs"


def job_files(folder: Path) -> list[Path]:
    """The jobs in a folder, the one written last first."""
    there = [path for path in folder.glob(f"*{SUFFIX}") if path.is_file()]
    return sorted(there, key=lambda path: path.stat().st_mtime, reverse=True)


def job_file(chosen: Path | None, folder: Path | None = None) -> Path:
    """The journal to use: the one chosen, else the one written last, so that a job goes on where it was left, else a
    first one.
    """
    if chosen is not None:
        return chosen
    folder = folder or jobs_folder()
    return next(iter(job_files(folder)), folder / f"first{SUFFIX}")


def list_jobs(folder: Path) -> Iterator[JobSummary]:
    """A summary of each job in the folder; one that can't be read is listed with its trouble."""
    for path in job_files(folder):
        try:
            with view(path) as journal:
                yield _summary(path, journal)
        except JournalTrouble as error:
            yield JobSummary(path, trouble=error)


def _summary(path: Path, journal: MemoryJournal) -> JobSummary:
    count, first, last = 0, None, None
    people: dict[str, None] = {}
    for entry in journal.entries():
        count, first, last = count + 1, first or entry.at, entry.at
        people[entry.who] = None
    return JobSummary(path, count, first, last, tuple(people), journal.lost, journal.trouble)


_ROWS = (
    "SELECT seq, json_object('at', CAST(at AS TEXT), 'who', CAST(who AS TEXT), 'kind', CAST(kind AS TEXT),"
    "'body', json(CAST(body AS TEXT))), lower(hex(sum)) FROM entry ORDER BY seq"
)


def view(path: Path) -> MemoryJournal:
    """A job of any version to be looked at. `JournalTrouble` where it isn't there or can't be read."""
    return viewed(path, contents_of_any(path))


def contents_of_any(path: Path) -> Contents:
    """What a job of any version holds. `JournalTrouble` where it can't be read as one."""
    try:
        return contents_of(path)
    except OldJob:
        return _old(path)


def _old(path: Path) -> Contents:
    try:
        with closing(sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True)) as file:
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
