"""What its sound tells of a microphone: that it carries telephone quality only, no sound at all, or words that hit the
end of its scale. Its name and its rate often don't tell.
"""

from __future__ import annotations

import numpy as np

from fieldvoice.ears.sound import FULL_SCALE, RATE, Frames, clipped_share

WINDOW = 512
LOW_HZ, HIGH_HZ = (300, 3_400), (4_300, 7_500)
"""What a telephone carries, and what nothing of it reaches."""
NARROW_DB = -45.0
"""Where the high band stays so far below the low one nothing is in it; an "s" or a "t" is far above that."""
LOUD_DB = -50.0
"""Quieter windows, in dB of full scale, say nothing: what they lack may be below the last bit."""
NARROW_SECONDS = 10.0
"""So long a person doesn't talk without an "s", an "f" or a "t"."""


class BandWatch:
    """Listens until it is known. Holds less than one window of sound."""

    def __init__(self) -> None:
        self._left: Frames = np.zeros(0, np.int16)
        self._windows = 0
        self._known = False

    def narrow(self, frames: Frames) -> bool:
        """Takes the next samples; true once, where so much loud sound had nothing above the telephone's band."""
        if self._known:
            return False
        sound = np.concatenate([self._left, frames])
        whole = len(sound) // WINDOW * WINDOW
        self._left = sound[whole:]
        low, high = _powers(sound[:whole])
        loud = low > 10 ** (LOUD_DB / 10)
        if np.any(high[loud] > low[loud] * 10 ** (NARROW_DB / 10)):
            self._known = True
            return False
        self._windows += int(loud.sum())
        self._known = self._windows * WINDOW >= NARROW_SECONDS * RATE
        return self._known


def _powers(sound: Frames) -> tuple[np.ndarray, np.ndarray]:
    """Of each window the mean power in the low and in the high band, full scale being 1; shape [windows] each."""
    windows = sound.reshape(-1, WINDOW) / FULL_SCALE * np.hanning(WINDOW)
    power = np.abs(np.fft.rfft(windows, axis=1)) ** 2 * 2 / np.sum(np.hanning(WINDOW) ** 2) / WINDOW
    hertz = np.fft.rfftfreq(WINDOW, 1 / RATE)
    low, high = (power[:, (hertz >= start) & (hertz <= end)].sum(axis=1) for start, end in (LOW_HZ, HIGH_HZ))
    return low, high


STILL_SECONDS = 3.0
"""A microphone that works is never quite still for so long: its own hiss moves the last of 16 bits."""


class Stillness:
    """Counts samples that are all the same: zero where a microphone is muted, anything where a card has lost it."""

    def __init__(self) -> None:
        self._still = 0

    def begins(self, raw: Frames) -> bool:
        """Takes the next samples; true once, when there was no sound at all in so many seconds of them. After a sound
        it may be said again.
        """
        if len(raw) and raw.min() != raw.max():
            self._still = 0
            return False
        before, self._still = self._still, self._still + len(raw)
        return before < STILL_SECONDS * RATE <= self._still


CLIPPED = 0.001
"""The least share of clipped samples that makes a block one in which the end of the scale was hit."""
TOO_LOUD_SECONDS = 2.0
"""So much clipped sound is told of: two or three calls. A hammer's blows don't come to it."""
FORGOTTEN = 0.05
"""What a second of sound takes off that."""


class Loudness:
    """Whether words hit the end of the scale again and again."""

    def __init__(self) -> None:
        self._seconds = 0.0
        self._told = False

    def too_loud(self, raw: Frames) -> bool:
        """Takes the next samples; true once."""
        seconds = len(raw) / RATE
        clipped = seconds if clipped_share(raw) > CLIPPED else 0.0
        self._seconds = max(0.0, self._seconds + clipped - FORGOTTEN * seconds)
        before, self._told = self._told, self._told or self._seconds >= TOO_LOUD_SECONDS
        return self._told and not before
