"""The head's arithmetic: a few layers of numpy on the encoder's output."""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

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
