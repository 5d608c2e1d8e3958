"""An ear that reads the whole utterance at its end, and in its pauses, from the encoder's vectors; and the reading
ear, which is one: an encoder and a head trained on tape readings, decoded inside the language.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from time import perf_counter

import numpy as np

from fieldvoice.ears.encoder import Encoded, Encoder, bare_columns, fits
from fieldvoice.ears.personal import Change, applied
from fieldvoice.ears.reading_head.head import ReadingHead, encoder_folder
from fieldvoice.ears.sound import RATE, Frames, above_noise_db, noise_db
from fieldvoice.records.hearing import EarKind, Hearing, WordNetwork

Reader = Callable[[Encoded, Frames], tuple[Hearing, float]]
"""Makes words of an encoded utterance, and says how likely it is that nobody spoke, 0 where it can't tell; the frames
that it was encoded from come along.
"""

_QUIET: Frames = np.zeros(round(0.3 * RATE), np.int16)
"""Put around all that is looked at: speech that begins or breaks off at once sounds like another's, far off, which
counts as noise. Of 38 single words by people that were cut close, the likeliest meaning was right 18 times without it
and 30 times with it; of 60 digits at 8 kHz 10 and 40 times; half as much does the same. Of 44 seconds from the middle
of calls 27 were taken for silence without it, none with it.
"""
SURE_ENOUGH = 0.35
"""The least probability of words that `so_far` tells."""
SILENT = 0.5
"""The least probability of silence that counts as it, of a whole utterance."""
SURELY_SILENT, FADE_SECONDS = 0.9, 0.2
"""The same of a piece of sound, and how its ends are faded: cut out of the middle of a call it sounds to the ear like a
radio's talk, which is noise. Of 31 seconds out of calls at 10 dB 23 were taken for silence unfaded from 0.5 on, one so;
of 20 of machines alone 18 and 17. Of people's 42 in quiet 16 and none.
"""


class WholeEar:
    """A reader behind the ear protocol: words come in a pause or at the end of the utterance, none while it is spoken.
    `silence` says how likely it is that nobody spoke, where this reader can tell; `unheard` names the words of the job
    that it can't hear.
    """

    def __init__(
        self,
        name: str,
        kind: EarKind,
        encoder: Encoder,
        read: Reader,
        silence: Callable[[Encoded], float] | None = None,
        unheard: tuple[str, ...] = (),
    ) -> None:
        self.name = name
        self.kind = kind
        self._encoder = encoder
        self._read = read
        self._silence = silence
        self.unheard = unheard
        self._heard: list[Frames] = []
        self._known: tuple[Hearing, float] | None = None

    def reset(self) -> None:
        """Forgets what was fed since the last `finish`."""
        self._heard = []
        self._known = None

    def feed(self, frames: Frames) -> str:
        """Takes the next samples; this ear has no words before a pause."""
        if len(frames):
            self._heard.append(frames)
            self._known = None
        return ""

    def so_far(self) -> str:
        """The words that would be heard if the utterance ended here; where it does end here, they aren't read again."""
        best = self._now(self._frames())[0].hypotheses[:1]
        return best[0].words if best and best[0].probability >= SURE_ENOUGH else ""

    def silent(self, frames: Frames | None = None) -> bool:
        """Whether most likely nobody speaks in these samples, or else in all that was fed."""
        if self._silence is None:
            return False
        if frames is None:
            return self._now(self._frames())[1] > SILENT
        return fits(frames) and self._silence(self._encoder.encode(in_quiet(_faded(frames)))) > SURELY_SILENT

    def finish(self) -> Hearing:
        """What was heard, best first; nothing where no speech was in it or where it ran on for more than 28 s."""
        started = perf_counter()
        frames = self._frames()
        hearing, _ = self._now(frames)
        self.reset()
        return replace(
            hearing,
            recognizer=self.name,
            kind=self.kind,
            encoder=self._encoder.name,
            audio_seconds=len(frames) / RATE,
            seconds=perf_counter() - started,
            noise_db=noise_db(frames),
            above_noise_db=above_noise_db(frames),
        )

    def _frames(self) -> Frames:
        return np.concatenate(self._heard) if self._heard else np.zeros(0, np.int16)

    def _now(self, frames: Frames) -> tuple[Hearing, float]:
        """What is heard in all that was fed, read once. In nothing nobody speaks; in what is too long somebody may."""
        if self._known is None:
            if len(frames) and fits(frames):
                self._known = self._read(self._encoder.encode(in_quiet(frames)), frames)
            else:
                self._known = Hearing((), self.name), float(not len(frames))
        return self._known


def in_quiet(frames: Frames) -> Frames:
    """An utterance as the encoders are shown it: cut close it would be heard worse."""
    return np.concatenate([_QUIET, frames, _QUIET])


def _faded(frames: Frames) -> Frames:
    """A piece of sound with ends that come and go as words do."""
    size = min(round(FADE_SECONDS * RATE), len(frames) // 2)
    rising = (1 - np.cos(np.pi * np.arange(size) / max(size, 1))) / 2
    gain = np.concatenate([rising, np.ones(len(frames) - 2 * size), rising[::-1]])
    return np.asarray(gain * frames).astype(np.int16)


def reading_ear(
    words: Sequence[str], language: Callable[[], WordNetwork], change: Change | None = None, threads: int = 2
) -> WholeEar:
    """The encoder and the head that come with fieldvoice, changed for one person's voice where that is given.
    `language` is asked at each utterance for the network of what may be said then: a job's unit can change.

    Words that it wasn't trained on it can't hear: they are named in the ear's `unheard`. Raises NotHere where a file is
    missing or damaged.
    """
    head = applied(ReadingHead.load(), change)

    def read(encoded: Encoded, _frames: Frames) -> tuple[Hearing, float]:
        found = head.decode(encoded.vectors, head.network(language()))
        return Hearing(found.hypotheses, ""), found.silence

    def silence(encoded: Encoded) -> float:
        return head.silence(encoded.vectors)

    whose = " (your voice)" if change is not None else ""
    return WholeEar(
        f"reading{whose}", EarKind.READING, reading_encoder(threads), read, silence, unheard=head.missing(words)
    )


def reading_encoder(threads: int = 2) -> Encoder:
    """The encoder that was trained with the head. Raises NotHere where its files are missing or damaged."""
    return Encoder(encoder_folder(), "reading", bare_columns, threads)
