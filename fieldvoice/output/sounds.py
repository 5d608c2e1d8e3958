"""Three short sounds, told apart by their rhythm alone, so that neither loudspeaker nor ear need tell a pitch.

One beat: go ahead, it is listening. Two quick beats: taken. Long, short, long: an answer is waited for.
"""

from __future__ import annotations

import math
from array import array
from enum import Enum

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
