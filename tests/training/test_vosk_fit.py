"""A model is trained, written and heard with: a tiny language whose phones are tones."""

from __future__ import annotations

import io
import itertools
import json
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
import torch
from numpy.typing import NDArray

from training.site import Noisy
from training.vosk_model.fit import Plan, fit
from training.vosk_model.folder import write_folder
from training.vosk_model.graphs import Costs
from training.vosk_model.lexicon import Lexicon

LEXICON = Lexicon(
    ("SIL", "A", "E", "N", "S"),
    {"no": ((3, 1),), "see": ((4, 2),), "sun": ((4, 1, 3),), "ten": ((2, 3),)},
    ("no", "see", "sun", "ten"),
)
PITCHES = {1: 400, 2: 900, 3: 1_800, 4: 4_000}
TEXTS = [" ".join(words) for words in itertools.product(LEXICON.vocabulary, repeat=2)]


def said(text: str, dice: np.random.Generator) -> NDArray[np.int16]:
    """A tone for each phone, with quiet around each word."""
    parts = [np.zeros(int(dice.uniform(0.1, 0.3) * 16_000))]
    for word in text.split():
        for phone in LEXICON.sounds[word][0]:
            samples = int(dice.uniform(0.08, 0.14) * 16_000)
            parts.append(3_000 * np.sin(2 * np.pi * PITCHES[phone] * np.arange(samples) / 16_000))
        parts.append(np.zeros(int(dice.uniform(0.02, 0.2) * 16_000)))
    sound = np.concatenate([*parts, np.zeros(3_200)])
    return (sound + 20 * dice.standard_normal(len(sound))).astype(np.int16)


def stream(dice: np.random.Generator) -> Iterator[Noisy]:
    """Eight clips at once, without end."""
    while True:
        words = tuple(dice.choice([*TEXTS, ""], 8))
        sounds = [said(text, dice) for text in words]
        lengths = np.array([len(sound) for sound in sounds])
        padded = np.stack([np.pad(sound, (0, lengths.max() - len(sound))) for sound in sounds])
        sound = torch.from_numpy(padded.astype(np.float32) / 32_768)
        yield Noisy(sound, sound, torch.from_numpy(lengths), words)


@pytest.mark.slow
def test_what_was_trained_is_heard(tmp_path: Path) -> None:
    """After half a minute every pair of words is heard as it was said, in clips that were in no training."""
    import vosk

    log = io.StringIO()
    net = fit(stream(np.random.default_rng(1)), TEXTS, LEXICON, Plan(30, width=48, neck=16, depth=3), "cpu", log)
    lines = [json.loads(line) for line in log.getvalue().splitlines()]
    assert lines[-1]["objective"] > lines[1]["objective"]
    write_folder(tmp_path, net, LEXICON, Costs())
    vosk.SetLogLevel(-1)
    model, dice = vosk.Model(str(tmp_path)), np.random.default_rng(2)
    for text in TEXTS:
        recognizer = vosk.KaldiRecognizer(model, 16_000, json.dumps([*LEXICON.vocabulary, "[unk]"]))
        recognizer.AcceptWaveform(said(text, dice).tobytes())
        assert json.loads(recognizer.FinalResult())["text"] == text


def test_a_stream_that_breaks_stops_the_training() -> None:
    """What went wrong in the thread that reads it is raised, not waited for."""

    def broken() -> Iterator[Noisy]:
        yield next(stream(np.random.default_rng(1)))
        raise OSError("no more")

    with pytest.raises(OSError, match="no more"):
        fit(broken(), TEXTS, LEXICON, Plan(60, width=8, neck=4, depth=1), "cpu", io.StringIO())
    with pytest.raises(EOFError):
        fit(iter(()), TEXTS, LEXICON, Plan(60, width=8, neck=4, depth=1), "cpu", io.StringIO())
