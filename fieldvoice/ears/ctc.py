"""How likely a string of words is in frames of sound, and which way scores must go to make it likelier.

Connectionist temporal classification (Graves et al. 2006): the sum over every way of spreading the words over the
frames, by the forward-backward recursion, in logarithms.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

Integers = NDArray[np.int64]

BLANK = 0


def losses_and_gradients(
    log_probabilities: Sequence[Floats], labels: Sequence[Sequence[int]]
) -> list[tuple[float, Floats]]:
    """For each utterance the loss, minus the logarithm of the probability of its labels, and the derivative of that by
    each score before the softmax.

    The log probabilities of an utterance are (frames, labels), and so is its derivative. Where the frames are too few
    for the labels the loss is infinite and the derivative zero.
    """
    places = [_places(each) for each in labels]
    emitted = [frames[:, at] for frames, at in zip(log_probabilities, places, strict=True)]
    forward = _swept(emitted, [_jumps(at) for at in places])
    turned = _swept([each[::-1, ::-1] for each in emitted], [_jumps(at[::-1]) for at in places])
    backward = [each[::-1, ::-1] for each in turned]
    return [_one(*each) for each in zip(log_probabilities, places, emitted, forward, backward, strict=True)]


def _one(
    log_probabilities: Floats, places: Integers, emitted: Floats, forward: Floats, backward: Floats
) -> tuple[float, Floats]:
    total = float(np.logaddexp.reduce(forward[-1, -2:]))
    if total == -np.inf:
        return np.inf, np.zeros_like(log_probabilities)
    at_place = np.exp(forward + backward - emitted - total)
    expected = np.zeros_like(log_probabilities)
    np.add.at(expected.T, places, at_place.T)
    return -total, np.exp(log_probabilities) - expected


def _places(labels: Sequence[int]) -> Integers:
    """The labels with a blank before, between and after."""
    places = np.full(2 * len(labels) + 1, BLANK, dtype=np.int64)
    places[1::2] = labels
    return places


def _jumps(places: Integers) -> NDArray[np.bool_]:
    """Which places may follow the one two before them: labels that differ from the label before, without the blank."""
    jumps = np.zeros(len(places), dtype=np.bool_)
    jumps[2:] = (places[2:] != BLANK) & (places[2:] != places[:-2])
    return jumps


def _swept(emitted: Sequence[Floats], jumps: Sequence[NDArray[np.bool_]]) -> list[Floats]:
    """For each utterance, frame and place the logarithm of all ways that lead there, its own emission included. All
    utterances are gone through side by side, since a step for one costs as much as a step for all.
    """
    size = (len(emitted), max(len(each) for each in emitted), max(each.shape[1] for each in emitted))
    padded, may_jump = np.full(size, -np.inf), np.zeros((size[0], size[2]), dtype=np.bool_)
    for number, (each, jump) in enumerate(zip(emitted, jumps, strict=True)):
        padded[number, : each.shape[0], : each.shape[1]] = each
        may_jump[number, : len(jump)] = jump
    ways = np.full(size, -np.inf)
    ways[:, 0, :2] = padded[:, 0, :2]
    for frame in range(1, size[1]):
        before = ways[:, frame - 1]
        here = before.copy()
        here[:, 1:] = np.logaddexp(here[:, 1:], before[:, :-1])
        here[:, 2:] = np.logaddexp(here[:, 2:], np.where(may_jump[:, 2:], before[:, :-2], -np.inf))
        ways[:, frame] = here + padded[:, frame]
    return [ways[number, : each.shape[0], : each.shape[1]] for number, each in enumerate(emitted)]
