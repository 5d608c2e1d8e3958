"""What an ear hands on: word strings with their scores, and no meaning yet; and the network of what may be said, within
which it listens.
"""

from __future__ import annotations

from collections.abc import Container, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Protocol


class Source(StrEnum):
    """How the words came in. Heard words may be mistaken for others; typed ones are what was meant."""

    SPOKEN = "spoken"
    TYPED = "typed"


class EarKind(StrEnum):
    """Which recognizer heard. The reading head's probabilities are parts of all that could have been said, other talk
    and silence with it; those of the others are parts of the few alternatives that they name.
    """

    READING = "reading"
    WHISPER = "whisper"
    VOSK = "vosk"


@dataclass(frozen=True, slots=True)
class Hypothesis:
    """One way the utterance may have gone.

    `words` is lower-case, single-spaced text; `probability` is the ear's own, between 0 and 1, and over all hypotheses
    of one hearing the sum is at most 1: what is missing to 1 is the ear's doubt that any of them is right.
    """

    words: str
    probability: float


@dataclass(frozen=True, slots=True)
class Hearing:
    """One utterance as one recognizer took it, best hypothesis first; no hypotheses means that nothing was heard.

    `recognizer` is its name as shown to people; `audio_seconds` is the length of the sound, `seconds` the time from the
    last sample handed over to this result; `noise_db` is the level of the noise between the words, in dB of full scale,
    `above_noise_db` how far the words stand above it; `log_probability` is the mean log probability of a token of the
    best hypothesis, for an ear that has one; `sound` is the name of the file that its sound is kept in, if it is;
    `kind` is None where no recognizer heard it; `encoder` names the model that turned the sound into vectors, where
    there is one: recognizers that share it tend to err alike.
    """

    hypotheses: tuple[Hypothesis, ...]
    recognizer: str
    source: Source = Source.SPOKEN
    audio_seconds: float = 0.0
    seconds: float = 0.0
    noise_db: float | None = None
    above_noise_db: float | None = None
    log_probability: float | None = None
    sound: str | None = None
    kind: EarKind | None = None
    encoder: str | None = None

    @classmethod
    def typed(cls, line: str) -> Hearing:
        """A typed line, which is certain."""
        return cls((Hypothesis(line.strip(), 1.0),), "keyboard", Source.TYPED)

    @property
    def words(self) -> str:
        """The best hypothesis, or an empty string."""
        return self.hypotheses[0].words if self.hypotheses else ""


class Outlook(StrEnum):
    """Whether words may follow those heard so far."""

    COMPLETE = "complete"
    MAY_GO_ON = "may go on"
    MUST_GO_ON = "must go on"


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
