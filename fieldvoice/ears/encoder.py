"""Encoders of Whisper's kind through CTranslate2: sound in, one vector for each 20 ms out.

There are two: Whisper's own, which its decoder reads, and the reading ear's, trained on from it (`reading_head`).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fieldvoice.ears.mel import in_context, log_mel
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
