"""The network: a time-delay network with bottlenecks and a stream that every block adds to.

Its forms are those that Kaldi's nnet3 knows (affine layers over a few neighbouring frames, rectifiers, sums), so that
it can be written out exactly. One output frame for three of the input.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Self

import torch
from torch import Tensor, nn

from training.vosk_model.features import BANDS

SUBSAMPLING = 3
FIRST_KERNEL = 7
KEPT = 0.66
"""The share of the stream that goes past a block."""


class Block(nn.Module):
    """Frames t-1 and t into a bottleneck, its frames t and t+1 out of it, added to the stream; in output frames."""

    def __init__(self, width: int, neck: int) -> None:
        super().__init__()
        self.narrow = nn.Conv1d(width, neck, 2, bias=False)
        self.widen = nn.Conv1d(neck, width, 2, bias=False)
        self.norm = nn.BatchNorm1d(width)

    def forward(self, stream: Tensor) -> Tensor:
        """(clips, width, frames) to two frames fewer."""
        return KEPT * stream[..., 1:-1] + torch.relu(self.norm(self.widen(self.narrow(stream))))


class Net(nn.Module):
    """Log mel energies to the scores of entering and of staying in each phone."""

    mean: Tensor
    deviation: Tensor

    def __init__(self, phones: int, width: int = 512, neck: int = 112, depth: int = 11) -> None:
        super().__init__()
        self.register_buffer("mean", torch.zeros(BANDS))
        self.register_buffer("deviation", torch.ones(BANDS))
        self.first = nn.Conv1d(BANDS, width, FIRST_KERNEL, stride=SUBSAMPLING, bias=False)
        self.norm = nn.BatchNorm1d(width)
        self.blocks = nn.ModuleList(Block(width, neck) for _ in range(depth))
        self.output = nn.Conv1d(width, 2 * phones, 1)

    @classmethod
    def of(cls, state: Mapping[str, Tensor], phones: int) -> Self:
        """A network with these weights, of whichever size they are."""
        neck, width, _ = state["blocks.0.narrow.weight"].shape
        net = cls(phones, width, neck, sum(name.endswith("narrow.weight") for name in state))
        net.load_state_dict(state)
        return net

    @property
    def context(self) -> int:
        """Input frames needed on either side of the one that an output frame stands for."""
        return FIRST_KERNEL // 2 + SUBSAMPLING * len(self.blocks)

    def normal(self, mel: Tensor) -> Tensor:
        """Each band around 0 with deviation 1 over the training data."""
        return (mel - self.mean) / self.deviation

    def forward(self, normal: Tensor, frames: Tensor) -> Tensor:
        """(clips, most frames, 40) of `frames` each to (clips, most frames / 3, 2 * phones), rounded up.

        Before a clip's start and after its end the edge frames are repeated, as Vosk repeats them. Output 2p is the
        score of entering phone p and 2p + 1 that of staying in it.
        """
        most = normal.shape[1]
        places = torch.arange(-self.context, most + self.context + SUBSAMPLING, device=normal.device)
        places = torch.minimum(places.clamp(min=0)[None], (frames - 1)[:, None])
        padded = normal.gather(1, places[..., None].expand(-1, -1, normal.shape[-1]))
        stream = torch.relu(self.norm(self.first(padded.transpose(1, 2))))
        for block in self.blocks:
            stream = block(stream)
        return self.output(stream).transpose(1, 2)[:, : (most + SUBSAMPLING - 1) // SUBSAMPLING]


def outputs_of(frames: Tensor) -> Tensor:
    """How many output frames so many input frames give."""
    return (frames + SUBSAMPLING - 1) // SUBSAMPLING
