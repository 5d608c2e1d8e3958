"""What every recognizer looks like from outside, and the plain shape of words that it hands on."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Protocol

from fieldvoice.ears.sound import Frames
from fieldvoice.records.hearing import EarKind, Hearing, Hypothesis


class Ear(Protocol):
    """A recognizer. It knows words, not what they mean. One utterance at a time: `feed` while spoken,
    then `finish`.
    """

    name: str
    """As shown to people."""

    kind: EarKind
    """Which recognizer it is: evidence and gates go by it."""

    def reset(self) -> None:
        """Forgets what was fed since the last `finish`."""

    def feed(self, frames: Frames) -> str:
        """Takes the next samples; returns the words so far, or an empty string where this ear doesn't say."""

    def so_far(self) -> str:
        """The words so far, looked at in earnest: asked in a pause. An empty string where this ear is not sure."""

    def silent(self, frames: Frames | None = None) -> bool:
        """Whether most likely nobody speaks in these samples, or else in all that was fed; False where in doubt."""

    def finish(self) -> Hearing:
        """The utterance is over: what was heard. The ear is ready for the next one."""


_NOT_WORDS = re.compile(r"[^a-z' ]+")


def plain_words(text: str) -> str:
    """Lower-case, single-spaced words without punctuation: "Top, forty-two." becomes "top forty two"."""
    return " ".join(word for part in _NOT_WORDS.sub(" ", text.lower()).split() if (word := part.strip("'")))


def merged(hypotheses: Iterable[Hypothesis]) -> tuple[Hypothesis, ...]:
    """Hypotheses with the same words as one, their probabilities added; best first, those without words left out."""
    mass: dict[str, float] = {}
    for one in hypotheses:
        if one.words:
            mass[one.words] = mass.get(one.words, 0.0) + one.probability
    best_first = sorted(mass.items(), key=lambda item: -item[1])
    return tuple(Hypothesis(words, probability) for words, probability in best_first)
