"""The training objective against every path counted one by one, and its gradient against small steps."""

from __future__ import annotations

import itertools
import math
import random

import pytest
import torch
from torch import Tensor

from training.vosk_model.denominator import Denominator, denominator
from training.vosk_model.numerators import Graph, Numerators, graph, shortest
from training.vosk_model.objective import LEAK, objective

PHONES = 4
# A word of two pronunciations and another; nothing said; one phone twice, as two words.
TEXTS = ([((1, 2), (1, 3, 2)), ((3,),)], [], [((2,),), ((2,),)])
FRAMES = torch.tensor([5, 3, 4])


@pytest.fixture(scope="module")
def possible() -> Denominator:
    """What might be said, learnt from the texts."""
    return denominator(TEXTS * 30, PHONES, random.Random(1))


@pytest.fixture(scope="module")
def said() -> Numerators:
    """The graphs of the texts."""
    return Numerators.of([graph(text) for text in TEXTS]).select(torch.arange(len(TEXTS)))


@pytest.fixture
def scores() -> Tensor:
    """Any scores; those after a clip's end are to have no part in it."""
    torch.manual_seed(3)
    return 2 * torch.randn(len(TEXTS), 6, 2 * PHONES)


def likelihood_of_text(one: Graph, scores: Tensor) -> float:
    """The sum over all sequences of states that the graph allows."""
    total = 0.0
    for path in itertools.product(range(len(one.phones)), repeat=len(scores)):
        likelihood = math.exp(scores[0, 2 * one.phones[path[0]]]) if -1 in one.sources[path[0]] else 0.0
        for frame, (before, now) in enumerate(itertools.pairwise(path), start=1):
            stays = math.exp(scores[frame, 2 * one.phones[now] + 1]) if before == now else 0.0
            enters = math.exp(scores[frame, 2 * one.phones[now]]) if before in one.sources[now] else 0.0
            likelihood *= stays + enters
        total += likelihood if path[-1] in one.ends else 0.0
    return total


def likelihood_of_all(possible: Denominator, scores: Tensor) -> float:
    """The same of all phones, pair by pair in the plainest way; what leaks is added before each frame."""
    pairs = list(itertools.product(range(PHONES), repeat=2))
    at = {
        (now, before): float(possible.first[now]) * math.exp(scores[0, 2 * now]) * (before == 0)
        for now, before in pairs
    }
    for frame in scores[1:]:
        whole = sum(at.values())
        at = {pair: value + LEAK * whole * float(possible.usual[pair]) for pair, value in at.items()}
        after = {(now, before): value * math.exp(frame[2 * now + 1]) for (now, before), value in at.items()}
        for (now, before), value in at.items():
            for then in range(PHONES):
                after[then, now] += value * float(possible.follow[now, before, then]) * math.exp(frame[2 * then])
        at = after
    return sum(at.values())


def test_the_objective_is_what_counting_every_path_gives(
    scores: Tensor, said: Numerators, possible: Denominator
) -> None:
    """For each clip the same number, whatever stands in the padding."""
    found = objective(scores, FRAMES, said, possible)
    for clip, text in enumerate(TEXTS):
        real = scores[clip, : FRAMES[clip]]
        counted = math.log(likelihood_of_text(graph(text), real) / likelihood_of_all(possible, real))
        assert float(found[clip]) == pytest.approx(counted, abs=1e-4)


def test_the_gradient_is_the_slope(scores: Tensor, said: Numerators, possible: Denominator) -> None:
    """Each score moved up and down a little; no slope in the padding."""
    scores.requires_grad_()
    weights = torch.tensor([1.0, 2.0, 0.5])
    (objective(scores, FRAMES, said, possible) * weights).sum().backward()
    step = 5e-3
    for place in itertools.product(*map(range, scores.shape)):
        ends = []
        for sign in (1, -1):
            moved = scores.detach().clone()
            moved[place] += sign * step
            ends.append(float((objective(moved, FRAMES, said, possible) * weights).sum()))
        assert float(scores.grad[place]) == pytest.approx((ends[0] - ends[1]) / (2 * step), abs=2e-3)
        if place[1] >= FRAMES[place[0]]:
            assert scores.grad[place] == 0


def test_a_clip_too_short_for_its_text_teaches_nothing(possible: Denominator) -> None:
    """Three phones don't fit into two frames: neither a value nor a gradient, and none that isn't a number."""
    text = [((1, 2, 3),)]
    assert shortest(text) == 3
    scores = torch.randn(1, 2, 2 * PHONES, requires_grad=True)
    found = objective(scores, torch.tensor([2]), Numerators.of([graph(text)]).select(torch.tensor([0])), possible)
    found.sum().backward()
    assert float(found.detach()) == 0
    assert not scores.grad.any()


def test_graphs_are_selected_without_the_padding_of_larger_ones(scores: Tensor, possible: Denominator) -> None:
    """The two small graphs, chosen from all, are as if the large one had never been beside them."""
    graphs = [graph(text) for text in TEXTS]
    chosen, alone = Numerators.of(graphs).select(torch.tensor([2, 1])), Numerators.of([graphs[2], graphs[1]])
    assert chosen.phones.shape == alone.phones.shape == (2, 5)
    two, frames = scores[:2], FRAMES[:2]
    everything = alone.select(torch.tensor([0, 1]))
    assert torch.equal(objective(two, frames, chosen, possible), objective(two, frames, everything, possible))


def test_what_follows_what_is_a_probability(possible: Denominator) -> None:
    """Rows sum to 1, nothing is impossible, and what was seen is likelier than what never was."""
    assert torch.allclose(possible.follow.sum(-1), torch.ones(PHONES, PHONES))
    assert float(possible.first.sum()) == pytest.approx(1)
    assert float(possible.usual.sum()) == pytest.approx(1)
    assert float(possible.follow.min()) > 0
    # After silence, 1 goes on to 2 or 3 and never to 1 again.
    assert possible.follow[1, 0, 2] > 10 * possible.follow[1, 0, 1]
