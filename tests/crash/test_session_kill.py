"""Killed at any write, a session opened again has every value that it acknowledged, and no value that nobody called."""

import json
from collections.abc import Callable
from functools import partial
from pathlib import Path

import pytest

from fieldvoice.dialogue.session import Session
from fieldvoice.journal.journal import Journal
from tests.crash.session_child import LINES, lines, standing
from tests.crash.strace import SYSCALLS, Run, needs_strace, run_child

DEFAULT_STRIDE = 13
"""Of the points, each 13th is tried by default and every one under `slow`."""

States = list[dict[str, str]]
Point = tuple[str, int]


def _states(run: Run) -> States:
    return [json.loads(line.split(" ", 2)[2]) for line in run.said if line.startswith("ack ")]


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> tuple[States, list[Point]]:
    """What stands after each line, nothing before the first, and every call that writes."""
    needs_strace()
    path = tmp_path_factory.mktemp("whole") / "kitchen.job"
    run = run_child(path, partial(lines, path))
    states = _states(run)
    assert run.said[-1] == "done"
    assert len(states) == len(LINES)
    return [{}, *states], [(call, n) for call in SYSCALLS for n in range(1, run.counts[call] + 1)]


def _reopened(path: Path) -> dict[str, str]:
    if not path.exists():
        return {}
    with Journal.open(path) as journal:
        assert journal.mended is None
        return standing(Session(journal).state)


def _kill_at(states: States, points: list[Point], folder: Path) -> int:
    """Each value is as it was last acknowledged, or as the line leaves it that was being taken; nothing else is."""
    for call, n in points:
        path = folder / f"{call}-{n}.job"
        run = run_child(path, partial(lines, path), f"{call}:signal=KILL:when={n}")
        assert run.killed, (call, n)
        acknowledged = _states(run)
        assert acknowledged == states[1 : len(acknowledged) + 1]
        before, after = states[len(acknowledged)], (states + states[-1:])[len(acknowledged) + 1]
        found = _reopened(path)
        for key in before.keys() | after.keys() | found.keys():
            assert found.get(key) in {before.get(key), after.get(key)}, (call, n, key)
    return len(points)


def test_killed_in_a_session_every_acknowledged_value_is_there(
    whole: tuple[States, list[Point]], tmp_path: Path
) -> None:
    """A sample of the kill points."""
    states, points = whole
    assert _kill_at(states, points[5::DEFAULT_STRIDE], tmp_path) >= 3


@pytest.mark.slow
def test_killed_anywhere_in_a_session_every_acknowledged_value_is_there(
    whole: tuple[States, list[Point]], tmp_path: Path, record_testsuite_property: Callable[[str, object], None]
) -> None:
    """Every kill point."""
    states, points = whole
    record_testsuite_property("kill points tried in a session", _kill_at(states, points, tmp_path))
