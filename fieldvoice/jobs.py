"""The jobs that are kept: where they are and which are there, and their way in and out as JSON, in the form that
docs/JOB_FORMAT.md describes. Those of fieldvoice 0.1, which were SQLite files, are read and never written.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import asdict, dataclass
from datetime import datetime
from pathlib import Path
from typing import IO

from fieldvoice import __version__
from fieldvoice.errors import BadInput, JournalTrouble, OldJob
from fieldvoice.files.durable import make
from fieldvoice.journal.format import Contents, Entry, Lost, as_json, digest, entry_of, file_of, lost_of, mended, read
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


FORMAT = "fieldvoice job"
VERSION = 1


def export_job(journal: MemoryJournal, out: IO[str]) -> int:
    """Writes the whole job as JSON, an entry a line, and returns how many. `JournalTrouble` where it can't be read."""
    lost = [asdict(run) for run in journal.lost]
    head = {"format": FORMAT, "version": VERSION, "made_by": f"fieldvoice {__version__}", "lost": lost}
    out.write(json.dumps(head)[:-1] + ', "entries": [')
    count, last = 0, None
    for count, entry in enumerate(journal.records(), start=1):
        last = _last(entry)
        item = {"seq": entry.seq, "at": entry.at.isoformat(), "who": entry.who, "kind": entry.kind, "body": entry.body}
        out.write(("\n" if count == 1 else ",\n") + json.dumps(item | last))
    out.write("\n], " + json.dumps({"last": last})[1:] + "\n")
    return count


def import_job(text: str, path: Path, opens: Callable[[MemoryJournal], object]) -> int:
    """Makes a journal of an exported job at `path`, where there must be nothing yet, and returns how many entries.

    `opens` is tried on the job first, since one that can't be opened is of no use to anybody. `BadInput` where that
    fails, or where the text isn't an exported job or not as it was written: nothing is taken in then.
    """
    job = _job(text)
    entries = list(_entries(job.get("entries")))
    if "last" in job and job["last"] != (_last(entries[-1]) if entries else None):
        raise BadInput(Trouble(Wrong.EXPORT_CUT_OFF, entry=len(entries)))
    found = read(file_of(entries))
    ends = [run for run in lost_of(job.get("lost")) if run.first > found.last]
    found.lost += ends
    try:
        opens(MemoryJournal(found.entries, found.lost))
    except Exception as error:
        raise BadInput(Trouble(Wrong.EXPORT_NOT_OPENED, error=f"{type(error).__name__}: {error}")) from error
    try:
        make(path, mended(found) if found.faults or ends else file_of(entries))
    except FileExistsError:
        raise BadInput(Trouble(Wrong.JOB_THERE, path=path)) from None
    except OSError as error:
        raise BadInput(Trouble(Wrong.JOB_NOT_WRITTEN, path=path, error=error.strerror or str(error))) from error
    return len(entries)


def entry_sum(entry: Entry) -> str:
    """The sum of an exported entry, over its number, time, person, kind and body, parted by line feeds."""
    parts = (str(entry.seq), entry.at.isoformat(), entry.who, entry.kind, as_json(entry.body))
    return digest("\n".join(parts).encode())


def _last(entry: Entry) -> dict[str, object]:
    return {"seq": entry.seq, "sum": entry_sum(entry)}


def _job(text: str) -> dict[str, object]:
    try:
        job = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise BadInput(Trouble(Wrong.NO_EXPORT, line=getattr(error, "lineno", 1))) from error
    if not isinstance(job, dict) or job.get("format") != FORMAT:
        raise BadInput(Trouble(Wrong.NO_EXPORT_FORMAT, format=FORMAT))
    if job.get("version") != VERSION:
        raise BadInput(Trouble(Wrong.OTHER_EXPORT, version=VERSION))
    return job


def _entries(items: object) -> Iterator[Entry]:
    """The exported entries, each held against its sum and in order."""
    if not isinstance(items, list):
        raise BadInput(Trouble(Wrong.NO_EXPORT_ENTRIES))
    last = 0
    for place, item in enumerate(items, start=1):
        try:
            entry = entry_of(item["seq"], json.dumps({key: item[key] for key in ("at", "who", "kind", "body")}))
            as_written = entry_sum(entry) == item["sum"]
        except (KeyError, TypeError, ValueError, RecursionError):
            as_written = False
        if not as_written:
            raise BadInput(Trouble(Wrong.EXPORT_CHANGED, entry=place))
        if entry.seq <= last:
            raise BadInput(Trouble(Wrong.EXPORT_OUT_OF_ORDER, entry=place, number=entry.seq, last=last))
        last = entry.seq
        yield entry
