"""The journal keeps what it acknowledged, in order, for whoever called it."""

import sqlite3
import threading
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import UTC, datetime, timedelta, timezone
from pathlib import Path

import pytest

from fieldvoice.errors import JournalTrouble
from fieldvoice.journal.journal import Entry, Journal, JournalBusy, Log, MemoryJournal
from fieldvoice.journal.schema import STEPS, connect, migrate

NOON = datetime(2026, 11, 25, 12, 0, 0, 250, tzinfo=timezone(timedelta(hours=-6)))


@pytest.fixture
def place(tmp_path: Path) -> Path:
    """Where the job is kept."""
    return tmp_path / "jobs" / "kitchen.job"


@pytest.fixture(params=["file", "memory"])
def log(request: pytest.FixtureRequest, place: Path) -> Iterator[Log]:
    """Either journal: both have the same face."""
    journal: Log = Journal.open(place) if request.param == "file" else MemoryJournal()
    yield journal
    journal.close()


def test_an_empty_journal_has_no_entries(log: Log) -> None:
    """Nothing said, nothing kept."""
    assert list(log.entries()) == []


def test_entries_come_back_as_they_were_said(log: Log) -> None:
    """Numbers from 1, the time with its zone, the name with its accents, the body with every kind of value."""
    body = {"value": "46 7/8", "slots": ["top", None], "sure": True, "mass": 0.75, "n": 3, "inner": {"q": "½ “ok” \n"}}
    first = log.append("reading", "José", body, NOON)
    second = log.append("answer", "partner", {}, NOON + timedelta(seconds=2))
    assert first == Entry(1, NOON, "José", "reading", body)
    assert second.seq == 2
    assert list(log.entries()) == [first, second]
    assert next(log.entries()).at.utcoffset() == timedelta(hours=-6)


def test_changing_the_body_afterwards_changes_no_entry(log: Log) -> None:
    """What was kept is a copy."""
    body = {"value": "46 7/8"}
    entry = log.append("reading", "hanger", body, NOON)
    body["value"] = "12"
    assert entry.body == {"value": "46 7/8"}


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
    ],
    ids=["no zone", "no name", "line feed", "nan", "object", "tuple", "number as key"],
)
def test_an_entry_that_would_not_come_back_the_same_is_refused(
    log: Log, kind: str, who: str, body: dict[str, object], at: datetime, error: type[Exception]
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
        assert journal.notice is None
        assert list(journal.entries()) == kept
        assert journal.append("reading", "hanger", {}, NOON).seq == 6


def test_the_second_who_wants_to_write_is_told(place: Path) -> None:
    """It learns that another fieldvoice writes, and may write once that one is done."""
    with Journal.open(place), pytest.raises(JournalBusy, match=r"another fieldvoice.*viewer.*--job"):
        Journal.open(place)
    Journal.open(place).close()


def test_a_viewer_sees_new_entries_and_adds_none(place: Path) -> None:
    """The second joins as a viewer while the first one writes."""
    with Journal.open(place) as journal, Journal.view(place) as viewer:
        assert list(viewer.entries()) == []
        entry = journal.append("reading", "hanger", {"value": "46 7/8"}, NOON)
        assert list(viewer.entries()) == [entry]
        assert viewer.read_only
        with pytest.raises(JournalTrouble, match="only viewed"):
            viewer.append("reading", "partner", {}, NOON)
        assert list(journal.entries()) == [entry]


def test_viewing_a_job_that_nobody_writes_leaves_it_alone(place: Path) -> None:
    """The file is the same before and after, and a writer may open it meanwhile."""
    with Journal.open(place) as journal:
        entry = journal.append("reading", "hanger", {}, NOON)
    before = place.read_bytes()
    with Journal.view(place) as viewer:
        assert list(viewer.entries()) == [entry]
        assert place.read_bytes() == before
        Journal.open(place).close()


def test_viewing_what_is_not_there_says_so(place: Path) -> None:
    """A mistyped name makes no new job."""
    with pytest.raises(JournalTrouble, match="no journal at"):
        Journal.view(place)
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


@pytest.mark.parametrize(
    "order",
    [
        "UPDATE entry SET body = '{}' WHERE seq = 1",
        "DELETE FROM entry WHERE seq = 1",
        "DELETE FROM entry",
        "REPLACE INTO entry SELECT seq, at, who, kind, '{}', sum FROM entry",
        "INSERT INTO entry SELECT 0, at, who, kind, body, sum FROM entry",
        "UPDATE lost SET first = 3",
        "DELETE FROM lost",
    ],
)
def test_the_file_itself_refuses_to_change_an_entry(place: Path, order: str) -> None:
    """Whatever program opens it, with the triggers in place nothing is overwritten."""
    with Journal.open(place) as journal:
        entry = journal.append("reading", "hanger", {"value": "46 7/8"}, NOON)
    with closing(sqlite3.connect(place)) as connection:
        connection.execute("INSERT INTO lost VALUES (7, 8, 'today')")
        with pytest.raises(sqlite3.IntegrityError, match=r"entries are|losses are"):
            connection.execute(order)
    with Journal.open(place) as journal:
        assert list(journal.entries()) == [entry]


def test_a_commit_waits_for_the_disk(place: Path) -> None:
    """Write-ahead log, synchronous FULL, in the connection that writes."""
    with Journal.open(place) as journal:
        connection = journal._connection()
        assert connection.execute("PRAGMA journal_mode").fetchone() == (b"wal",)
        assert connection.execute("PRAGMA synchronous").fetchone() == (2,)


def test_an_older_layout_is_brought_up_to_date(place: Path) -> None:
    """A further step runs once, on a file that has the earlier ones, and keeps its entries."""
    with Journal.open(place) as journal:
        entry = journal.append("reading", "hanger", {}, NOON)
    steps = (*STEPS, "CREATE TABLE note (text TEXT) STRICT;")
    with closing(connect(place)) as connection:
        migrate(connection, steps)
        migrate(connection, steps)
        assert connection.execute("PRAGMA user_version").fetchone() == (2,)
        assert connection.execute("SELECT seq FROM entry").fetchall() == [(entry.seq,)]


def test_a_step_that_fails_leaves_the_file_as_it_was(place: Path) -> None:
    """Half a migration is none."""
    Journal.open(place).close()
    with closing(connect(place)) as connection:
        with pytest.raises(sqlite3.OperationalError):
            migrate(connection, (*STEPS, "CREATE TABLE note (text TEXT); CREATE TABLE entry (seq);"))
        assert connection.execute("PRAGMA user_version").fetchone() == (1,)
        assert connection.execute("SELECT count(*) FROM sqlite_schema WHERE name = 'note'").fetchone() == (0,)


def _newer(path: Path) -> None:
    Journal.open(path).close()
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("PRAGMA user_version = 99")


def _foreign(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("CREATE TABLE recipe (text)")


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (_newer, "newer fieldvoice"),
        (_foreign, "no journal"),
        (lambda path: path.write_text("top forty two\n"), "no journal"),
        (lambda path: path.write_bytes(b"x" * 20_000), "no journal"),
    ],
    ids=["newer layout", "another database", "text", "noise"],
)
def test_a_file_that_is_not_ours_is_refused_and_left_alone(
    place: Path, make: Callable[[Path], object], words: str
) -> None:
    """Neither opening nor viewing changes a byte or puts the file aside."""
    place.parent.mkdir()
    make(place)
    before = place.read_bytes()
    for opening in (Journal.open, Journal.view):
        with pytest.raises(JournalTrouble, match=words):
            opening(place)
    assert place.read_bytes() == before
    assert {path.name for path in place.parent.iterdir()} <= {"kitchen.job", "kitchen.job.lock"}


def test_times_of_two_zones_stay_what_they_were(log: Log) -> None:
    """A job begun in one zone and ended in another keeps both clocks."""
    log.append("reading", "hanger", {}, NOON)
    log.append("reading", "hanger", {}, NOON.astimezone(UTC))
    zones = [entry.at.utcoffset() for entry in log.entries()]
    assert zones == [timedelta(hours=-6), timedelta(0)]
