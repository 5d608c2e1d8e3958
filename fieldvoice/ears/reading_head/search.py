"""The likeliest strings of words of the language: prefix search that never leaves the network."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np

from fieldvoice.ears.reading_head.network import BLANK, Floats, Network

# Below this a word is not worth another prefix in a frame.
_WORTH_TRYING = 1e-5

_Prefix = tuple[int, ...]


class _Mass(NamedTuple):
    """The probability of a prefix, by whether its last frame was blank or its last word, and its state in the
    network.
    """

    blank: float
    spoken: float
    state: int

    @property
    def whole(self) -> float:
        return self.blank + self.spoken


def likeliest(log_probabilities: Floats, network: Network, *, count: int, beam: int = 32) -> list[_Prefix]:
    """At most `count` complete strings of labels, likeliest first by the beam's own sums; `log_probabilities` is
    (frames, labels).
    """
    prefixes: dict[_Prefix, _Mass] = {(): _Mass(1.0, 0.0, network.acceptor.start)}
    for frame in np.exp(log_probabilities):
        prefixes = _best(_extended(prefixes, frame, network), beam)
    whole = [
        (mass.whole, prefix) for prefix, mass in prefixes.items() if prefix and mass.state in network.acceptor.finals
    ]
    return [prefix for _, prefix in sorted(whole, reverse=True)[:count]]


def _extended(prefixes: Mapping[_Prefix, _Mass], frame: Floats, network: Network) -> dict[_Prefix, _Mass]:
    arcs, words = network.acceptor.arcs, network.words
    probability = frame.tolist()
    tried = [(label, words[label], probability[label]) for label in np.flatnonzero(frame > _WORTH_TRYING).tolist()]
    blank = probability[BLANK]
    grown: dict[_Prefix, _Mass] = {}
    for prefix, mass in prefixes.items():
        last = prefix[-1] if prefix else BLANK
        _add(grown, prefix, mass.whole * blank, mass.spoken * probability[last], mass.state)
        ways = arcs[mass.state]
        for label, word, likely in tried:
            if word in ways:
                source = mass.blank if label == last else mass.whole
                _add(grown, (*prefix, label), 0.0, source * likely, ways[word])
    return grown


def _add(grown: dict[_Prefix, _Mass], prefix: _Prefix, blank: float, spoken: float, state: int) -> None:
    before = grown.get(prefix)
    if before is not None:
        blank, spoken = before.blank + blank, before.spoken + spoken
    grown[prefix] = _Mass(blank, spoken, state)


def _best(prefixes: dict[_Prefix, _Mass], beam: int) -> dict[_Prefix, _Mass]:
    """The `beam` likeliest, scaled so that the best is 1, which keeps long utterances from running out of range."""
    ranked = sorted(prefixes.items(), key=lambda item: -item[1].whole)[:beam]
    top = ranked[0][1].whole if ranked else 0.0
    if top <= 0:
        return {}
    return {prefix: _Mass(mass.blank / top, mass.spoken / top, mass.state) for prefix, mass in ranked}
