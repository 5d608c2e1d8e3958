"""A live session as a process of its own, with a microphone that plays a recording, is pulled out and comes back."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pytest
import soundfile

from fieldvoice.ears import RATE, read_wav
from fieldvoice.resources import data_folder
from tests.cli.program import ROOT

SAMPLES = data_folder("audio_samples")


def talk(file: Path) -> Path:
    """Two readings, the second in the second half."""
    quiet = (12 * np.random.default_rng(1).standard_normal(3 * RATE)).astype(np.int16)
    names = ("05-top-forty-one-and.wav", "06-middle-forty-one-and.wav")
    frames = np.concatenate([part for name in names for part in (quiet, read_wav(SAMPLES / name).frames, quiet)])
    soundfile.write(file, frames, RATE)
    return file


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="interrupted as a Unix process is")
def test_a_microphone_that_is_pulled_out_and_put_back_costs_nothing_that_was_said(tmp_path: Path) -> None:
    """Gone and back are told, both readings are taken, and Ctrl-C leaves the job whole."""
    job = tmp_path / "kitchen.job"
    running = subprocess.Popen(
        [sys.executable, "-m", "fieldvoice", "listen", "--quiet", "--ear", "whisper", "--job", str(job)],
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        env={
            **os.environ,
            "PYTHONPATH": os.pathsep.join([str(ROOT / "tests" / "stand_in"), str(ROOT)]),
            "PYTHONUNBUFFERED": "1",
            "STAND_IN_SOUND": str(talk(tmp_path / "talk.wav")),
            "STAND_IN_PULLED": "1",
        },
    )
    assert running.stdout is not None
    told = []
    until = time.monotonic() + 120
    for line in running.stdout:
        told.append(line)
        if "fieldvoice: Width, middle" in line or time.monotonic() > until:
            break
    running.send_signal(signal.SIGINT)
    told.append(running.communicate(timeout=60)[0])
    whole = "".join(told)
    assert running.returncode == 130, whole
    for sentence in ("top forty one and three eighths", "is gone", "is back", "Width, middle: 41 1/8", "is kept"):
        assert sentence in whole
    assert "Traceback" not in whole
    assert "went unheard" not in whole
