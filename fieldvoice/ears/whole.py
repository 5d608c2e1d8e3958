"""An ear that reads the whole utterance at its end, from the encoder's vectors."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from time import perf_counter

import numpy as np

from fieldvoice.ears.encoder import Encoded, Encoder, fits
from fieldvoice.ears.sound import RATE, Frames, noise_db
from fieldvoice.records.hearing import Hearing

Reader = Callable[[Encoded, Frames], Hearing]
"""Makes words of an encoded utterance; the frames it was encoded from come along."""


class WholeEar:
    """A reader behind the ear protocol: words come at the end of the utterance, none while it is spoken.

    Several such ears may share an encoder: the second one to finish an utterance finds it encoded.
    """

    def __init__(self, name: str, encoder: Encoder, read: Reader) -> None:
        self.name = name
        self._encoder = encoder
        self._read = read
        self._heard: list[Frames] = []

    def reset(self) -> None:
        """Forgets what was fed since the last `finish`."""
        self._heard = []

    def feed(self, frames: Frames) -> str:
        """Takes the next samples; this ear has no words before the end."""
        self._heard.append(frames)
        return ""

    def finish(self) -> Hearing:
        """What was heard, best first; nothing where no speech was in it or where it ran on for more than 28 s."""
        started = perf_counter()
        frames = np.concatenate(self._heard) if self._heard else np.zeros(0, np.int16)
        self.reset()
        hearing = Hearing((), self.name)
        if len(frames) and fits(frames):
            hearing = self._read(self._encoder.encode(frames), frames)
        return replace(
            hearing,
            recognizer=self.name,
            encoder=self._encoder.name,
            audio_seconds=len(frames) / RATE,
            seconds=perf_counter() - started,
            noise_db=noise_db(frames),
        )
