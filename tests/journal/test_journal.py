"""The journal keeps what it acknowledged, in order, for whoever called it."""

import json
import os
import sqlite3
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import UTC, datetime, timedelta, timezone
from io import FileIO
from pathlib import Path

import pytest

from fieldvoice.errors import JournalBusy, JournalTrouble, OldJob
from fieldvoice.files import durable
from fieldvoice.jobs import entry_sum, view
from fieldvoice.journal import journal as module
from fieldvoice.journal.format import HEAD, Entry, Json
from fieldvoice.journal.journal import Journal, MemoryJournal

NOON = datetime(2026, 11, 25, 12, 0, 0, 250, tzinfo=timezone(timedelta(hours=-6)))


@pytest.fixture
def place(tmp_path: Path) -> Path:
    """Where the job is kept."""
    return tmp_path / "jobs" / "kitchen.job"


@pytest.fixture(params=["file", "memory"])
def log(request: pytest.FixtureRequest, place: Path) -> Iterator[MemoryJournal]:
    """Either journal: both have the same face."""
    journal: MemoryJournal = Journal.open(place) if request.param == "file" else MemoryJournal()
    yield journal
    journal.close()


def test_an_empty_journal_has_no_entries(log: MemoryJournal) -> None:
    """Nothing said, nothing kept."""
    assert list(log.entries()) == []


def test_entries_come_back_as_they_were_said(log: MemoryJournal) -> None:
    """Numbers from 1, the time with its zone, the name with its accents, the body with every kind of value."""
    body: dict[str, Json] = {
        "value": "46 7/8",
        "slots": ["top", None],
        "sure": True,
        "mass": 0.75,
        "n": 3,
        "inner": {"q": "½ “ok” \n"},
    }
    first = log.append("reading", "José", body, NOON)
    second = log.append("answer", "partner", {}, NOON + timedelta(seconds=2))
    assert first == Entry(1, NOON, "José", "reading", body)
    assert second.seq == 2
    assert list(log.entries()) == [first, second]
    assert next(log.entries()).at.utcoffset() == timedelta(hours=-6)


def test_changing_the_body_afterwards_changes_no_entry(log: MemoryJournal) -> None:
    """What was kept is a copy."""
    body: dict[str, Json] = {"value": "46 7/8"}
    entry = log.append("reading", "hanger", body, NOON)
    body["value"] = "12"
    assert entry.body == {"value": "46 7/8"}


def _deep(levels: int) -> dict[str, object]:
    body: dict[str, object] = {}
    for _ in range(levels):
        body = {"in": body}
    return body


@pytest.mark.parametrize(
    ("kind", "who", "body", "at", "error"),
    [
        ("reading", "hanger", {}, datetime(2026, 11, 25), ValueError),  # noqa: DTZ001
        ("reading", "", {}, NOON, ValueError),
        ("read\ning", "hanger", {}, NOON, ValueError),
        ("reading", "hanger", {"mass": float("nan")}, NOON, ValueError),
        ("reading", "hanger", {"mass": object()}, NOON, TypeError),
        ("reading", "hanger", {"slots": ("top",)}, NOON, TypeError),
        ("reading", "hanger", {"slots": {1: "top"}}, NOON, TypeError),
        ("reading", "\x1b[2J", {}, NOON, ValueError),
        ("reading", "hanger", {"n": 2**60}, NOON, ValueError),
        ("reading", "hanger", _deep(40), NOON, ValueError),
        ("reading", "hanger", _deep(20_000), NOON, ValueError),
        ("reading", "hanger", {}, datetime(1, 1, 1, tzinfo=UTC), ValueError),
    ],
    ids=[
        *("no zone", "no name", "line feed", "nan", "object", "tuple", "number as key"),
        *("escape", "huge", "deep", "very deep", "year 1"),
    ],
)
def test_an_entry_that_would_not_come_back_the_same_is_refused(
    log: MemoryJournal, kind: str, who: str, body: dict[str, object], at: datetime, error: type[Exception]
) -> None:
    """Refused before it is kept, and the next entry gets the number."""
    with pytest.raises(error):
        log.append(kind, who, body, at)  # type: ignore[arg-type]
    assert log.append("reading", "hanger", {}, NOON).seq == 1


def test_a_job_goes_on_where_it_was_left(place: Path) -> None:
    """Closing and opening again changes nothing, and numbers go on."""
    with Journal.open(place) as journal:
        kept = [journal.append("reading", "hanger", {"n": n}, NOON) for n in range(5)]
    with Journal.open(place) as journal:
        assert journal.mended is None
        assert list(journal.entries()) == kept
        assert journal.append("reading", "hanger", {}, NOON).seq == 6


def test_the_second_who_wants_to_write_is_told(place: Path) -> None:
    """It learns that another fieldvoice writes, and may write once that one is done."""
    with Journal.open(place), pytest.raises(JournalBusy, match=r"another fieldvoice.*page to watch.*--job"):
        Journal.open(place)
    Journal.open(place).close()


def test_a_job_is_looked_at_while_it_is_written(place: Path) -> None:
    """What is there then is seen, and what is added to the look goes into no file."""
    with Journal.open(place) as journal:
        assert list(view(place).entries()) == []
        entry = journal.append("reading", "hanger", {"value": "46 7/8"}, NOON)
        looked = view(place)
        assert list(looked.entries()) == [entry]
        looked.append("reading", "partner", {}, NOON)
        assert list(view(place).entries()) == list(journal.entries()) == [entry]


def test_viewing_a_job_that_nobody_writes_leaves_it_alone(place: Path) -> None:
    """The file is the same before and after, and a writer may open it meanwhile."""
    with Journal.open(place) as journal:
        entry = journal.append("reading", "hanger", {}, NOON)
    before = place.read_bytes()
    with view(place) as viewer:
        assert list(viewer.entries()) == [entry]
        assert place.read_bytes() == before
        Journal.open(place).close()


def test_viewing_what_is_not_there_says_so(place: Path) -> None:
    """A mistyped name makes no new job."""
    with pytest.raises(JournalTrouble, match="no job at"):
        view(place)
    assert not place.exists()


def test_two_people_add_entries_at_the_same_time(place: Path) -> None:
    """The hanger calls while the partner ticks: each thread's entries are all there, in its order, without gaps."""

    def add(who: str) -> None:
        for n in range(25):
            journal.append("reading", who, {"n": n}, NOON)

    with Journal.open(place) as journal:
        threads = [threading.Thread(target=add, args=(who,)) for who in ("hanger", "partner", "phone")]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        entries = list(journal.entries())
    assert [entry.seq for entry in entries] == list(range(1, 76))
    for who in ("hanger", "partner", "phone"):
        assert [entry.body["n"] for entry in entries if entry.who == who] == list(range(25))


def test_an_entry_is_on_the_disk_before_it_is_handed_back(place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The entry first, waited for, then the head, waited for: what the head acknowledges is always there."""
    written: list[str] = []

    def write_at(file: FileIO, at: int, data: bytes) -> None:
        durable.write_at(file, at, data)
        written.append("head" if at < HEAD else "entry")

    monkeypatch.setattr(durable, "sync", lambda _: written.append("waited"))
    monkeypatch.setattr(module, "write_at", write_at)
    with Journal.open(place) as journal:
        written.clear()
        journal.append("turn", "hanger", {}, NOON)
        assert written == ["waited", "entry", "waited", "head"]


@pytest.mark.parametrize("link", ["same name", "symbolic link", "hard link", "folder link"])
@pytest.mark.parametrize("first", ["link", "file"])
def test_a_link_lets_no_second_writer_in(place: Path, link: str, first: str) -> None:
    """The file itself is held, whatever it is called; once it is let go the link is the same job."""
    Journal.open(place).close()
    other = place.with_name("other.job")
    if link == "symbolic link":
        other.symlink_to(place.name)
    elif link == "hard link":
        os.link(place, other)
    elif link == "folder link":
        (place.parent.parent / "elsewhere").symlink_to(place.parent)
        other = place.parent.parent / "elsewhere" / place.name
    else:
        other = place
    one, two = (other, place) if first == "link" else (place, other)
    with Journal.open(one) as journal:
        with pytest.raises(JournalBusy):
            Journal.open(two)
        journal.append("turn", "hanger", {"n": 1}, NOON)
    with Journal.open(two) as journal:
        assert journal.mended is None
        assert journal.append("turn", "partner", {"n": 2}, NOON).seq == 2
    with Journal.open(one) as journal:
        assert [entry.seq for entry in journal.entries()] == [1, 2]


def test_a_link_to_a_job_that_is_not_there_yet_makes_it(place: Path) -> None:
    """In the place that the link names."""
    place.parent.mkdir()
    link = place.with_name("link.job")
    link.symlink_to(place.name)
    with Journal.open(link) as journal:
        journal.append("turn", "hanger", {}, NOON)
    assert link.is_symlink()
    with view(place) as viewer:
        assert len(list(viewer.entries())) == 1


def test_two_that_make_the_same_job_write_one(place: Path) -> None:
    """Twenty start at once, again and again: one writes, the others are told."""
    busy = []

    def start() -> None:
        try:
            with Journal.open(place) as journal:
                journal.append("turn", "hanger", {}, NOON)
                time.sleep(0.02)
        except JournalBusy:
            busy.append(1)

    for _ in range(5):
        threads = [threading.Thread(target=start) for _ in range(20)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
    with Journal.open(place) as journal:
        assert journal.mended is None
        assert len(list(journal.entries())) + len(busy) == 100


OLD = """
PRAGMA application_id = 1178029162; PRAGMA user_version = 1; PRAGMA journal_mode = wal;
CREATE TABLE entry (seq INTEGER PRIMARY KEY, at BLOB, who BLOB, kind BLOB, body BLOB, sum BLOB) STRICT;
CREATE TABLE lost (first INTEGER NOT NULL, last INTEGER, found TEXT NOT NULL) STRICT;
"""


def _old(path: Path, entries: list[Entry]) -> None:
    """A job as fieldvoice 0.1 kept it."""
    path.parent.mkdir(exist_ok=True)
    with closing(sqlite3.connect(path)) as file:
        file.executescript(OLD)
        for entry in entries:
            body = json.dumps(entry.body, sort_keys=True, separators=(",", ":"))
            texts = [text.encode() for text in (entry.at.isoformat(), entry.who, entry.kind, body)]
            row = (entry.seq, *texts, bytes.fromhex(entry_sum(entry)))
            file.execute("INSERT INTO entry VALUES (?, ?, ?, ?, ?, ?)", row)
        file.commit()


ENTRIES = [
    Entry(1, NOON, "José", "reading", {"value": "46 7/8", "heard": "½"}),
    Entry(2, NOON, "partner", "answer", {"yes": True}),
]


def test_a_job_of_the_first_version_can_be_read(place: Path) -> None:
    """Every entry with its number and its sum; the file isn't touched."""
    _old(place, ENTRIES)
    before = place.read_bytes()
    with view(place) as viewer:
        assert list(viewer.entries()) == ENTRIES
        assert viewer.trouble is None
    assert place.read_bytes() == before


def test_to_go_on_with_one_it_is_told_how_in_one_sentence(place: Path) -> None:
    """How to look its readings up, and that they are to be called again; the file isn't touched."""
    _old(place, ENTRIES)
    before = place.read_bytes()
    with pytest.raises(OldJob, match=r"fieldvoice 0\.1 kept it, .*job show --job .*call them again in a new job"):
        Journal.open(place)
    assert place.read_bytes() == before


@pytest.mark.parametrize("spoil", ["changed", "missing", "no table"])
def test_a_damaged_job_of_the_first_version_is_told(place: Path, spoil: str) -> None:
    """A changed entry, one that is gone, a file without its tables."""
    _old(place, ENTRIES)
    orders = {
        "changed": "UPDATE entry SET who = CAST('hanger' AS BLOB) WHERE seq = 1",
        "missing": "DELETE FROM entry WHERE seq = 1",
        "no table": "DROP TABLE entry",
    }
    with closing(sqlite3.connect(place)) as file:
        file.execute(orders[spoil])
        file.commit()
    if spoil == "missing":
        with view(place) as viewer:
            assert [str(span) for span in viewer.lost] == ["1"]
            assert viewer.trouble is not None
    else:
        with pytest.raises(JournalTrouble, match=r"isn't a job, or is a damaged one of fieldvoice 0\.1"):
            view(place)


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda path: path.write_bytes(b"fieldvoice job 3\nall is different now\n"), "newer fieldvoice"),
        (lambda path: path.write_bytes(b"fieldvoice job 2\r\nwith other ends of lines\r\n"), "isn't a job"),
        (lambda path: path.write_text("top forty two\n"), "isn't a job"),
        (lambda path: path.write_bytes(b"x" * 20_000), "isn't a job|can't be continued"),
        (lambda path: path.write_bytes(b"SQLite format 3\0" + b"x" * 20_000), "isn't a job|can't be continued"),
    ],
    ids=["newer form", "other ends of lines", "text", "noise", "another database"],
)
def test_a_file_that_is_not_ours_is_refused_and_left_alone(
    place: Path, make: Callable[[Path], object], words: str
) -> None:
    """Neither opening nor viewing changes a byte or puts the file aside; nothing is kept in it either."""
    place.parent.mkdir()
    make(place)
    before = place.read_bytes()
    for opening in (lambda path: Journal.open(path).append("turn", "hanger", {}, NOON), view):
        with pytest.raises(JournalTrouble, match=words):
            opening(place)
    assert place.read_bytes() == before
    assert [path.name for path in place.parent.iterdir()] == ["kitchen.job"]


def test_times_of_two_zones_stay_what_they_were(log: MemoryJournal) -> None:
    """A job begun in one zone and ended in another keeps both clocks."""
    log.append("reading", "hanger", {}, NOON)
    log.append("reading", "hanger", {}, NOON.astimezone(UTC))
    zones = [entry.at.utcoffset() for entry in log.entries()]
    assert zones == [timedelta(hours=-6), timedelta(0)]
