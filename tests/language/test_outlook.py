"""How long a pause may be is told by the words before it, on real sound as well."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest

from benchmarks.hearing import open_pair
from fieldvoice import data_folder
from fieldvoice.ears.ear import Ear
from fieldvoice.ears.listening import Listening, listen
from fieldvoice.ears.sound import RATE, Frames, level_db
from fieldvoice.ears.wav import read_wav
from fieldvoice.language.automaton import automaton, vocabulary
from fieldvoice.language.outlook import outlook
from fieldvoice.records.length import Unit
from training.noises import Noise, noise

SAMPLES = data_folder("audio_samples")
JOINTS = {
    "05-top-forty-one-and.wav": (1.22, "top forty one and three eighths"),
    "06-middle-forty-one-and.wav": (1.30, "middle forty one and an eighth"),
    "14-top-twenty-six-and.wav": (1.60, "top twenty six and seven eighths"),
}
"""Where, in seconds, the inches are over and "and" hasn't begun."""


@pytest.mark.parametrize(
    ("words", "follows"),
    [
        ("", "may go on"),
        ("top", "must go on"),
        ("top forty two", "may go on"),
        ("top eight foot", "may go on"),
        ("ceiling height is eight foot", "may go on"),
        ("change top to three foot", "may go on"),
        ("top eight foot four", "may go on"),
        ("top eight foot four and a half", "complete"),
        ("forty two", "may go on"),
        ("top forty two and", "must go on"),
        ("top forty two and a sixteenth", "complete"),
        ("top forty two flat", "complete"),
        ("box one single gang center thirty from left", "must go on"),
        ("box one single gang center thirty from left forty eight down", "complete"),
        ("yes", "complete"),
        ("no", "may go on"),
        ("done", "complete"),
        ("resume", "complete"),
        ("the saw is loud", "may go on"),
    ],
)
def test_the_words_say_whether_more_follows(words: str, follows: str) -> None:
    """A whole number of inches may get a fraction, and "no" the right value; half a reading must go on."""
    assert outlook(words) == follows


@pytest.mark.parametrize("words", ["top eleven ninety", "top nine fifty"])
def test_a_bare_figure_is_a_whole_reading_in_millimeters(words: str) -> None:
    """In inches more must follow it."""
    assert outlook(words, Unit.MM) != "must go on"


@pytest.mark.parametrize(
    ("words", "follows"),
    [
        ("top eleven", "may go on"),
        ("top nine", "may go on"),
        ("nine", "may go on"),
        ("change top to eleven", "may go on"),
        ("width at eight hundred is nine", "may go on"),
        ("top twelve hundred", "may go on"),
        ("top one thousand one hundred", "may go on"),
        ("top eleven ninety", "may go on"),
        ("top eleven eighty eight", "complete"),
        ("top eleven fourteen", "complete"),
        ("top eleven ninety millimeters", "complete"),
        ("top forty two inches", "may go on"),
        ("top eight foot", "may go on"),
        ("box one single gang center seven sixty from left twelve twenty down", "complete"),
        ("board one", "complete"),
        ("yes", "complete"),
        ("done", "complete"),
    ],
)
def test_half_a_number_in_millimeters_is_waited_for(words: str, follows: str) -> None:
    """The first half of "eleven ninety" is a number too, and would be 11 mm."""
    assert outlook(words, Unit.MM) == follows


def test_half_an_utterance_in_millimeters_must_go_on() -> None:
    """Where nothing in inches begins so, it isn't waited for."""
    assert outlook("top eleven ninety then", Unit.MM) == "must go on"
    assert outlook("top eleven ninety then", Unit.INCH) == "may go on"


@pytest.fixture(scope="module")
def pair() -> tuple[Ear, Ear]:
    """The reading ear and Whisper's."""
    return open_pair(vocabulary(), automaton)


def hiss(seconds: float) -> Frames:
    """A quiet room."""
    return (12 * np.random.default_rng(1).standard_normal(round(RATE * seconds))).astype(np.int16)


def heard(pair: tuple[Ear, Ear], *parts: Frames) -> list[tuple[str, float]]:
    """The words of each utterance, and how much sound had been fed when it came."""
    sound, fed = np.concatenate(parts), [0]

    def blocks() -> Iterator[Frames]:
        for at in range(0, len(sound), 320):
            fed[0] = at + 320
            yield sound[at : at + 320]

    return [(hearings[0].words, fed[0] / RATE) for hearings in listen(blocks(), pair, Listening(outlook))]


@pytest.mark.parametrize("name", JOINTS)
def test_a_pause_between_inches_and_fraction_leaves_one_reading(pair: tuple[Ear, Ear], name: str) -> None:
    """With 0.9 s of quiet between them it comes out whole, once."""
    at, text = JOINTS[name]
    frames, joint = read_wav(SAMPLES / name).frames, round(at * RATE)
    found = heard(pair, hiss(1.0), frames[:joint], hiss(0.9), frames[joint:], hiss(2.5))
    assert [words for words, _ in found] == [text]


def test_a_complete_utterance_is_over_after_a_third_of_a_second(pair: tuple[Ear, Ear]) -> None:
    """Nothing can follow "done" or a fraction, so nothing is waited for."""
    for name in ("13-done.wav", "06-middle-forty-one-and.wav"):
        frames = read_wav(SAMPLES / name).frames
        size = np.abs(frames.astype(int))
        spoken = frames[: np.flatnonzero(size > size.max() / 18)[-1]]
        ((_, at),) = heard(pair, hiss(1.0), spoken, hiss(2.5))
        assert at - 1.0 - len(spoken) / RATE < 0.5


def test_a_reading_in_noise_that_sounds_like_speech_comes_out_whole_and_ends(pair: tuple[Ear, Ear]) -> None:
    """A compressor 10 dB below the words throbs on: the pause before "and" cuts nothing, and the end is seen."""
    at, text = JOINTS["05-top-forty-one-and.wav"]
    frames, joint = read_wav(SAMPLES / "05-top-forty-one-and.wav").frames, round(at * RATE)
    gap = np.zeros(round(0.9 * RATE), np.int16)
    words = np.concatenate([frames[:joint], gap, frames[joint:], np.zeros(6 * RATE, np.int16)])
    motor = noise(Noise.COMPRESSOR, 80, len(words), np.random.default_rng(1))
    motor *= 10 ** ((level_db(frames) - 10 - level_db((3000 * motor).astype(np.int16))) / 20) * 3000
    (said, ended), *_ = heard(pair, hiss(1.0), (words + motor).astype(np.int16))
    assert said == text
    assert ended < 1.0 + (len(frames) + len(gap)) / RATE + 3.5
