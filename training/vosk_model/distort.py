"""The same clips again, otherwise: another tempo, another vocal tract, another microphone, parts of them hidden.

On log mel energies and on the device, so that a clip that was mixed once can be trained on more than once.
"""

from __future__ import annotations

from dataclasses import dataclass

import torch
from torch import Tensor

from training.vosk_model.features import BANDS, FLOOR

TEMPO = (0.9, 1.12)
TRACT = (0.94, 1.06)
LEVEL, CHANNEL, KNOTS = 1.5, 0.7, 6
"""Deviations of the whole level and of the microphone's curve at its knots, in nepers of energy."""

GATED = 0.08
"""The share of clips whose quiet frames become digital silence, as a headset's noise gate or an edited file has it."""


@dataclass(frozen=True, slots=True)
class Features:
    """(clips, most frames, 40) log mel energies, of which `frames` of each clip are real."""

    mel: Tensor
    frames: Tensor


def distorted(clean: Features) -> Features:
    """Each clip in a way of its own."""
    mel, frames = _stretched(clean.mel, clean.frames)
    mel = _gated(_through_microphone(_other_tract(mel)), frames)
    return Features(mel, frames)


def hidden(normal: Tensor, frames: Tensor) -> Tensor:
    """Normalized features with two bands and two stretches of time of each clip at 0."""
    for _ in range(2):
        normal = _masked(normal, torch.full_like(frames, BANDS), 6, 2)
        normal = _masked(normal, frames, 9, 1)
    return normal


def _between(low: float, high: float, like: Tensor) -> Tensor:
    return low + (high - low) * torch.rand(len(like), device=like.device)


def _stretched(mel: Tensor, frames: Tensor) -> tuple[Tensor, Tensor]:
    tempo = _between(*TEMPO, mel)
    after = (frames * tempo).long().clamp(min=1)
    places = torch.arange(int(after.max()), device=mel.device) / tempo[:, None]
    places = torch.minimum(places, (frames - 1)[:, None])
    low = places.long()
    high = torch.minimum(low + 1, (frames - 1)[:, None])
    share = (places - low)[..., None]
    one, other = (mel.gather(1, at[..., None].expand(-1, -1, BANDS)) for at in (low, high))
    return one + (other - one) * share, after


def _other_tract(mel: Tensor) -> Tensor:
    places = torch.arange(BANDS, device=mel.device) * _between(*TRACT, mel)[:, None] + _between(-0.6, 0.6, mel)[:, None]
    places = places.clamp(0, BANDS - 1)
    low = places.long()
    high = (low + 1).clamp(max=BANDS - 1)
    share = (places - low)[:, None]
    one, other = (mel.gather(2, at[:, None].expand(-1, mel.shape[1], -1)) for at in (low, high))
    return one + (other - one) * share


def _through_microphone(mel: Tensor) -> Tensor:
    knots = CHANNEL * torch.randn(len(mel), 1, KNOTS, device=mel.device)
    curve = torch.nn.functional.interpolate(knots, BANDS, mode="linear", align_corners=True)
    return mel + curve + LEVEL * torch.randn(len(mel), 1, 1, device=mel.device)


def _gated(mel: Tensor, frames: Tensor) -> Tensor:
    loudness = mel.mean(-1)
    inside = torch.arange(mel.shape[1], device=mel.device) < frames[:, None]
    loudest = loudness.masked_fill(~inside, -torch.inf).amax(1)
    chosen = torch.rand(len(mel), device=mel.device) < GATED
    quiet = chosen[:, None] & (loudness < (loudest - _between(5, 9, mel))[:, None])
    return mel.masked_fill(quiet[..., None], float(torch.tensor(FLOOR).log()))


def _masked(normal: Tensor, sizes: Tensor, longest: int, axis: int) -> Tensor:
    start = (torch.rand(len(normal), device=normal.device) * sizes)[:, None]
    length = (torch.rand(len(normal), device=normal.device) * longest)[:, None]
    places = torch.arange(normal.shape[axis], device=normal.device)
    inside = (places >= start) & (places < start + length)
    return normal.masked_fill(inside.unsqueeze(3 - axis), 0.0)
