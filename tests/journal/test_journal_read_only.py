"""A folder that can't be written: said at once, the job is still there to read, and the session goes on in memory."""

import os
import re
import shutil
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

import pytest

from fieldvoice.errors import NotKept
from fieldvoice.jobs import view
from fieldvoice.journal.format import Entry
from fieldvoice.journal.journal import Journal

pytestmark = pytest.mark.skipif(sys.platform == "win32", reason="folders have no write permission of this kind")

NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)
NOBODY = 65534


@contextmanager
def _as_someone_else() -> Iterator[None]:
    """Root may write anywhere, so root takes another user's place for as long as this lasts."""
    if os.getuid() != 0:
        yield
        return
    os.setresuid(NOBODY, NOBODY, 0)
    try:
        yield
    finally:
        os.setresuid(0, 0, 0)


@pytest.fixture
def job() -> Iterator[tuple[Path, list[Entry]]]:
    """A job in a folder that is read-only now."""
    folder = Path(tempfile.mkdtemp())
    path = folder / "kitchen.job"
    with Journal.open(path) as journal:
        journal.append("reading", "hanger", {"value": "46 7/8"}, NOON)
        journal.append("answer", "partner", {"yes": True}, NOON)
        entries = list(journal.entries())
    folder.chmod(0o555)
    for file in folder.iterdir():
        file.chmod(0o444)
    with _as_someone_else():
        assert not os.access(folder, os.W_OK)
        yield path, entries
    folder.chmod(0o755)
    shutil.rmtree(folder)


def test_that_nothing_can_be_written_is_told(job: tuple[Path, list[Entry]]) -> None:
    """What is safe, and what to do."""
    assert re.search(r"can't be written to.*Earlier entries are safe.*--job", str(Journal.open(job[0]).trouble))


def test_of_a_new_job_there_it_is_told_too(job: tuple[Path, list[Entry]]) -> None:
    """In the folder, and in a folder to be made in it."""
    for path in (job[0].with_name("new.job"), job[0].parent / "jobs" / "new.job"):
        assert "can't be written to" in str(Journal.open(path).trouble)
        assert not path.exists()


def test_everything_can_be_read(job: tuple[Path, list[Entry]]) -> None:
    """Each entry, and nothing is wrong with it."""
    with view(job[0]) as journal:
        assert list(journal.entries()) == job[1]
        assert journal.trouble is None


def test_the_session_goes_on_in_memory_from_where_it_was(job: tuple[Path, list[Entry]]) -> None:
    """The readings of before are there, the next gets the next number, and the trouble stands."""
    journal = Journal.open(job[0])
    assert journal.trouble is not None
    assert "can't be written to" in str(journal.trouble)
    with pytest.raises(NotKept, match=r"can't be written to.*1 entry is in memory only"):
        journal.append("reading", "hanger", {"value": "46 1/8"}, NOON)
    assert [entry.seq for entry in journal.entries()] == [1, 2, 3]
    assert list(journal.entries())[:2] == job[1]
    with pytest.raises(NotKept):
        journal.close()
