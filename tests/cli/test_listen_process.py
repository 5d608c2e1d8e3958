"""A live session as a process of its own, with a microphone that plays a recording, is pulled out and comes back."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path

import numpy as np
import pytest
import soundfile
import soxr

from fieldvoice import data_folder
from fieldvoice.ears.sound import RATE
from fieldvoice.ears.wav import read_wav
from fieldvoice.output.voice import Synthesizer
from tests.cli.program import ROOT

SAMPLES = data_folder("audio_samples")


def talk(file: Path) -> Path:
    """Two readings, the second in the second half."""
    quiet = (12 * np.random.default_rng(1).standard_normal(3 * RATE)).astype(np.int16)
    names = ("05-top-forty-one-and.wav", "06-middle-forty-one-and.wav")
    frames = np.concatenate([part for name in names for part in (quiet, read_wav(SAMPLES / name).frames, quiet)])
    soundfile.write(file, frames, RATE)
    return file


def listening(*options: str, job: Path, **stand_in: str) -> subprocess.Popen[str]:
    """A live session in a process of its own, on a sound card that the settings of the stand-in make."""
    return subprocess.Popen(
        [sys.executable, "-m", "fieldvoice", "listen", *options, "--job", str(job)],
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        env={
            **os.environ,
            "PYTHONPATH": os.pathsep.join([str(ROOT / "tests" / "stand_in"), str(ROOT)]),
            "PYTHONUNBUFFERED": "1",
            **stand_in,
        },
    )


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="interrupted as a Unix process is")
def test_a_microphone_that_is_pulled_out_and_put_back_costs_nothing_that_was_said(tmp_path: Path) -> None:
    """Gone and back are told, both readings are taken, and Ctrl-C leaves the job whole."""
    job = tmp_path / "kitchen.job"
    sound = str(talk(tmp_path / "talk.wav"))
    running = listening("--quiet", "--ear", "whisper", job=job, STAND_IN_SOUND=sound, STAND_IN_PULLED="1")
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


def loop(delay: float, *sounds: Path, job: Path) -> list[str]:
    """What a live session tells of recordings in a room with its own loudspeaker, until each of them was answered."""
    running = listening(job=job, STAND_IN_SOUND=os.pathsep.join(map(str, sounds)), STAND_IN_LOOP=str(delay))
    assert running.stdout is not None
    told: list[str] = []
    reader = threading.Thread(target=lambda: told.extend(running.stdout or ()), daemon=True)
    reader.start()
    until, quiet = time.monotonic() + 150, time.monotonic()
    answered, seen = 0, 0
    while time.monotonic() < until and (answered < len(sounds) or time.monotonic() - quiet < 10):
        time.sleep(0.2)
        if len(told) != seen:
            seen, quiet = len(told), time.monotonic()
            answered = sum(line.startswith("hanger") for line in told)
    running.send_signal(signal.SIGINT)
    running.wait(timeout=60)
    reader.join(10)
    return told


def called(file: Path, words: str) -> Path:
    """Those words in fieldvoice's own voice, as a recording."""
    synthesizer = Synthesizer()
    sound = np.frombuffer(synthesizer(words).tobytes(), np.int16)
    frames = soxr.resample(sound / 32768, synthesizer.rate, RATE)
    quiet = np.zeros(RATE)
    soundfile.write(file, np.concatenate([quiet, 0.7 * frames, quiet]), RATE)
    return file


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="interrupted as a Unix process is")
@pytest.mark.parametrize("delay", [0.02, 0.35])
def test_its_own_voice_is_no_call(tmp_path: Path, delay: float) -> None:
    """A loudspeaker that the microphone hears, at once or as late as one without a wire: the hanger's two calls are all
    that was called, though the ears understand that voice where somebody else plays it to them.
    """
    sounds = [SAMPLES / "05-top-forty-one-and.wav", SAMPLES / "06-middle-forty-one-and.wav"]
    told = loop(delay, *sounds, job=tmp_path / "kitchen.job")
    whole = "".join(told)
    assert "Traceback" not in whole
    heard = [line.partition(": ")[2].strip() for line in told if line.startswith("hanger")]
    assert [words.split(" and ")[0] for words in heard] == ["top forty one", "middle forty one"], whole
    assert "Width, middle: 41 1/8" in whole


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="interrupted as a Unix process is")
def test_that_voice_is_understood_where_it_is_a_recording(tmp_path: Path) -> None:
    """Else its silence in the loop would prove nothing."""
    told = loop(0.02, called(tmp_path / "own.wav", "top forty one and three eighths."), job=tmp_path / "kitchen.job")
    assert any(line.startswith("hanger") and "forty one" in line for line in told), "".join(told)
