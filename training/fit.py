"""Fit the head: CTC over words, with CTC over phones as guide, on encoded clips."""

from __future__ import annotations

import math
import random
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import torch
from numpy.typing import NDArray
from torch import Tensor
from torch.nn import functional as nn

from training.labels import BLANK, Labels
from training.model import ENCODER_WIDTH, Head

PHONE_SHARE = 0.4


@dataclass(frozen=True, slots=True)
class Example:
    """A clip's encoded frames (frames, 384) and its words."""

    encoded: NDArray[np.float16]
    words: str


@dataclass(frozen=True, slots=True)
class Plan:
    """How long and how fast: `seconds` of training at most `epochs` over the data, `rate` at its highest."""

    seconds: float = 150.0
    epochs: int = 40
    rate: float = 3e-3
    frames_at_once: int = 60_000
    decay: float = 0.01


@dataclass(frozen=True, slots=True)
class Batch:
    """Clips of about one length: (clips, frames, 384), their lengths, word and phone labels (phones empty where
    unknown).
    """

    encoded: Tensor
    lengths: Tensor
    words: list[list[int]]
    phones: list[list[int] | None]


def fit(examples: Sequence[Example], labels: Labels, plan: Plan, device: str, seed: int = 1) -> Head:
    """The fitted head; prints the loss per clip after each pass."""
    torch.manual_seed(seed)
    dice = random.Random(seed)  # noqa: S311 - shuffling
    usable = [one for one in examples if len(one.encoded) > 2 * len(one.words.split()) + 2]
    batches = list(_batches(usable, labels, plan, device, dice))
    head = Head(labels.other + 1, len(labels.phones) + 1).to(device)
    optimizer = torch.optim.AdamW(head.parameters(), lr=plan.rate, weight_decay=plan.decay)
    start, steps = time.monotonic(), 0
    for epoch in range(plan.epochs):
        dice.shuffle(batches)
        total = 0.0
        for batch in batches:
            done = max(
                (time.monotonic() - start) / plan.seconds,
                (epoch + 0.5) / plan.epochs if plan.seconds == math.inf else 0,
            )
            if done >= 1:
                return head.eval()
            steps += 1
            optimizer.param_groups[0]["lr"] = (
                plan.rate * min(1, steps / 200) * (0.5 + 0.5 * math.cos(math.pi * done)) + 1e-5
            )
            total += _step(head, optimizer, batch)
        print(f"pass {epoch + 1}: loss {total / len(usable):.3f} a clip, {time.monotonic() - start:.0f} s", flush=True)
    return head.eval()


def _step(head: Head, optimizer: torch.optim.Optimizer, batch: Batch) -> float:
    encoded = _disturbed(batch.encoded.float(), batch.lengths)
    losses = loss(head, batch, encoded)
    optimizer.zero_grad(set_to_none=True)
    losses.mean().backward()
    torch.nn.utils.clip_grad_norm_(head.parameters(), 5.0)
    optimizer.step()
    return float(losses.sum())


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


def _batches(
    examples: Sequence[Example], labels: Labels, plan: Plan, device: str, dice: random.Random
) -> Iterator[Batch]:
    ordered = sorted(examples, key=lambda one: len(one.encoded) + dice.uniform(0, 8))
    gathered: list[Example] = []
    longest = 0
    for one in ordered:
        longest = max(longest, len(one.encoded))
        if gathered and (len(gathered) + 1) * longest > plan.frames_at_once:
            yield batch_of(gathered, labels, device)
            gathered, longest = [], len(one.encoded)
        gathered.append(one)
    if gathered:
        yield batch_of(gathered, labels, device)


def batch_of(examples: Sequence[Example], labels: Labels, device: str) -> Batch:
    """The examples padded to the longest, on the device."""
    lengths = [len(one.encoded) for one in examples]
    encoded = np.zeros((len(examples), max(lengths), ENCODER_WIDTH), np.float16)
    for row, one in zip(encoded, examples, strict=True):
        row[: len(one.encoded)] = one.encoded
    words, phones = ([spell(one.words) for one in examples] for spell in (labels.spell, labels.sound))
    return Batch(torch.from_numpy(encoded).to(device), torch.tensor(lengths, device=device), words, phones)
