"""The read-back aloud, what happens where nothing can be heard, and the three sounds, told apart by rhythm whatever
plays them.
"""

from __future__ import annotations

import gc
import sys
from array import array
from contextlib import nullcontext
from itertools import groupby, pairwise

import pytest

from fieldvoice.errors import NotHere
from fieldvoice.output.voice import (
    LEVEL,
    LONG,
    REST,
    SHORT,
    Cue,
    Samples,
    Silent,
    Speaker,
    Synthesizer,
    open_voice,
    samples,
)
from fieldvoice.records.said import LOUDEST, SLOWEST, Manner
from fieldvoice.records.trouble import Trouble, Wrong
from fieldvoice.wording.troubles import sentence


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
        raise NotHere(Trouble(Wrong.NO_LOUDSPEAKER))

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


class Letters:
    """A synthesizer whose samples are how long a line is."""

    rate = 1000

    def __init__(self) -> None:
        self.manner = Manner()

    def say(self, line: str, hand_on: Samples) -> None:
        """One sample."""
        hand_on(array("h", [len(line)]))

    def speak_as(self, manner: Manner) -> None:
        """Remembered."""
        self.manner = manner


def test_a_device_that_vanishes_is_told_once() -> None:
    """The first line that can't be played is told; the work goes on without a word more."""
    told: list[str] = []

    def gone(samples: array[int]) -> None:
        raise NotHere(Trouble(Wrong.NO_LOUDSPEAKER))

    voice = Speaker(Letters(), lambda: nullcontext(gone), told.append)
    voice.say("one")
    voice.say("two")
    assert told == [sentence(Trouble(Wrong.NO_LOUDSPEAKER))]


def test_what_is_said_is_played() -> None:
    """Each line's samples reach the device in order."""
    played: list[int] = []
    voice = Speaker(Letters(), lambda: nullcontext(played.extend), lambda line: None)
    voice.say("one")
    voice.say("three")
    assert played == [3, 5]


def test_a_sound_is_played_where_lines_are() -> None:
    """At the synthesizer's own rate."""
    played: list[int] = []
    voice = Speaker(Letters(), lambda: nullcontext(played.extend), lambda line: None)
    assert voice.beep(Cue.TAKEN)
    assert array("h", played) == samples(Cue.TAKEN, Letters.rate)
    assert not Silent().beep(Cue.TAKEN)


def test_louder_and_slower_are_heard() -> None:
    """In the samples themselves: each step longer, each step with more power, and back to what it was."""
    synthesizer = Synthesizer()
    line = "Top: four six, and seven eighths."

    def measured(manner: Manner) -> tuple[int, float]:
        synthesizer.speak_as(manner)
        made = synthesizer(line)
        return len(made), sum(each * each for each in made) / len(made)

    plain = measured(Manner())
    lengths = [measured(Manner(slowness=step))[0] for step in range(-2, 4)]
    powers = [measured(Manner(loudness=step))[1] for step in range(-2, 4)]
    assert all(longer > shorter * 1.05 for shorter, longer in pairwise(lengths))
    assert all(louder > softer * 1.2 for softer, louder in pairwise(powers))
    assert measured(Manner())[0] == pytest.approx(plain[0], rel=0.02)


def test_each_synthesizer_speaks_in_its_own_manner_after_another_is_gone() -> None:
    """The library has one callback and one manner for all: those of one that is gone would be called."""
    first = Synthesizer()
    usual = len(first("top forty six"))
    other = Synthesizer()
    other.speak_as(Manner(slowness=2))
    slower = len(other("top forty six"))
    del other
    gc.collect()
    assert (
        abs(len(first("top forty six")) - usual) < usual / 50 < (slower - usual) / 4
    )  # no two lines are quite as long


def test_a_manner_goes_as_far_as_it_goes() -> None:
    """Said ten times, it is as loud and as slow as it can be, and one word back is one step back."""
    manner = Manner()
    for _ in range(10):
        manner = manner.louder().slower()
    assert manner == Manner(LOUDEST, SLOWEST)
    assert manner.louder(-1).slower(-1) == Manner(LOUDEST - 1, SLOWEST - 1)


def test_without_portaudio_it_says_so_once_and_goes_on(monkeypatch: pytest.MonkeyPatch) -> None:
    """A machine without the sound library still works."""
    monkeypatch.setitem(sys.modules, "sounddevice", None)
    told: list[str] = []
    voice = open_voice(told.append, quiet=False)
    voice.say("one")
    voice.say("two")
    assert told == [sentence(Trouble(Wrong.NO_LOUDSPEAKER))]


RATE = 22_050


def beats(sound: Cue) -> list[float]:
    """Seconds of each stretch in which something sounds, found in the samples alone."""
    hop = RATE // 500
    made = samples(sound, RATE)
    loud = [max(abs(each) for each in made[at : at + hop]) > 400 for at in range(0, len(made), hop)]
    return [len(list(stretch)) * hop / RATE for sounds, stretch in groupby(loud) if sounds]


@pytest.mark.parametrize(
    ("sound", "rhythm"),
    [(Cue.LISTENING, [SHORT]), (Cue.TAKEN, [SHORT, SHORT]), (Cue.WAITING, [LONG, SHORT, LONG])],
)
def test_each_sound_has_its_beats(sound: Cue, rhythm: list[float]) -> None:
    """Counted and timed in the samples: a beat is as long as it should be to a fiftieth of a second."""
    assert beats(sound) == pytest.approx(rhythm, abs=0.02)


def test_sounds_are_short_and_quieter_than_a_voice() -> None:
    """None holds up a reading, and none is louder than its level."""
    for sound in Cue:
        lasts = sum(sound.value) + REST * (len(sound.value) - 1)
        assert lasts < 0.6
        assert len(samples(sound, RATE)) == pytest.approx(lasts * RATE, abs=4)
        assert max(map(abs, samples(sound, RATE))) <= 32767 * LEVEL
