"""The sounds of a split that people make: their calls and other words, as recorded, cut close and in real noise.

They are read from what `python -m training people` keeps, which is never in the repository. Nobody in a split is in
another one.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Self

import numpy as np

from benchmarks.hearing.corpus import Item, Kind, understood
from fieldvoice.ears.sound import RATE, Frames
from training.corpus import Clip, Corpus
from training.mixing import as_frames
from training.noises import Wave, speech_power
from training.people import cut_close, in_its_own_quiet, kept_sounds
from training.splits import Split

CLOSE = "people, cut close"
LEVELS: dict[str, float | None] = {
    "people, clean": None,
    CLOSE: None,
    "people, 20 dB": 20.0,
    "people, 10 dB": 10.0,
    "people, 5 dB": 5.0,
}
"""Cut close there is nothing around the words, as with a talk key; noise is one real sound, over the words."""
_MOST_DIGITS = 60
"""Of a person: the spoken digits would outweigh all others."""
_NOISES = 100
_PEAK_DB = (1.0, 20.0)


@dataclass(frozen=True, slots=True)
class PeopleSounds:
    """A split's recordings, from which every item's sound is made when it is asked for."""

    split: Split
    clips: tuple[Clip, ...]
    real: tuple[Wave, ...]

    @classmethod
    def load(cls, folder: Path, split: Split) -> Self:
        """What was kept in the folder, with so many digits of a person as are measured."""
        dice = random.Random(split)  # noqa: S311 - a corpus, not a secret
        clips = list(Corpus.load(folder / f"people_{split}.corpus").clips)
        dice.shuffle(clips)
        counted: Counter[str] = Counter()
        kept = []
        for clip in clips:
            counted[clip.voice.name] += 1
            if not clip.voice.name.startswith("digits") or counted[clip.voice.name] <= _MOST_DIGITS:
                kept.append(clip)
        return cls(split, tuple(kept), tuple(kept_sounds(folder / f"sounds_{split}.ogg")))

    def facts(self) -> dict[str, Any]:
        """Who is in it."""
        people = Counter(clip.voice.name.split()[0] for clip in self.clips)
        speakers = Counter(name.split()[0] for name in {clip.voice.name for clip in self.clips})
        return {"split": self.split, "clips": dict(people), "people": dict(speakers), "real sounds": len(self.real)}

    def items(self) -> Iterator[tuple[Item, int]]:
        """Calls at every level, all else at one in turn, then real noise alone; with the number that each is drawn
        by.
        """
        for at, level in enumerate(LEVELS):
            for number, clip in enumerate(self.clips):
                call = understood(clip.text.words)
                if call or number % len(LEVELS) == at:
                    kind = Kind.CALL if call else Kind.TALK
                    key = f"{kind}-{number}-{at}"
                    yield Item(key, kind, level, clip.text.words, clip.voice.name), number * len(LEVELS) + at
        for number in range(_NOISES):
            yield Item(f"noise-{number}", Kind.NOISE, "noise", "", ""), 1_000_000 + number

    def frames(self, item: Item, drawn_by: int) -> Frames:
        """An item's sound, its peak at -1 to -20 dB."""
        dice = random.Random(f"{self.split} {drawn_by}")  # noqa: S311 - a corpus, not a secret
        peak = 10 ** (-dice.uniform(*_PEAK_DB) / 20)
        if item.kind is Kind.NOISE:
            sound = self._noise(round(dice.uniform(1, 4) * RATE), dice)
        else:
            sound = self._said(self.clips[int(item.key.split("-")[1])].wave, item.level, dice)
        return as_frames(sound / (np.abs(sound).max() + 1e-9) * peak)

    def _said(self, wave: Wave, level: str, dice: random.Random) -> Wave:
        if level == CLOSE:
            return cut_close(wave)
        sound, snr = in_its_own_quiet(wave, dice), LEVELS[level]
        if snr is None:
            return sound
        return sound + speech_power(wave) * 10 ** (-snr / 20) * self._noise(len(sound), dice)

    def _noise(self, samples: int, dice: random.Random) -> Wave:
        """A stretch of one real sound at unit power."""
        sound = dice.choice(self.real)
        piece: Wave = np.resize(np.roll(sound, -dice.randrange(len(sound))), samples)
        piece /= piece.std() + 1e-9
        return piece
