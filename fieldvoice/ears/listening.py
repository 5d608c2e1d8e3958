"""From blocks of sound to hearings: what runs while a person speaks, and the same over a recording."""

from __future__ import annotations

import ctypes
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np

from fieldvoice.ears import hear
from fieldvoice.ears.ear import Ear
from fieldvoice.ears.endpoint import Endpointer, Patience
from fieldvoice.ears.sound import MISSING, RATE, Frames, clipped_share
from fieldvoice.ears.talk_key import KeyHeld, addressed, outlook_after
from fieldvoice.ears.wav import read_wav, stream_wav, wav_seconds
from fieldvoice.errors import BadInput
from fieldvoice.records.hearing import Hearing, Outlook
from fieldvoice.records.trouble import Trouble, Wrong


@dataclass(frozen=True, slots=True)
class Moment:
    """What the microphone brings now: whether an utterance runs, its words so far as one recognizer has them (often
    none before its end), and the running level of the noise in dB of full scale.
    """

    speaking: bool
    words: str
    noise_db: float


@dataclass(frozen=True, slots=True)
class Listening:
    """How to listen. `outlook` says of words whether more may follow them; how long a pause may be hangs on it.

    `muted` is asked before each block: true while the assistant itself speaks. `held` is the push-to-talk key, None for
    an open microphone. `wake`, where given, must begin an utterance. `enough` says of the hearings of the first ears
    whether the others need not hear it too. `moment` is shown what each block brought; `sound` is handed the whole
    sound of each utterance before its hearings are.
    """

    outlook: Callable[[str], Outlook] = lambda _: Outlook.MAY_GO_ON
    muted: Callable[[], bool] = lambda: False
    held: Callable[[], bool] | None = None
    wake: str | None = None
    enough: Callable[[Sequence[Hearing], Sequence[Ear]], bool] = lambda _hearings, _others: False
    moment: Callable[[Moment], None] = lambda _: None
    sound: Callable[[Frames], None] | None = None


def listen(
    blocks: Iterable[Frames], ears: Sequence[Ear], options: Listening = Listening()
) -> Iterator[tuple[Hearing, ...]]:
    """Each utterance as the ears took it, in their order, for as long as blocks come. Memory stays bounded.

    The block `MISSING` says that sound is: what had begun is forgotten, and the rest of it isn't taken either.
    """
    taker = KeyHeld(options.held) if options.held else Endpointer()
    running = _Running(ears, options)
    for block in blocks:
        if options.muted() or block is MISSING:
            taker.interrupted()
            running.forget()
            continue
        for cut in taker.take(block, running.outlook, running.silent):
            running.feed(cut.frames)
            if cut.ended:
                if hearings := running.finish():
                    yield hearings
                _give_back()
        options.moment(Moment(taker.speaking, running.words, taker.noise_db))


def _give_back() -> None:
    """Memory that an utterance took goes back to the system, where the C library can be told so (glibc): otherwise its
    heap is full of holes after some, and stands 80 MB higher. 5 ms, when all that was heard has been answered.
    """
    if (trim := _trim()) is not None:
        trim(0)


@cache
def _trim() -> Callable[[int], int] | None:
    try:
        found: Callable[[int], int] = ctypes.CDLL(None).malloc_trim
    except (OSError, TypeError, AttributeError):  # no C library by that name, or another one
        return None
    return found


class _Running:
    """The utterance that is being spoken, in every ear."""

    def __init__(self, ears: Sequence[Ear], options: Listening) -> None:
        self._ears = ears
        self._options = options
        self._sound: list[Frames] = []
        self.words = ""

    def feed(self, frames: Frames) -> None:
        if not len(frames):
            return
        self.words = max((ear.feed(frames) for ear in self._ears), key=len) or self.words
        if self._options.sound is not None:
            self._sound.append(frames)

    def silent(self, frames: Frames | None = None) -> bool:
        """Whether an ear hears nobody in these samples, or else in all that was fed."""
        return any(ear.silent(frames) for ear in self._ears)

    def outlook(self) -> Outlook:
        """Of the words of the most trusted ear that has some. Noise alone is over at once."""
        if self.silent():
            return Outlook.COMPLETE
        self.words = next((words for ear in self._ears if (words := ear.so_far())), "")
        return outlook_after(self.words, self._options.wake, self._options.outlook)

    def finish(self) -> tuple[Hearing, ...]:
        """What was heard; nothing where it was noise alone, unless a key said that it was meant."""
        if self._options.held is None and self.silent():
            self.forget()
            return ()
        if self._options.sound is not None and self._sound:
            self._options.sound(np.concatenate(self._sound))
        hearings = self._heard()
        self._clear()
        return hearings

    def _heard(self) -> tuple[Hearing, ...]:
        """By one ear after the other until it is enough; the rest forget what they were fed."""
        heard: list[Hearing] = []
        addressing: tuple[Hearing, ...] = ()
        for place, ear in enumerate(self._ears):
            if addressing and self._options.enough(addressing, self._ears[place:]):
                ear.reset()
                continue
            heard.append(ear.finish())
            addressing = addressed(tuple(heard), self._options.wake)
        return addressing

    def forget(self) -> None:
        for ear in self._ears:
            ear.reset()
        self._clear()

    def _clear(self) -> None:
        self.words = ""
        self._sound = []


LONGEST_UTTERANCE = 60.0
"""Seconds that one recording of one utterance may last."""
ONE_UTTERANCE = 10.0
"""A recording of up to so many seconds is taken for one utterance; nobody calls a reading for longer."""
CLIPPED = 0.005
"""The share of samples at the end of the scale above which a recording is called too loud."""

Heard = tuple[tuple[Hearing, ...], Frames]
"""One utterance as each ear took it, and its sound."""
Tell = Callable[[Trouble], None]


def utterance(ears: Sequence[Ear], file: Path, tell: Tell) -> Heard:
    """A recording of one utterance. `tell` gets what is wrong with its sound. Raises `BadInput` for a file that can't
    be used.
    """
    sound = read_wav(file, LONGEST_UTTERANCE)
    if not np.ptp(sound.frames):
        tell(Trouble(Wrong.RECORDING_SILENT, name=file.name))
    if (share := clipped_share(sound.frames)) > CLIPPED:
        tell(Trouble(Wrong.RECORDING_TOO_LOUD, name=file.name, share=share))
    return tuple(hear(ear, sound) for ear in ears), sound.frames


def utterances(
    file: Path, ears: Callable[[], Sequence[Ear]], outlook: Callable[[str], Outlook], tell: Tell
) -> Iterator[Heard]:
    """Each utterance in a recording, block by block, so that its length doesn't matter to memory. `outlook` says of
    words whether more may follow: how long a pause may be is told by the words before it.

    Raises `BadInput` for a file that can't be used, or in which nobody speaks.
    """
    if wav_seconds(file) <= ONE_UTTERANCE:
        yield utterance(ears(), file, tell)
        return
    sounds: deque[Frames] = deque(maxlen=1)
    count = 0
    for hearings in listen(_with_quiet(stream_wav(file)), ears(), Listening(outlook, sound=sounds.append)):
        count += 1
        yield hearings, sounds.pop()
    if not count:
        raise BadInput(Trouble(Wrong.NOBODY_SPEAKS, name=file.name))


def _with_quiet(blocks: Iterable[Frames]) -> Iterator[Frames]:
    """The blocks, then quiet for long enough to end the last utterance."""
    yield from blocks
    yield np.zeros(round(RATE * (Patience().unfinished + 0.2)), np.int16)
