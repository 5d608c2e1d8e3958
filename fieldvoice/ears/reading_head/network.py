"""The language as arcs between states, and exact sums over every way of saying any of it.

CTC gives each frame of sound a distribution over words and "no new word" (the blank, label 0). A string of words is
said in every way of spreading it over the frames; its probability is the sum over these ways, and over all strings of
words there are these probabilities add up to 1.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]

BLANK = 0
# A word that reaches this probability in no frame adds nothing to a sum that a person could see.
NEGLIGIBLE = 1e-7


class Acceptor(Protocol):
    """A deterministic word acceptor: states are numbers, `arcs[state]` leads by word to the next state."""

    @property
    def start(self) -> int:
        """The state before the first word."""

    @property
    def finals(self) -> frozenset[int]:
        """The states in which an utterance may end."""

    @property
    def arcs(self) -> Sequence[Mapping[str, int]]:
        """By state: word to next state."""


@dataclass(frozen=True, slots=True)
class Network:
    """An acceptor over labels; one entry an arc in `sources`, `labels` and `targets`.

    `repeats` pairs each arc with every arc that leads into its source with the same label, as (before, after) columns:
    between these two a blank must be heard.
    """

    start: int
    finals: frozenset[int]
    successors: tuple[Mapping[int, int], ...]
    sources: Integers
    labels: Integers
    targets: Integers
    repeats: Integers

    def log_mass(self, log_probabilities: Floats) -> float:
        """The logarithm of the probability that what was said, and more than silence, is of the language.

        `log_probabilities` is (frames, labels). Exact but for labels that stay under NEGLIGIBLE throughout.
        """
        probabilities = np.exp(log_probabilities)
        alive = probabilities.max(axis=0) > NEGLIGIBLE
        kept = alive[self.labels]
        sources, labels, targets = self.sources[kept], self.labels[kept], self.targets[kept]
        before, after = self._repeats_among(kept)
        states = len(self.successors)
        spoken, silent, scale = np.zeros(len(labels)), np.zeros(states), 0.0
        silent[self.start] = 1.0
        for frame in probabilities:
            here = silent + np.bincount(targets, spoken, states)
            spoken = spoken + here[sources] - np.bincount(after, spoken[before], len(labels))
            spoken, silent = np.maximum(spoken, 0) * frame[labels], here * frame[BLANK]
            top = max(spoken.max(initial=0.0), silent.max())
            if top == 0:
                return -np.inf
            spoken, silent, scale = spoken / top, silent / top, scale + float(np.log(top))
        total = silent + np.bincount(targets, spoken, states)
        mass = sum(total[state] for state in self.finals)
        return scale + float(np.log(mass)) if mass > 0 else -np.inf

    def _repeats_among(self, kept: NDArray[np.bool_]) -> tuple[Integers, Integers]:
        number = np.cumsum(kept) - 1
        before, after = self.repeats
        both = kept[before] & kept[after]
        return number[before[both]], number[after[both]]


def network(acceptor: Acceptor, label_of: Mapping[str, int]) -> Network:
    """The acceptor with words replaced by labels; arcs of words that have no label are left out."""
    successors = tuple(
        {label_of[word]: state for word, state in arcs.items() if word in label_of} for arcs in acceptor.arcs
    )
    arcs = [(source, label, target) for source, leads in enumerate(successors) for label, target in leads.items()]
    into: dict[tuple[int, int], list[int]] = {}
    for number, (_, label, target) in enumerate(arcs):
        into.setdefault((target, label), []).append(number)
    repeats = [
        (before, after) for after, (source, label, _) in enumerate(arcs) for before in into.get((source, label), ())
    ]
    sources, labels, targets = np.array(arcs, dtype=np.int64).reshape(-1, 3).T
    pairs = np.array(repeats, dtype=np.int64).reshape(-1, 2).T
    return Network(acceptor.start, frozenset(acceptor.finals), successors, sources, labels, targets, pairs)


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
