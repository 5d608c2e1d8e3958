"""Runs the child under strace, which ends it or makes a system call fail at a chosen one."""

import functools
import os
import re
import shutil
import subprocess
import sys
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

import pytest

SYSCALLS = ("write", "fsync", "ftruncate", "link", "unlink", "rename")
"""The calls that change the job's folder; what goes to other files and to standard output isn't counted."""
TOP = Path(__file__).parents[2]
TOKEN = "made"
"""The children have this in the name of a file that is made, so that strace can be told of it beforehand."""


@dataclass(frozen=True)
class Run:
    """What a child said and how strace saw it end: `counts` are the calls it made, `injected` the faults it got."""

    said: tuple[str, ...]
    counts: Counter[str]
    injected: int
    killed: bool

    @property
    def acknowledged(self) -> list[int]:
        """The numbers acknowledged, in order."""
        return [int(line.split()[1]) for line in self.said if line.startswith("ack ")]


def run_child(path: Path, script: str, *inject: str, child: str = "tests.crash.child") -> Run:
    """One child on one journal, with strace's `inject` expressions."""
    trace = path.with_suffix(".trace")
    order = ["strace", "-f", "-qq", "-s", "0", "-o", str(trace), "-e", f"trace={','.join(SYSCALLS)}"]
    order += [part for expression in inject for part in ("-e", f"inject={expression}")]
    order += [part for name in _names(path) for part in ("-P", name)]
    order += [sys.executable, "-m", child, str(path), script]
    environment = {**os.environ, "PYTHONDONTWRITEBYTECODE": "1", "PYTHONPATH": str(TOP)}
    done = subprocess.run(order, cwd=TOP, env=environment, capture_output=True, text=True, check=False, timeout=60)
    assert not done.stderr, done.stderr
    lines = trace.read_text().splitlines()
    trace.unlink()
    calls = Counter(match[1] for line in lines if (match := re.match(r"\d+ +(\w+)\(", line)))
    return Run(
        tuple(done.stdout.splitlines()),
        calls,
        sum("(INJECTED)" in line for line in lines),
        any("killed by SIGKILL" in line for line in lines) or done.returncode in (-9, 137),
    )


def _names(path: Path) -> list[str]:
    """What may be written: the job, its folder, and a new file while it is made."""
    return [str(path), str(path.parent), f"{path}.{TOKEN}.building"]


@functools.cache
def why_not() -> str | None:
    """Why strace can't be used here, None where it can."""
    if not sys.platform.startswith("linux") or shutil.which("strace") is None:
        return "strace isn't there"
    probe = ["strace", "-f", "-e", "trace=fsync", "-e", "inject=fsync:error=EIO", "true"]
    tried = subprocess.run(probe, capture_output=True, text=True, check=False)
    return None if tried.returncode == 0 else f"strace may not trace here: {tried.stderr.strip()[:100]}"


def needs_strace() -> None:
    """Skips a test where faults can't be injected."""
    if (reason := why_not()) is not None:
        pytest.skip(reason)
