"""Which share of the voices, texts and noises a clip may draw on: no voice, text or machine is in two splits."""

from __future__ import annotations

import zlib
from enum import StrEnum


class Split(StrEnum):
    """Weights are fitted on TRAIN, thresholds chosen on TUNE, figures reported on TEST."""

    TRAIN = "train"
    TUNE = "tune"
    TEST = "test"


def split_of_text(words: str) -> Split:
    """Where a text belongs: 80 of 100 to train, 10 each to tune and test, by a hash of its words."""
    bucket = zlib.crc32(words.encode()) % 100
    return Split.TEST if bucket >= 90 else Split.TUNE if bucket >= 80 else Split.TRAIN


def machines_of(split: Split, per_kind: int = 40) -> range:
    """The numbers of the noise machines (and rooms) of a split, for each kind of noise; train has twice the others'."""
    return {
        Split.TRAIN: range(2 * per_kind),
        Split.TUNE: range(2 * per_kind, 3 * per_kind),
        Split.TEST: range(3 * per_kind, 4 * per_kind),
    }[split]
