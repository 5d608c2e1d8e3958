"""The session goes on when the disk doesn't, and says so."""

import sqlite3
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import pytest

from fieldvoice.errors import JournalTrouble
from fieldvoice.journal.journal import Entry, Journal, JournalBusy, MemoryJournal
from fieldvoice.journal.steady import SteadyJournal

NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)


class FailingDisk(Journal):
    """A journal whose disk can be taken away."""

    broken = False
    late = False

    def _write(self, numbered: Callable[[sqlite3.Connection], Entry]) -> Entry:
        if self.broken:
            if self.late:
                self.following = super()._write(numbered).seq
            raise JournalTrouble("The disk is full.")
        return super()._write(numbered)


@pytest.fixture
def disk(tmp_path: Path) -> FailingDisk:
    """A journal on a disk that can fail."""
    return FailingDisk.open(tmp_path / "kitchen.job")  # type: ignore[return-value]


def _numbers(journal: Journal | SteadyJournal) -> list[tuple[int, object]]:
    return [(entry.seq, entry.body["n"]) for entry in journal.entries()]


def test_nothing_is_said_while_all_is_kept(disk: FailingDisk) -> None:
    """No trouble, and the entries are the journal's own."""
    steady = SteadyJournal(disk)
    steady.append("reading", "hanger", {"n": 1}, NOON)
    assert steady.trouble is None
    assert _numbers(steady) == _numbers(disk) == [(1, 1)]


def test_a_full_disk_keeps_the_session_going_in_memory(disk: FailingDisk) -> None:
    """Numbers go on, all entries are there to the session, and the trouble is said with how many wait."""
    steady = SteadyJournal(disk)
    steady.append("reading", "hanger", {"n": 1}, NOON)
    disk.broken = True
    steady.append("reading", "hanger", {"n": 2}, NOON)
    steady.append("reading", "hanger", {"n": 3}, NOON)
    assert _numbers(steady) == [(1, 1), (2, 2), (3, 3)]
    assert steady.trouble is not None
    assert "disk is full" in steady.trouble
    assert "2 entries are in memory only" in steady.trouble


def test_once_there_is_room_what_waited_is_kept_first(disk: FailingDisk) -> None:
    """The order is the order of speech, and the trouble is over."""
    steady = SteadyJournal(disk)
    disk.broken = True
    steady.append("reading", "hanger", {"n": 1}, NOON)
    disk.broken = False
    steady.append("reading", "hanger", {"n": 2}, NOON)
    assert steady.trouble is None
    assert _numbers(disk) == [(1, 1), (2, 2)]


def test_an_entry_that_was_kept_after_all_is_not_kept_twice(disk: FailingDisk) -> None:
    """A write that fails at its very end may be there: an undo that came twice would take back two readings."""
    steady = SteadyJournal(disk)
    disk.broken = disk.late = True
    steady.append("undo", "hanger", {"n": 1}, NOON)
    assert _numbers(steady) == [(1, 1)]
    disk.broken = False
    steady.append("reading", "hanger", {"n": 2}, NOON)
    assert _numbers(steady) == _numbers(disk) == [(1, 1), (2, 2)]


def test_closing_tries_once_more(disk: FailingDisk) -> None:
    """The disk has room again at the end of the day: nothing is lost."""
    steady = SteadyJournal(disk)
    disk.broken = True
    steady.append("reading", "hanger", {"n": 1}, NOON)
    disk.broken = False
    steady.close()
    assert steady.trouble is None
    with Journal.open(disk.path) as journal:
        assert _numbers(journal) == [(1, 1)]


def test_closing_on_a_broken_disk_lets_go_of_the_file(disk: FailingDisk) -> None:
    """What waits is lost as was said, and the job can be opened by the next."""
    steady = SteadyJournal(disk)
    disk.broken = True
    steady.append("reading", "hanger", {"n": 1}, NOON)
    steady.close()
    assert steady.trouble is not None
    with Journal.open(disk.path) as journal:
        assert _numbers(journal) == []


def test_a_place_that_can_not_be_written_gives_a_session_in_memory(tmp_path: Path) -> None:
    """A file where the folder should be: nothing can be kept there, and the first thing shown is that."""
    (tmp_path / "jobs").write_text("a file, not a folder")
    steady = SteadyJournal.open(tmp_path / "jobs" / "kitchen.job")
    assert steady.append("reading", "hanger", {"n": 1}, NOON).seq == 1
    assert steady.trouble is not None
    assert "goes on in memory only" in steady.trouble


def test_another_writer_is_no_reason_to_go_on_in_memory(disk: FailingDisk) -> None:
    """Two crews who each believe that they keep the job would cut from two different ones."""
    with pytest.raises(JournalBusy):
        SteadyJournal.open(disk.path)


def test_a_number_out_of_turn_is_refused(disk: FailingDisk) -> None:
    """`keep` takes the next entry or one that is there already, nothing else."""
    for journal in (disk, MemoryJournal()):
        first = journal.append("reading", "hanger", {"n": 1}, NOON)
        journal.keep(first)
        journal.keep(Entry(2, NOON, "hanger", "reading", {"n": 2}))
        with pytest.raises(ValueError, match="the next one is 3"):
            journal.keep(Entry(4, NOON, "hanger", "reading", {"n": 4}))
        with pytest.raises(ValueError, match="the next one is 3"):
            journal.keep(Entry(1, NOON, "hanger", "reading", {"n": 9}))
        assert [entry.body["n"] for entry in journal.entries()] == [1, 2]


@pytest.mark.parametrize("meanwhile", [True, False], ids=["kept after all", "not kept"])
def test_a_failed_append_may_be_called_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, *, meanwhile: bool
) -> None:
    """Whether the failed write is there or not, the second try leaves one undo; the same undo said again is another."""
    from fieldvoice.journal import journal as module

    write = module._in_one_piece

    def failing(connection: sqlite3.Connection, numbered: Callable[[sqlite3.Connection], Entry]) -> Entry:
        if meanwhile:
            write(connection, numbered)
        else:
            numbered(connection)
        raise sqlite3.OperationalError("disk I/O error")

    with Journal.open(tmp_path / "kitchen.job") as journal:
        journal.append("undo", "hanger", {"n": 1}, NOON)
        monkeypatch.setattr(module, "_in_one_piece", failing)
        with pytest.raises(JournalTrouble):
            journal.append("undo", "hanger", {"n": 1}, NOON)
        monkeypatch.setattr(module, "_in_one_piece", write)
        assert journal.append("undo", "hanger", {"n": 1}, NOON).seq == 2
        assert _numbers(journal) == [(1, 1), (2, 1)]
        assert journal.append("undo", "hanger", {"n": 1}, NOON).seq == 3
