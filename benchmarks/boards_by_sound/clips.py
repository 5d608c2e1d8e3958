"""What voices of no training say, synthesized once and kept in a folder outside the repository."""

from __future__ import annotations

import hashlib
import os
import random
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from training.noises import RATE, Wave
from training.splits import Split
from training.voices import Voice, speak, voices


def untrained_voices(names: Sequence[str] = ()) -> tuple[Voice, ...]:
    """Voices that no weight was fitted and no gate chosen on, as far as they are installed: those of these names, else
    all. Raises ValueError for a name that is none.
    """
    found = {voice.name: voice for voice in voices(Split.TEST)}
    if missing := [name for name in names if name not in found]:
        raise ValueError(f"No such voice here: {', '.join(missing)}. There are {', '.join(found)}.")
    return tuple(found[name] for name in names or found)


@dataclass(frozen=True, slots=True)
class Clips:
    """The clips of a folder, by voice and text; 16 kHz, the loud parts at a root mean square of 0.1."""

    folder: Path

    def say(self, voice: Voice, text: str, take: int = 0) -> Wave:
        """The text in that voice, each take at a tempo of its own. Raises ValueError where the voice says nothing."""
        name = hashlib.sha256(f"{voice.engine} {voice.name} {text} {take}".encode()).hexdigest()[:24]
        file = self.folder / f"{name}.npy"
        if not file.exists():
            sound = next(speak(voice, [text], random.Random(name)))  # noqa: S311 - a corpus, not a secret
            if sound is None:
                raise ValueError(f"{voice.name} says nothing for {text!r}.")
            self.folder.mkdir(parents=True, exist_ok=True)
            half = file.with_suffix(f".{os.getpid()}.npy")
            np.save(half, (np.clip(sound, -4, 4) * 8191).astype(np.int16))
            half.replace(file)  # another process may look for it meanwhile
        return np.asarray(np.load(file) / 8191)


def seconds(sound: Wave) -> float:
    """How long it lasts."""
    return len(sound) / RATE
