"""Whisper's encoder through CTranslate2: sound in, one vector for each 20 ms out, shared by both of its readers."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fieldvoice.ears.mel import in_context, log_mel
from fieldvoice.ears.sound import RATE, Frames, to_float
from fieldvoice.errors import BadInput, NotHere

CONTEXT_SECONDS = 10.0
"""What the encoder is shown. Whisper's own 30 s take twice the time; 6 s made more mistakes."""
LONGEST_SECONDS = 28.0
_TAIL_COLUMNS = 150
"""At least 1.5 s stay open behind the words."""


@dataclass(frozen=True, slots=True)
class Encoded:
    """One utterance as the encoder sees it: `view` for CTranslate2's decoder; `vectors`, [frames, 384], for ours."""

    view: Any
    vectors: NDArray[np.float32]


class Encoder:
    """The encoder of the Whisper model in `folder`, with 8 bit weights. Raises BadInput where it can't be loaded.

    It keeps the last utterance, so that a second reader of the same one costs no second pass.
    """

    def __init__(self, folder: Path, threads: int = 2) -> None:
        try:
            import ctranslate2
        except (ImportError, OSError) as error:
            raise NotHere(
                f"The package ctranslate2 can't be loaded ({error}), so neither the reading ear nor Whisper hears. Run "
                "`pip install ctranslate2`, or listen with --ear vosk."
            ) from error
        self.name = folder.name if folder.name != "model" else "tiny.en"
        self._last: tuple[Frames, Encoded] | None = None
        try:
            self.model = ctranslate2.models.Whisper(
                str(folder), device="cpu", compute_type="int8", inter_threads=1, intra_threads=threads
            )
        except (RuntimeError, ValueError) as error:
            raise BadInput(
                f"The Whisper model in {folder} can't be loaded: its files are damaged or of another kind. Nothing can "
                "be heard with it. Install it again, or point to another CTranslate2 Whisper folder."
            ) from error

    def encode(self, frames: Frames) -> Encoded:
        """The vectors of the sound itself and four more at its end; the view holds the whole context."""
        if self._last is None or not np.array_equal(self._last[0], frames):
            self._last = frames, self._pass(frames)
        return self._last[1]

    def _pass(self, frames: Frames) -> Encoded:
        import ctranslate2

        picture = in_context(log_mel(to_float(frames)), context_columns(len(frames)))
        view = self.model.encode(ctranslate2.StorageView.from_array(picture[None]), to_cpu=True)
        vectors = np.asarray(np.array(view)[0], dtype=np.float32)
        return Encoded(view, vectors[: min(len(vectors), len(frames) // 320 + 4)])


def context_columns(samples: int) -> int:
    """How many 10 ms columns the encoder is shown for so many samples: 1,000, or more where the utterance is long."""
    needed = 2 * ((samples // 160 + _TAIL_COLUMNS) // 2)
    return min(3000, max(round(CONTEXT_SECONDS * 100), needed))


def fits(frames: Frames) -> bool:
    """Whether the encoder can take an utterance of this length whole."""
    return len(frames) <= LONGEST_SECONDS * RATE
