"""Wind, bumps and hum below the voice are taken out before anything listens."""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import NDArray

from fieldvoice.ears.sound import RATE, Frames, to_float, to_int16

CUTOFF_HZ = 90.0
TAPS = 513
"""Linear phase, so that consonants keep their shape; delays by 16 ms."""


class HighPass:
    """A filter that remembers the end of one block for the next."""

    def __init__(self) -> None:
        self._tail: NDArray[np.float32] = np.zeros(TAPS - 1, np.float32)

    def __call__(self, frames: Frames) -> Frames:
        """The block without what lies below 90 Hz; as long as it came."""
        sound = np.concatenate([self._tail, to_float(frames)])
        self._tail = sound[-(TAPS - 1) :]
        return to_int16(np.convolve(sound, _taps(), mode="valid").astype(np.float32))


@cache
def _taps() -> NDArray[np.float32]:
    """A windowed sinc: what passes all, less what passes the low end."""
    time = np.arange(TAPS) - TAPS // 2
    low = np.sinc(2 * CUTOFF_HZ / RATE * time) * np.hamming(TAPS)
    taps: NDArray[np.float32] = (-low / low.sum()).astype(np.float32)
    taps[TAPS // 2] += 1.0
    return taps
