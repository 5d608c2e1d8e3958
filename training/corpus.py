"""Dry speech of a split, kept in one file: sound, words, what kind of text it is and the voice."""

from __future__ import annotations

import functools
import io
import json
import random
import time
import zipfile
from collections.abc import Container, Iterable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from multiprocessing import Pool
from pathlib import Path
from typing import Self

import numpy as np
import soundfile
from numpy.typing import NDArray

from training.noises import RATE, Wave
from training.splits import Split
from training.texts import Said, Text, Texts
from training.voices import Voice, speak, voices

# Shares of the engines' clips: neural voices are nearest to people, formant voices the most varied.
SHARES = {"kokoro": 0.5, "hibari": 0.2, "piper": 0.3, "flite": 0.2, "festival": 0.17, "espeak": 0.35, "people": 0.3}
_AT_ONCE = 12
SCALE = 8_000
"""What is 1.0 in a clip, whose active parts have a root mean square of 0.1."""
_TOGETHER = 100


@dataclass(frozen=True, slots=True)
class Clip:
    """One text said by one voice, dry, at 16 kHz (int16 of 1/8000)."""

    text: Text
    voice: Voice
    sound: NDArray[np.int16]

    @property
    def wave(self) -> Wave:
        """The sound as float, its active parts at 0.1 root mean square."""
        return self.sound.astype(np.float64) / SCALE


@dataclass(frozen=True, slots=True)
class Corpus:
    """The clips of one split."""

    clips: tuple[Clip, ...]

    def save(self, path: Path, processes: int = 1) -> None:
        """Write all to one zip: their facts, and Ogg Vorbis recordings (some 21 kbit/s) of `_TOGETHER` clips each."""
        parts = [self.clips[start : start + _TOGETHER] for start in range(0, len(self.clips), _TOGETHER)]
        with zipfile.ZipFile(path, "w") as file, ProcessPoolExecutor(processes) as pool:
            file.writestr("facts.json", json.dumps([_facts(clip) for clip in self.clips]))
            for number, sound in enumerate(pool.map(_packed, [[clip.sound for clip in part] for part in parts])):
                file.writestr(f"{number:05}.ogg", sound)

    @classmethod
    def load(cls, path: Path) -> Self:
        """Read what `save` wrote."""
        with zipfile.ZipFile(path) as file:
            facts = json.loads(file.read("facts.json"))
            names = sorted(name for name in file.namelist() if name.endswith(".ogg"))
            sounds = [soundfile.read(io.BytesIO(file.read(name)), dtype="int16")[0] for name in names]
        parts = np.split(np.concatenate(sounds), np.cumsum([fact[-1] for fact in facts])[:-1])
        return cls(tuple(_clip(fact, part) for fact, part in zip(facts, parts, strict=True)))


def clips_of(files: Iterable[Path]) -> list[Clip]:
    """The clips of several files together."""
    return [clip for file in files for clip in Corpus.load(file).clips]


def _packed(sounds: Sequence[NDArray[np.int16]]) -> bytes:
    packed = io.BytesIO()
    kind = {"format": "OGG", "subtype": "VORBIS", "compression_level": 0.95}
    with soundfile.SoundFile(packed, "w", RATE, 1, **kind) as file:
        # One by one: the encoder's stack overflows, and the process with it, when it is given some minutes at once.
        for sound in sounds:
            file.write(sound)
    return packed.getvalue()


def _facts(clip: Clip) -> list[object]:
    voice = clip.voice
    return [clip.text.said, clip.text.words, voice.engine, voice.name, voice.split, len(clip.sound)]


def _clip(fact: Sequence[str], sound: NDArray[np.int16]) -> Clip:
    said, words, engine, name, split, _ = fact
    return Clip(Text(Said(said), words), Voice(engine, name, Split(split)), sound)


@dataclass(frozen=True, slots=True)
class Order:
    """Texts for one voice to say."""

    voice: Voice
    texts: tuple[Text, ...]
    seed: int


def orders(texts: Texts, split: Split, clips: int, seed: int, engines: Container[str] = SHARES) -> list[Order]:
    """About `clips` texts shared out among the voices of a split, in random order; reproducible by its seed."""
    dice = random.Random(seed)  # noqa: S311 - a corpus, not a secret
    by_engine: dict[str, list[Voice]] = {}
    for voice in voices(split):
        if voice.engine not in engines:
            continue
        by_engine.setdefault(voice.engine, []).append(voice)
    whole = sum(SHARES[engine] for engine in by_engine)
    made = []
    for engine, speakers in by_engine.items():
        for _ in range(round(clips * SHARES[engine] / whole / _AT_ONCE)):
            drawn = tuple(texts.draw(dice, split) for _ in range(_AT_ONCE))
            made.append(Order(dice.choice(speakers), drawn, dice.randrange(1 << 30)))
    dice.shuffle(made)
    return made


def say(order: Order, device: str = "cpu") -> list[Clip]:
    """The clips of an order; texts that come out longer than 9 s or not at all are dropped."""
    dice = random.Random(order.seed)  # noqa: S311 - a corpus, not a secret
    sounds = speak(order.voice, [text.words for text in order.texts], dice, device)
    return [
        Clip(text, order.voice, (np.clip(sound, -4, 4) * SCALE).astype(np.int16))
        for text, sound in zip(order.texts, sounds, strict=True)
        if sound is not None and 1_600 < len(sound) < 9 * 16_000
    ]


def synthesize(work: Sequence[Order], processes: int, seconds: float, device: str = "cpu") -> Iterator[Clip]:
    """The clips of all orders, by several processes; stops early once `seconds` are over."""
    end = time.monotonic() + seconds
    with Pool(processes) as pool:
        for clips in pool.imap_unordered(functools.partial(say, device=device), work):
            yield from clips
            if time.monotonic() > end:
                return
