"""Kaldi's features: 40 logarithms of mel energies each 10 ms, and the fixed matrix that makes its MFCCs of them.

Vosk computes MFCCs; the matrix has an inverse, so the network is trained on the energies, in which noise and voices are
easily varied, and the inverse goes into its first layer when it is written out.
"""

from __future__ import annotations

import numpy as np
import torch
from numpy.typing import NDArray
from torch import Tensor, nn

RATE, WINDOW, HOP, FFT = 16_000, 400, 160, 512
BANDS = 40
LOW_HZ, HIGH_HZ = 20.0, 7_600.0
EMPHASIS = 0.97
LIFTER = 22
FLOOR = float(np.finfo(np.float32).eps)

OPTIONS = (
    "--use-energy=false",
    f"--num-mel-bins={BANDS}",
    f"--num-ceps={BANDS}",
    f"--low-freq={LOW_HZ:.0f}",
    f"--high-freq={HIGH_HZ:.0f}",
    "--dither=0",
    "--allow-upsample=true",
    "--allow-downsample=true",
)
"""The lines of Kaldi's mfcc.conf that mean what this module computes."""


class LogMel(nn.Module):
    """Sound to log mel energies, on any device."""

    window: Tensor
    bank: Tensor

    def __init__(self) -> None:
        super().__init__()
        hann = 0.5 - 0.5 * np.cos(2 * np.pi * np.arange(WINDOW) / (WINDOW - 1))
        self.register_buffer("window", torch.from_numpy(hann**0.85).float())
        self.register_buffer("bank", torch.from_numpy(mel_bank()).float())

    def forward(self, sound: Tensor) -> Tensor:
        """(clips, samples) in the range of int16 to (clips, frames, 40)."""
        frames = sound.unfold(-1, WINDOW, HOP)
        frames = frames - frames.mean(-1, keepdim=True)
        before = torch.cat([frames[..., :1], frames[..., :-1]], -1)
        spectrum = torch.fft.rfft((frames - EMPHASIS * before) * self.window, n=FFT)
        power = spectrum.real**2 + spectrum.imag**2
        return (power @ self.bank).clamp(min=FLOOR).log()


def frames_of(samples: Tensor) -> Tensor:
    """How many whole windows lie in so many samples."""
    return ((samples - WINDOW) // HOP + 1).clamp(min=0)


def mel_bank() -> NDArray[np.float64]:
    """(257, 40) triangles, evenly spaced on Kaldi's mel scale; the highest bin of the spectrum is in none."""

    def mel(hz: NDArray[np.float64] | float) -> NDArray[np.float64]:
        return np.asarray(1127 * np.log(1 + np.asarray(hz) / 700))

    edges = np.linspace(mel(LOW_HZ), mel(HIGH_HZ), BANDS + 2)
    bins = mel(np.arange(FFT // 2 + 1) * RATE / FFT)[:, None]
    rise = (bins - edges[:-2]) / np.diff(edges)[:-1]
    fall = (edges[2:] - bins) / np.diff(edges)[1:]
    bank = np.maximum(0, np.minimum(rise, fall))
    bank[-1] = 0
    return bank


def mfcc_matrix() -> NDArray[np.float64]:
    """(40, 40): log mel energies to MFCCs, the cosine transform and the lifter in one."""
    order = np.arange(BANDS)[:, None]
    cosines = np.sqrt(2 / BANDS) * np.cos(np.pi / BANDS * (np.arange(BANDS) + 0.5) * order)
    cosines[0] = np.sqrt(1 / BANDS)
    return np.asarray(cosines * (1 + LIFTER / 2 * np.sin(np.pi * order / LIFTER)))
