"""Ctrl-C at any moment of any command: no traceback, a status that says so, and a sentence that is true."""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from fieldvoice.commands.output import LEFT, STOPPED
from fieldvoice.jobs import view
from tests.cli.program import ROOT

LINES = ("top 46 7/8", "middle 46 3/4", "bottom 46 1/4")
SHED = """
[job]
sheets = ["48 x 96"]
[[wall]]
room = "shed"
name = "north"
width = "140"
height = "90"
studs = "16 on center from left"
"""
COMMANDS = {
    "parse": ("parse", "top", "46"),
    "a kept job": ("replay", "--quiet", "--job", "a.job", "lines.txt"),
    "lines piped": ("type", "--quiet", "--job", "a.job"),
    "nothing kept": ("cut", "lines.txt"),
    "a room": ("room", "shed.toml", "--pdf", "room.pdf"),
}


def _run(folder: Path, name: str, at: int) -> tuple[int, str, str]:
    """Status, what was shown and what was told; `at` 0 presses nothing."""
    for made in ("a.job", "room.pdf"):
        (folder / made).unlink(missing_ok=True)
    done = subprocess.run(
        [sys.executable, "-m", "tests.cli.interrupted", str(at), *COMMANDS[name]],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        input="\n".join(LINES),
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )
    return done.returncode, done.stdout, done.stderr


@pytest.mark.skipif(sys.platform == "win32", reason="signals as Unix has them")
@pytest.mark.parametrize("points", [1, pytest.param(15, marks=pytest.mark.slow)])
@pytest.mark.parametrize("name", COMMANDS)
def test_ctrl_c_at_any_moment_is_told_truly_or_ends_it_as_the_system_does(
    name: str, points: int, tmp_path: Path
) -> None:
    """What is said to be kept is there; a file that was to be written is whole or not there."""
    (tmp_path / "lines.txt").write_text("\n".join(LINES))
    (tmp_path / "shed.toml").write_text(SHED)
    *_, told = _run(tmp_path, name, 0)
    count = int(told.split()[-1])
    whole = (tmp_path / "room.pdf").stat().st_size if name == "a room" else 0
    drawn = random.Random(name)
    for part in range(-1, points):
        at = 1 if part < 0 else 1 + drawn.randrange(part * count // points, (part + 1) * count // points)
        status, shown, told = _run(tmp_path, name, at)
        assert "Traceback" not in told, (at, told)
        assert "Exception ignored" not in told, (at, told)
        said = told.rstrip().endswith((LEFT, STOPPED))
        assert status in ({130, -signal.SIGINT} if said else {0, -signal.SIGINT}), (at, told)
        if told.rstrip().endswith(LEFT):
            kept = {str(entry.body) for entry in view(tmp_path / "a.job").entries()}
            assert all(any(line in body for body in kept) for line in LINES if f": {line}" in shown), at
        if name == "a room" and (tmp_path / "room.pdf").exists():
            assert (tmp_path / "room.pdf").stat().st_size == whole
