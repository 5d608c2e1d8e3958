"""The log-mel picture of sound that Whisper's encoder reads: 80 bands, 25 ms windows, a column every 10 ms.

The recipe is the published one (Radford et al. 2022, section 2.2): Hann window of 400 samples, hop 160, Slaney mel
bands, logarithm to base 10 floored at 8 below the loudest, then (x + 4) / 4.
"""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import NDArray

from fieldvoice.ears.sound import RATE

BANDS = 80
WINDOW = 400
HOP = 160

Mel = NDArray[np.float32]
"""Shape [80, columns]; a column is 10 ms."""


def log_mel(samples: NDArray[np.float32]) -> Mel:
    """The picture of 16 kHz mono samples in -1..1; one column for each 10 ms and one more."""
    padded = np.pad(np.pad(samples, (0, HOP)), WINDOW // 2, mode="reflect" if len(samples) > WINDOW else "constant")
    windows = np.lib.stride_tricks.sliding_window_view(padded, WINDOW)[::HOP][:-1]
    power = np.abs(np.fft.rfft(windows * _hann(), axis=1)) ** 2
    bands = np.log10(np.maximum(filters() @ power.T, 1e-10))
    floored = np.maximum(bands, bands.max() - 8.0)
    picture: Mel = ((floored + 4.0) / 4.0).astype(np.float32)
    return picture


def in_context(picture: Mel, columns: int) -> Mel:
    """The picture cut or padded with zeros to exactly so many columns."""
    kept = picture[:, :columns]
    return np.ascontiguousarray(np.pad(kept, ((0, 0), (0, columns - kept.shape[1]))))


@cache
def _hann() -> NDArray[np.float64]:
    """The periodic Hann window."""
    window: NDArray[np.float64] = 0.5 - 0.5 * np.cos(2 * np.pi * np.arange(WINDOW) / WINDOW)
    return window


@cache
def filters() -> NDArray[np.float64]:
    """Triangular bands of equal area on Slaney's mel scale from 0 to 8 kHz; shape [80, 201]."""
    corners = _mel_to_hz(np.linspace(0.0, _hz_to_mel(RATE / 2), BANDS + 2))
    bins = np.linspace(0.0, RATE / 2, WINDOW // 2 + 1)
    widths = np.diff(corners)
    slopes = corners[:, None] - bins[None, :]
    rising = -slopes[:-2] / widths[:-1, None]
    falling = slopes[2:] / widths[1:, None]
    triangles = np.maximum(0.0, np.minimum(rising, falling))
    of_equal_area: NDArray[np.float64] = triangles * (2.0 / (corners[2:] - corners[:-2]))[:, None]
    return of_equal_area


_BEND_HZ = 1000.0
"""Slaney's scale is linear below 1 kHz (15 mel there) and logarithmic above."""
_LINEAR = 200.0 / 3.0
_BEND_MEL = _BEND_HZ / _LINEAR
_LOG_STEP = float(np.log(6.4)) / 27.0


def _hz_to_mel(hz: float) -> float:
    return hz / _LINEAR if hz < _BEND_HZ else _BEND_MEL + float(np.log(hz / _BEND_HZ)) / _LOG_STEP


def _mel_to_hz(mel: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.where(mel < _BEND_MEL, mel * _LINEAR, _BEND_HZ * np.exp(_LOG_STEP * (mel - _BEND_MEL)))
