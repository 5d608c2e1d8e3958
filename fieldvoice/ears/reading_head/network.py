"""The language as arcs between states, and exact sums over every way of saying any of it.

CTC gives each frame of sound a distribution over words and "no new word" (the blank, label 0). A string of words is
said in every way of spreading it over the frames; its probability is the sum over these ways, and over all strings of
words there are these probabilities add up to 1.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from fieldvoice.ears.ear import WordNetwork

Floats = NDArray[np.float64]
Integers = NDArray[np.int64]

BLANK = 0
# A word that reaches this probability in no frame adds nothing to a sum that a person could see.
NEGLIGIBLE = 1e-7


@dataclass(frozen=True, slots=True)
class Network:
    """An acceptor whose words have labels: `words[label]`, with an empty string for the blank and for other words."""

    acceptor: WordNetwork
    words: tuple[str, ...]

    def leads(self, state: int, labels: Sequence[int]) -> Iterator[tuple[int, int]]:
        """Those of the labels that may be said next in a state, each with the state that it leads to."""
        ways = self.acceptor.arcs[state]
        return ((label, ways[self.words[label]]) for label in labels if self.words[label] in ways)

    def log_mass(self, log_probabilities: Floats) -> float:
        """The logarithm of the probability that what was said is of the language: the sum over all its strings.

        `log_probabilities` is (frames, labels). Exact but for labels that stay under NEGLIGIBLE throughout. On the
        whole language it takes up to seconds; what the beam keeps is nearly all of it in milliseconds.
        """
        probabilities = np.exp(log_probabilities)
        alive = [int(label) for label in np.flatnonzero(probabilities.max(axis=0) > NEGLIGIBLE) if label != BLANK]
        sources, labels, targets, before, after = self._arcs(alive)
        states = len(self.acceptor.arcs)
        spoken, silent, scale = np.zeros(len(labels)), np.zeros(states), 0.0
        silent[self.acceptor.start] = 1.0
        for frame in probabilities:
            here = silent + np.bincount(targets, spoken, states)
            spoken = spoken + here[sources] - np.bincount(after, spoken[before], len(labels))
            spoken, silent = np.maximum(spoken, 0) * frame[labels], here * frame[BLANK]
            top = max(spoken.max(initial=0.0), silent.max())
            if top == 0:
                return -np.inf
            spoken, silent, scale = spoken / top, silent / top, scale + float(np.log(top))
        total = silent + np.bincount(targets, spoken, states)
        mass = sum(total[state] for state in self.acceptor.finals)
        return scale + float(np.log(mass)) if mass > 0 else -np.inf

    def _arcs(self, alive: Sequence[int]) -> tuple[Integers, Integers, Integers, Integers, Integers]:
        """Sources, labels and targets of the arcs within reach; then, as (before, after), each arc with those of the
        same label that lead into its source: between these two a blank must be heard.
        """
        arcs = [(state, label, target) for state in self._reached(alive) for label, target in self.leads(state, alive)]
        into: dict[tuple[int, int], list[int]] = {}
        for number, (_, label, target) in enumerate(arcs):
            into.setdefault((target, label), []).append(number)
        repeats = [
            (one, other) for other, (source, label, _) in enumerate(arcs) for one in into.get((source, label), ())
        ]
        sources, labels, targets = np.array(arcs, dtype=np.int64).reshape(-1, 3).T
        before, after = np.array(repeats, dtype=np.int64).reshape(-1, 2).T
        return sources, labels, targets, before, after

    def _reached(self, alive: Sequence[int]) -> set[int]:
        reached, waiting = {self.acceptor.start}, [self.acceptor.start]
        while waiting:
            found = {target for _, target in self.leads(waiting.pop(), alive)} - reached
            reached |= found
            waiting += found
        return reached


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
