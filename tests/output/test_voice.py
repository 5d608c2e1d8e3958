"""The read-back aloud, and what happens where nothing can be heard."""

from __future__ import annotations

import sys
from array import array
from contextlib import nullcontext

import pytest

from fieldvoice.errors import NotHere
from fieldvoice.output.voice import NO_DEVICE, Silent, Speaker, Synthesizer, open_voice


def test_the_real_synthesizer_speaks() -> None:
    """A read-back becomes one to four seconds of sound that isn't silence, and the next one starts afresh."""
    synthesizer = Synthesizer()
    samples = synthesizer("Top: four six, and seven eighths.")
    assert 1 < len(samples) / synthesizer.rate < 4
    assert max(samples) > 3000
    assert len(synthesizer("Yes.")) < len(samples)


def test_a_line_begins_to_be_heard_before_all_of_it_is_made() -> None:
    """It comes in parts, in order, which are the whole."""
    synthesizer = Synthesizer()
    parts: list[array[int]] = []
    line = "Height left: nine five inches and one quarter."
    synthesizer.say(line, parts.append)
    assert len(parts) > 5
    assert len(parts[0]) < 0.2 * synthesizer.rate
    assert sum(map(len, parts)) == pytest.approx(len(synthesizer(line)), rel=0.01), "its length varies by a hair"


def test_what_fails_while_a_line_is_played_ends_it() -> None:
    """Nothing may be raised through the library; it is told to stop, the fault comes out, and the next line is said."""
    synthesizer = Synthesizer()
    tried: list[int] = []

    def gone(samples: array[int]) -> None:
        tried.append(len(samples))
        raise NotHere(NO_DEVICE)

    with pytest.raises(NotHere):
        synthesizer.say("Top: four six, and seven eighths.", gone)
    assert len(tried) == 1
    assert len(synthesizer("Yes.")) > 1000


def test_an_unknown_voice_says_what_to_do() -> None:
    """The sentence names the package that brings the voices."""
    with pytest.raises(NotHere, match="espeakng-loader"):
        Synthesizer("no-such-voice")


def test_quiet_says_nothing_and_tells_nothing() -> None:
    """--quiet doesn't complain about a device that it doesn't need."""
    told: list[str] = []
    voice = open_voice(told.append, quiet=True)
    voice.say("anything")
    assert isinstance(voice, Silent)
    assert told == []


def test_a_device_that_vanishes_is_told_once() -> None:
    """The first line that can't be played is told; the work goes on without a word more."""
    told: list[str] = []

    def gone(samples: array[int]) -> None:
        raise NotHere(NO_DEVICE)

    voice = Speaker(lambda _, play: play(array("h", [0])), lambda: nullcontext(gone), told.append)
    voice.say("one")
    voice.say("two")
    assert told == [NO_DEVICE]


def test_what_is_said_is_played() -> None:
    """Each line's samples reach the device in order."""
    played: list[int] = []
    voice = Speaker(
        lambda line, play: play(array("h", [len(line)])), lambda: nullcontext(played.extend), lambda line: None
    )
    voice.say("one")
    voice.say("three")
    assert played == [3, 5]


def test_without_portaudio_it_says_so_once_and_goes_on(monkeypatch: pytest.MonkeyPatch) -> None:
    """A machine without the sound library still works."""
    monkeypatch.setitem(sys.modules, "sounddevice", None)
    told: list[str] = []
    voice = open_voice(told.append, quiet=False)
    voice.say("one")
    voice.say("two")
    assert told == [NO_DEVICE]
