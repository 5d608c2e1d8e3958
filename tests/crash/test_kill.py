"""Killed at any write, a journal has every entry that it acknowledged; on a failing disk it says so."""

import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from functools import partial
from pathlib import Path

import pytest

from fieldvoice.journal.journal import Journal
from tests.crash.child import NOON
from tests.crash.child import run as play
from tests.crash.strace import SYSCALLS, TOP, Run, needs_strace, run_child

SCRIPTS = ("aa", "aAa", "araa", "aAArA")


@pytest.fixture(scope="module")
def points(tmp_path_factory: pytest.TempPathFactory) -> list[tuple[str, str, int]]:
    """Every script with every call it makes that writes: (script, call, which one)."""
    needs_strace()
    folder = tmp_path_factory.mktemp("points")
    found = []
    for script in SCRIPTS:
        whole = _run(folder / f"{script}.job", script)
        assert whole.said[-1] == "done"
        assert whole.counts["write"] > 4
        assert whole.counts["fsync"] > 5
        found += [(script, call, n) for call in SYSCALLS for n in range(1, whole.counts[call] + 1)]
    return found


def _run(path: Path, script: str, *inject: str) -> Run:
    return run_child(path, partial(play, path, script), *inject)


def _kept(path: Path) -> list[int]:
    """What the next opening finds, with nothing damaged."""
    if not path.exists():
        return []
    with Journal.open(path) as journal:
        assert journal.mended is None
        return [int(str(entry.body["count"])) for entry in journal.entries()]


def _check_kept(path: Path, run: Run, script: str) -> None:
    """All that was acknowledged, nothing that wasn't said, in order, and the journal goes on. What isn't there was said
    to be not kept.
    """
    kept = _kept(path)
    said = [count for count, letter in enumerate("r" + script) if letter in "aA"]
    assert [count for count in run.acknowledged if count not in kept] == []
    assert run.killed or len(kept) == len(said) or any(line.startswith("trouble") for line in run.said)
    assert kept == [count for count in said if count in kept]
    assert not any(line.startswith("traceback") for line in run.said), run.said
    with Journal.open(path) as journal:
        assert journal.append("reading", "hanger", {}, NOON).seq == len(kept) + 1


def _fresh(folder: Path) -> Path:
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir()
    return folder / "kitchen.job"


def test_killed_at_every_write_it_has_what_it_acknowledged(points: list[tuple[str, str, int]], tmp_path: Path) -> None:
    """Every kill point of every script."""
    for script, call, n in points:
        path = _fresh(tmp_path / "job")
        run = _run(path, script, f"{call}:signal=KILL:when={n}")
        assert run.killed, (script, call, n)
        assert "done" not in run.said
        _check_kept(path, run, script)


@pytest.mark.parametrize("for_good", [True, False], ids=["for good", "once"])
@pytest.mark.parametrize("error", ["ENOSPC", "EIO"])
def test_a_disk_that_fails_at_any_call_is_told_and_the_earlier_entries_stay(
    points: list[tuple[str, str, int]], tmp_path: Path, error: str, *, for_good: bool
) -> None:
    """Every call that writes or waits for the disk."""
    for script, call, n in points:
        if call not in {"write", "fsync", "ftruncate", "link"}:
            continue
        path = _fresh(tmp_path / "job")
        run = _run(path, script, f"{call}:error={error}:when={n}{'+' if for_good else ''}")
        assert run.injected >= 1, (script, call, n)
        assert run.said[-1] == "done"
        _check_kept(path, run, script)


def test_a_full_disk_is_said_in_words(tmp_path: Path) -> None:
    """What happened, what is safe, and what to do."""
    needs_strace()
    path = _fresh(tmp_path / "job")
    writes = _run(path, "a").counts["write"]
    path = _fresh(tmp_path / "job")
    run = _run(path, "aAAA", f"write:error=ENOSPC:when={writes + 1}+")
    assert run.injected > 0
    assert run.acknowledged == [1]
    told = [line for line in run.said if "The disk is full" in line and "everything before it is safe" in line]
    assert len(told) == 4  # at each of the three turns, and at the end
    assert "3 entries are in memory only" in told[-1]
    assert _kept(path) == run.acknowledged
    path = _fresh(tmp_path / "job")
    run = _run(path, "a", "write:error=ENOSPC:when=1+")
    assert run.acknowledged == []
    assert any("The disk is full" in line and "Don't cut by new readings" in line for line in run.said), run.said


@pytest.mark.skipif(sys.platform == "win32", reason="there is no kill -9")
@pytest.mark.parametrize("acknowledged", [1, 4, 15])
def test_killed_from_outside_while_it_writes(tmp_path: Path, acknowledged: int) -> None:
    """Without strace too: the parent kills once it has read so many acknowledgements."""
    path = tmp_path / "kitchen.job"
    order = [sys.executable, "-m", "tests.crash.child", str(path), "aA" * 500]
    with subprocess.Popen(order, cwd=TOP, stdout=subprocess.PIPE, text=True) as child:
        assert child.stdout is not None
        said = [child.stdout.readline() for _ in range(acknowledged)]
        time.sleep(0.002 * acknowledged)
        child.send_signal(signal.SIGKILL)
        said += child.stdout.readlines()
    assert child.returncode == -signal.SIGKILL
    acks = [int(line.split()[1]) for line in said if line.startswith("ack ") and line.endswith("\n")]
    kept = _kept(path)
    assert len(acks) >= acknowledged
    assert kept[: len(acks)] == acks
    assert len(kept) <= len(acks) + 1


def _damaged(folder: Path) -> Path:
    path = _fresh(folder)
    with Journal.open(path) as journal:
        for count in range(30):
            journal.append("reading", "hanger", {"count": count, "heard": "a" * 300}, NOON)
    data = path.read_bytes()
    place = data.index(b'"count":7')
    path.write_bytes(data[:place] + b'"count":8' + data[place + 9 :])
    return path


def _repair_points(tmp_path: Path) -> Iterator[tuple[str, int]]:
    whole = _run(_damaged(tmp_path / "job"), "")
    assert whole.counts["rename"] == 1
    for call in SYSCALLS:
        yield from ((call, n) for n in range(1, whole.counts[call] + 1))


def test_a_repair_that_is_killed_at_any_write_loses_nothing_more(tmp_path: Path) -> None:
    """Every point of it."""
    needs_strace()
    for call, n in _repair_points(tmp_path):
        path = _damaged(tmp_path / "job")
        assert _run(path, "", f"{call}:signal=KILL:when={n}").killed
        with Journal.open(path) as journal:
            counts = [entry.body["count"] for entry in journal.entries()]
            assert counts == [count for count in range(30) if count != 7], (call, n)
            assert [str(span) for span in journal.lost] == ["8"]
        assert any('count":8' in kept.read_text() for kept in path.parent.glob("*.damaged-*")), (call, n)
