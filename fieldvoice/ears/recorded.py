"""Recordings to hearings: a short one is one utterance, a longer one is cut at its pauses."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from pathlib import Path

import numpy as np

from fieldvoice.ears import hear
from fieldvoice.ears.ear import Ear
from fieldvoice.ears.endpoint import Patience
from fieldvoice.ears.listening import Listening, listen
from fieldvoice.ears.sound import RATE, Frames, clipped_share
from fieldvoice.ears.wav import read_wav, stream_wav, wav_seconds
from fieldvoice.errors import BadInput
from fieldvoice.records.hearing import Hearing, Outlook
from fieldvoice.records.trouble import Trouble, Wrong

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
