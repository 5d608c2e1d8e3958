"""How phones follow each other in the training texts: the model of everything that might have been said."""

from __future__ import annotations

import random
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import torch
from numpy.typing import NDArray
from torch import Tensor

from training.vosk_model.lexicon import SILENCE, Sound

SILENCE_AT_EDGES = 0.8
SILENCE_BETWEEN = 0.25
TRUST = 5.0
"""How many times a pair of phones must be seen before its own third phones count as much as those after its second."""


@dataclass(frozen=True, slots=True)
class Denominator:
    """Phones P, each known with the one before it: `follow` (P now, P before, P next) and `first` (P) are
    probabilities, `usual` (P now, P before) the share of each pair in all speech.
    """

    follow: Tensor
    first: Tensor
    usual: Tensor

    def to(self, device: str) -> Denominator:
        """The same on a device."""
        return Denominator(self.follow.to(device), self.first.to(device), self.usual.to(device))


def denominator(texts: Iterable[Sequence[tuple[Sound, ...]]], phones: int, dice: random.Random) -> Denominator:
    """The model of texts, each given as the pronunciations of its words, one of which is drawn; silence is put in."""
    threes = np.zeros((phones, phones, phones))
    for words in texts:
        # Before the first phone there is silence, heard or not.
        before, now = SILENCE, SILENCE
        for number, phone in enumerate(_drawn(words, dice)):
            if number or phone != SILENCE:
                threes[now, before, phone] += 1
                before, now = now, phone
    return _smoothed(threes)


def _drawn(words: Sequence[tuple[Sound, ...]], dice: random.Random) -> list[int]:
    line = [SILENCE] if not words or dice.random() < SILENCE_AT_EDGES else []
    for number, sounds in enumerate(words, start=1):
        line += dice.choice(sounds)
        share = SILENCE_BETWEEN if number < len(words) else SILENCE_AT_EDGES
        line += [SILENCE] if dice.random() < share else []
    return line


def _smoothed(threes: NDArray[np.float64]) -> Denominator:
    """Threes backed by twos, twos by ones, ones by a little of everything."""
    ones = threes.sum((0, 1)) + 1
    ones /= ones.sum()
    twos = threes.sum(1) + TRUST * ones
    twos /= twos.sum(-1, keepdims=True)
    follow = threes + TRUST * twos[:, None, :]
    follow /= follow.sum(-1, keepdims=True)
    usual = threes.sum(-1) + 1e-3
    first = follow[SILENCE, SILENCE]
    parts = (follow, first, usual / usual.sum())
    return Denominator(*(torch.from_numpy(part).float() for part in parts))
