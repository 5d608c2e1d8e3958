"""Our log-mel picture is the one that the encoder was trained on."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from fieldvoice.ears.encoder import context_columns, in_context, log_mel

REFERENCE = Path(__file__).parents[1] / "fixtures" / "log_mel.npz"
"""Made once by faster-whisper 1.2.1's FeatureExtractor (its defaults) from the sweep below; kept as data since that
package brings 180 MB of others."""


def sweep() -> np.ndarray:
    """0.6 s of a rising tone over a high steady one."""
    time = np.arange(9600) / 16000
    low = 0.3 * np.sin(2 * np.pi * (200 + 3000 * time) * time)
    return (low + 0.05 * np.sin(2 * np.pi * 5200 * time)).astype(np.float32)


def test_the_picture_is_the_reference_librarys() -> None:
    """Every band of every column agrees with faster-whisper's extractor."""
    reference = np.load(REFERENCE)["picture"]
    ours = log_mel(sweep())
    assert ours.shape == reference.shape
    assert np.abs(ours - reference).max() < 1e-3


@pytest.mark.parametrize("samples", [0, 1, 159, 400, 401, 16000])
def test_any_length_has_a_picture(samples: int) -> None:
    """Even a single sample gives finite columns."""
    picture = log_mel(np.zeros(samples, np.float32))
    assert picture.shape == (80, samples // 160 + 1)
    assert np.isfinite(picture).all()


def test_the_context_is_ten_seconds_and_grows_with_long_utterances() -> None:
    """1,000 columns up to 8.5 s, then 1.5 s more than the utterance, never over 30 s."""
    assert context_columns(0) == 1000
    assert context_columns(8 * 16000) == 1000
    assert context_columns(12 * 16000) == 1350
    assert context_columns(60 * 16000) == 3000
    assert in_context(np.ones((80, 5), np.float32), 8).sum() == 400
