"""How well fieldvoice hears, and how its verdict's gates were chosen.

`python -m benchmarks.hearing` has a step for each part: `make` (a split's voices say its texts) and `hear` (what every
recognizer makes of them in noise: slow, goes on where it stopped, kept outside the repository); then `fit` (the gates,
from the tuning split alone) and `judge` (the figures of a split), which take a minute; `cost` (time and memory),
`recordings` (those that come with fieldvoice, and a person's) and `page` (docs/HEARING_TABLES.md from the figures).
They need the extra `train`; the others that are compared with need `pocketsphinx` and a Vosk model's folder.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from fieldvoice.ears import open_ear
from fieldvoice.ears.ear import Ear
from fieldvoice.records.hearing import WordNetwork

if TYPE_CHECKING:
    from fieldvoice.ears.personal import Change


def open_pair(
    words: Sequence[str], language: Callable[[], WordNetwork], change: Change | None = None
) -> tuple[Ear, Ear]:
    """The reading ear and Whisper, which is how fieldvoice hears unless told otherwise. Raises as `open_ear` does."""
    return open_ear("reading", words, language, change=change), open_ear("whisper", words, language)
