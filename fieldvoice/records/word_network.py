"""What may be said, as the language makes it from the grammar and the ears listen within it."""

from __future__ import annotations

from collections.abc import Container, Mapping
from typing import Protocol


class Arcs(Protocol):
    """By state, the words that may follow, each with the state that it leads to."""

    def __getitem__(self, state: int, /) -> Mapping[str, int]: ...


class WordNetwork(Protocol):
    """The spoken language as a deterministic acceptor of words.

    `arcs[state][word]` is the next state; an utterance may end in the states in `finals`.
    """

    @property
    def start(self) -> int:
        """The state before the first word."""

    @property
    def finals(self) -> Container[int]:
        """Where an utterance may end."""

    @property
    def arcs(self) -> Arcs:
        """For each state, the words that may follow and where they lead."""


def begins(network: WordNetwork, words: str) -> bool:
    """Whether something in the language begins with these words."""
    state = network.start
    for word in words.split():
        if word not in network.arcs[state]:
            return False
        state = network.arcs[state][word]
    return True
