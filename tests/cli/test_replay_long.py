"""Recordings of any length: cut at their pauses, block by block, and one with nothing in it says so."""

from __future__ import annotations

import json
import tracemalloc
from pathlib import Path

import numpy as np
import pytest
import soundfile

from benchmarks.hearing import open_pair
from fieldvoice import data_folder
from fieldvoice.commands import replay
from fieldvoice.ears.ear import Ear
from fieldvoice.ears.sound import RATE, Frames
from fieldvoice.ears.wav import read_wav
from fieldvoice.errors import BadInput
from fieldvoice.language.automaton import automaton, vocabulary
from fieldvoice.records.hearing import EarKind, Hearing
from fieldvoice.records.length import Unit
from tests.cli.program import fieldvoice
from tests.ears.test_endpoint import hiss

SAMPLES = data_folder("audio_samples")
TALK = ("05-top-forty-one-and.wav", "06-middle-forty-one-and.wav", "13-done.wav")
SAID = ["top forty one and three eighths", "middle forty one and an eighth", "done"]


def talk(gap: float = 2.0) -> Frames:
    """Three utterances with quiet around them."""
    return np.concatenate([part for name in TALK for part in (hiss(gap), read_wav(SAMPLES / name).frames)])


def recorded(file: Path, frames: Frames, rate: int = RATE) -> Path:
    """A WAV of it."""
    soundfile.write(file, frames, rate)
    return file


@pytest.fixture(scope="module")
def ears() -> tuple[Ear, ...]:
    """What pip brings."""
    return open_pair(vocabulary(), automaton)


def words(file: Path, ears: tuple[Ear, ...]) -> list[str]:
    """What was heard in a recording, utterance by utterance."""
    return [hearings[0].words for hearings in replay.utterances(file, lambda: ears, lambda: Unit.INCH)]


def test_a_recording_of_several_readings_is_cut_at_its_pauses(tmp_path: Path, ears: tuple[Ear, ...]) -> None:
    """Longer than an utterance ever is; the last one has no quiet behind it."""
    file = recorded(tmp_path / "three.wav", talk())
    assert words(file, ears) == SAID


def test_a_short_recording_is_one_utterance(tmp_path: Path, ears: tuple[Ear, ...]) -> None:
    """Its own pauses don't cut it."""
    frames = read_wav(SAMPLES / TALK[0]).frames
    assert words(recorded(tmp_path / "one.wav", frames), ears) == SAID[:1]


@pytest.mark.parametrize(
    ("what", "frames"), [("silence", np.zeros(12 * RATE, np.int16)), ("hiss", hiss(12.0, 400.0))], ids=str
)
def test_a_long_recording_with_nothing_in_it_says_so(
    what: str, frames: Frames, tmp_path: Path, ears: tuple[Ear, ...]
) -> None:
    """Nobody speaks, and that is not passed over."""
    with pytest.raises(BadInput, match=f"Nobody speaks in {what}.wav"):
        words(recorded(tmp_path / f"{what}.wav", frames), ears)


def test_the_program_goes_on_after_an_empty_recording(tmp_path: Path) -> None:
    """65, a sentence with its name, and the readings of the other file taken."""
    empty = recorded(tmp_path / "empty.wav", np.zeros(12 * RATE, np.int16))
    three = recorded(tmp_path / "three.wav", talk())
    ran = fieldvoice("replay", "--json", str(empty), str(three), XDG_CACHE_HOME=str(tmp_path))
    assert ran.status == 65
    assert "Nobody speaks in empty.wav" in ran.err
    turns = [turn["text"] for turn in json.loads(ran.out)["transcript"] if turn["who"] == "hanger"]
    assert turns == SAID


def test_the_sound_of_each_utterance_is_kept(tmp_path: Path) -> None:
    """One WAV an utterance, each a part of the recording."""
    three = recorded(tmp_path / "three.wav", talk())
    ran = fieldvoice("replay", str(three), "--job", str(tmp_path / "a.job"), "--keep-audio", "--quiet")
    assert "41 3/8" in ran.out
    kept = [read_wav(file).seconds for file in sorted((tmp_path / "a.audio").glob("*.wav"))]
    assert len(kept) == 3
    assert all(0.5 < seconds < 5.0 for seconds in kept)


class Counter:
    """An ear that hears nothing and counts."""

    name, kind = "counter", EarKind.VOSK

    def __init__(self) -> None:
        self.longest, self.now = 0, 0

    def reset(self) -> None:
        """Forgets."""
        self.now = 0

    def feed(self, frames: Frames) -> str:
        """Counts."""
        self.now += len(frames)
        self.longest = max(self.longest, self.now)
        return ""

    def so_far(self) -> str:
        """Nothing."""
        return ""

    def silent(self, _frames: Frames | None = None) -> bool:
        """It can't tell."""
        return False

    def finish(self) -> Hearing:
        """Nothing was heard."""
        self.now = 0
        return Hearing((), self.name)


@pytest.mark.slow
def test_ten_minutes_without_a_pause_take_no_more_memory_than_one_utterance(tmp_path: Path) -> None:
    """Pieces of 24 s at most; what is held at once is a few of them, not the recording (19 MB as it lies there)."""
    without = np.concatenate([read_wav(SAMPLES / "05-top-forty-one-and.wav").frames[4000:-8000]] * 12)
    with soundfile.SoundFile(tmp_path / "ten.wav", "w", RATE, 1, "PCM_16") as file:
        file.write(hiss(1.0))
        while file.frames < 600 * RATE:
            file.write(without)
    ear = Counter()
    tracemalloc.start()
    try:
        pieces = sum(1 for _ in replay.utterances(tmp_path / "ten.wav", lambda: (ear,), lambda: Unit.INCH))
        _, peak = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    assert pieces >= 25
    assert 20 * RATE < ear.longest <= 24.5 * RATE
    assert peak < 6_000_000
