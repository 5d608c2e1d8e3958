"""Takes a job out of its file and into another one, as JSON in the form that docs/JOB_FORMAT.md describes."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import IO

from fieldvoice import __version__
from fieldvoice.errors import BadInput
from fieldvoice.journal.journal import Entry, Journal
from fieldvoice.journal.repair import build, sync_folder
from fieldvoice.journal.rows import Row, entry_to_row
from fieldvoice.journal.span import Span, gaps

FORMAT = "fieldvoice job"
VERSION = 1


def export_job(journal: Journal, out: IO[str]) -> int:
    """Writes the whole job as JSON, an entry a line, and returns how many. `JournalTrouble` where it can't be read."""
    head = {"format": FORMAT, "version": VERSION, "made_by": f"fieldvoice {__version__}", "lost": _spans(journal.lost)}
    out.write(json.dumps(head)[:-1] + ', "entries": [')
    count = 0
    for count, entry in enumerate(journal.entries(), start=1):
        out.write(("\n" if count == 1 else ",\n") + json.dumps(_item(entry), ensure_ascii=False))
    out.write("\n]}\n")
    return count


def import_job(text: str, path: Path) -> int:
    """Makes a journal of an exported job at `path`, where there must be nothing yet, and returns how many entries.

    `BadInput` where the text isn't an exported job, or not as it was written: nothing is taken in then.
    """
    if path.exists():
        raise BadInput(
            f"{path} is there already, and a job is never laid over another. Choose another file with --job."
        )
    rows, lost = _read(text)
    building = path.with_name(path.name + ".building")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        building.unlink(missing_ok=True)
        build(building, rows, lost)
        building.replace(path)
        sync_folder(path.parent)
    except OSError as error:
        raise BadInput(f"The job can't be written to {path}: {error}. Choose another file with --job.") from error
    return len(rows)


def _spans(lost: tuple[Span, ...]) -> list[dict[str, int | None]]:
    return [{"first": span.first, "last": span.last} for span in lost]


def _item(entry: Entry) -> dict[str, object]:
    return {
        "seq": entry.seq,
        "at": entry.at.isoformat(),
        "who": entry.who,
        "kind": entry.kind,
        "body": entry.body,
        "sum": entry_to_row(entry)[-1].hex(),
    }


def _read(text: str) -> tuple[list[Row], list[Span]]:
    try:
        job = json.loads(text)
    except ValueError as error:
        raise BadInput(f"This is no exported job: {error}. Nothing was taken in; export the job again.") from error
    if not isinstance(job, dict) or job.get("format") != FORMAT:
        raise BadInput(f'This is no exported job: "format" isn\'t "{FORMAT}". Nothing was taken in.')
    if job.get("version") != VERSION:
        raise BadInput(
            f"This job was exported in version {job.get('version')} of the form, and this fieldvoice reads version "
            f"{VERSION}. Nothing was taken in; use the fieldvoice that exported it."
        )
    if not isinstance(job.get("entries"), list):
        raise BadInput('This exported job has no list of "entries". Nothing was taken in; export the job again.')
    rows = list(_rows(job["entries"]))
    return rows, list(gaps(row[0] for row in rows))


def _rows(items: list[object]) -> Iterator[Row]:
    """The rows of the exported entries, each held against its sum and in order."""
    last = 0
    for place, item in enumerate(items, start=1):
        try:
            row = _row(item)
        except (AttributeError, KeyError, TypeError, ValueError) as error:
            raise BadInput(_not_as_written(place, f"{type(error).__name__}: {error}")) from error
        if row[0] <= last:
            raise BadInput(_not_as_written(place, f"its number {row[0]} doesn't follow {last}"))
        last = row[0]
        yield row


def _row(item: object) -> Row:
    if not isinstance(item, dict) or type(item["seq"]) is not int or item["seq"] < 1:
        raise TypeError("an entry is an object with a number from 1")
    entry = Entry(item["seq"], datetime.fromisoformat(item["at"]), item["who"], item["kind"], item["body"])
    row = entry_to_row(entry)
    if row[-1].hex() != item["sum"]:
        raise ValueError("its sum doesn't fit it")
    return row


def _not_as_written(place: int, why: str) -> str:
    return (
        f"Entry {place} of this exported job isn't as it was written: {why}. Nothing was taken in, since a changed "
        "reading makes a wrong cut; export the job again."
    )
