"""A damaged journal says what is lost and opens the rest: never a wrong entry, never one missing in silence."""

import random
from collections.abc import Iterable, Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest

from fieldvoice.jobs import view
from fieldvoice.journal.format import HEAD, MENDED, Contents, Damage, Entry, file_of, is_ours, read
from fieldvoice.journal.journal import Journal, contents_of

NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)
COUNT = 12


def _fill(path: Path, count: int = COUNT) -> list[Entry]:
    """Turns of every size, one of them on more than a page."""
    sizes = [20, 300, 900] * count
    sizes[count // 2] = 5000
    with Journal.open(path) as journal:
        for n in range(count):
            journal.append("turn", "hanger", {"n": n, "heard": "forty two " * (sizes[n] // 10)}, NOON)
        return list(journal.entries())


@pytest.fixture(scope="module")
def job(tmp_path_factory: pytest.TempPathFactory) -> tuple[bytes, list[Entry]]:
    """A journal's bytes and its entries."""
    path = tmp_path_factory.mktemp("job") / "kitchen.job"
    entries = _fill(path)
    return path.read_bytes(), entries


@pytest.fixture(scope="module")
def small(tmp_path_factory: pytest.TempPathFactory) -> tuple[bytes, list[Entry]]:
    """A journal of three turns, so that every bit of it can be tried."""
    path = tmp_path_factory.mktemp("small") / "hall.job"
    with Journal.open(path) as journal:
        for n in range(3):
            journal.append("turn", "hanger", {"n": n}, NOON)
        return path.read_bytes(), list(journal.entries())


def _is_lost(seq: int, found: Contents) -> bool:
    return any(span.first <= seq and (span.last is None or seq <= span.last) for span in found.lost)


def _check_told(spoilt: Iterable[bytes], job: tuple[bytes, list[Entry]]) -> int:
    """Each spoilt file is no journal any more, or is told of: every entry that isn't there is among the lost."""
    whole, entries = job
    tried = 0
    for data in spoilt:
        if data == whole:
            continue
        tried += 1
        if not is_ours(data):
            continue
        found = read(data)
        assert found.faults
        assert [entry for entry in found.entries if entry not in entries] == []
        assert [entry.seq for entry in entries if entry not in found.entries and not _is_lost(entry.seq, found)] == []
    return tried


def _flipped(data: bytes, bits: Iterable[int]) -> Iterator[bytes]:
    for bit in bits:
        spoilt = bytearray(data)
        spoilt[bit // 8] ^= 1 << bit % 8
        yield bytes(spoilt)


def _blocks(data: bytes, seed: int, count: int) -> Iterator[tuple[int, int]]:
    """Stretches of a file: disks lose and double them in powers of two, editors anywhere."""
    draw = random.Random(seed)
    for _ in range(count):
        size = draw.choice([1, 7, 64, 512, draw.randrange(1, len(data))])
        start = draw.randrange(len(data))
        yield start, min(start + size, len(data))


def test_a_file_cut_off_at_any_byte_is_told(job: tuple[bytes, list[Entry]]) -> None:
    """Every length there is, the empty file among them."""
    data, _ = job
    assert _check_told((data[:length] for length in range(len(data))), job) == len(data)


def test_an_end_cut_off_between_two_entries_is_told(job: tuple[bytes, list[Entry]]) -> None:
    """What is left is whole and in order: the head alone knows that more was acknowledged."""
    data, entries = job
    lines = data[HEAD:].splitlines(keepends=True)
    for kept in range(COUNT):
        found = read(data[:HEAD] + b"".join(lines[:kept]))
        assert found.entries == entries[:kept]
        assert [(span.first, span.last) for span in found.lost] == [(kept + 1, COUNT)]


def test_every_flipped_bit_of_a_small_job_is_told(small: tuple[bytes, list[Entry]]) -> None:
    """Head and entries, all eight bits of each byte."""
    bits = len(small[0]) * 8
    assert _check_told(_flipped(small[0], range(bits)), small) == bits


def test_flipped_bits_of_a_long_job_are_told(job: tuple[bytes, list[Entry]]) -> None:
    """A sample of single ones, and of several at a time."""
    data, draw = job[0], random.Random(3)
    _check_told(_flipped(data, draw.sample(range(len(data) * 8), 1500)), job)
    for _ in range(200):
        spoilt = bytearray(data)
        for place in draw.sample(range(len(data)), draw.randrange(2, 9)):
            spoilt[place] ^= draw.randrange(1, 256)
        _check_told([bytes(spoilt)], job)


def test_doubled_stretches_are_told(job: tuple[bytes, list[Entry]]) -> None:
    """A stretch of bytes twice, in its place, or laid over what follows; the whole file twice."""
    data = job[0]
    twice = (data[:end] + data[start:] for start, end in _blocks(data, 5, 800))
    over = (data[:end] + data[start:end] + data[2 * end - start :] for start, end in _blocks(data, 6, 800))
    assert _check_told(twice, job) > 700
    assert _check_told(over, job) > 600
    assert _check_told([data + data, data[:HEAD] + data], job) == 2


def test_doubled_and_moved_entries_are_told(job: tuple[bytes, list[Entry]]) -> None:
    """Each entry twice, at its place or at the end; any two exchanged; any one gone."""
    head, lines = job[0][:HEAD], job[0][HEAD:].splitlines(keepends=True)
    spoilt = []
    for place, line in enumerate(lines):
        spoilt += [[*lines[:place], line, *lines[place:]], [*lines, line], lines[:place] + lines[place + 1 :]]
        for other in range(place):
            moved = list(lines)
            moved[place], moved[other] = moved[other], moved[place]
            spoilt.append(moved)
    assert _check_told((head + b"".join(each) for each in spoilt), job) == COUNT * 3 + COUNT * (COUNT - 1) // 2


def test_stretches_that_are_gone_or_blank_are_told(job: tuple[bytes, list[Entry]]) -> None:
    """Cut out, or full of zeros as a disk leaves them."""
    data = job[0]
    _check_told((data[:start] + data[end:] for start, end in _blocks(data, 7, 800)), job)
    _check_told((data[:start] + bytes(end - start) + data[end:] for start, end in _blocks(data, 8, 800)), job)


def test_an_entry_of_another_job_is_told(job: tuple[bytes, list[Entry]], small: tuple[bytes, list[Entry]]) -> None:
    """Its own sum is right, and it doesn't follow the one before: it isn't taken for the one that was acknowledged."""
    ours, other = job[0][HEAD:].splitlines(keepends=True), small[0][HEAD:].splitlines(keepends=True)
    found = read(job[0][:HEAD] + b"".join([ours[0], other[1], *ours[2:]]))
    assert (Damage.OUT_OF_PLACE, "2") in found.faults
    assert [entry.seq for entry in found.entries] == [1, *range(3, COUNT + 1)]
    last = read(small[0][:HEAD] + b"".join([*other[:2], file_of(job[1][:3])[HEAD:].splitlines(keepends=True)[2]]))
    assert [entry.seq for entry in last.entries] == [1, 2]
    assert _is_lost(3, last)


def test_an_entry_cut_short_that_was_never_acknowledged_is_no_damage(small: tuple[bytes, list[Entry]]) -> None:
    """As a kill leaves it: the head doesn't know of it."""
    data, entries = small
    following = file_of([*entries, Entry(4, NOON, "hanger", "turn", {"n": 3})])[HEAD:].splitlines(keepends=True)[3]
    for length in range(len(following)):
        found = read(data + following[:length])
        assert (found.entries, found.faults, found.end) == (entries, [], len(data))
    assert len(read(data + following).entries) == 4


def test_a_damaged_entry_is_named_and_the_others_open(job: tuple[bytes, list[Entry]], tmp_path: Path) -> None:
    """One figure changed in entry 8: that one is lost, it stays known, and the damaged file is kept."""
    data, entries = job
    spoilt = data.replace(b'"n":7', b'"n":8')
    target = tmp_path / "kitchen.job"
    target.write_bytes(spoilt)
    with Journal.open(target) as journal:
        assert list(journal.entries()) == entries[:7] + entries[8:]
        assert journal.mended is not None
        assert "Entries lost: 8." in str(journal.mended)
        assert [entry.seq for entry in journal.records()][-1:] == [COUNT + 1]
        assert [entry.kind for entry in journal.records()][-1:] == [MENDED]
        assert journal.append("turn", "hanger", {}, NOON).seq == COUNT + 2
    assert next(tmp_path.glob("*.damaged-*")).read_bytes() == spoilt
    for _ in range(2):
        with Journal.open(target) as journal:
            assert journal.mended is None
            assert [str(span) for span in journal.lost] == ["8"]


def test_a_job_damaged_twice_keeps_both_losses(job: tuple[bytes, list[Entry]], tmp_path: Path) -> None:
    """What was lost before stays lost, and what stands after the first mending is still held against its sums."""
    target = tmp_path / "kitchen.job"
    target.write_bytes(job[0].replace(b'"n":7', b'"n":8'))
    with Journal.open(target) as journal:
        journal.append("turn", "hanger", {"n": "after"}, NOON)
    target.write_bytes(target.read_bytes().replace(b'"n":"after"', b'"n":"later"'))
    with Journal.open(target) as journal:
        assert [str(span) for span in journal.lost] == ["8", "14"]
        assert journal.mended is not None


def test_an_end_that_nothing_tells_of_is_in_question(job: tuple[bytes, list[Entry]], tmp_path: Path) -> None:
    """The head is gone: perhaps more entries followed, and the numbers go on after the last that is there."""
    target = tmp_path / "kitchen.job"
    target.write_bytes(bytes(HEAD) + job[0][HEAD:])
    with Journal.open(target) as journal:
        assert list(journal.entries()) == job[1]
        assert [str(span) for span in journal.lost] == [f"perhaps any after {COUNT}"]


def test_viewing_a_damaged_job_says_the_same_and_changes_nothing(
    job: tuple[bytes, list[Entry]], tmp_path: Path
) -> None:
    """The file stays as it is for whoever mends it."""
    target = tmp_path / "kitchen.job"
    target.write_bytes(job[0][:-40])
    with view(target) as viewer:
        assert viewer.trouble is not None
        assert "Entries lost: 12." in str(viewer.trouble)
        assert "itself was left as it was" in str(viewer.trouble)
    assert contents_of(target).faults
    assert [file.name for file in tmp_path.iterdir()] == ["kitchen.job"]
    assert target.read_bytes() == job[0][:-40]


def test_mended_files_of_every_damage_open_without_a_word(job: tuple[bytes, list[Entry]], tmp_path: Path) -> None:
    """Mended once, a file is whole: nothing is told anew, and what was lost stays on record."""
    for place, (start, end) in enumerate(_blocks(job[0], 9, 60)):
        target = tmp_path / f"{place}.job"
        target.write_bytes(job[0][:start] + job[0][end:])
        with Journal.open(target) as journal:
            assert journal.mended is not None
            lost, kept = journal.lost, list(journal.entries())
        with Journal.open(target) as journal:
            assert journal.mended is None
            assert (journal.lost, list(journal.entries())) == (lost, kept)
