"""People's recordings: nobody in two splits, letters are no words, and what is cut close is the words alone."""

from __future__ import annotations

import random
from pathlib import Path

import numpy as np
import pytest
import soundfile

from training.people import an4, commands, cut_close, digits, in_its_own_quiet, words_in
from training.splits import Split

RATE = 16_000


def spoken(quiet: float = 0.001) -> np.ndarray:
    """Half a second of a tone between half seconds of a quiet room."""
    dice = np.random.default_rng(1)
    room = dice.normal(0, quiet, RATE // 2)
    return np.concatenate([room, 0.1 * np.sin(np.arange(RATE // 2)), room])


def write(file: Path) -> None:
    """A recording."""
    file.parent.mkdir(parents=True, exist_ok=True)
    soundfile.write(file, spoken(), RATE)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Forty people of AN4, one of its test speakers, and forty of Speech Commands."""
    lines = [f"<s> YES </s> (an1-f{number:02}-b)" for number in range(40)]
    (tmp_path / "etc").mkdir()
    (tmp_path / "etc" / "an4_train.transcription").write_text("\n".join(lines))
    (tmp_path / "etc" / "an4_test.transcription").write_text("RUBOUT A O FIFTY (an2-mtest-b)")
    for number in range(40):
        write(tmp_path / "wav" / "an4_clstk" / f"f{number:02}" / f"an1-f{number:02}-b.wav")
        write(tmp_path / "commands" / "yes" / f"{number:02}_nohash_0.wav")
        write(tmp_path / "commands" / "cat" / f"{number:02}_nohash_0.wav")
    write(tmp_path / "wav" / "an4test_clstk" / "mtest" / "an2-mtest-b.wav")
    write(tmp_path / "digits" / "7_theo_3.wav")
    return tmp_path


def test_nobody_is_in_two_splits(folder: Path) -> None:
    """AN4's own test speakers and the digits are for measuring alone; each split has people of both."""
    people = [*an4(folder), *commands(folder / "commands"), *digits(folder / "digits")]
    splits = {one.person: {other.split for other in people if other.person == one.person} for one in people}
    assert all(len(each) == 1 for each in splits.values())
    assert splits["an4 mtest"] == splits["digits theo"] == {Split.TEST}
    assert {one.split for one in an4(folder)} == {one.split for one in commands(folder / "commands")} == set(Split)


def test_a_letter_is_no_word_but_for_the_nought(folder: Path) -> None:
    """Capitals are words of no dictionary, so that an A that is spelled isn't the article."""
    assert next(one.words for one in an4(folder) if one.split is Split.TEST) == "rubout A oh fifty"


def test_cut_close_there_are_the_words_alone() -> None:
    """And in its own quiet there is at least a third of a second of the same room on either side."""
    sound = spoken()
    assert abs(len(cut_close(sound)) - RATE // 2) < RATE // 50
    padded = in_its_own_quiet(cut_close(np.concatenate([sound[: RATE // 4], sound])), random.Random(1))
    first, last = words_in(padded)
    assert first > 0.3 * RATE
    assert len(padded) - last > 0.3 * RATE
    assert np.abs(padded[: RATE // 4]).max() < 0.02
