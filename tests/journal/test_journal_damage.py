"""A damaged journal says what is lost and opens the rest: never a wrong entry, never a traceback."""

import random
import shutil
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from fieldvoice.errors import JournalTrouble
from fieldvoice.journal.check import check
from fieldvoice.journal.journal import Entry, Journal
from fieldvoice.journal.repair import log_of

NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)
COUNT = 40


def _fill(journal: Journal, count: int = COUNT) -> list[Entry]:
    """Readings of every size, one of them on more than a page."""
    sizes = [20, 300, 900] * count
    sizes[count // 2] = 9000
    return [
        journal.append("reading", "hanger", {"n": n, "heard": "forty two " * (sizes[n] // 10)}, NOON)
        for n in range(count)
    ]


@pytest.fixture(scope="module")
def closed(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, list[Entry]]:
    """A journal closed in order: one file."""
    path = tmp_path_factory.mktemp("closed") / "kitchen.job"
    with Journal.open(path) as journal:
        return path, _fill(journal)


@pytest.fixture(scope="module")
def cut_off(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, list[Entry]]:
    """A journal as a kill leaves it: half of it in the file, the rest in the log beside it."""
    folder = tmp_path_factory.mktemp("cut_off")
    path, copy = folder / "writing.job", folder / "kitchen.job"
    with Journal.open(path) as journal:
        entries = _fill(journal)
        journal._connection().execute("PRAGMA wal_checkpoint(PASSIVE)")
        entries += [journal.append("answer", "partner", {"n": COUNT + n}, NOON) for n in range(6)]
        shutil.copyfile(path, copy)
        shutil.copyfile(log_of(path), log_of(copy))
    return copy, entries


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, list[Entry]]:
    """A journal of a few pages, so that every byte of it can be tried."""
    path = tmp_path_factory.mktemp("small") / "kitchen.job"
    with Journal.open(path) as journal:
        return path, _fill(journal, 3)


def _opened(folder: Path, database: bytes, log: bytes) -> tuple[list[Entry], str] | None:
    """What opening finds, with what it says; None where it gives a clear error and changes nothing."""
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()
    path = folder / "kitchen.job"
    path.write_bytes(database)
    if log:
        log_of(path).write_bytes(log)
    try:
        with Journal.open(path) as journal:
            return list(journal.entries()), journal.notice or ""
    except JournalTrouble as error:
        assert len(str(error)) > 40  # noqa: PT017
        return None


def _lengths(size: int, seed: int, sample: int) -> Iterator[int]:
    """Lengths around each page's end, and others at random."""
    picked = {edge + off for edge in range(0, size, 4096) for off in (-1, 0, 1)}
    picked |= set(random.Random(seed).sample(range(size), sample))
    return iter(sorted(length for length in picked if 0 <= length < size))


def _check_truncations(closed: tuple[Path, list[Entry]], folder: Path, lengths: Iterator[int]) -> None:
    path, entries = closed
    database = path.read_bytes()
    for length in lengths:
        found = _opened(folder, database[:length], b"")
        if found is None:
            assert length < 4096
            continue
        kept, notice = found
        assert [entry for entry in kept if entry not in entries] == []
        assert length == 0 or "Entries lost:" in notice


def test_a_file_cut_off_anywhere_opens_or_says_why_not(closed: tuple[Path, list[Entry]], tmp_path: Path) -> None:
    """Whatever is opened is as it was said, and the loss is told; below one page there is a clear error."""
    _check_truncations(closed, tmp_path / "job", _lengths(closed[0].stat().st_size, 1, 60))


@pytest.mark.slow
def test_a_file_cut_off_at_every_byte_opens_or_says_why_not(small: tuple[Path, list[Entry]], tmp_path: Path) -> None:
    """The same at each length there is."""
    _check_truncations(small, tmp_path / "job", iter(range(small[0].stat().st_size)))


def _check_log_truncations(cut_off: tuple[Path, list[Entry]], folder: Path, lengths: Iterator[int]) -> None:
    """Entries in the file are all there; of those in the log, a run from the first on."""
    path, entries = cut_off
    database, log = path.read_bytes(), log_of(path).read_bytes()
    counts = set()
    for length in lengths:
        found = _opened(folder, database, log[:length])
        assert found is not None
        assert found[0] == entries[: len(found[0])]
        counts.add(len(found[0]))
        assert len(found[0]) >= COUNT
    assert len(counts) > 2


def test_a_log_cut_off_anywhere_leaves_a_run_from_the_first(cut_off: tuple[Path, list[Entry]], tmp_path: Path) -> None:
    """The file's entries never depend on the log."""
    _check_log_truncations(cut_off, tmp_path / "job", _lengths(log_of(cut_off[0]).stat().st_size, 2, 60))


@pytest.mark.slow
def test_a_log_cut_off_at_every_byte_leaves_a_run_from_the_first(
    cut_off: tuple[Path, list[Entry]], tmp_path: Path
) -> None:
    """The same at each length there is."""
    _check_log_truncations(cut_off, tmp_path / "job", iter(range(log_of(cut_off[0]).stat().st_size)))


def test_the_whole_log_gives_the_whole_job(cut_off: tuple[Path, list[Entry]], tmp_path: Path) -> None:
    """The files as a kill left them lose nothing and say nothing."""
    found = _opened(tmp_path / "job", cut_off[0].read_bytes(), log_of(cut_off[0]).read_bytes())
    assert found == (cut_off[1], "")


@pytest.mark.parametrize("length", [0, 100, 4096, 9000])
def test_entries_in_the_log_outlive_a_file_that_is_cut_off(
    cut_off: tuple[Path, list[Entry]], tmp_path: Path, length: int
) -> None:
    """SQLite alone would throw the log of an empty file away."""
    path, entries = cut_off
    found = _opened(tmp_path / "job", path.read_bytes()[:length], log_of(path).read_bytes())
    assert found is not None
    assert found[0][-6:] == entries[-6:]
    assert "Entries lost:" in found[1]


def _sound(path: Path) -> bool:
    """What `check` says; a file that it refuses in words isn't sound."""
    try:
        return check(path).sound
    except JournalTrouble:
        return False


def _check_flips(
    job: tuple[Path, list[Entry]], folder: Path, *, in_log: bool, places: Iterator[int]
) -> tuple[int, int]:
    """Flips one bit at each place; returns how many were told of and how many made no difference."""
    path, entries = job
    database, log = path.read_bytes(), log_of(path).read_bytes() if log_of(path).exists() else b""
    told = harmless = 0
    for place in places:
        data = bytearray(log if in_log else database)
        data[place] ^= 1 << place % 8
        files = (database, bytes(data)) if in_log else (bytes(data), log)
        found = _opened(folder / "opened", *files)
        (folder / "checked").mkdir(exist_ok=True)
        target = folder / "checked" / "kitchen.job"
        target.write_bytes(files[0])
        log_of(target).write_bytes(files[1])
        sound = _sound(target)
        if found is None or found[1]:
            told += 1
            assert not sound, place
            assert found is None or [entry for entry in found[0] if entry not in entries] == []
        else:
            assert found[0] == entries, place
            harmless += sound
    return told, harmless


def test_a_flipped_bit_in_the_file_is_told_or_makes_no_difference(
    closed: tuple[Path, list[Entry]], tmp_path: Path
) -> None:
    """Never an entry that wasn't said, never one missing in silence; `check` finds what opening finds."""
    size = closed[0].stat().st_size
    told, _ = _check_flips(closed, tmp_path, in_log=False, places=iter(random.Random(3).sample(range(size), 150)))
    assert told > 60


def test_a_flipped_bit_in_the_log_is_told_or_makes_no_difference(
    cut_off: tuple[Path, list[Entry]], tmp_path: Path
) -> None:
    """SQLite passes over a log from its first damaged frame on without a word: the journal tells."""
    size = log_of(cut_off[0]).stat().st_size
    places = iter(random.Random(4).sample(range(32, size), 100))
    _check_flips(cut_off, tmp_path, in_log=True, places=places)


@pytest.mark.slow
def test_a_flipped_bit_anywhere_is_told_or_makes_no_difference(small: tuple[Path, list[Entry]], tmp_path: Path) -> None:
    """The same at each byte of the file."""
    told, _ = _check_flips(small, tmp_path, in_log=False, places=iter(range(small[0].stat().st_size)))
    assert told > 500


def test_a_damaged_entry_is_named_and_the_others_open(closed: tuple[Path, list[Entry]], tmp_path: Path) -> None:
    """One letter changed in entry 8: that one is lost, it stays known, and the damaged file is kept."""
    path, entries = closed
    data = path.read_bytes()
    place = data.index(b'"n":7')
    target = tmp_path / "kitchen.job"
    target.write_bytes(data[: place + 4] + b"8" + data[place + 5 :])
    with Journal.open(target) as journal:
        assert list(journal.entries()) == entries[:7] + entries[8:]
        assert journal.notice is not None
        assert "Entries lost: 8." in journal.notice
        assert journal.append("reading", "hanger", {}, NOON).seq == COUNT + 1
    assert next(tmp_path.glob("*.damaged-*")).read_bytes() == data[: place + 4] + b"8" + data[place + 5 :]
    with Journal.open(target) as journal:
        assert journal.notice is None
        assert [str(span) for span in journal.lost] == ["8"]


def test_viewing_a_damaged_job_says_the_same_and_changes_nothing(
    closed: tuple[Path, list[Entry]], tmp_path: Path
) -> None:
    """The file stays as it is for whoever mends it."""
    target = tmp_path / "kitchen.job"
    target.write_bytes(closed[0].read_bytes()[:-4096])
    before = target.read_bytes()
    with Journal.view(target) as viewer:
        assert viewer.notice is not None
        assert "itself was left as it was" in viewer.notice
    assert target.read_bytes() == before
    assert list(tmp_path.glob("*.damaged-*")) == []


def test_a_repair_cut_short_is_finished_by_the_next_opening(
    closed: tuple[Path, list[Entry]], cut_off: tuple[Path, list[Entry]], tmp_path: Path
) -> None:
    """The sound file is ready and the old log still there: the log of the old file isn't laid over the new one."""
    target = tmp_path / "kitchen.job"
    shutil.copyfile(cut_off[0], target)
    shutil.copyfile(log_of(cut_off[0]), log_of(target))
    shutil.copyfile(closed[0], tmp_path / "kitchen.job.rebuilt")
    with Journal.open(target) as journal:
        assert list(journal.entries()) == closed[1]
