"""What can't be kept, through the program as a person runs it: said at that turn, and the exit status isn't 0."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from fieldvoice.errors import JournalTrouble
from fieldvoice.journal.journal import Journal
from tests.cli.program import ROOT, fieldvoice

LINES = ("top 46 7/8", "middle 46 3/4", "bottom 46 1/4", "height 95 1/2")


resource = pytest.importorskip("resource", reason="only POSIX has limits of this kind")


def _limited(path: Path, largest: int, command: list[str]) -> tuple[int, str, str]:
    """Runs with files no larger than so many bytes: what a full disk is to the program."""
    order = [sys.executable, "-m", "fieldvoice", *command, "--job", str(path)]
    done = subprocess.run(
        order,
        input="\n".join(LINES),
        capture_output=True,
        text=True,
        check=False,
        cwd=ROOT,
        timeout=60,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (largest, largest)),
    )
    assert "Traceback" not in done.stderr
    return done.returncode, done.stdout, done.stderr


@pytest.mark.parametrize("share", [0.0, 0.3, 0.6, 0.9])
def test_a_disk_that_runs_full_in_mid_session(tmp_path: Path, share: float) -> None:
    """From the turn on that isn't kept, each says so before its read-back; the end says so, and so does the status."""
    whole = tmp_path / "whole.job"
    assert _limited(whole, 1_000_000, ["type", "--quiet"])[0] == 1  # what stands at the edges wasn't said: no plan
    path = tmp_path / "kitchen.job"
    Journal.open(path).close()
    empty, full = path.stat().st_size, whole.stat().st_size
    status, out, err = _limited(path, int(empty + share * (full - empty)), ["type", "--quiet"])
    assert status == JournalTrouble.exit_status
    assert "in memory only" in err
    said = out.splitlines()
    calls = [number for number, line in enumerate(said) if line.startswith("hanger")]
    untold = [not said[number + 1].startswith("fieldvoice: The disk is full") for number in calls]
    kept_turns = untold.count(True)
    assert untold == [True] * kept_turns + [False] * (len(calls) - kept_turns)
    assert kept_turns < len(LINES)
    with Journal.open(path) as journal:
        kept = str([entry.body for entry in journal.entries()])
    assert [line for line in LINES[:kept_turns] if line not in kept] == []


def test_a_home_that_can_not_be_written(tmp_path: Path) -> None:
    """Each turn is told, and the end; what was read back is shown all the same."""
    place = tmp_path / "data"
    place.write_text("a file where the folder should be")
    ran = fieldvoice("type", "--quiet", stdin="\n".join(LINES).encode(), XDG_DATA_HOME=str(place))
    assert ran.status == JournalTrouble.exit_status
    assert ran.out.count("can't be written to") >= len(LINES)
    assert "46 7/8" in ran.out
    assert "in memory only" in ran.err


def test_a_home_that_can_be_written_says_nothing(tmp_path: Path) -> None:
    """The same lines, kept."""
    ran = fieldvoice("type", "--quiet", stdin="\n".join(LINES).encode(), XDG_DATA_HOME=str(tmp_path))
    assert ran.status != JournalTrouble.exit_status
    assert "in memory" not in ran.out + ran.err
