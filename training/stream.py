"""An endless stream of clips on noisy sites, mixed by several processes while the device trains on the last ones."""

from __future__ import annotations

import random
import threading
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from multiprocessing import get_context

import numpy as np
from numpy.typing import NDArray

from training.corpus import SHARES, Clip
from training.mixing import draw_scene, hurried, noise_alone, on_site
from training.noises import RATE, Machines, Noise, Recorded, Wave
from training.splits import Split, machines_of

CLIPS = 128
"""Utterances at once, of about one length; noise alone comes on top."""

_NOISE_ALONE = 6
_LONGEST = 10 * RATE
_SORTED_AT_ONCE = 8
_RADIO = 12


@dataclass(frozen=True, slots=True)
class Noisy:
    """Clips as a microphone takes them, padded to the longest: (clips, samples) of int16, their lengths in samples, and
    what is said in them.
    """

    sound: NDArray[np.int16]
    lengths: NDArray[np.int64]
    words: tuple[str, ...]


class _Mixer:
    """What each process has before it starts: the clips and the machines."""

    def __init__(self, clips: Sequence[Clip], machines: Machines) -> None:
        self.clips, self.machines = clips, machines

    def __call__(self, work: tuple[list[int], int]) -> Noisy:
        numbers, seed = work
        dice = np.random.default_rng(seed)
        talk = [self.clips[int(dice.integers(len(self.clips)))].wave for _ in range(_RADIO)]
        made = [self._mixed(self.clips[number].wave, dice, talk) for number in numbers]
        made += [self._wordless(dice, talk) for _ in range(_NOISE_ALONE)]
        words = (*(self.clips[number].text.words for number in numbers), *[""] * _NOISE_ALONE)
        lengths = np.array([min(len(one), _LONGEST) for one in made])
        sound = np.zeros((len(made), lengths.max()), np.int16)
        for row, one in zip(sound, made, strict=True):
            row[: len(one)] = (np.clip(one, -1, 1) * 32_767)[: len(row)]
        return Noisy(sound, lengths, words)

    def _mixed(self, speech: Wave, dice: np.random.Generator, talk: Sequence[Wave]) -> NDArray[np.float32]:
        if dice.random() < 0.7:
            speech = hurried(speech, dice)
        return on_site(speech, draw_scene(dice), Split.TRAIN, dice, talk, self.machines)

    def _wordless(self, dice: np.random.Generator, talk: Sequence[Wave]) -> Wave:
        """Noise alone, without radio talk, which would be words."""
        kinds = [kind for kind in draw_scene(dice, 0.0).kinds if kind is not Noise.RADIO]
        return noise_alone(kinds, Split.TRAIN, dice, talk, self.machines)


def _work(clips: Sequence[Clip], seed: int) -> Iterator[tuple[list[int], int]]:
    """Numbers of clips of about one length, the engines in their shares, without end."""
    dice = random.Random(seed)  # noqa: S311 - a corpus, not a secret
    by_engine: dict[str, list[int]] = {}
    for number, clip in enumerate(clips):
        by_engine.setdefault(clip.voice.engine, []).append(number)
    engines = sorted(by_engine)
    while True:
        drawn = dice.choices(engines, [SHARES[engine] for engine in engines], k=CLIPS * _SORTED_AT_ONCE)
        numbers = sorted((dice.choice(by_engine[engine]) for engine in drawn), key=lambda one: len(clips[one].sound))
        groups = [numbers[start : start + CLIPS] for start in range(0, len(numbers), CLIPS)]
        dice.shuffle(groups)
        yield from ((group, dice.randrange(1 << 30)) for group in groups)


_mixer: _Mixer | None = None


def _mix(work: tuple[list[int], int]) -> Noisy:
    assert _mixer is not None
    return _mixer(work)


@contextmanager
def streamed(clips: Sequence[Clip], processes: int, seed: int) -> Iterator[Iterator[Noisy]]:
    """An endless iterator, while the context lasts. Enter it before anything touches a GPU: the processes are forks."""
    global _mixer  # forked processes inherit it, where an argument would be copied to each
    _mixer = _Mixer(clips, Recorded(machines_of(Split.TRAIN), 8.0, seed))
    room = threading.Semaphore(3 * processes)
    stopped = threading.Event()

    def bounded() -> Iterator[tuple[list[int], int]]:
        for work in _work(clips, seed):
            room.acquire()
            if stopped.is_set():
                return
            yield work

    def given(results: Iterator[Noisy]) -> Iterator[Noisy]:
        for one in results:
            room.release()
            yield one

    with get_context("fork").Pool(processes) as pool:
        yield given(pool.imap_unordered(_mix, bounded()))
        stopped.set()
        room.release()
    _mixer = None
