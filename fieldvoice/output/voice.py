"""The read-back aloud: espeak-ng's library through ctypes, played on the sound device; and three short sounds, told
apart by their rhythm alone, so that neither loudspeaker nor ear need tell a pitch.

espeak-ng is GPL-3.0-or-later and a dependency of its own, loaded at run time; whatever has `Voice`'s face replaces it.

One beat: go ahead, it is listening. Two quick beats: taken. Long, short, long: an answer is waited for.
"""

from __future__ import annotations

import ctypes
import math
from array import array
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from enum import Enum
from pathlib import Path
from threading import Lock
from typing import Protocol

from fieldvoice.errors import NotHere
from fieldvoice.records.said import Manner
from fieldvoice.records.trouble import Trouble, Wrong
from fieldvoice.wording.troubles import sentence

LEVEL = 0.15
"""Of full scale: quieter than the voice, whose words peak near the end of the scale."""
TONE = 880.0
"""Hertz: above the hum of machines, below where cheap loudspeakers grow shrill (our own choice, not measured)."""
SHORT, LONG, REST = 0.06, 0.18, 0.07
"""Seconds of a short beat, a long one, and of the rest between two: three times as long is told from short at once."""
FADE = 0.008
"""Seconds in which a beat comes and goes: without them it would click."""


class Cue(Enum):
    """What a sound says, as the seconds of its beats."""

    LISTENING = (SHORT,)
    TAKEN = (SHORT, SHORT)
    WAITING = (LONG, SHORT, LONG)


def samples(sound: Cue, rate: int) -> array[int]:
    """The sound as 16-bit mono samples, `rate` a second."""
    made = array("h")
    for number, beat in enumerate(sound.value):
        if number:
            made.extend([0] * round(REST * rate))
        made.extend(_beat(round(beat * rate), rate))
    return made


def _beat(count: int, rate: int) -> array[int]:
    fade = FADE * rate
    return array(
        "h",
        (
            round(
                32767
                * LEVEL
                * min(1.0, index / fade, (count - index) / fade)
                * math.sin(2 * math.pi * TONE * index / rate)
            )
            for index in range(count)
        ),
    )


WORDS_A_MINUTE = 150
"""Slower than talk: what is read back is written down."""
SLOWER = 0.85
"""What a step slower makes of the words a minute: three of them bring 92."""
VOLUME, LOUDER = 100, 1.26
"""espeak-ng's own volume, of at most 200, and what a step louder makes of it: a step is 2 dB."""
MOST = 200


class Voice(Protocol):
    """Says a line and returns when it has been said, so that the microphone can be closed meanwhile."""

    def say(self, line: str) -> bool:
        """Say one line aloud; whether it could be heard."""

    def beep(self, sound: Cue) -> bool:
        """Play one of the short sounds; whether it could be heard."""

    def speak_as(self, manner: Manner) -> None:
        """From now on so loud and so slow."""


class Silent:
    """A voice that says nothing."""

    def beep(self, sound: Cue) -> bool:  # noqa: ARG002 - the face of a voice
        """Nothing is played."""
        return False

    def speak_as(self, manner: Manner) -> None:
        """It makes no difference."""

    def say(self, line: str) -> bool:  # noqa: ARG002 - the face of a voice
        """Nothing is said."""
        return False


Samples = Callable[["array[int]"], None]
"""Takes the next 16-bit mono samples."""


class Synthesizes(Protocol):
    """Text in, samples out, handed on as they are made, so that a line begins to be heard at once."""

    rate: int

    def say(self, line: str, hand_on: Samples) -> None:
        """The samples of one line."""

    def speak_as(self, manner: Manner) -> None:
        """From now on so loud and so slow."""


class Speaker:
    """Says lines on the sound device until that fails once; then tells so once and stays silent. `device` is open while
    one is said.
    """

    def __init__(
        self,
        synthesizer: Synthesizes,
        device: Callable[[], AbstractContextManager[Samples]],
        tell: Callable[[str], None],
    ) -> None:
        self._synthesizer = synthesizer
        self._device: Callable[[], AbstractContextManager[Samples]] | None = device
        self._tell = tell

    def say(self, line: str) -> bool:
        """Say one line; a device that has gone is told of once."""
        return self._played(lambda play: self._synthesizer.say(line, play))

    def beep(self, sound: Cue) -> bool:
        """Play one short sound, on the same device."""
        return self._played(lambda play: play(samples(sound, self._synthesizer.rate)))

    def speak_as(self, manner: Manner) -> None:
        """From now on so loud and so slow."""
        self._synthesizer.speak_as(manner)

    def _played(self, how: Callable[[Samples], None]) -> bool:
        if self._device is None:
            return False
        try:
            with self._device() as play:
                how(play)
        except (NotHere, OSError):
            self._device = None
            self._tell(sentence(Trouble(Wrong.NO_LOUDSPEAKER)))
            return False
        return True


class Synthesizer:
    """espeak-ng's library: text in, samples out. Raises `NotHere` where the library or its voices don't load."""

    def __init__(self, voice: str = "en-us") -> None:
        library, data = _espeak()
        self._library = library
        with _ONE_AT_A_TIME:
            self.rate: int = library.espeak_Initialize(_SYNCHRONOUS, 0, str(data.parent).encode(), 0)
            known = self.rate > 0 and library.espeak_SetVoiceByName(voice.encode()) == 0
        if not known:
            raise NotHere(Trouble(Wrong.NO_SUCH_VOICE, name=voice))
        self._manner = Manner()
        self._hand_on: Samples = lambda _: None
        self._failed: BaseException | None = None
        self._callback = _CALLBACK(self._made)

    def speak_as(self, manner: Manner) -> None:
        """From now on so loud and so slow."""
        self._manner = manner

    def say(self, line: str, hand_on: Samples) -> None:
        """Hands on the samples of one line as they are made: 16-bit mono at `rate` a second. What `hand_on` raises ends
        the line and is raised here.
        """
        text = line.encode() + b"\0"
        with _ONE_AT_A_TIME:
            self._hand_on, self._failed = hand_on, None
            self._library.espeak_SetSynthCallback(self._callback)
            self._library.espeak_SetParameter(_RATE, round(WORDS_A_MINUTE * SLOWER**self._manner.slowness), 0)
            self._library.espeak_SetParameter(_VOLUME, min(MOST, round(VOLUME * LOUDER**self._manner.loudness)), 0)
            self._library.espeak_Synth(text, len(text), 0, 0, 0, _UTF8, None, None)
            self._library.espeak_Synchronize()
        if self._failed is not None:
            raise self._failed

    def __call__(self, line: str) -> array[int]:
        """All samples of one line."""
        samples = array("h")
        self.say(line, samples.extend)
        return samples

    def _made(self, wave: ctypes._Pointer[ctypes.c_short] | None, count: int, _events: int | None) -> int:
        """Called by the library, through which no error passes; 1 tells it to stop."""
        if wave and count > 0 and self._failed is None:
            try:
                self._hand_on(array("h", wave[:count]))
            except BaseException as trouble:  # noqa: BLE001 - raised again where it can be, Ctrl-C too
                self._failed = trouble
        return int(self._failed is not None)


_ONE_AT_A_TIME = Lock()
"""The library has one callback and one manner for the whole process: each line sets its own, since the one before may
be of a synthesizer that is gone."""
_SYNCHRONOUS = 2  # AUDIO_OUTPUT_SYNCHRONOUS: samples go to the callback, without a thread of its own, which can hang
_RATE = 1  # espeakRATE, in words a minute
_VOLUME = 2  # espeakVOLUME, 100 as the voice is made
_UTF8 = 1  # espeakCHARS_UTF8
_CALLBACK = ctypes.CFUNCTYPE(ctypes.c_int, ctypes.POINTER(ctypes.c_short), ctypes.c_int, ctypes.c_void_p)


def _espeak() -> tuple[ctypes.CDLL, Path]:
    try:
        import espeakng_loader

        return ctypes.CDLL(espeakng_loader.get_library_path()), Path(espeakng_loader.get_data_path())
    except (ImportError, OSError) as trouble:
        raise NotHere(Trouble(Wrong.NO_SYNTHESIZER, error=trouble)) from trouble


def _player(rate: int) -> Callable[[], AbstractContextManager[Samples]]:
    """Opens the default output to play samples on. Raises `NotHere` where there is none."""
    try:
        import sounddevice

        sounddevice.check_output_settings(samplerate=rate, channels=1, dtype="int16")
    except Exception as trouble:
        raise NotHere(Trouble(Wrong.NO_LOUDSPEAKER)) from trouble

    @contextmanager
    def device() -> Iterator[Samples]:
        try:
            with sounddevice.RawOutputStream(samplerate=rate, channels=1, dtype="int16") as stream:
                yield lambda samples: stream.write(samples.tobytes())
        except sounddevice.PortAudioError as trouble:
            raise NotHere(Trouble(Wrong.NO_LOUDSPEAKER)) from trouble

    return device


def open_voice(tell: Callable[[str], None], *, quiet: bool) -> Voice:
    """The voice that this machine can give. Where it can't, `tell` gets one sentence and the voice is silent."""
    if quiet:
        return Silent()
    try:
        synthesizer = Synthesizer()
        return Speaker(synthesizer, _player(synthesizer.rate), tell)
    except NotHere as trouble:
        tell(str(trouble))
        return Silent()
