"""What can't be kept is said at that turn, by one owner, and the session goes on."""

import errno
from collections.abc import Iterator
from datetime import UTC, datetime
from io import FileIO
from pathlib import Path

import pytest

from fieldvoice.errors import JournalBusy, NotKept
from fieldvoice.jobs import view
from fieldvoice.journal import journal as module
from fieldvoice.journal.journal import Journal

NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)


class Disk:
    """The disk under a journal: `room` is how many more bytes it takes, None for any; `waits` whether it can be
    waited for.
    """

    def __init__(self) -> None:
        self.room: int | None = None
        self.waits = True

    def write_at(self, file: FileIO, place: int, data: bytes) -> None:
        """Writes what there is room for."""
        some = data if self.room is None else data[: self.room]
        file.seek(place)
        file.write(some)
        if self.room is not None:
            self.room -= len(some)
        if some != data:
            raise OSError(errno.ENOSPC, "No space left on device")
        if not self.waits:
            raise OSError(errno.EIO, "Input/output error")


@pytest.fixture
def disk(monkeypatch: pytest.MonkeyPatch) -> Disk:
    """A disk that can fail."""
    disk = Disk()
    monkeypatch.setattr(module, "write_at", disk.write_at)
    return disk


@pytest.fixture
def job(tmp_path: Path, disk: Disk) -> Iterator[Journal]:
    """A job on that disk, with one turn in it."""
    journal = Journal.open(tmp_path / "kitchen.job")
    _turn(journal, 1)
    yield journal
    disk.room = None
    journal.close()


def _turn(journal: Journal, n: int) -> None:
    journal.append("turn", "hanger", {"n": n}, NOON)


def _numbers(journal: Journal) -> list[tuple[int, object]]:
    return [(entry.seq, entry.body["n"]) for entry in journal.entries()]


def _on_the_disk(journal: Journal) -> list[tuple[int, object]]:
    kept = view(journal.path)
    assert kept.trouble is None or "No entry is lost" in str(kept.trouble)  # half a head was written
    return [(entry.seq, entry.body["n"]) for entry in kept.entries()]


def test_nothing_is_said_while_all_is_kept(job: Journal) -> None:
    """No trouble, and the entries are on the disk."""
    assert job.trouble is None
    assert _numbers(job) == _on_the_disk(job) == [(1, 1)]


@pytest.mark.parametrize("room", [0, 1, 40, 100, 200])
def test_each_turn_on_a_full_disk_is_told_once(job: Journal, disk: Disk, room: int) -> None:
    """Wherever in the write it ran full: the turn counts, it says that it isn't kept, and how many wait."""
    disk.room = room
    with pytest.raises(NotKept, match=r"The disk is full .* 1 entry is in memory only"):
        _turn(job, 2)
    with pytest.raises(NotKept, match="2 entries are in memory only"):
        _turn(job, 3)
    assert job.trouble is not None
    assert "everything before it is safe" in str(job.trouble)
    assert _numbers(job) == [(1, 1), (2, 2), (3, 3)]
    assert _on_the_disk(job)[:1] == [(1, 1)]
    assert (3, 3) not in _on_the_disk(job)


@pytest.mark.parametrize("room", [0, 1, 40, 100, 200])
def test_once_there_is_room_what_waited_is_kept_first(job: Journal, disk: Disk, room: int) -> None:
    """The order is the order of speech, each once, and the trouble is over."""
    disk.room = room
    with pytest.raises(NotKept):
        _turn(job, 2)
    disk.room = None
    _turn(job, 3)
    assert job.trouble is None
    assert _numbers(job) == _on_the_disk(job) == [(1, 1), (2, 2), (3, 3)]


def test_an_entry_that_was_kept_after_all_is_not_kept_twice(job: Journal, disk: Disk) -> None:
    """A write that fails at its very end may be there: an undo that came twice would take back two readings."""
    disk.waits = False
    with pytest.raises(NotKept, match="reports an error"):
        _turn(job, 2)
    disk.waits = True
    _turn(job, 3)
    assert _on_the_disk(job) == [(1, 1), (2, 2), (3, 3)]


def test_closing_tries_once_more(job: Journal, disk: Disk) -> None:
    """The disk has room again at the end of the day: nothing is lost."""
    disk.room = 0
    with pytest.raises(NotKept):
        _turn(job, 2)
    disk.room = None
    job.close()
    assert job.trouble is None
    assert _on_the_disk(job) == [(1, 1), (2, 2)]


def test_closing_on_a_full_disk_says_so_and_lets_go_of_the_file(job: Journal, disk: Disk) -> None:
    """The end of the session is told, so that its exit status isn't 0; the next one may open the job."""
    disk.room = 30
    with pytest.raises(NotKept):
        _turn(job, 2)
    with pytest.raises(NotKept, match="1 entry is in memory only"):
        job.close()
    with Journal.open(job.path) as again:
        assert _numbers(again) == [(1, 1)]


def test_a_closed_job_takes_no_turn_without_a_word(job: Journal) -> None:
    """Whoever still holds it is told that nothing more is kept."""
    job.close()
    with pytest.raises(NotKept, match=r"The job is closed.* 1 entry is in memory only"):
        _turn(job, 2)
    with pytest.raises(NotKept):
        job.close()
    assert _on_the_disk(job) == [(1, 1)]


def test_a_place_that_can_not_be_written_gives_a_session_in_memory(tmp_path: Path) -> None:
    """A file where the folder should be: each turn is told, and the end as well."""
    (tmp_path / "jobs").write_text("a file, not a folder")
    journal = Journal.open(tmp_path / "jobs" / "kitchen.job")
    assert journal.trouble is not None
    with pytest.raises(NotKept, match="can't be written to"):
        _turn(journal, 1)
    assert _numbers(journal) == [(1, 1)]
    with pytest.raises(NotKept, match="1 entry is in memory only"):
        journal.close()


def test_another_writer_is_no_reason_to_go_on_in_memory(job: Journal) -> None:
    """Two crews who each believe that they keep the job would cut from two different ones."""
    with pytest.raises(JournalBusy):
        Journal.open(job.path)
