"""A microphone at the rate that it has, by name, with its troubles told: missing, unplugged, too loud, narrow. Its
samples wait between the sound card's thread and ours in a buffer that never grows.
"""

from __future__ import annotations

import re
import threading
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fieldvoice.ears.sound import FULL_SCALE, MISSING, RATE, Frames, HighPass, clipped_share, level_db, to_int16
from fieldvoice.errors import NotHere
from fieldvoice.records.trouble import Trouble, Wrong

BUFFER_SECONDS = 5.0
BLOCK_WAIT_SECONDS = 0.1
GONE_SECONDS = 1.0
"""So long without a sample, or with a stream that stopped, and the device counts as unplugged."""

Tell = Callable[[Trouble], None]
"""Takes what the person is to be told."""


@dataclass(frozen=True, slots=True)
class Level:
    """How loud the last block was, in dB of full scale, and whether it hit the end of the scale."""

    db: float
    clipping: bool


class Microphone:
    """Blocks of 16 kHz sound from a device, until closed. Where it goes away this is said and its return awaited: no
    other device takes its place, since nobody chose that, and a voice may have been fitted on this one.

    `library` is the sounddevice module, or what stands in for it. Raises NotHere where PortAudio or the device isn't
    there: the text says which package brings it, and that readings can be typed.
    """

    def __init__(self, name: str | None, tell: Tell, library: Any = None) -> None:
        self._library = library if library is not None else sound_library()
        self._wanted = name
        self._tell = tell
        self._open()
        self._wanted = self.name

    def blocks(self) -> Iterator[Frames]:
        """Whatever came in about a tenth of a second, filtered and resampled. `MISSING` where sound is missing: while
        the device is away, after `skip`, and where it came faster than it was taken.
        """
        waited = 0.0
        while not self._closed:
            samples = self._ring.take(BLOCK_WAIT_SECONDS)
            self._report_dropped()
            waited = 0.0 if len(samples) else waited + BLOCK_WAIT_SECONDS
            if waited >= GONE_SECONDS or not self._runs():
                waited = 0.0
                yield MISSING
                self._reopen()
                continue
            if self._missing:
                self._missing = False
                yield MISSING
            yield self._heard(samples)

    def skip(self) -> None:
        """Forgets what came in and wasn't taken yet: the assistant's own voice, while it spoke."""
        self._ring.take(0)
        self._ring.dropped()
        self._overflowed = False
        self._missing = True

    def close(self) -> None:
        """Gives the device back."""
        self._closed = True
        self._let_go()

    def _let_go(self) -> None:
        """A stream is closed once: PortAudio has forgotten it then."""
        stream, self._stream = self._stream, None
        if stream is not None:
            stream.close()

    def _runs(self) -> bool:
        """Whether the stream does; one whose device is gone may say so by an error alone."""
        try:
            return self._stream is not None and bool(self._stream.active)
        except self._library.PortAudioError:
            return False

    _stream: Any = None
    _missing = False

    def _open(self) -> None:
        device = _device(self._library, self._wanted)
        self.name = plain_name(device["name"])
        self.rate = round(device["default_samplerate"])
        self._ring = SampleBuffer(round(self.rate * BUFFER_SECONDS))
        self._change = _resampler(self.rate)
        self._high_pass = HighPass()
        self._band: BandWatch | None = BandWatch()
        self._stillness, self._loudness = Stillness(), Loudness()
        self._closed = False
        self.level = Level(level_db(np.zeros(0, np.int16)), clipping=False)
        try:
            self._stream = self._library.InputStream(
                device=device["index"], samplerate=self.rate, channels=1, dtype="float32", callback=self._arrived
            )
            self._stream.start()
        except self._library.PortAudioError as error:
            self._let_go()
            raise NotHere(Trouble(Wrong.MICROPHONE_NOT_OPENED, name=self.name, error=error)) from error
        if narrow_by_name(self.name, self.rate):
            self._band = None
            self._tell(Trouble(Wrong.NARROW_MICROPHONE, name=self.name, rate=self.rate))

    def _arrived(self, samples: NDArray[np.float32], _frames: int, _time: Any, status: Any) -> None:
        """On the sound card's thread: no more than a copy."""
        self._ring.put(samples[:, 0].copy())
        if status:
            self._overflowed = True

    _overflowed = False

    def _report_dropped(self) -> None:
        dropped = self._ring.dropped()
        if dropped or self._overflowed:
            self._overflowed = False
            self._missing = True
            self._tell(Trouble(Wrong.SOUND_DROPPED, seconds=dropped / self.rate))

    def _heard(self, samples: NDArray[np.float32]) -> Frames:
        raw = to_int16(self._change.resample_chunk(samples))
        heard = self._high_pass(raw)
        self.level = Level(level_db(heard), clipping=clipped_share(raw) > CLIPPED)
        if self._band is not None and self._band.narrow(raw):
            self._tell(Trouble(Wrong.NARROW_MICROPHONE, name=self.name, rate=None))
        if self._stillness.begins(raw):
            self._tell(Trouble(Wrong.MICROPHONE_SILENT, name=self.name))
        if self._loudness.too_loud(raw):
            self._tell(Trouble(Wrong.MICROPHONE_TOO_LOUD, name=self.name))
        return heard

    def _reopen(self) -> None:
        """One try to get the device back; PortAudio's list of devices is frozen until it is started anew."""
        if self._closed:
            return
        if not self._gone:
            self._gone = True
            self._tell(Trouble(Wrong.MICROPHONE_GONE, name=self.name))
        self._let_go()
        if not self._opened_again():
            self._library.sleep(round(1000 * GONE_SECONDS))
            return
        self._gone = False
        self._tell(Trouble(Wrong.MICROPHONE_BACK, name=self.name))

    def _opened_again(self) -> bool:
        """Whether the same device is there again and open: one whose name has this name in it is another."""
        try:
            self._library._terminate()  # noqa: SLF001 - the package's only way to see new devices
            self._library._initialize()  # noqa: SLF001
            if device_name(self.name, self._library) != self.name:
                return False
            self._open()
        except (NotHere, self._library.PortAudioError):  # none is there, or the list itself can't be had
            return False
        return True

    _gone = False


def sound_library() -> Any:
    """The sounddevice module; raises NotHere where PortAudio isn't on this machine."""
    try:
        import sounddevice
    except OSError as error:
        raise NotHere(Trouble(Wrong.NO_PORTAUDIO)) from error
    return sounddevice


def device_name(wanted: str | None, library: Any = None) -> str:
    """The name of the device that `Microphone` would open, which isn't opened. Raises NotHere as that does."""
    return plain_name(_device(library if library is not None else sound_library(), wanted)["name"])


def _device(library: Any, wanted: str | None) -> dict[str, Any]:
    return chosen_device(library.query_devices(), wanted, library.default.device[0])


def chosen_device(devices: Any, wanted: str | None, default: int = -1) -> dict[str, Any]:
    """The input device of that name (any case), else the first whose name contains `wanted`. Where several have the
    name, or None is wanted, it is the one whose index is `default`, else the first.
    """
    inputs = [device for device in devices if device["max_input_channels"] > 0]
    if not inputs:
        raise NotHere(Trouble(Wrong.NO_MICROPHONE))
    matching = [device for device in inputs if wanted is None or wanted.lower() in device["name"].lower()]
    if not matching:
        names = "; ".join(device["name"] for device in inputs)
        raise NotHere(Trouble(Wrong.NO_SUCH_MICROPHONE, name=wanted, there=names))
    named = [device for device in matching if wanted is None or plain_name(device["name"]).lower() == wanted.lower()]
    usual = [device for device in named if device["index"] == default]
    chosen: dict[str, Any] = (usual or named or matching)[0]
    return chosen


def plain_name(name: str) -> str:
    """A device's name without the place that Linux gives it, "(hw:1,0)": it is another when plugged in anew."""
    return re.sub(r"[ :-]*\(hw:\d+,\d+\)$", "", name)


_WIRELESS = ("bluetooth", "hands-free", "handsfree", "headset", "hfp", "bluez")


def narrow_by_name(name: str, rate: int) -> bool:
    """Whether the device is one that carries telephone quality only."""
    wireless = any(word in name.lower() for word in _WIRELESS)
    return rate < RATE or (wireless and rate == RATE)


def _resampler(rate: int) -> Any:
    import soxr

    return soxr.ResampleStream(rate, RATE, 1, dtype="float32", quality="HQ")


class SampleBuffer:
    """The last `capacity` samples that were not yet taken; one writer, one reader."""

    def __init__(self, capacity: int) -> None:
        self._samples: NDArray[np.float32] = np.zeros(capacity, np.float32)
        self._start = 0
        self._count = 0
        self._dropped = 0
        self._changed = threading.Condition()

    def put(self, samples: NDArray[np.float32]) -> None:
        """Adds samples; where there is no room the oldest make way, and are counted."""
        with self._changed:
            capacity = len(self._samples)
            kept = samples[-capacity:]
            lost = max(0, self._count + len(kept) - capacity)
            self._dropped += lost + len(samples) - len(kept)
            self._start, self._count = (self._start + lost) % capacity, self._count - lost
            places = (self._start + self._count + np.arange(len(kept))) % capacity
            self._samples[places] = kept
            self._count += len(kept)
            self._changed.notify()

    def take(self, timeout: float) -> NDArray[np.float32]:
        """All that is there, waiting up to `timeout` seconds for some; empty where none came."""
        with self._changed:
            if not self._count:
                self._changed.wait(timeout)
            places = (self._start + np.arange(self._count)) % len(self._samples)
            taken = self._samples[places]
            self._start, self._count = 0, 0
            return taken

    def dropped(self) -> int:
        """How many samples were lost since the last time that this was asked."""
        with self._changed:
            lost, self._dropped = self._dropped, 0
            return lost


WINDOW = 512
LOW_HZ, HIGH_HZ = (300, 3_400), (4_300, 7_500)
"""What a telephone carries, and what nothing of it reaches."""
NARROW_DB = -45.0
"""Where the high band stays so far below the low one nothing is in it; an "s" or a "t" is far above that."""
LOUD_DB = -50.0
"""Quieter windows, in dB of full scale, say nothing: what they lack may be below the last bit."""
NARROW_SECONDS = 10.0
"""So long a person doesn't talk without an "s", an "f" or a "t"."""


class BandWatch:
    """Listens until it is known. Holds less than one window of sound."""

    def __init__(self) -> None:
        self._left: Frames = np.zeros(0, np.int16)
        self._windows = 0
        self._known = False

    def narrow(self, frames: Frames) -> bool:
        """Takes the next samples; true once, where so much loud sound had nothing above the telephone's band."""
        if self._known:
            return False
        sound = np.concatenate([self._left, frames])
        whole = len(sound) // WINDOW * WINDOW
        self._left = sound[whole:]
        low, high = _powers(sound[:whole])
        loud = low > 10 ** (LOUD_DB / 10)
        if np.any(high[loud] > low[loud] * 10 ** (NARROW_DB / 10)):
            self._known = True
            return False
        self._windows += int(loud.sum())
        self._known = self._windows * WINDOW >= NARROW_SECONDS * RATE
        return self._known


def _powers(sound: Frames) -> tuple[np.ndarray, np.ndarray]:
    """Of each window the mean power in the low and in the high band, full scale being 1; shape [windows] each."""
    windows = sound.reshape(-1, WINDOW) / FULL_SCALE * np.hanning(WINDOW)
    power = np.abs(np.fft.rfft(windows, axis=1)) ** 2 * 2 / np.sum(np.hanning(WINDOW) ** 2) / WINDOW
    hertz = np.fft.rfftfreq(WINDOW, 1 / RATE)
    low, high = (power[:, (hertz >= start) & (hertz <= end)].sum(axis=1) for start, end in (LOW_HZ, HIGH_HZ))
    return low, high


STILL_SECONDS = 3.0
"""A microphone that works is never quite still for so long: its own hiss moves the last of 16 bits."""


class Stillness:
    """Counts samples that are all the same: zero where a microphone is muted, anything where a card has lost it."""

    def __init__(self) -> None:
        self._still = 0

    def begins(self, raw: Frames) -> bool:
        """Takes the next samples; true once, when there was no sound at all in so many seconds of them. After a sound
        it may be said again.
        """
        if len(raw) and raw.min() != raw.max():
            self._still = 0
            return False
        before, self._still = self._still, self._still + len(raw)
        return before < STILL_SECONDS * RATE <= self._still


CLIPPED = 0.001
"""The least share of clipped samples that makes a block one in which the end of the scale was hit."""
TOO_LOUD_SECONDS = 2.0
"""So much clipped sound is told of: two or three calls. A hammer's blows don't come to it."""
FORGOTTEN = 0.05
"""What a second of sound takes off that."""


class Loudness:
    """Whether words hit the end of the scale again and again."""

    def __init__(self) -> None:
        self._seconds = 0.0
        self._told = False

    def too_loud(self, raw: Frames) -> bool:
        """Takes the next samples; true once."""
        seconds = len(raw) / RATE
        clipped = seconds if clipped_share(raw) > CLIPPED else 0.0
        self._seconds = max(0.0, self._seconds + clipped - FORGOTTEN * seconds)
        before, self._told = self._told, self._told or self._seconds >= TOO_LOUD_SECONDS
        return self._told and not before
