"""Speech kept in a file comes back as it was said, but for what a lossy codec takes."""

from __future__ import annotations

import random
import shutil
from pathlib import Path

import numpy as np
import pytest

from training.calls import SET_PHRASES
from training.corpus import Clip, Corpus, orders
from training.splits import Split, split_of_text
from training.texts import Said, Text, Texts
from training.voices import Voice, voices


def clip(words: str, pitch: float, samples: int) -> Clip:
    """A tone for words."""
    wave = 3_000 * np.sin(2 * np.pi * pitch * np.arange(samples) / 16_000)
    return Clip(Text(Said.PHRASE, words), Voice("flite", "slt", Split.TRAIN), wave.astype(np.int16))


def test_a_hundred_long_clips_are_written(tmp_path: Path) -> None:
    """Together they last five minutes, of which the encoder can't take all at once."""
    clips = tuple(clip("", 200 + number, 48_000) for number in range(100))
    Corpus(clips).save(tmp_path / "speech")
    assert sum(len(one.sound) for one in Corpus.load(tmp_path / "speech").clips) == 100 * 48_000


def test_a_corpus_comes_back(tmp_path: Path) -> None:
    """Words, voices and lengths to the letter, each sound its own."""
    clips = tuple(clip(f"top {number}", 200 + 3 * number, 8_000 + 37 * number) for number in range(130))
    Corpus(clips).save(tmp_path / "speech")
    back = Corpus.load(tmp_path / "speech").clips
    assert [(one.text, one.voice, len(one.sound)) for one in back] == [
        (one.text, one.voice, len(one.sound)) for one in clips
    ]
    for mine, theirs in zip(clips, back, strict=True):
        assert np.corrcoef(mine.sound, theirs.sound)[0, 1] > 0.98


def _drawn(dice: random.Random) -> str:
    return f"top {dice.randrange(5_000)}"


@pytest.mark.skipif(shutil.which("espeak-ng") is None, reason="espeak-ng says the orders")
def test_orders_keep_to_their_split_and_engines() -> None:
    """No text of another split is said but for set phrases and lone words, and only by the engines asked for."""
    texts = Texts(_drawn, _drawn, ["top"], [["some", "other", "words"]])
    made = orders(texts, Split.TUNE, 240, 3, {"espeak"})
    assert {order.voice.engine for order in made} <= {"espeak"}
    said = {text.words for order in made for text in order.texts if " " in text.words}
    assert {split_of_text(words) for words in said - SET_PHRASES} == {Split.TUNE}
    assert made == orders(texts, Split.TUNE, 240, 3, {"espeak"})


def test_no_speaker_is_in_two_splits() -> None:
    """A blend draws on no speaker that is kept for tuning or for the test."""
    names = {
        split: {name for voice in voices(split) for name in voice.name.split("+") if voice.engine == "kokoro"}
        for split in Split
    }
    assert not names[Split.TRAIN] & names[Split.TUNE]
    assert not names[Split.TRAIN] & names[Split.TEST]
    assert not names[Split.TUNE] & names[Split.TEST]
