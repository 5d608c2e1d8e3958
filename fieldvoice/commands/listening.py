"""Recordings to hearings, with the recognizers that this machine has."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import cache, lru_cache
from pathlib import Path

import numpy as np

from fieldvoice.commands.output import tell
from fieldvoice.ears import (
    RATE,
    RECOGNIZERS,
    Ear,
    Frames,
    WordNetwork,
    open_ear,
    personal,
    read_wav,
    stream_wav,
    wav_seconds,
)
from fieldvoice.ears import hear as hear_sound
from fieldvoice.ears.endpoint import Outlook, Patience
from fieldvoice.ears.listening import Listening, listen, within
from fieldvoice.ears.personal import AS_SHIPPED, Personal
from fieldvoice.ears.sound import clipped_share
from fieldvoice.ears.wake import awakened
from fieldvoice.errors import BadInput, BadUsage, NotHere
from fieldvoice.language import automaton, understand, vocabulary
from fieldvoice.language.verdict import Expectation, settled
from fieldvoice.records.hearing import Hearing, Source
from fieldvoice.records.length import Unit
from fieldvoice.records.meaning import Answer, Incomplete, Lack, Part, Status
from fieldvoice.wording.troubles import sentence

LONGEST_UTTERANCE = 60.0
"""Seconds that one recording of one utterance may last."""
ONE_UTTERANCE = 10.0
"""A replayed recording of up to so many seconds is taken for one utterance; nobody calls a reading for longer."""
CLIPPED = 0.005
"""The share of samples at the end of the scale above which a recording is called too loud."""


UnitNow = Callable[[], Unit]
"""Tells the unit that the job is kept in now; it can change from one utterance to the next."""
Language = Callable[[], WordNetwork]


def inches() -> Unit:
    """The unit of a job in inches, which is the unit of no job too."""
    return Unit.INCH


def own_voice(device: str) -> Personal:
    """What the reading ear was fitted to on the microphone of that name; why it isn't used is told."""
    own = personal.kept(personal.folder(), device)
    if own.note:
        tell(f"fieldvoice: {sentence(own.note)}")
    return own


def open_ears(
    name: str | None, unit: UnitNow = inches, wake: str | None = None, voice: Personal = AS_SHIPPED
) -> tuple[Ear, ...]:
    """The recognizer of that name, else every one whose model is here, the most trusted first. The reading ear is
    fitted to `voice` and listens within the language of the `unit` of now. `wake` is what every utterance begins with.
    Which ones hear is told, and why one can't. Raises `NotHere` where none can, `BadUsage` for a wake phrase that can't
    be one.
    """
    words, language = vocabulary(), _language(unit, wake)

    def opened(recognizer: str) -> Ear:
        return open_ear(recognizer, words, language, change=voice.change)

    if name is not None:
        ear = opened(name)
        _tell_unheard(ear, len(words))
        return (ear,)
    here: list[Ear] = []
    absent: dict[str, NotHere | BadInput] = {}
    for recognizer in RECOGNIZERS:
        try:
            here.append(opened(recognizer))
        except (NotHere, BadInput) as missing:
            absent[recognizer] = missing
    if not here:
        raise NotHere(" ".join(map(str, absent.values())))
    for recognizer, trouble in absent.items():
        # A model that was never fetched is no trouble while others hear; one that is damaged is, and so is the reading
        # ear's, which comes with fieldvoice.
        if isinstance(trouble, BadInput) or recognizer == "reading":
            tell(f"fieldvoice: {trouble}")
    for ear in here:
        _tell_unheard(ear, len(words))
    tell(f"Hearing with {' and '.join(ear.name for ear in here)}{_alone(here)}.")
    return tuple(here)


_NAMED = 8


def _tell_unheard(ear: Ear, words: int) -> None:
    """Which words of the job the ear was never trained on: they would be waited for in vain."""
    unheard: tuple[str, ...] = getattr(ear, "unheard", ())
    if unheard:
        more = f" and {len(unheard) - _NAMED} more" if len(unheard) > _NAMED else ""
        tell(
            f"fieldvoice: The {ear.name} ear doesn't know {len(unheard)} of the {words} words of the job: "
            f"{', '.join(unheard[:_NAMED])}{more}. Type what has one of them in it, or say it in other words."
        )


def _alone(ears: Sequence[Ear]) -> str:
    return "" if len(ears) > 1 else " alone; `fieldvoice ready` says what a second recognizer wants"


def _language(unit: UnitNow, wake: str | None) -> Language:
    """The spoken language in the unit of now, behind the wake phrase where there is one; loaded when an ear first looks
    at it: not every ear does.
    """
    if wake is None:
        return lambda: automaton(unit())
    unknown = [word for word in wake.split() if word not in vocabulary()]
    if unknown:
        raise BadUsage(
            f"The recognizers don't know {', '.join(unknown)}, so that wake phrase would never be heard. Make one of "
            "words of the job, such as “okay sheet”."
        )
    if len(wake.split()) < 2 or any(within(automaton(each), wake) for each in Unit):
        raise BadUsage(
            f"“{wake}” would be heard in other talk or begins a reading. Take two words or more that nothing else "
            "begins with, such as “okay sheet”."
        )
    behind = cache(lambda each: awakened(automaton(each), wake))
    return lambda: behind(unit())


_TAILS = ("and a sixteenth", "four", "four and a half")
TAILS = {Unit.INCH: _TAILS, Unit.MM: (*_TAILS, "ninety")}
"""What may follow a whole number: a fraction, and after feet the inches; in millimeters the second half of the number
("eleven", "eleven ninety"). A point isn't waited for: what follows it is less than a millimeter, alone it is no
utterance, and every number of millimeters would have to wait for it.
"""


@lru_cache(maxsize=64)
def outlook(words: str, unit: Unit = Unit.INCH) -> Outlook:
    """Whether more may follow these words, in a job of that unit: more must where they begin something and say nothing
    yet; more may where a fraction, inches or the rest of a number could still come, even with more than one meaning,
    after a "no", which the right value often follows, after a piece that may be the beginning of a call, and where they
    aren't understood. More must where a box lacks a distance.
    """
    said = understand(words, Source.SPOKEN, unit)
    last = said.meanings[-1] if said.meanings else None
    half = isinstance(last, Incomplete) and Lack.DISTANCE in last.lacks
    if said.status is not Status.UNDERSTOOD or half:
        return Outlook.MUST_GO_ON if words and within(automaton(unit), words) else Outlook.MAY_GO_ON
    more = [understand(f"{words} {tail}", Source.SPOKEN, unit) for tail in TAILS[unit]]
    grows = any(len(said.meanings) in map(len, (one.meanings, *one.alternatives)) for one in more)
    begins = last == Answer(yes=False) or isinstance(last, Part)
    return Outlook.MAY_GO_ON if grows or begins else Outlook.COMPLETE


def enough(hearings: Sequence[Hearing], others: Sequence[Ear], unit: Unit) -> bool:
    """Whether an utterance in a job of that unit is taken whatever the other ears would make of it, be an answer
    awaited or not.
    """
    return all(settled(hearings, [ear.kind for ear in others], Expectation(answer, unit)) for answer in (False, True))


def hear_file(ears: Sequence[Ear], file: Path) -> tuple[Hearing, ...]:
    """One utterance as each ear took it. Raises `BadInput` for a file that can't be used."""
    return hear_with_sound(ears, file)[0]


def hear_with_sound(ears: Sequence[Ear], file: Path) -> tuple[tuple[Hearing, ...], Frames]:
    """The same, with its sound."""
    sound = read_wav(file, LONGEST_UTTERANCE)
    if not sound.frames.any():
        tell(
            f"fieldvoice: There is no sound at all in {file.name}, so nothing can be heard. Unmute the microphone and "
            "record it again, or type the readings."
        )
    _tell_clipped(file, sound.frames)
    return tuple(hear_sound(ear, sound) for ear in ears), sound.frames


def spoken(
    file: Path, ears: Callable[[], Sequence[Ear]], unit: UnitNow
) -> Iterator[tuple[tuple[Hearing, ...], Frames]]:
    """Each utterance in a recording as every ear took it, with its sound. A short recording is one utterance, a longer
    one is cut at its pauses, block by block, so that its length doesn't matter to memory. How long a pause may be is
    told by the words before it, in the `unit`.

    Raises `BadInput` for a file that can't be used, or in which nobody speaks.
    """
    if wav_seconds(file) <= ONE_UTTERANCE:
        yield hear_with_sound(ears(), file)
        return
    sounds: deque[Frames] = deque(maxlen=1)
    count = 0
    how = Listening(lambda words: outlook(words, unit()), sound=sounds.append)
    for hearings in listen(_with_quiet(stream_wav(file)), ears(), how):
        count += 1
        yield hearings, sounds.pop()
    if not count:
        raise BadInput(
            f"In {file.name} nobody speaks, or not above its noise: nothing was taken from it. Record it closer to the "
            "one who speaks, or type the readings."
        )


def _with_quiet(blocks: Iterable[Frames]) -> Iterator[Frames]:
    """The blocks, then quiet for long enough to end the last utterance."""
    yield from blocks
    yield np.zeros(round(RATE * (Patience().unfinished + 0.2)), np.int16)


def _tell_clipped(file: Path, frames: Frames) -> None:
    share = clipped_share(frames)
    if share > CLIPPED:
        tell(
            f"fieldvoice: {file.name} is too loud: {100 * share:.0f} % of it is at the end of the scale, so words may "
            "be mistaken. Turn the level down or hold the microphone further off, and say it again."
        )
