"""How far words stand above the noise, which says how much evidence is wanted."""

from __future__ import annotations

import numpy as np
import pytest

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
