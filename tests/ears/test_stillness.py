"""A microphone that is muted is told of, one in a quiet room isn't."""

from __future__ import annotations

import numpy as np

from fieldvoice.ears.device_watch import Stillness

STILL, HISS = np.zeros(1600, np.int16), np.tile(np.array([0, 1, 0, -1], np.int16), 400)


def said(blocks: str) -> list[int]:
    """At which blocks (0.1 s each, . for none at all and h for hiss) it is said that no sound comes."""
    stillness = Stillness()
    return [at for at, sign in enumerate(blocks, 1) if stillness.begins(HISS if sign == "h" else STILL)]


def test_no_sound_at_all_is_said_once_after_three_seconds() -> None:
    """Then not again before there was a sound."""
    assert said(100 * ".") == [30]
    assert said(40 * "." + "h" + 40 * ".") == [30, 71]


def test_a_quiet_room_is_not_still() -> None:
    """The hiss of the microphone moves the last bit now and then."""
    assert said(20 * (20 * "." + "h")) == []
