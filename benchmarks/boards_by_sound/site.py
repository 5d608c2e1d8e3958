"""The wall: what a microphone brings while a hanger calls, fieldvoice answers, and the site goes on around them."""

from __future__ import annotations

from collections.abc import Generator, Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from fieldvoice.ears.sound import MISSING, RATE, Frames, HighPass
from fieldvoice.records.hearing import Hearing
from training.mixing import CLEAN_SNR, as_frames, draw_scene, site_noise
from training.noises import Dice, Wave, echo
from training.people import real_sounds
from training.splits import Split, machines_of

BLOCK = RATE // 10
REACTION_SECONDS = 0.7
"""From the end of an answer to the hanger's next word (our own figure)."""
PATIENCE_SECONDS = 4.5
"""So long the hanger waits for any answer before saying it again (our own figure)."""
_BED_SECONDS = 30
_PLACES = ("002 - Rain", "005 - Clock tick", "007 - Helicopter", "008 - Chainsaw", "001 - Dog bark")
"""Of the folders of real sounds, those that a site has."""

Heard = tuple[Hearing, ...] | None
"""An utterance as the ears took it; None where nothing was answered."""
Talk = Generator[Wave, Heard, None]
"""A hanger: says something, is told what was heard of it."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where a board is called: noise at unit power, how far the words stand above it in dB, and the room's number, if
    it echoes.
    """

    name: str
    bed: Wave
    snr: float
    room: int | None

    def said(self, speech: Wave) -> Wave:
        """Speech as it comes to the microphone."""
        return speech if self.room is None else echo(speech, self.room)


def place(snr: float | None, real: Path | None, dice: Dice) -> Place:
    """A place with noise of machines of no training, or real sounds of none, at that SNR; None is clean."""
    samples = _BED_SECONDS * RATE
    room = int(dice.choice(machines_of(Split.TEST))) if dice.random() < 0.5 else None
    if snr is None:
        return Place("clean", dice.standard_normal(samples), CLEAN_SNR, room)
    if real is not None and dice.random() < 0.5:
        name = str(dice.choice(_PLACES))
        sounds = real_sounds(real, Split.TEST, name)
        sound = sounds[int(dice.integers(len(sounds)))]
        return Place(name.partition(" - ")[2].lower(), np.resize(sound, samples), snr, room)
    kinds = draw_scene(dice, snr).kinds
    return Place(" + ".join(kinds), site_noise(samples, kinds, Split.TEST, dice), snr, room)


class Wall:
    """The microphone's blocks while `talk` goes on; `heard` is told each utterance that the ears made of them."""

    def __init__(self, where: Place, talk: Talk) -> None:
        self._where, self._talk = where, talk
        self._at = 0
        self._filter = HighPass()
        self._results: list[tuple[Hearing, ...]] = []
        self.waited = 0.0
        """Seconds from the end of the words to what was heard of them, in all."""

    def heard(self, hearings: tuple[Hearing, ...]) -> None:
        """What the ears made of the blocks so far."""
        self._results.append(hearings)

    def blocks(self) -> Iterator[Frames]:
        """Until the talk is over. After each answer the sound of it is missing, as in a live session."""
        yield from self._around(1.0)
        try:
            speech = next(self._talk)
            while True:
                yield from self._spoken(speech)
                answered: Heard = self._results.pop(0) if self._results else None
                self._results.clear()
                speech = self._talk.send(answered)
                if answered is not None:
                    yield MISSING
                yield from self._around(REACTION_SECONDS)
        except StopIteration:
            return

    def _spoken(self, speech: Wave) -> Iterator[Frames]:
        """The words, and what is around behind them until something was heard or the hanger gives up waiting."""
        loud = self._where.said(speech)
        quiet = np.zeros(BLOCK)
        for at in range(0, len(loud), BLOCK):
            yield self._block(loud[at : at + BLOCK])
            if self._results:
                return
        for waited in range(round(PATIENCE_SECONDS * RATE / BLOCK)):
            yield self._block(quiet)
            if self._results:
                self.waited += (waited + 1) * BLOCK / RATE
                return
        self.waited += PATIENCE_SECONDS

    def _around(self, seconds: float) -> Iterator[Frames]:
        for _ in range(round(seconds * RATE / BLOCK)):
            yield self._block(np.zeros(BLOCK))

    def _block(self, speech: Wave) -> Frames:
        bed = np.take(self._where.bed, range(self._at, self._at + len(speech)), mode="wrap")
        self._at += len(speech)
        return self._filter(as_frames(speech + _LEVEL * 10 ** (-self._where.snr / 20) * bed))


_LEVEL = 0.1
"""The root mean square that all voices speak at."""
