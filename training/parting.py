"""Utterances of people cut into their words, so that lone digits and lone words that are no call are learned from more
people than have said any.

An ear that is there finds where each word of what was said is heard; the cut is made at the quietest place between two.
Words that run into each other are left out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from training.corpus import SCALE, Clip
from training.labels import BLANK
from training.mixing import as_frames
from training.noises import RATE, Wave
from training.texts import Said, Text

Scores = NDArray[np.float64]
"""(frames, labels): logarithms of each frame's distribution."""
FRAME = RATE // 50
_QUIET = RATE // 50
"""The quietest stretch of so many samples is where two words are parted."""
_APART_DB = 14.0
"""So far below the words on either side it must lie."""
_SHORTEST, _OF_A_LETTER, _LONGEST = 0.18, 0.045, 1.5
"""Seconds of a word, and of each of its letters: what is shorter was cut within the word."""
_SAME_SOUND = {"I": "i", "U": "you", "R": "are", "B": "be"}
"""Letters whose name is a word that the ear knows."""


def places(scores: Scores, labels: Sequence[int]) -> list[tuple[int, int]]:
    """In which frames each label is heard, first and last, on the likeliest way of them through the frames."""
    path = [BLANK, *(one for label in labels for one in (label, BLANK))]
    wanted = np.array(path)
    reached = np.full(len(path), -np.inf)
    reached[:2] = scores[0, wanted[:2]]
    from_where = np.zeros((len(scores), len(path)), dtype=np.int64)
    jumps = np.array([at > 1 and path[at] not in (BLANK, path[at - 2]) for at in range(len(path))])
    for frame in range(1, len(scores)):
        ways = np.stack([reached, np.r_[-np.inf, reached[:-1]], np.r_[-np.inf, -np.inf, reached[:-2]]])
        ways[2, ~jumps] = -np.inf
        from_where[frame] = ways.argmax(axis=0)
        reached = ways.max(axis=0) + scores[frame, wanted]
    at = len(path) - 1 if len(path) < 2 or reached[-1] >= reached[-2] else len(path) - 2
    frames: list[list[int]] = [[] for _ in labels]
    for frame in range(len(scores) - 1, -1, -1):
        if at % 2:
            frames[at // 2].append(frame)
        at -= int(from_where[frame, at])
    return [(min(one), max(one)) if one else (-1, -1) for one in frames]


def parted(clips: Sequence[Clip]) -> Iterator[Clip]:
    """The words that stand apart in utterances of several, as the ear of the package hears where they are."""
    from fieldvoice.ears.reading_head.head import ReadingHead
    from fieldvoice.ears.whole_utterance import reading_encoder

    head, encoder = ReadingHead.load(), reading_encoder()
    quiet = np.zeros(_AROUND * FRAME)

    def heard(wave: Wave) -> Scores:
        leveled = np.concatenate([quiet, wave, quiet]) / (np.abs(wave).max() + 1e-9)
        scores = head.log_probabilities(encoder.encode(as_frames(0.5 * leveled)).vectors)
        return scores[_AROUND : _AROUND + -(-len(wave) // FRAME)]

    for clip in clips:
        yield from words_apart(
            clip, heard, [head.labels.get(one, len(head.labels) + 1) for one in clip.text.words.split()]
        )


_AROUND = 15
"""Frames of no sound before and after an utterance, as the ear puts them there."""


def words_apart(clip: Clip, heard: Callable[[Wave], Scores], spelled: Sequence[int]) -> Iterator[Clip]:
    """Each word of the clip that stands apart from its neighbors, as a clip of its own; `spelled` are its labels."""
    wave, words = clip.wave, clip.text.words.split()
    found = places(heard(wave), spelled)
    if len(words) < 2 or any(first < 0 for first, _ in found):
        return
    cuts = [0, *(_quietest(wave, one[1], other[0]) for one, other in pairwise(found)), len(wave)]
    loud = [_level(wave[start:end]) for start, end in pairwise(cuts)]
    apart = [True, *(_apart(wave, cut, min(loud[at : at + 2])) for at, cut in enumerate(cuts[1:-1])), True]
    for at, word in enumerate(words):
        sound = wave[cuts[at] : cuts[at + 1]]
        long_enough = max(_SHORTEST, _OF_A_LETTER * len(word)) < len(sound) / RATE < _LONGEST
        if apart[at] and apart[at + 1] and long_enough:
            text = Text(Said.TALK, _SAME_SOUND.get(word, word))
            yield Clip(text, clip.voice, (np.clip(sound, -4, 4) * SCALE).astype(np.int16))


def _quietest(wave: Wave, first: int, last: int) -> int:
    """The middle of the quietest stretch between two frames."""
    start, end = first * FRAME, max(first + 2, last + 1) * FRAME
    power = np.convolve(wave[start:end] ** 2, np.ones(_QUIET) / _QUIET, "valid")
    return start + int(power.argmin()) + _QUIET // 2 if len(power) else start


def _level(sound: Wave) -> float:
    """Of its loudest 20 ms, in dB."""
    power = np.convolve(sound**2, np.ones(_QUIET) / _QUIET, "valid") if len(sound) >= _QUIET else sound**2
    return float(10 * np.log10(power.max(initial=0.0) + 1e-10))


def _apart(wave: Wave, cut: int, loud: float) -> bool:
    around = wave[max(0, cut - _QUIET // 2) : cut + _QUIET // 2]
    return float(10 * np.log10(np.mean(around**2) + 1e-10)) < loud - _APART_DB
