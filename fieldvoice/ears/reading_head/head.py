"""The reading head: what the encoder heard, as probabilities of strings of words of the language."""

from __future__ import annotations

import hashlib
import io
import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Self

import numpy as np
from numpy.typing import NDArray

from fieldvoice.ears import models
from fieldvoice.ears.reading_head.layers import Matrix, word_log_probabilities
from fieldvoice.ears.reading_head.network import Network, log_probability, network
from fieldvoice.ears.reading_head.search import likeliest
from fieldvoice.errors import NotHere
from fieldvoice.records.hearing import Hypothesis
from fieldvoice.records.trouble import Trouble, Wrong
from fieldvoice.records.word_network import WordNetwork

WEIGHTS = "head.npz"
ENCODER = "encoder"
FACTS = "head.json"
BEAM = 32
_PACKAGED = Path(__file__).parent


@dataclass(frozen=True, slots=True)
class Decoding:
    """What the head makes of an utterance.

    The probabilities are absolute: over every string of words, of the language or not, they add up to 1. `silence` is
    that of nothing having been said; what is left over beside the hypotheses is mostly other talk.
    """

    hypotheses: tuple[Hypothesis, ...]
    silence: float


@dataclass(frozen=True, slots=True)
class ReadingHead:
    """The trained layers and the words they know; label 0 is "no new word", the last label "some other word"."""

    weights: Mapping[str, Matrix]
    labels: Mapping[str, int]

    @classmethod
    def load(cls, folder: Path | None = None) -> Self:
        """The head in `folder`, or the one that comes with fieldvoice; raises NotHere where it is missing or not what
        it was.
        """
        folder = folder or _PACKAGED
        try:
            facts = json.loads((folder / FACTS).read_text(encoding="utf-8"))
            raw = (folder / WEIGHTS).read_bytes()
            whole = hashlib.sha256(raw).hexdigest() == facts["sha256"]
            words = list(facts["words"])
        except (OSError, ValueError, KeyError, TypeError) as trouble:
            raise NotHere(Trouble(Wrong.HEAD_NOT_READ, folder=folder, error=type(trouble).__name__)) from trouble
        if not whole:
            raise NotHere(Trouble(Wrong.HEAD_CHANGED, folder=folder))
        with np.load(io.BytesIO(raw)) as arrays:
            weights = {name: arrays[name].astype(np.float32) for name in arrays.files}
        return cls(weights, {word: number for number, word in enumerate(words, start=1)})

    def missing(self, vocabulary: Iterable[str]) -> tuple[str, ...]:
        """The words that the head can't hear, sorted; while there are any it must be trained anew."""
        return tuple(sorted(set(vocabulary) - set(self.labels)))

    def network(self, acceptor: WordNetwork) -> Network:
        """A language, made ready for `decode`; paths with a word in `missing` are left out."""
        return network(acceptor, self.labels)

    def log_probabilities(self, encoded: NDArray[np.floating]) -> NDArray[np.float64]:
        """(frames, 384) of the encoder, 20 ms each, to (frames, labels)."""
        return word_log_probabilities(encoded.astype(np.float32), self.weights)

    def decode(self, encoded: NDArray[np.floating], language: Network, count: int = 10) -> Decoding:
        """The `count` likeliest utterances of `language`, likeliest first.

        `encoded` are the encoder's frames (frames, 384) of the sound itself, without those of the padding behind it.
        """
        heard = self.log_probabilities(encoded)
        strings = likeliest(heard, language, count=BEAM, beam=BEAM)
        exact = np.exp(log_probability(heard, strings)) if strings else np.zeros(0)
        spell = {number: word for word, number in self.labels.items()}
        found = [
            Hypothesis(" ".join(spell[label] for label in string), float(p))
            for string, p in zip(strings, exact, strict=True)
        ]
        ranked = tuple(sorted(found, key=lambda one: -one.probability))
        return Decoding(ranked[:count], _silence(heard))

    def silence(self, encoded: NDArray[np.floating]) -> float:
        """How likely it is that nothing was said in these frames of the encoder, as `decode` tells it."""
        return _silence(self.log_probabilities(encoded))


def _silence(heard: NDArray[np.float64]) -> float:
    return float(np.exp(log_probability(heard, [()])[0]))


def encoder_folder(folder: Path | None = None) -> Path:
    """The folder of the encoder that was trained with the head, in `folder` or as it comes with fieldvoice; raises
    NotHere where a file of it is missing or not what it was.
    """
    folder = folder or _PACKAGED
    try:
        sums = json.loads((folder / FACTS).read_text(encoding="utf-8"))["encoder"]
        whole = all(models.sha256(folder / ENCODER / name) == expected for name, expected in sums.items())
    except (OSError, ValueError, KeyError, TypeError, AttributeError) as trouble:
        raise NotHere(Trouble(Wrong.ENCODER_NOT_READ, folder=folder, error=type(trouble).__name__)) from trouble
    if not whole:
        raise NotHere(Trouble(Wrong.ENCODER_CHANGED, folder=folder))
    return folder / ENCODER
