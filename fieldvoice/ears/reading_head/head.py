"""The reading head: what the encoder heard, as probabilities of strings of words of the language. A few layers of numpy
make the scores; a prefix search that never leaves the network, in which words with labels lead along arcs between
states, finds the likeliest strings.

CTC gives each frame of sound a distribution over words and "no new word" (the blank, label 0). A string of words is
said in every way of spreading it over the frames; its probability is the sum over these ways, and over all strings of
words there are these probabilities add up to 1.
"""

from __future__ import annotations

import hashlib
import io
import json
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple, Self

import numpy as np
from numpy.typing import NDArray

from fieldvoice.ears import models
from fieldvoice.errors import NotHere
from fieldvoice.records.hearing import Hypothesis, WordNetwork
from fieldvoice.records.trouble import Trouble, Wrong

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


Matrix = NDArray[np.float32]
Weights = Mapping[str, Matrix]


def word_log_probabilities(encoded: Matrix, weights: Weights) -> NDArray[np.float64]:
    """(frames, 384) of the encoder to (frames, labels): the logarithms of each frame's distribution."""
    return log_softmax(_linear(features(encoded, weights), weights, "words"))


def features(encoded: Matrix, weights: Weights) -> Matrix:
    """(frames, 384) of the encoder to (frames, width): what the last layer, "words", makes its scores of."""
    x = _linear(_norm(encoded.astype(np.float32), weights, "input_norm"), weights, "input")
    for block in range(_blocks(weights)):
        x = x + _block(x, weights, f"blocks.{block}")
    return _norm(x, weights, "output_norm")


def log_softmax(scores: NDArray[np.floating]) -> NDArray[np.float64]:
    """Scores to the logarithms of a distribution in each frame."""
    high = scores.astype(np.float64)
    high -= high.max(axis=-1, keepdims=True)
    return np.asarray(high - np.log(np.exp(high).sum(axis=-1, keepdims=True)))


def _blocks(weights: Weights) -> int:
    return len({name.split(".")[1] for name in weights if name.startswith("blocks.")})


def _block(x: Matrix, weights: Weights, name: str) -> Matrix:
    mixed = _over_time(_norm(x, weights, f"{name}.norm"), weights, f"{name}.over_time")
    return _linear(_gelu(_linear(mixed, weights, f"{name}.widen")), weights, f"{name}.narrow")


def _norm(x: Matrix, weights: Weights, name: str) -> Matrix:
    centered = x - x.mean(axis=-1, keepdims=True)
    spread = np.sqrt(np.mean(centered**2, axis=-1, keepdims=True) + 1e-5)
    return np.asarray(centered / spread * weights[f"{name}.weight"] + weights[f"{name}.bias"])


def _linear(x: Matrix, weights: Weights, name: str) -> Matrix:
    return np.asarray(x @ weights[f"{name}.weight"].T + weights[f"{name}.bias"])


def _over_time(x: Matrix, weights: Weights, name: str) -> Matrix:
    """Each channel's own filter over neighboring frames, zeros beyond the ends."""
    filters = weights[f"{name}.weight"][:, 0]
    width = filters.shape[1]
    padded = np.pad(x, ((width // 2, width // 2), (0, 0)))
    taps = (padded[tap : tap + len(x)] * filters[:, tap] for tap in range(width))
    return np.asarray(sum(taps) + weights[f"{name}.bias"])


def _gelu(x: Matrix) -> Matrix:
    """The Gaussian error linear unit in its tanh form, as the head was trained with."""
    return np.asarray(0.5 * x * (1 + np.tanh(math.sqrt(2 / math.pi) * (x + 0.044715 * (x * x * x)))))


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
