"""The loss is the sum over all ways of saying it, and its slope is what a small step shows it to be."""

from __future__ import annotations

from itertools import groupby, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldvoice.ears.personal import Floats, losses_and_gradients
from fieldvoice.ears.reading_head.head import log_softmax

LABELS = 4


def scores(frames: int, seed: int = 0) -> Floats:
    """Any scores, before the softmax."""
    return np.random.default_rng(seed).standard_normal((frames, LABELS))


def loss(given_scores: Floats, labels: list[int]) -> float:
    """Of one utterance."""
    return losses_and_gradients([log_softmax(given_scores)], [labels])[0][0]


def counted(given_scores: Floats, labels: list[int]) -> float:
    """The same by trying every way of labelling the frames."""
    sure = np.exp(log_softmax(given_scores))
    ways = product(range(LABELS), repeat=len(sure))
    said = (way for way in ways if [label for label, _ in groupby(way) if label] == labels)
    return -float(np.log(sum(np.prod(sure[np.arange(len(sure)), list(way)]) for way in said)))


@pytest.mark.parametrize("labels", [[], [1], [1, 2], [1, 1], [2, 3, 2], [1, 1, 1]])
def test_the_loss_is_the_sum_over_every_way(labels: list[int]) -> None:
    """Counted one by one over six frames."""
    assert loss(scores(6), labels) == pytest.approx(counted(scores(6), labels))


@settings(max_examples=25, deadline=None)
@given(st.lists(st.integers(1, LABELS - 1), max_size=4), st.integers(8, 12), st.integers(0, 99))
def test_the_derivative_is_the_slope(labels: list[int], frames: int, seed: int) -> None:
    """By central differences of every single score."""
    here = scores(frames, seed)
    ((_, derivative),) = losses_and_gradients([log_softmax(here)], [labels])
    slope = np.zeros_like(here)
    for place in np.ndindex(here.shape):
        step = np.zeros_like(here)
        step[place] = 1e-5
        slope[place] = (loss(here + step, labels) - loss(here - step, labels)) / 2e-5
    assert np.abs(slope - derivative).max() < 1e-7


def test_utterances_side_by_side_are_as_if_alone() -> None:
    """Whatever their lengths."""
    heard = [log_softmax(scores(frames, frames)) for frames in (5, 12, 7)]
    labels = [[1], [2, 2, 3], []]
    together = losses_and_gradients(heard, labels)
    for one, (frames, said) in zip(together, zip(heard, labels, strict=True), strict=True):
        ((alone, slope),) = losses_and_gradients([frames], [said])
        assert one[0] == pytest.approx(alone)
        assert np.allclose(one[1], slope)


def test_too_few_frames_for_the_words_have_no_way() -> None:
    """Two equal words need a frame between them."""
    ((lost, slope),) = losses_and_gradients([log_softmax(scores(2))], [[1, 1]])
    assert lost == np.inf
    assert not slope.any()
