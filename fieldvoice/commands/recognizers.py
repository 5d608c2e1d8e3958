"""The recognizers that this machine has, opened for a job, and what is told of those that hear and those that can't."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import lru_cache

from fieldvoice.commands.output import tell
from fieldvoice.ears import open_ear, open_every, personal
from fieldvoice.ears.ear import Ear
from fieldvoice.ears.personal import AS_SHIPPED, Personal
from fieldvoice.ears.talk_key import awakened
from fieldvoice.errors import BadUsage
from fieldvoice.language.automaton import automaton, open_talk, vocabulary
from fieldvoice.language.outlook import wakes
from fieldvoice.records.hearing import WordNetwork
from fieldvoice.records.length import Unit
from fieldvoice.records.trouble import Trouble
from fieldvoice.wording.troubles import sentence

UnitNow = Callable[[], Unit]
"""Tells the unit that the job is kept in now; it can change from one utterance to the next."""
Language = Callable[[], WordNetwork]


def inches() -> Unit:
    """The unit of a job in inches, which is the unit of no job too."""
    return Unit.INCH


def report(trouble: Trouble) -> None:
    """What the ears have to tell, on standard error."""
    tell(f"fieldvoice: {sentence(trouble)}")


def own_voice(device: str) -> Personal:
    """What the reading ear was fitted to on the microphone of that name; why it isn't used is told."""
    own = personal.kept(personal.folder(), device)
    if own.note:
        report(own.note)
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
    if name is not None:
        ear = open_ear(name, words, language, change=voice.change)
        _tell_unheard(ear, len(words))
        return (ear,)
    here, absent = open_every(words, language, voice.change)
    for trouble in absent:
        tell(f"fieldvoice: {trouble}")
    for ear in here:
        _tell_unheard(ear, len(words))
    tell(f"Hearing with {' and '.join(ear.name for ear in here)}{_alone(here)}.")
    return here


_NAMED = 8


def _tell_unheard(ear: Ear, words: int) -> None:
    """Which words of the job the ear was never trained on: they would be waited for in vain."""
    unheard: tuple[str, ...] = getattr(ear, "unheard", ())
    if unheard:
        more = f" and {len(unheard) - _NAMED} more" if len(unheard) > _NAMED else ""
        tell(
            f"fieldvoice: The {ear.name} ear doesn't know {len(unheard)} of the {words} words of the job: "
            f"{', '.join(unheard[:_NAMED])}{more}. Type what has one of them in it, or say it another way."
        )


def _alone(ears: Sequence[Ear]) -> str:
    return "" if len(ears) > 1 else " alone; `fieldvoice ready` says what a second recognizer needs"


def _language(unit: UnitNow, wake: str | None) -> Language:
    """The spoken language in the unit of now, behind the wake phrase where there is one; loaded when an ear first looks
    at it: not every ear does.
    """
    if wake is None:
        return lambda: open_talk(unit())
    unknown = [word for word in wake.split() if word not in vocabulary()]
    if unknown:
        raise BadUsage(
            f"The recognizers don't know {', '.join(unknown)}, so that wake phrase would never be heard. Use words of "
            "the job, such as “okay sheet”."
        )
    if not wakes(wake):
        raise BadUsage(
            f"“{wake}” would be heard in other talk, or begins a reading. Use two or more words that nothing else "
            "begins with, such as “okay sheet”."
        )
    behind = lru_cache(maxsize=1)(lambda language: awakened(language, wake))
    return lambda: behind(automaton(unit()))
