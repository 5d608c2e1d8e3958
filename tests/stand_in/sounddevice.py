"""Stands in for the sound library in a process of its own: its one microphone plays a WAV at the speed of speech.

STAND_IN_SOUND names the WAV. After it the microphone is silent; with STAND_IN_PULLED set it is gone for two seconds
after the first half and then plays the second. No loudspeaker is here.
"""

from __future__ import annotations

import os
import threading
import time
from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import numpy as np
import soundfile

BLOCK_SECONDS = 0.02
GONE_FOR = 2.0


class PortAudioError(Exception):
    """What PortAudio raises."""


default = SimpleNamespace(device=[0, -1])
_sound, RATE = soundfile.read(Path(os.environ["STAND_IN_SOUND"]), dtype="float32")
_parts = [_sound] if "STAND_IN_PULLED" not in os.environ else list(np.array_split(_sound, 2))
_back_at = 0.0


def query_devices(kind: str | None = None) -> Any:
    """One microphone, while it is plugged in."""
    here = time.monotonic() >= _back_at
    devices = [{"name": "Stand-in", "index": 0, "max_input_channels": 1, "default_samplerate": float(RATE)}]
    if kind == "output" or (kind == "input" and not here):
        raise PortAudioError("no device")
    return devices[0] if kind == "input" else devices if here else []


def check_output_settings(**_: Any) -> None:
    """There is no loudspeaker."""
    raise PortAudioError("no device")


def sleep(milliseconds: int) -> None:
    """As PortAudio's own."""
    time.sleep(milliseconds / 1000)


def _terminate() -> None:
    pass


def _initialize() -> None:
    pass


class InputStream:
    """Plays the next part of the sound into `callback`, then silence, or nothing more where it is pulled."""

    def __init__(self, *, callback: Callable[..., None], samplerate: int, **_: Any) -> None:
        self._callback = callback
        self._size = round(samplerate * BLOCK_SECONDS)
        self._thread = threading.Thread(target=self._play, daemon=True)
        self.active = False

    def start(self) -> None:
        """Sound comes from now on."""
        self.active = True
        self._thread.start()

    def close(self) -> None:
        """No more sound."""
        self.active = False

    def _play(self) -> None:
        global _back_at
        sound = _parts.pop(0) if _parts else np.zeros(0, np.float32)
        begun, at = time.monotonic(), 0
        while self.active:
            block = sound[at : at + self._size]
            if not len(block) and _parts:
                _back_at = time.monotonic() + GONE_FOR
                self.active = False
                return
            at += self._size
            padded = np.zeros((self._size, 1), np.float32)
            padded[: len(block), 0] = block
            self._callback(padded, self._size, None, None)
            time.sleep(max(0.0, begun + at / RATE - time.monotonic()))
