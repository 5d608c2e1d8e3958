"""Puts what is left of a damaged journal into a sound file and keeps the damaged one beside it, untouched.

Every step can be cut short: until the new file is whole the old one stands in its place, and once it is whole
`finish_repair` takes the last two steps again.
"""

from __future__ import annotations

import os
from collections.abc import Iterable
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

from fieldvoice.journal.rows import Row
from fieldvoice.journal.salvage import Salvage, salvage
from fieldvoice.journal.schema import INSERT_ROW, bind, connect, migrate
from fieldvoice.journal.span import Span, gaps


def log_of(path: Path) -> Path:
    """The write-ahead log of a journal."""
    return path.with_name(path.name + "-wal")


def read_bytes(path: Path) -> bytes:
    """The bytes of a file, none where it isn't there."""
    return path.read_bytes() if path.exists() else b""


def repair(path: Path, log: bytes, *, open_end: bool) -> tuple[tuple[Span, ...], Path]:
    """Replaces the damaged journal at `path`; returns the entries lost and where the damaged file is kept.

    `log` is its write-ahead log as it was before anything opened it. `open_end` says that
    nothing tells where the entries ended, as where the file's structure is damaged. Nobody else may hold the journal.
    """
    database = read_bytes(path)
    left = salvage(database, log)
    lost = _losses(left, open_end=open_end or not left.rows)
    aside = path.with_name(f"{path.name}.damaged-{datetime.now(UTC):%Y%m%dT%H%M%S%f}")
    _write(aside, database)
    if log:
        _write(log_of(aside), log)
    building = path.with_name(path.name + ".building")
    for leftover in (building, log_of(building), _shared(building)):
        leftover.unlink(missing_ok=True)
    build(building, left.rows, lost)
    building.replace(_rebuilt(path))
    finish_repair(path)
    return lost, aside


def finish_repair(path: Path) -> None:
    """Takes the last steps of a repair that was cut short, if there is one."""
    if _rebuilt(path).exists():
        log_of(path).unlink(missing_ok=True)
        _shared(path).unlink(missing_ok=True)
        _rebuilt(path).replace(path)
        sync_folder(path.parent)


def _losses(left: Salvage, *, open_end: bool) -> tuple[Span, ...]:
    """Gaps between the rows that are whole, damaged ones at the end, and perhaps an open end."""
    whole = [row[0] for row in left.rows]
    last = max(whole, default=0)
    ends = [seq for seq in sorted(left.damaged) if last < seq <= last + len(left.damaged)]
    lost = list(gaps(whole))
    if ends:
        lost.append(Span(last + 1, ends[-1]))
    if open_end:
        lost.append(Span(max((last, *ends)) + 1, None))
    return tuple(lost)


def build(path: Path, rows: Iterable[Row], lost: Iterable[Span]) -> None:
    """Makes a new journal of whole rows, on the disk and in one file when this returns."""
    found = datetime.now(UTC).isoformat()
    with closing(connect(path)) as connection:
        migrate(connection)
        connection.execute("BEGIN IMMEDIATE")
        connection.executemany(INSERT_ROW, map(bind, rows))
        known = [(span.first, span.last, found) for span in lost if span.last is not None]
        connection.executemany("INSERT INTO lost VALUES (?, ?, ?)", known)
        connection.execute("COMMIT")
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    with path.open("rb+") as file:
        os.fsync(file.fileno())


def _write(path: Path, data: bytes) -> None:
    with path.open("xb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def _rebuilt(path: Path) -> Path:
    return path.with_name(path.name + ".rebuilt")


def _shared(path: Path) -> Path:
    return path.with_name(path.name + "-shm")


def sync_folder(folder: Path) -> None:
    """Makes the renaming last; folders can't be opened everywhere, and where they can't this isn't needed."""
    try:
        handle = os.open(folder, os.O_RDONLY)
    except OSError:
        return
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
