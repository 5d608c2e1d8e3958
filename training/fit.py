"""Fit the ear: encoder and head together by CTC over words, with CTC over phones as guide, in the noise of sites.

What keeps the encoder from forgetting what it learned from people: it also has to make of a noisy clip what it made of
the same clip, dry and clean, before the training.
"""

from __future__ import annotations

import copy
import math
import time
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

import torch
from torch import Tensor, nn
from torch.nn import functional

from fieldvoice.ears.encoder import band_corners
from training.encoder import Encoder, LogMel
from training.labels import BLANK, Labels
from training.model import Head
from training.site import Noisy

PHONE_SHARE = 0.4
RATE, ENCODER_RATE = 1.5e-3, 2.5e-4
"""The usual rates, of the head and the phones, and of the encoder."""
_AVERAGED_STEPS = 500
_TAILS = (8, 140)
"""Empty columns behind the longest clip: the encoder must not mind how many there are."""
_ROUNDED_FROM = 0.7
"""The share of the training after which the encoder's 8 bits are trained with."""


@dataclass(frozen=True, slots=True)
class Plan:
    """How long and how fast: `seconds` of training; the rates rise over `warm_up` steps, then fall to 0. `faith` is how
    much it counts that the encoder makes of noisy clips what it made of clean ones; with 0 it is left free. In the
    first `guide_alone` steps only the phones are fitted: an ear that is trained on has kept none, and what guesses at
    phones would lead the rest astray.
    """

    seconds: float
    rate: float = RATE
    encoder_rate: float = ENCODER_RATE
    warm_up: int = 400
    decay: float = 0.01
    faith: float = 1.0
    guide_alone: int = 0


@dataclass(frozen=True, slots=True)
class Batch:
    """Pictures of noisy and of dry clips, (clips, 80, columns); how many frames of 20 ms each has; word and phone
    labels (None: phones unknown).
    """

    mel: Tensor
    dry: Tensor
    lengths: Tensor
    words: list[list[int]]
    phones: list[list[int] | None]


class Listener(nn.Module):
    """The encoder and the head on it."""

    def __init__(self, encoder: Encoder, head: Head) -> None:
        super().__init__()
        self.encoder, self.head = encoder, head

    def forward(self, mel: Tensor, lengths: Tensor) -> tuple[Tensor, Tensor, Tensor]:
        """What the encoder makes of the pictures, (clips, frames, 384), and the log-probabilities of words and phones
        in each frame.
        """
        with torch.autocast(mel.device.type, torch.bfloat16, enabled=mel.is_cuda):
            encoded = self.encoder(mel)
        encoded = encoded.float()
        inside = torch.arange(encoded.shape[1], device=mel.device) < lengths[:, None]
        words, phones = self.head(_disturbed(encoded) if self.training else encoded, inside[..., None].float())
        return encoded, words, phones


def fit(
    stream: Iterable[Noisy],
    trained: Listener,
    faithful_to: Encoder,
    labels: Labels,
    plan: Plan,
    tell: Callable[[str], None],
    kept: Path | None = None,
) -> Listener:
    """The ear fitted, as the running mean of its weights, which hears better than any one step's; tells the losses now
    and then. Its encoder is held to what `faithful_to` makes of clean clips. A run that was interrupted goes on from
    the file `kept`, which is written every minute.
    """
    device = next(trained.parameters()).device
    before, mel = copy.deepcopy(faithful_to).to(device).eval(), LogMel().to(device)
    trained.train()
    mean: Listener = copy.deepcopy(trained).eval()
    optimizer = _optimizer(trained, plan)
    going = _Going(trained, mean, optimizer, kept)
    passed_before, steps = going.on()
    start, told, seen = time.monotonic() - passed_before, passed_before, 0
    losses: list[Tensor] = []
    for noisy in stream:
        passed = time.monotonic() - start
        if passed >= plan.seconds:
            break
        steps, done = steps + 1, passed / plan.seconds
        trained.encoder.rounded = mean.encoder.rounded = done > _ROUNDED_FROM
        _set_rates(optimizer, plan, steps, done)
        batch = batch_of(noisy, mel, labels)
        losses.append(_step(trained, before, optimizer, batch, plan.faith))
        _follow(mean, trained, min(1 - 1 / _AVERAGED_STEPS, steps / (steps + 10)))
        seen += len(batch.words)
        going.keep(passed, steps)
        if passed > told + 20:
            told = passed
            shown = ", ".join(f"{value:.3f}" for value in torch.stack(losses).mean(0).tolist())
            tell(f"{passed:.0f} s: {steps} steps, {seen} clips; words and phones, faith: {shown}")
            losses.clear()
    return mean


_KEPT_EVERY = 60.0


class _Going:
    """Where a run is, kept in a file so that it goes on after an interruption."""

    def __init__(self, trained: Listener, mean: Listener, optimizer: torch.optim.Optimizer, kept: Path | None) -> None:
        self._parts = {"trained": trained, "mean": mean, "optimizer": optimizer}
        self._kept = kept
        self._last = 0.0

    def on(self) -> tuple[float, int]:
        """Seconds and steps that the run had come to; none where it begins."""
        if self._kept is None or not self._kept.exists():
            return 0.0, 0
        state = torch.load(self._kept, weights_only=True)
        for name, part in self._parts.items():
            part.load_state_dict(state[name])
        self._last = state["passed"]
        return state["passed"], state["steps"]

    def keep(self, passed: float, steps: int) -> None:
        """Writes it, once a minute; a file that was written in part never takes the place of a whole one."""
        if self._kept is None or passed < self._last + _KEPT_EVERY:
            return
        self._last = passed
        facts = {name: part.state_dict() for name, part in self._parts.items()}
        half = self._kept.with_suffix(".half")
        torch.save(facts | {"passed": passed, "steps": steps}, half)
        half.replace(self._kept)


def _optimizer(trained: Listener, plan: Plan) -> torch.optim.Optimizer:
    guide = list(trained.head.phones.parameters())
    head = [one for name, one in trained.head.named_parameters() if not name.startswith("phones.")]
    groups = [
        {
            "params": list(trained.encoder.parameters()),
            "peak": plan.encoder_rate,
            "weight_decay": 0.0,
            "from": plan.guide_alone,
        },
        {"params": head, "peak": plan.rate, "weight_decay": plan.decay, "from": plan.guide_alone},
        {"params": guide, "peak": RATE, "weight_decay": plan.decay, "from": 0},
    ]
    return torch.optim.AdamW(groups, lr=plan.rate, betas=(0.9, 0.98))


def _set_rates(optimizer: torch.optim.Optimizer, plan: Plan, steps: int, done: float) -> None:
    falling = 0.5 + 0.5 * math.cos(math.pi * done)
    for group in optimizer.param_groups:
        group["lr"] = group["peak"] * falling * min(1, max(0, steps - group["from"]) / plan.warm_up)


def _step(trained: Listener, before: Encoder, optimizer: torch.optim.Optimizer, batch: Batch, faith: float) -> Tensor:
    """One step; the mean loss of a clip before it, and how far the encoder is from what it made of clean clips."""
    encoded, words, phones = trained(_hidden(_of_other_tracts(batch.mel), batch.lengths), batch.lengths)
    spelled = loss(batch, words, phones).mean()
    away = _away(before, encoded, batch) if faith else torch.zeros_like(spelled)
    optimizer.zero_grad(set_to_none=True)
    (spelled + faith * away).backward()
    nn.utils.clip_grad_norm_(trained.parameters(), 5.0)
    optimizer.step()
    return torch.stack([spelled.detach(), away.detach()])


@torch.no_grad()
def _follow(mean: Listener, trained: Listener, kept: float) -> None:
    torch._foreach_lerp_(list(mean.parameters()), list(trained.parameters()), 1 - kept)


def batch_of(noisy: Noisy, mel: LogMel, labels: Labels) -> Batch:
    """The clips as pictures, without those that are too short for their words."""
    frames = noisy.lengths // 320 + 4
    known = zip(noisy.words, frames.tolist(), strict=True)
    kept = [row for row, (words, count) in enumerate(known) if count > 2 * len(words.split()) + 2]
    words = [labels.spell(noisy.words[row]) for row in kept]
    phones = [labels.sound(noisy.words[row]) for row in kept]
    rows = torch.tensor(kept, device=frames.device)
    tail = int(torch.randint(*_TAILS, ()))
    picture, dry = (mel(sound[rows], noisy.lengths[rows], tail) for sound in (noisy.sound, noisy.dry))
    return Batch(picture, dry, frames[rows], words, phones)


def loss(batch: Batch, words: Tensor, phones: Tensor) -> Tensor:
    """For each clip of a batch, the CTC loss of its words and a share of that of its phones."""
    known = torch.tensor([sounds is not None for sounds in batch.phones], device=words.device)
    of_words = _ctc(words, batch.lengths, batch.words)
    of_phones = _ctc(phones, batch.lengths, [sounds or [] for sounds in batch.phones])
    return of_words + PHONE_SHARE * torch.where(known, of_phones, torch.zeros_like(of_phones))


def _ctc(scores: Tensor, lengths: Tensor, targets: Sequence[Sequence[int]]) -> Tensor:
    flat = torch.tensor([label for target in targets for label in target], dtype=torch.long, device=scores.device)
    sizes = torch.tensor([len(target) for target in targets], device=scores.device)
    return functional.ctc_loss(
        scores.transpose(0, 1), flat, lengths, sizes, blank=BLANK, reduction="none", zero_infinity=True
    )


def _away(before: Encoder, encoded: Tensor, batch: Batch) -> Tensor:
    """The mean square of what differs from the clean clip's frames, each of the 384 numbers by its own deviation."""
    with torch.no_grad(), torch.autocast(encoded.device.type, torch.bfloat16, enabled=encoded.is_cuda):
        wanted = before(batch.dry).float()
    inside = torch.arange(encoded.shape[1], device=encoded.device) < batch.lengths[:, None]
    wanted, found = wanted[inside], encoded[inside]
    return (((found - wanted) / (wanted.std(0) + 1e-3)) ** 2).mean()


_TRACTS = (0.86, 1.16)


def _of_other_tracts(mel: Tensor) -> Tensor:
    """Half of the pictures as a shorter or longer vocal tract would have made them: what lies at a frequency comes to
    lie higher or lower, at the same tempo.
    """
    clips, bands, _ = mel.shape
    hertz = torch.from_numpy(band_corners()[1:-1]).to(mel)
    low, high = _TRACTS
    stretch = torch.where(torch.rand(clips, 1) < 0.5, low + (high - low) * torch.rand(clips, 1), 1.0).to(mel.device)
    wanted = (hertz * stretch).clamp(float(hertz[0]), float(hertz[-1]) - 1e-3)
    below = (torch.searchsorted(hertz, wanted, right=True) - 1).clamp(0, bands - 2)
    share = (wanted - hertz[below]) / (hertz[below + 1] - hertz[below])
    rows = below[..., None].expand(-1, -1, mel.shape[2])
    return torch.lerp(mel.gather(1, rows), mel.gather(1, rows + 1), share[..., None])


def _hidden(mel: Tensor, lengths: Tensor) -> Tensor:
    """Two stretches of time and two of bands of each picture blanked."""
    for _ in range(2):
        mel = mel.masked_fill(_stretches(2 * lengths, 16, mel.shape[2])[:, None, :], 0.0)
        mel = mel.masked_fill(_stretches(torch.full_like(lengths, mel.shape[1]), 10, mel.shape[1])[..., None], 0.0)
    return mel


def _disturbed(encoded: Tensor) -> Tensor:
    """Some noise added, the level changed: what the head must not lean on."""
    clips = len(encoded)
    noise = 0.1 * torch.rand(clips, 1, 1, device=encoded.device) * torch.randn_like(encoded)
    return encoded * (0.95 + 0.1 * torch.rand(clips, 1, 1, device=encoded.device)) + noise


def _stretches(lengths: Tensor, longest: int, places: int) -> Tensor:
    """(clips, places): True for a random stretch within each length."""
    start, size = ((torch.rand(len(lengths), device=lengths.device) * one).long() for one in (lengths, longest))
    at = torch.arange(places, device=lengths.device)
    return (at >= start[:, None]) & (at < (start + size)[:, None])
