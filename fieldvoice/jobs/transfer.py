"""Takes a job out of its file and into another one, as JSON in the form that docs/JOB_FORMAT.md describes."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from dataclasses import asdict
from pathlib import Path
from typing import IO

from fieldvoice import __version__
from fieldvoice.errors import BadInput
from fieldvoice.files.durable import make
from fieldvoice.journal.format import Entry, as_json, digest, entry_of, file_of, lost_of, mended, read
from fieldvoice.journal.journal import MemoryJournal
from fieldvoice.records.trouble import Trouble, Wrong

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
