"""Encoders of Whisper's kind through CTranslate2: sound in, one vector for each 20 ms out.

There are two: Whisper's own, which its decoder reads, and the reading ear's, trained on from it (`reading_head`). Both
read the log-mel picture of sound: 80 bands, 25 ms windows, a column every 10 ms. Its recipe is the published one
(Radford et al. 2022, section 2.2): Hann window of 400 samples, hop 160, Slaney mel bands, logarithm to base 10 floored
at 8 below the loudest, then (x + 4) / 4.
"""

from __future__ import annotations

import ctypes
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fieldvoice.ears.sound import RATE, Frames, to_float
from fieldvoice.errors import BadInput, NotHere
from fieldvoice.records.trouble import Trouble, Wrong

CONTEXT_SECONDS = 10.0
"""What Whisper's encoder is shown. Its usual 30 s take twice the time; 6 s made more mistakes."""
LONGEST_SECONDS = 28.0
_TAIL_COLUMNS = 150
"""At least 1.5 s stay open behind the words."""
_SHORT_TAIL_COLUMNS = 40
_MOST_COLUMNS = 3000

Columns = Callable[[int], int]
"""How many 10 ms columns an encoder is shown for so many samples."""


@dataclass(frozen=True, slots=True)
class Encoded:
    """One utterance as an encoder sees it: `view` for CTranslate2's decoder; `vectors`, [frames, 384], for ours."""

    view: Any
    vectors: NDArray[np.float32]


class Encoder:
    """The encoder of the CTranslate2 Whisper model in `folder`, with 8 bit weights; `name` is told to people, `columns`
    says how much it is shown. Raises BadInput where it can't be loaded, NotHere where the library can't.
    """

    def __init__(self, folder: Path, name: str, columns: Columns, threads: int = 2) -> None:
        _large_blocks_apart()
        try:
            import ctranslate2
        except (ImportError, OSError) as error:
            raise NotHere(Trouble(Wrong.NO_CTRANSLATE2, error=error)) from error
        self.name, self._columns = name, columns
        try:
            self.model = ctranslate2.models.Whisper(
                str(folder), device="cpu", compute_type="int8", inter_threads=1, intra_threads=threads
            )
        except (RuntimeError, ValueError) as error:
            raise BadInput(Trouble(Wrong.WHISPER_NOT_LOADED, folder=folder)) from error

    def encode(self, frames: Frames) -> Encoded:
        """The vectors of the sound itself and four more at its end; the view holds all that was shown."""
        import ctranslate2

        picture = in_context(log_mel(to_float(frames)), self._columns(len(frames)))
        view = self.model.encode(ctranslate2.StorageView.from_array(picture[None]), to_cpu=True)
        vectors = np.asarray(np.array(view)[0], dtype=np.float32)
        return Encoded(view, vectors[: min(len(vectors), len(frames) // 320 + 4)])


_MMAP_THRESHOLD, _ARENA_MAX = -3, -8
"""The C library's numbers for what `mallopt` sets (glibc)."""
LARGE_BLOCK = 4 * 2**20


@cache
def _large_blocks_apart() -> None:
    """Where the C library can be told so (glibc), what is that large or larger is had from the system and goes back at
    once, and there is one heap: each thread's own, full of holes that large blocks left, made an utterance of 24 s peak
    at 400 MB, where it takes 300 so. At a fourth of the size Whisper takes a twentieth more time.
    """
    try:
        ctypes.CDLL(None).mallopt(_MMAP_THRESHOLD, LARGE_BLOCK)
        ctypes.CDLL(None).mallopt(_ARENA_MAX, 1)
    except (OSError, TypeError, AttributeError):  # no C library by that name, or another one
        return


def whisper_encoder(folder: Path, threads: int = 2) -> Encoder:
    """Whisper's own encoder, from the folder of its model. Raises as `Encoder` does."""
    return Encoder(folder, folder.name if folder.name != "model" else "tiny.en", context_columns, threads)


def context_columns(samples: int) -> int:
    """What Whisper's encoder is shown: 1,000 columns, or more where the utterance is long."""
    needed = 2 * ((samples // 160 + _TAIL_COLUMNS) // 2)
    return min(_MOST_COLUMNS, max(round(CONTEXT_SECONDS * 100), needed))


def bare_columns(samples: int) -> int:
    """The utterance and 0.4 s more: for an encoder trained on utterances of any length, which takes no time over
    emptiness.
    """
    return min(_MOST_COLUMNS, 2 * ((samples // 160 + _SHORT_TAIL_COLUMNS) // 2))


def fits(frames: Frames) -> bool:
    """Whether the encoder can take an utterance of this length whole."""
    return len(frames) <= LONGEST_SECONDS * RATE


BANDS = 80
WINDOW = 400
HOP = 160

Mel = NDArray[np.float32]
"""Shape [80, columns]; a column is 10 ms."""


def log_mel(samples: NDArray[np.float32]) -> Mel:
    """The picture of 16 kHz mono samples in -1..1; one column for each 10 ms and one more."""
    padded = np.pad(np.pad(samples, (0, HOP)), WINDOW // 2, mode="reflect" if len(samples) > WINDOW else "constant")
    windows = np.lib.stride_tricks.sliding_window_view(padded, WINDOW)[::HOP][:-1]
    parts = [_bands(windows[at : at + _PART]) for at in range(0, len(windows), _PART)]
    bands = np.log10(np.maximum(np.concatenate(parts, axis=1), 1e-10))
    floored = np.maximum(bands, bands.max() - 8.0)
    picture: Mel = ((floored + 4.0) / 4.0).astype(np.float32)
    return picture


_PART = 250
"""So many columns are worked out together: all of a long utterance at once would take 40 MB."""


def _bands(windows: NDArray[np.float32]) -> NDArray[np.float64]:
    power = np.abs(np.fft.rfft(windows * _hann(), axis=1)) ** 2
    return np.asarray(filters() @ power.T)


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
    corners = band_corners()
    bins = np.linspace(0.0, RATE / 2, WINDOW // 2 + 1)
    widths = np.diff(corners)
    slopes = corners[:, None] - bins[None, :]
    rising = -slopes[:-2] / widths[:-1, None]
    falling = slopes[2:] / widths[1:, None]
    triangles = np.maximum(0.0, np.minimum(rising, falling))
    of_equal_area: NDArray[np.float64] = triangles * (2.0 / (corners[2:] - corners[:-2]))[:, None]
    return of_equal_area


def band_corners() -> NDArray[np.float64]:
    """Where each band begins, in Hz; its middle is where the next one does, its end where the one after that does."""
    return _mel_to_hz(np.linspace(0.0, _hz_to_mel(RATE / 2), BANDS + 2))


_BEND_HZ = 1000.0
"""Slaney's scale is linear below 1 kHz (15 mel there) and logarithmic above."""
_LINEAR = 200.0 / 3.0
_BEND_MEL = _BEND_HZ / _LINEAR
_LOG_STEP = float(np.log(6.4)) / 27.0


def _hz_to_mel(hz: float) -> float:
    return hz / _LINEAR if hz < _BEND_HZ else _BEND_MEL + float(np.log(hz / _BEND_HZ)) / _LOG_STEP


def _mel_to_hz(mel: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.where(mel < _BEND_MEL, mel * _LINEAR, _BEND_HZ * np.exp(_LOG_STEP * (mel - _BEND_MEL)))
