"""A microphone that is pulled out at any moment: no piece of a call passes for a call, what was whole is heard, and
that it is gone and that it is back are both told.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest

from fieldvoice import data_folder
from fieldvoice.ears.listening import Listening, listen
from fieldvoice.ears.microphone import Microphone
from fieldvoice.ears.sound import RATE, Frames
from fieldvoice.ears.wav import read_wav
from fieldvoice.records.hearing import Hearing, Hypothesis, Outlook
from tests.ears.test_listening import Card, CardTrouble, Parrot, _into

MICROPHONE = {"name": "USB Audio", "index": 1, "max_input_channels": 1, "default_samplerate": float(RATE)}
ONCE = RATE // 10
AWAY = 6
"""Tenths of a second without it."""
CALLS = ("05-top-forty-one-and.wav", "06-middle-forty-one-and.wav")


class Measure(Parrot):
    """Hears how many samples it was fed."""

    def finish(self) -> Hearing:
        """As its words."""
        fed, self.fed = self.fed, 0
        return Hearing((Hypothesis(str(fed), 1.0),), self.name)


def tape() -> tuple[Frames, list[tuple[int, int]]]:
    """Two calls in a quiet room, and from which sample to which each is loud."""
    room = np.random.default_rng(1)
    parts: list[Frames] = []
    spans = []
    for name in CALLS:
        call = read_wav(data_folder("audio_samples") / name).frames
        loud = np.flatnonzero(np.abs(call) > 0.05 * np.abs(call).max())
        parts.append((12 * room.standard_normal(RATE)).astype(np.int16))
        start = sum(map(len, parts))
        spans.append((start + int(loud[0]), start + int(loud[-1])))
        parts.append(call)
    parts.append((12 * room.standard_normal(2 * RATE)).astype(np.int16))
    return np.concatenate(parts), spans


def pulled(card: Card, microphone: Microphone, sound: Frames, moment: int, *, fails: bool) -> Iterator[Frames]:
    """The microphone's blocks while the sound goes on, with it away for a while from a moment on; a stream whose device
    is gone stops, or fails when it is asked.
    """
    blocks = microphone.blocks()
    for at in range(0, len(sound) - ONCE, ONCE):
        number = at // ONCE
        if number == moment:
            card.devices = []
            if fails:
                microphone._stream = _Failing()
            card.stream.active = False
        if number == moment + AWAY:
            card.devices = [MICROPHONE]
        if not moment <= number <= moment + AWAY:
            card.hear(sound[at : at + ONCE] / 32768)
        yield next(blocks)


class _Failing:
    """A stream that has nothing to say but an error."""

    @property
    def active(self) -> bool:
        """Raises what PortAudio does."""
        raise CardTrouble("Device unavailable")

    def close(self) -> None:
        """Is possible."""


@pytest.mark.parametrize("fails", [False, True])
def test_no_piece_of_a_call_is_taken_for_one(fails: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    """What is heard is a whole call each time; one that was over, or began half a second after it was back, is
    heard.
    """
    monkeypatch.setattr("fieldvoice.ears.microphone.BLOCK_WAIT_SECONDS", 0.001)
    sound, spans = tape()
    last, at_once = len(sound) // ONCE, Listening(outlook=lambda _: Outlook.COMPLETE)
    for moment in range(3, last - AWAY - 1, 4):
        said: list[str] = []
        card = Card([MICROPHONE])
        microphone = Microphone("usb", _into(said), card)
        blocks = pulled(card, microphone, sound, moment, fails=fails)
        heard = [int(one.words) for (one,) in listen(blocks, [Measure("top")], at_once)]
        away = (moment * ONCE, (moment + AWAY + 1) * ONCE)
        whole = [(start, end) for start, end in spans if end + RATE < away[0] or start - RATE // 2 > away[1]]
        broken = [(start, end) for start, end in spans if start < away[1] and end > away[0]]
        assert len(whole) <= len(heard) <= len(spans) - len(broken), (moment, heard)
        assert all(fed > min(end - start for start, end in spans) for fed in heard), (moment, heard)
        assert [text.split(". ")[0] for text in said] == [
            "The microphone USB Audio is gone",
            "The microphone USB Audio is back",
        ]
        assert "isn't taken" in said[0]
