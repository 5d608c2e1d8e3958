"""Write the ear as the package reads it: the encoder for CTranslate2, the head in half precision, and `head.json` with
the words and the SHA-256 of both.
"""

from __future__ import annotations

import io
import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np
import torch
from numpy.typing import NDArray
from torch import Tensor

from fieldvoice.ears.models import sha256
from fieldvoice.ears.reading_head.head import ENCODER, FACTS, WEIGHTS
from training.encoder import HEADS, LAYERS, PLACES, Encoder
from training.labels import Labels
from training.model import ENCODER_WIDTH, Head

_STUB_WIDTH = 8


TRAINED_ENCODER, TRAINED_HEAD = "trained_encoder.npz", "trained_head.npz"


def keep(encoder: Encoder, head: Head, folder: Path) -> None:
    """What was trained, in half precision, to be written for the package or trained on."""
    folder.mkdir(parents=True, exist_ok=True)
    parts = {f"encoder/{name}": value for name, value in encoder.parts.items()} | {PLACES: encoder.places}
    np.savez_compressed(folder / TRAINED_ENCODER, **_halves(parts))
    np.savez_compressed(folder / TRAINED_HEAD, **_halves(head.state_dict()))


def kept_head(folder: Path, labels: Labels) -> Head:
    """The head that was kept there, whose size its weights tell."""
    with np.load(folder / TRAINED_HEAD) as arrays:
        known = {name: torch.from_numpy(arrays[name].astype(np.float32)) for name in arrays.files}
    width, _, kernel = known["blocks.0.over_time.weight"].shape
    depth = len({name.split(".")[1] for name in known if name.startswith("blocks.")})
    head = Head(labels.other + 1, len(labels.phones) + 1, width, kernel, depth)
    head.load_state_dict(known)
    return head


def export(trained: Path, labels: Labels, folder: Path, facts: Mapping[str, object]) -> None:
    """From what was kept in `trained`, the package's files into `folder`; the phones, which only guide the training,
    stay behind. `facts` are kept beside the words.
    """
    with np.load(trained / TRAINED_HEAD) as arrays:
        head = {name: arrays[name] for name in arrays.files if not name.startswith("phones.")}
    buffer = io.BytesIO()
    np.savez_compressed(buffer, **head)
    write_encoder(Encoder(trained / TRAINED_ENCODER), folder / ENCODER)
    (folder / WEIGHTS).write_bytes(buffer.getvalue())
    body = {
        "sha256": sha256(folder / WEIGHTS),
        "encoder": {file.name: sha256(file) for file in sorted((folder / ENCODER).iterdir())},
        **facts,
        "words": sorted(labels.words, key=labels.words.__getitem__),
    }
    (folder / FACTS).write_text(json.dumps(body, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")


def _halves(values: Mapping[str, Tensor]) -> dict[str, Any]:
    return {name: value.detach().cpu().numpy().astype(np.float16) for name, value in values.items()}


def write_encoder(encoder: Encoder, folder: Path) -> None:
    """A CTranslate2 Whisper model with 8 bit weights, of which only the encoder is of use: its decoder is a stub, since
    the format wants one.
    """
    from ctranslate2.specs import WhisperSpec

    spec = WhisperSpec(num_encoder_layers=LAYERS, num_encoder_heads=HEADS, num_decoder_layers=1, num_decoder_heads=1)
    for name, value in encoder.parts.items():
        _set(spec, f"encoder/{name}", value.detach().cpu().numpy().copy())
    _set(spec, PLACES, encoder.places.cpu().numpy())
    for name, shape in _STUB.items():
        _set(spec, f"decoder/{name}", np.zeros(shape, np.float32))
    spec.register_vocabulary(["<|endoftext|>", "<|startoftranscript|>", "<unk>"])
    for unused in ("suppress_ids", "suppress_ids_begin", "alignment_heads", "lang_ids"):
        setattr(spec.config, unused, [])
    spec.validate()
    spec.optimize(quantization="int8")
    folder.mkdir(parents=True, exist_ok=True)
    spec.save(str(folder))


_STUB = {
    "embeddings/weight": (3, _STUB_WIDTH),
    "projection/weight": (3, _STUB_WIDTH),
    "position_encodings/encodings": (448, _STUB_WIDTH),
    "layer_norm/gamma": (_STUB_WIDTH,),
    "layer_norm/beta": (_STUB_WIDTH,),
    **{
        f"layer_0/{part}/layer_norm/{one}": (_STUB_WIDTH,)
        for part in ("self_attention", "attention", "ffn")
        for one in ("gamma", "beta")
    },
    "layer_0/self_attention/linear_0/weight": (3 * _STUB_WIDTH, _STUB_WIDTH),
    "layer_0/self_attention/linear_1/weight": (_STUB_WIDTH, _STUB_WIDTH),
    "layer_0/attention/linear_0/weight": (_STUB_WIDTH, _STUB_WIDTH),
    "layer_0/attention/linear_1/weight": (2 * _STUB_WIDTH, ENCODER_WIDTH),
    "layer_0/attention/linear_2/weight": (_STUB_WIDTH, _STUB_WIDTH),
    "layer_0/ffn/linear_0/weight": (4 * _STUB_WIDTH, _STUB_WIDTH),
    "layer_0/ffn/linear_1/weight": (_STUB_WIDTH, 4 * _STUB_WIDTH),
}


def _set(spec: Any, name: str, value: NDArray[np.float32]) -> None:
    """Sets a variable by its path, in which "layer_0" is the first of the list "layer"."""
    *path, last = name.split("/")
    for step in path:
        kind, _, number = step.rpartition("_")
        spec = getattr(spec, kind)[int(number)] if number.isdigit() and hasattr(spec, kind) else getattr(spec, step)
    setattr(spec, last, value)
