"""Recordings to hearings, with the recognizers that this machine has."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from fieldvoice.commands.output import tell
from fieldvoice.ears import Ear, open_ear, open_pair, read_wav
from fieldvoice.ears import hear as hear_sound
from fieldvoice.errors import BadInput, NotHere
from fieldvoice.language import automaton, vocabulary
from fieldvoice.records.hearing import Hearing

LONGEST_UTTERANCE = 60.0
"""Seconds that one recording of one utterance may last."""


class LaterNetwork:
    """The network of the spoken language, built when an ear first looks at it: not every ear does."""

    @property
    def start(self) -> int:
        """The state before the first word."""
        return automaton().start

    @property
    def finals(self) -> frozenset[int]:
        """Where an utterance may end."""
        return automaton().finals

    @property
    def arcs(self) -> tuple[Mapping[str, int], ...]:
        """For each state, the words that may follow and where they lead."""
        return automaton().arcs


def open_ears(name: str | None) -> tuple[Ear, ...]:
    """The recognizer of that name, else every one whose model is here, the most trusted first. With the reading ear
    comes Whisper on the same encoder. Raises `NotHere` where there is none.
    """
    words, network = vocabulary(), LaterNetwork()
    if name is not None:
        return open_pair(words, network) if name == "reading" else (open_ear(name, words, network),)
    here: list[Ear] = []
    absent: list[NotHere] = []
    for opened in (_reading_pair, _vosk_alone):
        try:
            here.extend(opened(words, network))
        except NotHere as trouble:
            absent.append(trouble)
        except BadInput as trouble:
            tell(f"fieldvoice: {trouble}")
    if not here:
        raise NotHere(
            " ".join(str(trouble) for trouble in absent) or "No recognizer can be used. Run `fieldvoice doctor`."
        )
    return tuple(here)


def _reading_pair(words: tuple[str, ...], network: LaterNetwork) -> tuple[Ear, ...]:
    """The reading ear and Whisper; Whisper alone, with a word about it, where the reading ear lacks a word."""
    try:
        return open_pair(words, network)
    except BadInput as trouble:
        tell(f"fieldvoice: {trouble} Until then whisper hears alone.")
        return (open_ear("whisper", words, network),)


def _vosk_alone(words: tuple[str, ...], network: LaterNetwork) -> tuple[Ear, ...]:
    return (open_ear("vosk", words, network),)


def hear_file(ears: Sequence[Ear], file: Path) -> tuple[Hearing, ...]:
    """One utterance as each ear took it. Raises `BadInput` for a file that can't be used."""
    sound = read_wav(file, LONGEST_UTTERANCE)
    return tuple(hear_sound(ear, sound) for ear in ears)
