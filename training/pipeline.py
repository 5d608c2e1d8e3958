"""From dry speech to a fitted head: mixed with noise by several processes, encoded on the device, trained."""

from __future__ import annotations

import random
import time
from collections.abc import Iterator, Sequence
from multiprocessing import Pool
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from training.corpus import Clip
from training.fit import Example
from training.mixing import Scene, draw_scene, on_site, site_noise
from training.noises import RATE, Noise, Wave
from training.splits import Split

_AT_ONCE = 64
_TALK = 40

Sound = NDArray[np.int16]
Noisy = tuple[str, Sound]


def noisy(clips: Sequence[Clip], split: Split, copies: int, processes: int, seed: int) -> Iterator[Noisy]:
    """Each clip in `copies` scenes of its split, and 4 clips of noise alone for 100 of speech, as (words, int16
    sound).
    """
    dice = random.Random(seed)  # noqa: S311 - a corpus, not a secret
    work = []
    for copy in range(copies):
        for start in range(0, len(clips), _AT_ONCE):
            talk = [clip.wave for clip in dice.sample(clips, min(_TALK, len(clips)))]
            work.append((clips[start : start + _AT_ONCE], talk, split, seed + 1_000_003 * copy + start))
    dice.shuffle(work)
    with Pool(processes) as pool:
        for made in pool.imap_unordered(_mix, work):
            yield from made


def _mix(work: tuple[Sequence[Clip], Sequence[Wave], Split, int]) -> list[Noisy]:
    clips, talk, split, seed = work
    dice = np.random.default_rng(seed)
    made = [(clip.text.words, _int16(on_site(clip.wave, draw_scene(dice), split, dice, talk))) for clip in clips]
    alone = [("", _int16(noise_alone(split, dice, talk))) for _ in range(1 + len(clips) // 25)]
    return [*made, *alone]


def noise_alone(split: Split, dice: np.random.Generator, talk: Sequence[Wave] = ()) -> NDArray[np.float32]:
    """0.7 to 4 s in which nobody says anything, at -10 to -45 dB; no radio talk in it unless `talk` is given for it."""
    scene: Scene = draw_scene(dice, 0.0)
    kinds = [kind for kind in scene.kinds if kind is not Noise.RADIO]
    sound = site_noise(int(dice.uniform(0.7, 4) * RATE), kinds, split, dice, talk)
    return np.asarray(np.clip(sound * 10 ** (-dice.uniform(10, 45) / 20), -1, 1), dtype=np.float32)


def _int16(sound: NDArray[np.float32]) -> Sound:
    return np.asarray(np.clip(sound, -1, 1) * 32_767, dtype=np.int16)


def encode(sounds: Iterator[Noisy], model: Path, device: str, at_once: int = 256) -> Iterator[Example]:
    """The encoder's frames of each sound, rounded as the ear's int8 rounds."""
    from training.encoder import Encoder

    encoder = Encoder(model, device, rounded=True)
    gathered: list[Noisy] = []

    def flush() -> Iterator[Example]:
        frames = encoder([sound.astype(np.float32) / 32_768 for _, sound in gathered])
        for (words, _), encoded in zip(gathered, frames, strict=True):
            yield Example(encoded, words)
        gathered.clear()

    for one in sounds:
        gathered.append(one)
        if len(gathered) == at_once:
            yield from flush()
    if gathered:
        yield from flush()


class Clock:
    """Prints what took how long."""

    def __init__(self) -> None:
        """Starts now."""
        self._start = time.monotonic()

    def say(self, what: str) -> None:
        """`what`, with the seconds since the start."""
        print(f"{time.monotonic() - self._start:6.0f} s  {what}", flush=True)
