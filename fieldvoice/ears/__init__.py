"""Hearing: sound in, words with their probabilities out. Nothing here knows what the words mean."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from fieldvoice.ears.ear import Ear
from fieldvoice.ears.sound import RATE, Sound
from fieldvoice.errors import BadInput, BadUsage, FieldvoiceError, NotHere
from fieldvoice.records.hearing import Hearing, WordNetwork
from fieldvoice.records.trouble import Trouble, Wrong

if TYPE_CHECKING:
    from fieldvoice.ears.personal import Change

RECOGNIZERS = ("reading", "whisper", "vosk")


def open_ear(
    name: str,
    words: Sequence[str],
    language: Callable[[], WordNetwork],
    folder: Path | None = None,
    change: Change | None = None,
) -> Ear:
    """The recognizer of that name, ready to hear, its model found and verified (in `folder` if one is given; the
    reading ear's comes with fieldvoice). `change` is what fits the reading ear to one person's voice.

    `words` is the whole vocabulary; `language` gives the network of what may be said now, and is asked for each
    utterance by an ear that listens within it. Raises NotHere where its model isn't on this machine, BadInput where the
    model is damaged or lacks words, BadUsage for a name that isn't in RECOGNIZERS.
    """
    from fieldvoice.ears import models

    if name not in RECOGNIZERS:
        raise BadUsage(Trouble(Wrong.NO_RECOGNIZER, name=name, there=", ".join(RECOGNIZERS)))
    if name == "reading":
        from fieldvoice.ears.whole_utterance import reading_ear

        return reading_ear(words, language, change)
    model = models.verified(models.find(name, folder))
    if name == "vosk":
        from fieldvoice.ears.vosk_ear import VoskEar

        return VoskEar(model.folder, words)
    from fieldvoice.ears.whisper_ear import whisper_ear

    return whisper_ear(model.folder)


def open_every(
    words: Sequence[str], language: Callable[[], WordNetwork], change: Change | None = None
) -> tuple[tuple[Ear, ...], tuple[FieldvoiceError, ...]]:
    """Every recognizer whose model is here, the most trusted first, and what is to be told of the others: a model that
    was never fetched is no trouble while others hear; one that is damaged is, and so is the reading ear's, which comes
    with fieldvoice. Raises `NotHere` where none can hear.
    """
    here: list[Ear] = []
    absent: dict[str, NotHere | BadInput] = {}
    for name in RECOGNIZERS:
        try:
            here.append(open_ear(name, words, language, change=change))
        except (NotHere, BadInput) as missing:
            absent[name] = missing
    if not here:
        raise NotHere(Trouble(Wrong.NO_EAR, troubles=tuple(absent.values())))
    told = (each for name, each in absent.items() if isinstance(each, BadInput) or name == RECOGNIZERS[0])
    return tuple(here), tuple(told)


def hear(ear: Ear, sound: Sound, block_seconds: float = 0.1) -> Hearing:
    """One recording through an ear as if it were spoken now, a block at a time."""
    size = round(block_seconds * RATE)
    ear.reset()
    for start in range(0, len(sound.frames), size):
        ear.feed(sound.frames[start : start + size])
    return ear.finish()
