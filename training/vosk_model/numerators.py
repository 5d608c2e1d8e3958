"""What was said, as small graphs of phones: every pronunciation of each word, silence between words or none.

A state is one phone at one place. All graphs of a corpus are kept in a few arrays on the device.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import torch
from torch import Tensor

from training.vosk_model.lexicon import SILENCE, Sound

_START = -1


@dataclass(frozen=True, slots=True)
class Graph:
    """The phone of each state, the states that lead to it (-1: the start), and the states in which a text may end."""

    phones: tuple[int, ...]
    sources: tuple[tuple[int, ...], ...]
    ends: frozenset[int]


def graph(words: Sequence[tuple[Sound, ...]]) -> Graph:
    """The graph of a text whose words have these pronunciations; of silence alone where there are none."""
    phones, sources = [SILENCE], [(_START,)]
    front = (_START, 0) if words else (0,)
    for sounds in words:
        lasts = []
        for sound in sounds:
            before = front
            for phone in sound:
                phones.append(phone)
                sources.append(before)
                before = (len(phones) - 1,)
            lasts.append(before[0])
        phones.append(SILENCE)
        sources.append(tuple(lasts))
        front = (*lasts, len(phones) - 1)
    return Graph(tuple(phones), tuple(sources), frozenset(front))


@dataclass(frozen=True, slots=True)
class Numerators:
    """Graphs of many texts, padded to the most states S and the most neighbours K; a neighbour S is none.

    `phones` (texts, S), `sources` and `targets` (texts, S, K), `starts` and `ends` (texts, S) as 0 or 1, `sizes`
    (texts).
    """

    phones: Tensor
    sources: Tensor
    targets: Tensor
    starts: Tensor
    ends: Tensor
    sizes: Tensor

    @classmethod
    def of(cls, graphs: Sequence[Graph], device: str = "cpu") -> Numerators:
        """All the graphs, on the device."""
        most = max(len(one.phones) for one in graphs)
        targets = [_targets(one) for one in graphs]
        widest = max(len(links) for one in (*(each.sources for each in graphs), *targets) for links in one)
        shape = (len(graphs), most, widest)
        phones, starts, ends = (np.zeros(shape[:2], np.int16) for _ in range(3))
        into, out = (np.full(shape, most, np.int16) for _ in range(2))
        for row, (one, targets_of) in enumerate(zip(graphs, targets, strict=True)):
            phones[row, : len(one.phones)] = one.phones
            ends[row, sorted(one.ends)] = 1
            for state, (before, after) in enumerate(zip(one.sources, targets_of, strict=True)):
                starts[row, state] = _START in before
                real = [source for source in before if source != _START]
                into[row, state, : len(real)] = real
                out[row, state, : len(after)] = after
        sizes = np.array([len(one.phones) for one in graphs])
        return cls(*(torch.from_numpy(array).to(device) for array in (phones, into, out, starts, ends, sizes)))

    def select(self, texts: Tensor) -> Numerators:
        """The graphs of these texts, trimmed to the largest of them."""
        sizes = self.sizes[texts]
        size = int(sizes.max())
        sources, targets = (links[texts, :size].long().clamp(max=size) for links in (self.sources, self.targets))
        phones, starts, ends = (part[texts, :size].long() for part in (self.phones, self.starts, self.ends))
        return Numerators(phones, sources, targets, starts, ends, sizes)


def _targets(one: Graph) -> list[list[int]]:
    targets: list[list[int]] = [[] for _ in one.phones]
    for state, before in enumerate(one.sources):
        for source in before:
            if source != _START:
                targets[source].append(state)
    return targets


def shortest(words: Sequence[tuple[Sound, ...]]) -> int:
    """The fewest phones, and so output frames, in which the words can be said."""
    return sum(min(map(len, sounds)) for sounds in words)
