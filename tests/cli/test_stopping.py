"""Ctrl-Z in the partner's window, tried on a terminal of its own: the shell gets it back, and then the window does."""

from __future__ import annotations

import os
import pty
import select
import signal
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tests.cli.program import ROOT

ENTERED, LEFT = b"\x1b[?1049h", b"\x1b[?1049l"
SHELL = 'set -m; "$@"; echo "given back"; fg'
"""Starts a program as a person's shell does, so that it can be stopped, and sets it going again."""

Started = Callable[..., int]


@pytest.fixture
def started() -> Iterator[Started]:
    """A program on a terminal of its own; the end of it that is typed into."""
    children = list[tuple[int, int]]()

    def start(*program: str) -> int:
        child, terminal = pty.fork()
        if child == 0:
            os.environ.update(PYTHONPATH=str(ROOT), TERM="xterm")
            os.execvp(program[0], program)
        children.append((child, terminal))
        return terminal

    yield start
    for child, terminal in children:
        os.close(terminal)  # which hangs up on all that it was the terminal of
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)


def read_until(terminal: int, wanted: bytes, within: float = 120.0) -> bytes:
    """What the terminal shows up to something that is awaited."""
    found = b""
    until = time.monotonic() + within
    while wanted not in found and time.monotonic() < until:
        if select.select([terminal], [], [], 0.1)[0]:
            found += os.read(terminal, 65536)
    assert wanted in found
    return found


@pytest.mark.parametrize("shell", [("sh", "-c", SHELL, "sh"), ()], ids=["from a shell", "alone"])
def test_the_terminal_is_given_back_and_taken_again(started: Started, shell: tuple[str, ...], tmp_path: Path) -> None:
    """Afterward all of it is painted, with the line that was begun. Without a shell that could set it going again the
    system stops nothing, and the window is back at once.
    """
    job = str(tmp_path / "a.job")
    terminal = started(*shell, sys.executable, "-m", "fieldvoice", "type", "--quiet", "--job", job)
    read_until(terminal, b"? keys > ")
    os.write(terminal, b"t 46")
    read_until(terminal, b"t 46")
    os.write(terminal, b"\x1a")
    again = read_until(terminal, b"? keys > t 46")
    if shell:
        given, again = again.split(b"given back", 1)
        assert LEFT in given
    assert ENTERED in again
    assert b"MEASURING" in again
    os.write(terminal, b" 7/8\n")
    read_until(terminal, b"46 7/8.")
    os.write(terminal, b"\x04")
    read_until(terminal, LEFT)


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGQUIT])
def test_an_end_from_outside_leaves_the_terminal_as_it_was(
    number: signal.Signals, started: Started, tmp_path: Path
) -> None:
    """Out of the window, letters shown as they are typed, and the shell is told what ended it."""
    script = f'cd "{tmp_path}"; set -m; stty -a > before; "$@"; echo "ended $?"; stty -a | cmp - before && echo same'
    job = str(tmp_path / "a.job")
    terminal = started("sh", "-c", script, "sh", sys.executable, "-m", "fieldvoice", "type", "--quiet", "--job", job)
    read_until(terminal, b"? keys > ")
    os.kill(os.tcgetpgrp(terminal), number)
    end = read_until(terminal, b"same")
    assert LEFT in end
    assert f"ended {128 + number}".encode() in end


def test_a_terminal_that_goes_away_is_no_fault_of_our_own(tmp_path: Path) -> None:
    """Where nothing ends the program with it, as under `nohup`: it ends by itself, with what was said kept."""
    job = tmp_path / "a.job"
    child, terminal = pty.fork()
    if child == 0:
        signal.signal(signal.SIGHUP, signal.SIG_IGN)
        os.environ.update(PYTHONPATH=str(ROOT), TERM="xterm", XDG_STATE_HOME=str(tmp_path))
        os.execvp(sys.executable, [sys.executable, "-m", "fieldvoice", "type", "--quiet", "--job", str(job)])
    read_until(terminal, b"? keys > ")
    os.write(terminal, b"t 46 7/8\n")
    read_until(terminal, b"46 7/8.")
    os.close(terminal)
    assert os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) in {1, 74}  # at its end as a session is, or on a write
    assert "46 7/8" in job.read_text()
    assert [path.name for path in tmp_path.iterdir()] == ["a.job"]
