"""Stands in for the sound library in a process of its own: its one microphone plays a WAV at the speed of speech.

STAND_IN_SOUND names the WAV. After it the microphone is silent; with STAND_IN_PULLED set it is gone for two seconds
after the first half and then plays the second. No loudspeaker is here, unless STAND_IN_LOOP is set: the microphone
hears it, so many seconds after it was played. STAND_IN_SOUND then names WAVs, as a path does, and each is played once
the loudspeaker has said something and been silent for a while, as people take turns.
"""

from __future__ import annotations

import os
import threading
import time
from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace
from typing import Any, Self

import numpy as np
import soundfile

BLOCK_SECONDS = 0.02
GONE_FOR = 2.0


class PortAudioError(Exception):
    """What PortAudio raises."""


default = SimpleNamespace(device=[0, -1])
TURN = 2.5
"""Seconds of silence after which the next one speaks."""
_LOOP = float(os.environ["STAND_IN_LOOP"]) if "STAND_IN_LOOP" in os.environ else None
_read = [soundfile.read(Path(name), dtype="float32") for name in os.environ["STAND_IN_SOUND"].split(os.pathsep)]
RATE = _read[0][1]
_parts = [sound for sound, _ in _read] if "STAND_IN_PULLED" not in os.environ else list(np.array_split(_read[0][0], 2))
_back_at = 0.0
_begun = time.monotonic()
_room = np.zeros(600 * RATE, np.float32) if _LOOP is not None else np.zeros(0, np.float32)
_silent_from = 0.0
"""When the loudspeaker had played all that it was given."""


def query_devices(kind: str | None = None) -> Any:
    """One microphone, while it is plugged in."""
    here = time.monotonic() >= _back_at
    devices = [{"name": "Stand-in", "index": 0, "max_input_channels": 1, "default_samplerate": float(RATE)}]
    if (kind == "output" and _LOOP is None) or (kind == "input" and not here):
        raise PortAudioError("no device")
    return devices[0] if kind is not None else devices if here else []


def check_output_settings(**_: Any) -> None:
    """Whether there is a loudspeaker."""
    if _LOOP is None:
        raise PortAudioError("no device")


class RawOutputStream:
    """A loudspeaker in the microphone's room. It plays at the speed of speech."""

    def __init__(self, *, samplerate: int, **_: Any) -> None:
        self._rate = samplerate

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        time.sleep(max(0.0, _silent_from - time.monotonic()))

    def write(self, samples: bytes) -> None:
        """Plays behind what is being played; comes back a little before the end, as a device's buffer allows."""
        global _silent_from
        sound = np.frombuffer(samples, np.int16) / 32768
        start = max(time.monotonic(), _silent_from)
        _silent_from = start + len(sound) / self._rate
        heard = np.interp(
            np.arange(0, len(sound) * RATE / self._rate) * self._rate / RATE, np.arange(len(sound)), sound
        )
        assert _LOOP is not None
        at = round((start + _LOOP - _begun) * RATE)
        _room[at : at + len(heard)] += 0.7 * heard.astype(np.float32)[: max(0, len(_room) - at)]
        time.sleep(max(0.0, _silent_from - time.monotonic() - 0.1))


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
        """No more sound, once this returns."""
        self.active = False
        if threading.current_thread() is not self._thread and self._thread.is_alive():
            self._thread.join()

    def _play(self) -> None:
        global _back_at
        sound = _parts.pop(0) if _parts and _LOOP is None else np.zeros(0, np.float32)
        begun, at, ended = time.monotonic(), 0, 0.0
        hiss = np.random.default_rng(1)
        while self.active:
            block = sound[at : at + self._size]
            if not len(block) and _parts and _LOOP is None:
                _back_at = time.monotonic() + GONE_FOR
                self.active = False
                return
            now = time.monotonic()
            if not len(block) and _LOOP is not None:
                ended = ended or now
                if _parts and _silent_from > ended and now - _silent_from > TURN:
                    sound, ended = np.concatenate([np.zeros(at, np.float32), _parts.pop(0)]), 0.0
            at += self._size
            padded = np.zeros((self._size, 1), np.float32)
            padded[: len(block), 0] = block
            if _LOOP is not None:
                here = round((begun + (at - self._size) / RATE - _begun) * RATE)
                padded[:, 0] += _room[here : here + self._size] + 0.0004 * hiss.standard_normal(self._size)
            self._callback(padded, self._size, None, None)
            time.sleep(max(0.0, begun + at / RATE - time.monotonic()))
