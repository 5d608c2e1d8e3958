"""The training objective: the log probability of what was said among all that might have been said (LF-MMI).

Both sides are hidden Markov models of phones whose first frame has one score and each further frame another. Numerator:
the graph of the text. Denominator: any phones, as `denominator` says they follow each other; a little of its
probability leaks at each frame to the usual places, so that no early decision is final. After D. Povey and others,
"Purely sequence-trained neural networks for ASR based on lattice-free MMI", Interspeech 2016, and H. Hadian and others,
"End-to-end speech recognition using lattice-free MMI", Interspeech 2018.

Forward and backward run over the whole batch at once, in probabilities that are scaled to sum to 1 at each frame; the
gradient is the difference of both sides' posteriors. At frames after a clip's end entering is impossible and staying
costs nothing, which leaves both sides as they are.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import torch
from torch import Tensor

from training.vosk_model.denominator import Denominator
from training.vosk_model.numerators import Numerators

LEAK = 0.1


def objective(scores: Tensor, frames: Tensor, said: Numerators, possible: Denominator) -> Tensor:
    """For each clip how likely its text makes the sound, over how likely all texts together make it, as a logarithm.

    How likely the text itself is stays out of it, being no matter of the scores, so that the highest value is above 0.
    `scores` (clips, most frames, 2 * phones) with `frames` of them real. A clip too short for its text gives 0 and has
    no gradient.
    """
    result = _Objective.apply(scores, frames, said, possible)
    assert isinstance(result, Tensor)
    return result


class _Objective(torch.autograd.Function):
    @staticmethod
    def forward(ctx: Any, scores: Tensor, frames: Tensor, said: Numerators, possible: Denominator) -> Tensor:
        entering, staying = _emissions(scores.detach(), frames)
        numerator = _numerator(entering.double(), staying.double(), said)
        everything = _denominator(entering, staying, possible)
        fits = torch.isfinite(numerator.log)
        ctx.save_for_backward(
            (numerator.posteriors - everything.posteriors) * _inside(scores, frames) * fits[:, None, None]
        )
        padding = scores.shape[1] - frames
        log = numerator.log - (everything.log - padding * torch.log1p(torch.tensor(LEAK)))
        return torch.where(fits, log, torch.zeros_like(log)).to(scores.dtype)

    @staticmethod
    def backward(ctx: Any, *gradients: Tensor) -> tuple[Tensor, None, None, None]:
        (posteriors,) = ctx.saved_tensors
        return posteriors * gradients[0][:, None, None], None, None, None


@dataclass(frozen=True, slots=True)
class _Side:
    """The log probability of each clip, and (clips, frames, 2 * phones) the posterior of each score's use."""

    log: Tensor
    posteriors: Tensor


def _inside(scores: Tensor, frames: Tensor) -> Tensor:
    places = torch.arange(scores.shape[1], device=scores.device)
    return (places < frames[:, None])[..., None].to(scores.dtype)


def _emissions(scores: Tensor, frames: Tensor) -> tuple[Tensor, Tensor]:
    """Entering and staying, each (frames, clips, phones), with 1 for the highest score of a frame: what is taken off is
    taken off both sides alike.
    """
    inside = _inside(scores, frames)
    highest = scores.amax(-1, keepdim=True)
    likely = (scores - highest).float().exp()
    entering = likely[..., 0::2] * inside
    staying = likely[..., 1::2] * inside + (1 - inside)
    return entering.transpose(0, 1).contiguous(), staying.transpose(0, 1).contiguous()


def _numerator(entering: Tensor, staying: Tensor, said: Numerators) -> _Side:
    """In double precision, since what is unlikely at one frame may be all that is left at the next."""
    most, clips, _ = entering.shape
    states = said.phones.shape[1]
    where = said.phones[None].expand(most, -1, -1)
    enter, stay = entering.gather(2, where), staying.gather(2, where)
    # One state more, always 0, stands for the neighbour that isn't there.
    at = entering.new_zeros(most, clips, states + 1)
    entered = entering.new_zeros(most, clips, states)
    scales = entering.new_ones(most, clips, 1)
    entered[0] = said.starts * enter[0]
    at[0, :, :-1] = entered[0]
    for frame in range(most):
        if frame:
            torch.mul(_from(at[frame - 1], said.sources), enter[frame], out=entered[frame])
            torch.addcmul(entered[frame], stay[frame], at[frame - 1, :, :-1], out=at[frame, :, :-1])
        torch.sum(at[frame], -1, keepdim=True, out=scales[frame])
        at[frame] /= scales[frame]
    entered /= scales
    end = (at[-1, :, :-1] * said.ends).sum(-1)
    after = entering.new_zeros(most, clips, states)
    after[-1] = said.ends / end[:, None]
    gone = entering.new_zeros(clips, states + 1)
    for frame in range(most - 1, 0, -1):
        scaled = after[frame] / scales[frame]
        torch.mul(enter[frame], scaled, out=gone[:, :-1])
        torch.addcmul(_from(gone, said.targets), stay[frame], scaled, out=after[frame - 1])
    enters = entered * after
    stays = at[..., :-1] * after - enters
    log = end.log() + scales.log().sum((0, 2))
    return _Side(log, _by_score(torch.nan_to_num(enters), torch.nan_to_num(stays), where, entering.shape[2]))


def _from(values: Tensor, neighbours: Tensor) -> Tensor:
    """For each state the sum over its neighbours."""
    clips, states, ways = neighbours.shape
    return values.gather(1, neighbours.view(clips, -1)).view(clips, states, ways).sum(-1)


def _by_score(enters: Tensor, stays: Tensor, where: Tensor, phones: int) -> Tensor:
    shape = (*enters.shape[:2], phones)
    sums = [enters.new_zeros(shape).scatter_add_(2, where, part) for part in (enters, stays)]
    return torch.stack(sums, -1).flatten(2).transpose(0, 1).float()


def _denominator(entering: Tensor, staying: Tensor, possible: Denominator) -> _Side:
    """States are pairs, kept as (phone now, clip, phone before) so that one batched product moves all of them on."""
    most, clips, phones = entering.shape
    enter, stay = (part.permute(0, 2, 1)[..., None] for part in (entering, staying))
    leak = LEAK * possible.usual[:, None, :]
    at = entering.new_zeros(most, phones, clips, phones)
    entered = torch.zeros_like(at)
    scales = entering.new_ones(most, 1, clips, 1)
    entered[0, :, :, 0] = possible.first[:, None] * enter[0, :, :, 0]
    at[0] = entered[0]
    for frame in range(most):
        if frame:
            before = at[frame - 1] + leak
            moved = torch.bmm(before, possible.follow)
            torch.mul(moved.permute(2, 1, 0), enter[frame], out=entered[frame])
            torch.addcmul(entered[frame], before, stay[frame], out=at[frame])
        torch.sum(at[frame], (0, 2), keepdim=True, out=scales[frame])
        at[frame] /= scales[frame]
    entered /= scales
    after = torch.ones_like(at)
    back = possible.follow.transpose(1, 2).contiguous()
    for frame in range(most - 1, 0, -1):
        scaled = after[frame] / scales[frame]
        moved = torch.bmm((scaled * enter[frame]).permute(2, 1, 0), back)
        value = torch.addcmul(moved, scaled, stay[frame])
        torch.add(value, (value * leak).sum((0, 2), keepdim=True), out=after[frame - 1])
    enters = (entered * after).sum(-1)
    stays = (at * after).sum(-1) - enters
    posteriors = torch.stack([enters, stays], -1).permute(2, 0, 1, 3).flatten(2)
    return _Side(scales.double().log().sum((0, 1, 3)), posteriors)
