"""Fit heads: CTC over words, with CTC over phones as guide, on an endless stream of noisy clips."""

from __future__ import annotations

import copy
import math
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import torch
from torch import Tensor
from torch.nn import functional as nn

from training.encoder import Encoder
from training.labels import BLANK, Labels
from training.model import Head
from training.stream import Noisy

PHONE_SHARE = 0.4
_AVERAGED_STEPS = 500


@dataclass(frozen=True, slots=True)
class Plan:
    """How long and how fast: `seconds` of training; the rate rises over `warm_up` steps to `rate`, then falls to 0."""

    seconds: float
    rate: float = 2e-3
    warm_up: int = 300
    decay: float = 0.01


@dataclass(frozen=True, slots=True)
class Batch:
    """(clips, frames, 384) of the encoder, how many frames each has, word and phone labels (None: phones unknown)."""

    encoded: Tensor
    lengths: Tensor
    words: list[list[int]]
    phones: list[list[int] | None]


class Averaged:
    """A head in training, with the running mean of its weights, which hears better than any one step's."""

    def __init__(self, head: Head, plan: Plan) -> None:
        self.head = head
        self.mean = copy.deepcopy(head).eval()
        self._plan, self._steps = plan, 0
        self._optimizer = torch.optim.AdamW(head.parameters(), lr=plan.rate, weight_decay=plan.decay)

    def step(self, batch: Batch, encoded: Tensor, done: float) -> float:
        """One step at `done` (0 to 1) of the plan; the mean loss of a clip before it."""
        self._steps += 1
        rate = self._plan.rate * min(1, self._steps / self._plan.warm_up) * (0.5 + 0.5 * math.cos(math.pi * done))
        self._optimizer.param_groups[0]["lr"] = rate
        mean = loss(self.head, batch, encoded).mean()
        self._optimizer.zero_grad(set_to_none=True)
        mean.backward()
        torch.nn.utils.clip_grad_norm_(self.head.parameters(), 5.0)
        self._optimizer.step()
        kept = min(1 - 1 / _AVERAGED_STEPS, self._steps / (self._steps + 10))
        with torch.no_grad():
            for mine, trained in zip(self.mean.parameters(), self.head.parameters(), strict=True):
                mine.lerp_(trained, 1 - kept)
        return float(mean.detach())


def fit(
    stream: Iterator[Noisy],
    encoder: Encoder,
    heads: Sequence[Head],
    labels: Labels,
    plan: Plan,
    tell: Callable[[str], None],
) -> list[Head]:
    """The heads, fitted to the same clips, so that an encoded clip serves them all; tells the losses now and then."""
    trained = [Averaged(head, plan) for head in heads]
    start, told, seen = time.monotonic(), 0.0, 0
    losses: list[list[float]] = []
    for noisy in stream:
        passed = time.monotonic() - start
        if passed >= plan.seconds:
            break
        batch = batch_of(noisy, encoder, labels)
        encoded = _disturbed(batch.encoded, batch.lengths)
        losses.append([one.step(batch, encoded, passed / plan.seconds) for one in trained])
        seen += len(noisy.words)
        if passed > told + 20:
            told = passed
            shown = ", ".join(f"{value:.3f}" for value in np.mean(losses, axis=0))
            tell(f"{passed:.0f} s: {seen} clips seen, loss a clip {shown}")
            losses.clear()
    return [one.mean for one in trained]


def batch_of(noisy: Noisy, encoder: Encoder, labels: Labels) -> Batch:
    """The clips encoded, without those that are too short for their words."""
    encoded, lengths = encoder(noisy.sound, noisy.lengths)
    frames = lengths.tolist()
    kept = [row for row, words in enumerate(noisy.words) if frames[row] > 2 * len(words.split()) + 2]
    words, phones = ([spell(noisy.words[row]) for row in kept] for spell in (labels.spell, labels.sound))
    return Batch(encoded[kept].clone(), lengths[kept].clone(), words, phones)


def loss(head: Head, batch: Batch, encoded: Tensor) -> Tensor:
    """For each clip of a batch, the CTC loss of its words and a share of that of its phones."""
    frames = torch.arange(encoded.shape[1], device=encoded.device)
    inside = (frames[None, :] < batch.lengths[:, None]).unsqueeze(-1).float()
    words, phones = head(encoded, inside)
    known = torch.tensor([sounds is not None for sounds in batch.phones], device=encoded.device)
    of_words = _ctc(words, batch.lengths, batch.words)
    of_phones = _ctc(phones, batch.lengths, [sounds or [] for sounds in batch.phones])
    return of_words + PHONE_SHARE * torch.where(known, of_phones, torch.zeros_like(of_phones))


def _ctc(scores: Tensor, lengths: Tensor, targets: Sequence[Sequence[int]]) -> Tensor:
    flat = torch.tensor([label for target in targets for label in target], dtype=torch.long, device=scores.device)
    sizes = torch.tensor([len(target) for target in targets], device=scores.device)
    return nn.ctc_loss(scores.transpose(0, 1), flat, lengths, sizes, blank=BLANK, reduction="none", zero_infinity=True)


def _disturbed(encoded: Tensor, lengths: Tensor) -> Tensor:
    """Some frames blanked, some noise added, the level changed: what the head must not lean on."""
    clips, frames, _ = encoded.shape
    device = encoded.device
    noise = 0.15 * torch.rand(clips, 1, 1, device=device) * torch.randn_like(encoded)
    encoded = encoded * (0.95 + 0.1 * torch.rand(clips, 1, 1, device=device)) + noise
    for _ in range(2):
        start = (torch.rand(clips, device=device) * lengths).long()
        size = (torch.rand(clips, device=device) * 8).long()
        places = torch.arange(frames, device=device)[None, :]
        hidden = (places >= start[:, None]) & (places < (start + size)[:, None])
        encoded = encoded.masked_fill(hidden.unsqueeze(-1), 0.0)
    return encoded
