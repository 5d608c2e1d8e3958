"""Takes a job out of its file and into another one, as JSON in the form that docs/JOB_FORMAT.md describes."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import IO

from fieldvoice import __version__
from fieldvoice.errors import BadInput
from fieldvoice.journal.entry import Entry, entry_of, entry_sum
from fieldvoice.journal.format import file_of, mended, read, spans_of
from fieldvoice.journal.journal import Log, MemoryJournal
from fieldvoice.journal.storage import make

FORMAT = "fieldvoice job"
VERSION = 1


def export_job(journal: MemoryJournal, out: IO[str]) -> int:
    """Writes the whole job as JSON, an entry a line, and returns how many. `JournalTrouble` where it can't be read."""
    lost = [{"first": span.first, "last": span.last} for span in journal.lost]
    head = {"format": FORMAT, "version": VERSION, "made_by": f"fieldvoice {__version__}", "lost": lost}
    out.write(json.dumps(head)[:-1] + ', "entries": [')
    count, last = 0, None
    for count, entry in enumerate(journal.records(), start=1):
        last = _last(entry)
        item = {"seq": entry.seq, "at": entry.at.isoformat(), "who": entry.who, "kind": entry.kind, "body": entry.body}
        out.write(("\n" if count == 1 else ",\n") + json.dumps(item | last))
    out.write("\n], " + json.dumps({"last": last})[1:] + "\n")
    return count


def import_job(text: str, path: Path, opens: Callable[[Log], object]) -> int:
    """Makes a journal of an exported job at `path`, where there must be nothing yet, and returns how many entries.

    `opens` is tried on the job first, since one that can't be opened is of no use to anybody. `BadInput` where that
    fails, or where the text isn't an exported job or not as it was written: nothing is taken in then.
    """
    job = _job(text)
    entries = list(_entries(job.get("entries")))
    if "last" in job and job["last"] != (_last(entries[-1]) if entries else None):
        raise BadInput(_not_as_written(len(entries), "it isn't the last one, so the end is missing"))
    found = read(file_of(entries))
    ends = [span for span in spans_of(job.get("lost")) if span.first > found.last]
    found.lost += ends
    try:
        opens(MemoryJournal(found.entries, tuple(found.lost)))
    except Exception as error:
        raise BadInput(
            f"This job's sums are right, but it can't be opened ({type(error).__name__}: {error}), so nothing was "
            "taken in. Use the fieldvoice that exported it, and take the readings again before cutting."
        ) from error
    try:
        make(path, mended(found) if found.faults or ends else file_of(entries))
    except FileExistsError:
        raise BadInput(
            f"{path} is there already, and a job is never laid over another. Choose another file with --job."
        ) from None
    except OSError as error:
        raise BadInput(f"The job can't be written to {path}: {error}. Choose another file with --job.") from error
    return len(entries)


def _last(entry: Entry) -> dict[str, object]:
    return {"seq": entry.seq, "sum": entry_sum(entry)}


def _job(text: str) -> dict[str, object]:
    try:
        job = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise BadInput(f"This is no exported job: {error}. Nothing was taken in; export the job again.") from error
    if not isinstance(job, dict) or job.get("format") != FORMAT:
        raise BadInput(f'This is no exported job: "format" isn\'t "{FORMAT}". Nothing was taken in.')
    if job.get("version") != VERSION:
        raise BadInput(
            f"This job was exported in another version of the form, and this fieldvoice reads version {VERSION}. "
            "Nothing was taken in; use the fieldvoice that exported it."
        )
    return job


def _entries(items: object) -> Iterator[Entry]:
    """The exported entries, each held against its sum and in order."""
    if not isinstance(items, list):
        raise BadInput('This exported job has no list of "entries". Nothing was taken in; export the job again.')
    last = 0
    for place, item in enumerate(items, start=1):
        try:
            entry = _entry(item, last)
        except (KeyError, TypeError, ValueError, RecursionError) as error:
            raise BadInput(_not_as_written(place, f"{type(error).__name__}: {error}")) from error
        last = entry.seq
        yield entry


def _entry(item: object, last: int) -> Entry:
    if not isinstance(item, dict):
        raise TypeError("an entry is an object")
    entry = entry_of(item["seq"], json.dumps({key: item[key] for key in ("at", "who", "kind", "body")}))
    if entry_sum(entry) != item["sum"]:
        raise ValueError("its sum doesn't fit it")
    if entry.seq <= last:
        raise ValueError(f"its number {entry.seq} doesn't follow {last}")
    return entry


def _not_as_written(place: int, why: str) -> str:
    return (
        f"Entry {place} of this exported job isn't as it was written: {why}. Nothing was taken in, since a changed "
        "reading makes a wrong cut; export the job again."
    )
