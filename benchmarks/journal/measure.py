"""Measures the journal: opening and resuming a long job, adding to it, and the memory that takes.

Run with `python benchmarks/journal/measure.py [ENTRIES]`; prints one JSON document. Times are of this machine and this
disk, the best of three where a thing is done again.
"""

from __future__ import annotations

import json
import platform
import resource
import statistics
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

from fieldvoice.dialogue.session import Session
from fieldvoice.journal.format import Entry, file_of
from fieldvoice.journal.journal import Journal, MemoryJournal, contents_of
from fieldvoice.records.hearing import Hearing

START = datetime(2026, 11, 25, 7, tzinfo=UTC)
SCRIPT = ("top 46 7/8", "middle 46 3/4", "bottom 46 1/4", "height 95 1/2", "no, 95 1/4", "undo", "next board")
BODY = {"heard": "top forty six and seven eighths"}


def _talk() -> list[Entry]:
    """What a session writes down for a board talked through: readings, a correction, an undo, the next board."""
    log = MemoryJournal()
    session = Session(log)
    for line in SCRIPT:
        session.take(Hearing.typed(line), "hanger")
    return list(log.entries())


def _entries(count: int) -> Iterator[Entry]:
    """The same talk over and over, numbered and timed on."""
    talk = _talk()
    for seq in range(1, count + 1):
        said = talk[(seq - 1) % len(talk)]
        yield replace(said, seq=seq, at=START + timedelta(seconds=3 * seq))


def _best(action: Callable[[], object], clock: Callable[[], float] = time.perf_counter) -> float:
    times = []
    for _ in range(3):
        begun = clock()
        action()
        times.append(clock() - begun)
    return round(min(times), 3)


def _read(path: Path) -> int:
    with Journal.open(path) as journal:
        return sum(1 for _ in journal.entries())


def _resume(path: Path) -> None:
    with Journal.open(path) as journal:
        Session(journal).view()


def _added(path: Path, count: int) -> list[float]:
    times = []
    with Journal.open(path) as journal:
        for _ in range(count):
            begun = time.perf_counter()
            journal.append("hearing", "hanger", BODY, START)
            times.append((time.perf_counter() - begun) * 1000)
    return times


def _peak_mb() -> float:
    return round(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024, 1)


def measure(count: int) -> dict[str, object]:
    """Seconds, milliseconds and megabytes of each thing measured."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "long.job"
        path.write_bytes(file_of(_entries(count)))
        assert _read(path) == count
        before = _peak_mb()
        added = _added(path, 200)
        return {
            "entries": count,
            "file_mb": round(path.stat().st_size / 1e6, 1),
            "open_seconds": _best(lambda: Journal.open(path).close()),
            "open_and_read_seconds": _best(lambda: _read(path)),
            "resume_and_view_seconds": _best(lambda: _resume(path)),
            "resume_and_view_cpu_seconds": _best(lambda: _resume(path), time.process_time),
            "check_seconds": _best(lambda: contents_of(path)),
            "append_ms_median": round(statistics.median(added), 2),
            "append_ms_longest": round(max(added), 2),
            "peak_mb_after_reading": before,
            "python": platform.python_version(),
        }


if __name__ == "__main__":
    print(json.dumps(measure(int(sys.argv[1]) if len(sys.argv) > 1 else 100_000), indent=1))
