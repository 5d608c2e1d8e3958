"""Runs a child under strace, which ends it or makes a system call fail at a chosen one."""

import ctypes
import functools
import os
import re
import shutil
import signal
import subprocess
import sys
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import NoReturn

import pytest

from fieldvoice.files import durable

SYSCALLS = ("write", "fsync", "ftruncate", "link", "unlink", "rename")
"""The calls that change the job's folder; what goes to other files and to standard output isn't counted."""
TOP = Path(__file__).parents[2]
PR_SET_PTRACER = 0x59616D61
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


def run_child(path: Path, work: Callable[[], None], *inject: str) -> Run:
    """One child that does its work on one journal, with strace's `inject` expressions. It is forked, with all that is
    imported, and waits until it is traced.
    """
    trace = path.with_suffix(".trace")
    (said, saying), (started, start) = os.pipe(), os.pipe()
    if (child := os.fork()) == 0:
        _work(work, saying, started)
    os.close(saying)
    os.close(started)
    order = ["strace", "-s", "0", "-o", str(trace), "-p", str(child), "-e", f"trace={','.join(SYSCALLS)}"]
    order += [part for expression in inject for part in ("-e", f"inject={expression}")]
    order += [part for name in _names(path) for part in ("-P", name)]
    with (
        subprocess.Popen(order, stderr=subprocess.PIPE, text=True) as tracer,
        os.fdopen(said, encoding="utf-8") as told,
    ):
        assert tracer.stderr is not None
        attached = tracer.stderr.readline()
        if "attached" not in attached:
            os.kill(child, signal.SIGKILL)
        else:
            os.write(start, b".")
        os.close(start)
        lines = told.read().splitlines()
        status = os.waitpid(child, 0)[1]
    assert "attached" in attached, attached
    traced = trace.read_text().splitlines()
    trace.unlink()
    calls = Counter(match[1] for line in traced if (match := re.match(r"(\w+)\(", line)))
    killed = os.WIFSIGNALED(status) and os.WTERMSIG(status) == signal.SIGKILL
    return Run(tuple(lines), calls, sum("(INJECTED)" in line for line in traced), killed)


def _work(work: Callable[[], None], saying: int, started: int) -> NoReturn:
    """The child's life: nothing of the parent's is left to be done at its end."""
    try:
        ctypes.CDLL(None).prctl(PR_SET_PTRACER, -1)  # where only a parent may trace, anybody may trace this one
        os.dup2(saying, 1)
        vars(durable)["token_hex"] = lambda _: TOKEN
        os.read(started, 1)
        work()
    except BaseException as error:  # noqa: BLE001 - it must not go on as a second test run
        os.write(1, f"traceback {error!r}\n".encode())
    finally:
        os._exit(0)


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
