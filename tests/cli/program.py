"""Runs the program as a person does: a process of its own, its output and its exit status."""

from __future__ import annotations

import os
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent


@dataclass(frozen=True)
class Ran:
    """What a run left."""

    status: int
    out: str
    err: str


def fieldvoice(*arguments: str, stdin: bytes = b"", **environment: str) -> Ran:
    """Run one command line with `stdin` piped in. No traceback may ever show."""
    kept = {name: value for name, value in os.environ.items() if name not in {"NO_COLOR", "FORCE_COLOR"}}
    done = subprocess.run(
        [sys.executable, "-m", "fieldvoice", *arguments],
        input=stdin,
        capture_output=True,
        check=False,
        timeout=300,
        env={**kept, "PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "utf-8", **environment},
    )
    assert b"Traceback" not in done.stderr, done.stderr.decode()
    return Ran(done.returncode, done.stdout.decode(), done.stderr.decode())
