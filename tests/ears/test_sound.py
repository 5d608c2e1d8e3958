"""How far words stand above the noise, which says how much evidence is wanted; a microphone that is muted is told of,
one in a quiet room isn't.
"""

from __future__ import annotations

import numpy as np
import pytest

from fieldvoice.ears.microphone import Stillness
from fieldvoice.ears.sound import Frames, above_noise_db


def words(between: float) -> Frames:
    """Two loud words in two seconds, and noise of that deviation throughout."""
    sound = np.random.default_rng(1).normal(0, between, 32_000) if between else np.zeros(32_000)
    for start in (6_000, 20_000):
        sound[start : start + 6_000] += 8_000 * np.sin(np.arange(6_000) / 7)
    return sound.astype(np.int16)


@pytest.mark.parametrize(("between", "least", "most"), [(30, 43, 49), (600, 17, 23), (4_000, 3, 8)])
def test_louder_noise_leaves_less(between: float, least: float, most: float) -> None:
    """In the order of the ratio of the two."""
    above = above_noise_db(words(between))
    assert above is not None
    assert least < above < most


def test_where_nothing_is_between_the_words_it_is_not_known() -> None:
    """A noise gate closes there; under the words there may be any noise. Nor in no sound at all."""
    assert above_noise_db(words(0)) is None
    assert above_noise_db(np.zeros(0, np.int16)) is None


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
