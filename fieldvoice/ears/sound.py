"""Sound as every ear takes it: 16 kHz, mono, 16 bit, without what lies below the voice; and how loud it is."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

RATE = 16_000
"""Samples a second that every recognizer here takes."""

Frames = NDArray[np.int16]
"""16 kHz mono samples, shape [samples]."""

MISSING: Frames = np.zeros(0, np.int16)
"""Stands, itself and no copy, in a row of blocks where sound is missing between the one before and the one after."""

FULL_SCALE = 32_768.0
SILENCE_DB = -96.0
"""The quietest level that 16 bits can tell from nothing; silence is reported as this."""


@dataclass(frozen=True, slots=True)
class Sound:
    """A recording, ready for an ear. `source_rate` (Hz) and `source_channels` say what it was before."""

    frames: Frames
    source_rate: int = RATE
    source_channels: int = 1

    @property
    def seconds(self) -> float:
        """How long it lasts."""
        return len(self.frames) / RATE


def level_db(frames: Frames) -> float:
    """Root mean square level in dB of full scale; -96 for silence or for no samples."""
    if not len(frames):
        return SILENCE_DB
    power = float(np.mean((frames.astype(np.float64) / FULL_SCALE) ** 2))
    return max(SILENCE_DB, 10 * float(np.log10(power))) if power > 0 else SILENCE_DB


def clipped_share(frames: Frames) -> float:
    """The share of samples at the end of the scale, where the microphone could not follow the voice."""
    if not len(frames):
        return 0.0
    return float(np.mean(np.abs(frames.astype(np.int32)) >= 32_700))


def noise_db(frames: Frames, block_seconds: float = 0.02) -> float:
    """The level between the words, in dB of full scale: the lowest tenth of the short blocks."""
    levels = block_levels(frames, block_seconds)
    return float(np.percentile(levels, 10)) if len(levels) else SILENCE_DB


def above_noise_db(frames: Frames) -> float | None:
    """How far the words stand above what is between them, in dB: the loudest twentieth of the short blocks above the
    quietest fifth. Nothing but noise has little of it, and so have words in noise. None where there is no sound at all
    between the words: a noise gate or an editor took it out, and what lies under the words isn't known.
    """
    levels = block_levels(frames, 0.02)
    if not len(levels):
        return None
    low, high = np.percentile(levels, [20, 95])
    return float(high - low) if low > SILENCE_DB else None


def spoken_seconds(frames: Frames, below_db: float = 25.0) -> float:
    """From the first to the last short block within `below_db` of the loudest; noise makes it longer."""
    levels = block_levels(frames, 0.02)
    loud = np.flatnonzero(levels > levels.max() - below_db) if len(levels) else levels
    return float(loud[-1] - loud[0] + 1) * 0.02 if len(loud) else 0.0


class NoiseFloor:
    """The running level between the words: it follows down at once and up slowly (3 dB a second), so that words don't
    become noise.
    """

    def __init__(self) -> None:
        self.db = SILENCE_DB

    def take(self, frames: Frames) -> float:
        """The next samples; returns how far, in dB, they stand above the noise before them."""
        level = level_db(frames)
        above = level - self.db
        first = self.db == SILENCE_DB
        self.db = level if first or level < self.db else min(level, self.db + 3 * len(frames) / RATE)
        return above


def block_levels(frames: Frames, block_seconds: float) -> NDArray[np.float64]:
    """Levels in dB of full scale of consecutive blocks; shape [blocks], a last short block left out."""
    size = max(1, round(block_seconds * RATE))
    whole = len(frames) // size
    blocks = frames[: whole * size].reshape(whole, size).astype(np.float64) / FULL_SCALE
    power = np.mean(blocks**2, axis=1)
    levels: NDArray[np.float64] = np.maximum(SILENCE_DB, 10 * np.log10(np.maximum(power, 1e-12)))
    return levels


def to_int16(samples: NDArray[np.float32]) -> Frames:
    """Samples in -1..1 as 16 bit; what lies outside is held at the end of the scale, what is no number is silence."""
    finite = np.nan_to_num(samples, nan=0.0, posinf=1.0, neginf=-1.0)
    return np.clip(np.round(finite * FULL_SCALE), -32_768, 32_767).astype(np.int16)


def to_float(frames: Frames) -> NDArray[np.float32]:
    """16 bit samples in -1..1."""
    return frames.astype(np.float32) / np.float32(FULL_SCALE)


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
