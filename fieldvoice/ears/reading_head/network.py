"""The language as arcs between states that words with labels lead along, and how likely a string of them is.

CTC gives each frame of sound a distribution over words and "no new word" (the blank, label 0). A string of words is
said in every way of spreading it over the frames; its probability is the sum over these ways, and over all strings of
words there are these probabilities add up to 1.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fieldvoice.records.hearing import WordNetwork

Floats = NDArray[np.float64]

BLANK = 0


@dataclass(frozen=True, slots=True)
class Network:
    """An acceptor whose words have labels: `words[label]`, with an empty string for the blank and for other words."""

    acceptor: WordNetwork
    words: tuple[str, ...]


def network(acceptor: WordNetwork, label_of: Mapping[str, int]) -> Network:
    """The acceptor for labels 1 and up, as `label_of` numbers them; words without a label can't be heard."""
    return Network(acceptor, ("", *sorted(label_of, key=label_of.__getitem__), ""))


def log_probability(log_probabilities: Floats, strings: Sequence[Sequence[int]]) -> Floats:
    """The exact logarithm of the probability of each string of labels, each summed over its ways through the frames."""
    longest = max((len(string) for string in strings), default=0)
    places = 2 * longest + 1
    labels = np.zeros((len(strings), places), dtype=np.int64)
    for row, string in zip(labels, strings, strict=True):
        row[1 : 2 * len(string) : 2] = string
    # A label may follow the one before it without a blank where the two differ.
    jumps = np.zeros(labels.shape, dtype=bool)
    jumps[:, 3::2] = (labels[:, 3::2] != labels[:, 1:-2:2]) & (labels[:, 3::2] != BLANK)
    probabilities, scale = np.exp(log_probabilities), np.zeros(len(strings))
    ways = np.zeros(labels.shape)
    ways[:, :2] = probabilities[0][labels[:, :2]]
    for frame in probabilities[1:]:
        step = ways.copy()
        step[:, 1:] += ways[:, :-1]
        step[:, 2:] += np.where(jumps[:, 2:], ways[:, :-2], 0.0)
        ways = step * frame[labels]
        top = np.maximum(ways.max(axis=1), 1e-300)
        ways, scale = ways / top[:, None], scale + np.log(top)
    ends = np.array([2 * len(string) for string in strings])
    rows = np.arange(len(strings))
    total = ways[rows, ends] + np.where(ends > 0, ways[rows, ends - 1], 0.0)
    with np.errstate(divide="ignore"):
        return np.asarray(scale + np.log(total))
