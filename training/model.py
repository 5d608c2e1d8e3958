"""The head in torch. Its parameters carry the names that `fieldvoice.ears.reading_head.layers` reads."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
import torch
from numpy.typing import NDArray
from torch import Tensor, nn

ENCODER_WIDTH = 384


class Block(nn.Module):
    """Each channel over neighboring frames, then all channels at one frame."""

    def __init__(self, width: int, kernel: int, drop: float) -> None:
        super().__init__()
        self.norm = nn.LayerNorm(width)
        self.over_time = nn.Conv1d(width, width, kernel, padding=kernel // 2, groups=width)
        self.widen = nn.Linear(width, 2 * width)
        self.narrow = nn.Linear(2 * width, width)
        self.drop = nn.Dropout(drop)

    def forward(self, x: Tensor, inside: Tensor) -> Tensor:
        """(clips, frames, width) to the same; beyond a clip's end the filters see zeros, as they do in the ear."""
        mixed = self.over_time((self.norm(x) * inside).transpose(1, 2)).transpose(1, 2)
        wide = nn.functional.gelu(self.widen(mixed), approximate="tanh")
        return x + self.drop(self.narrow(wide))


class Head(nn.Module):
    """Log-probabilities of words, and of phones, which only guide the training."""

    def __init__(
        self, words: int, phones: int, width: int = 192, kernel: int = 11, depth: int = 3, drop: float = 0.1
    ) -> None:
        super().__init__()
        self.input_norm = nn.LayerNorm(ENCODER_WIDTH)
        self.input = nn.Linear(ENCODER_WIDTH, width)
        self.blocks = nn.ModuleList(Block(width, kernel, drop) for _ in range(depth))
        self.output_norm = nn.LayerNorm(width)
        self.words = nn.Linear(width, words)
        self.phones = nn.Linear(width, phones)
        self.drop = nn.Dropout(drop)

    def forward(self, x: Tensor, inside: Tensor) -> tuple[Tensor, Tensor]:
        """(clips, frames, 384), and (clips, frames, 1) that is 1 inside a clip and 0 in its padding."""
        x = self.drop(self.input(self.input_norm(x)))
        for block in self.blocks:
            x = block(x, inside)
        x = self.output_norm(x)
        return self.words(x).log_softmax(-1), self.phones(x).log_softmax(-1)


def begun(head: Head, weights: Mapping[str, NDArray[np.float32]], old: Sequence[str], new: Sequence[str]) -> Head:
    """The head with the weights of an earlier one, whose words were `old`, for the words `new`; what it has no weight
    for (new words, the phones) stays as it is. The last row of each is any other word, the first the blank.
    """
    state = head.state_dict()
    rows = {word: row for row, word in enumerate(["", *old, " "])}
    for name, value in weights.items():
        if not name.startswith("words."):
            state[name] = torch.from_numpy(value)
            continue
        for row, word in enumerate(["", *new, " "]):
            if word in rows:
                state[name][row] = torch.as_tensor(value[rows[word]])
    # A word that was never heard begins as unlikely as any: else it would be heard in all.
    new_rows = [row for row, word in enumerate(["", *new, " "]) if word not in rows]
    state["words.bias"][new_rows] = float(weights["words.bias"].min())
    head.load_state_dict(state)
    return head


@torch.no_grad()
def drawn_together(one: nn.Module, other: nn.Module, share: float) -> None:
    """Of the weights of `one` so large a share stays; the rest is taken from the like of `other`."""
    for mine, theirs in zip(one.parameters(), other.parameters(), strict=True):
        mine.lerp_(theirs, 1 - share)
