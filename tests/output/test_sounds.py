"""The three sounds are told apart by rhythm, whatever plays them."""

from __future__ import annotations

from itertools import groupby

import pytest

from fieldvoice.output.sounds import LEVEL, LONG, REST, SHORT, Cue, samples

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
