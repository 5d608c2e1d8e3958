"""Both recognizers hear real sound with their real models."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from fieldvoice import data_folder
from fieldvoice.ears import hear, open_ear
from fieldvoice.ears.ear import Ear, merged, plain_words
from fieldvoice.ears.sound import Sound
from fieldvoice.ears.vosk_ear import VoskEar
from fieldvoice.ears.wav import read_wav
from fieldvoice.ears.whisper_ear import PROMPT, unrepeated
from fieldvoice.errors import BadInput, BadUsage
from fieldvoice.records.hearing import Hypothesis

FIXTURE = Path(__file__).parents[1] / "fixtures" / "vosk"
SAMPLES = data_folder("audio_samples")
MANIFEST = [json.loads(line) for line in (SAMPLES / "manifest.jsonl").read_text(encoding="utf-8").splitlines()]
DEMO = [entry for entry in MANIFEST if entry["demo"]]


class Network:
    """A language of one word, for recognizers that don't use it."""

    start = 0
    finals = frozenset({1})
    arcs: tuple[dict[str, int], ...] = ({"yes": 1}, {})


def fixture_words() -> list[str]:
    """Every word that the fixture model knows."""
    lines = (FIXTURE / "graph" / "words.txt").read_text(encoding="utf-8").split("\n")
    return [word for line in lines if (word := line.split(" ")[0]).isalpha()]


@pytest.fixture(scope="module")
def vosk() -> Ear:
    """Vosk with the fixture model."""
    return open_ear("vosk", fixture_words(), Network, FIXTURE)


@pytest.fixture(scope="module")
def whisper() -> Ear:
    """Whisper tiny.en as installed."""
    return open_ear("whisper", fixture_words(), Network)


@pytest.mark.parametrize("entry", DEMO, ids=lambda entry: entry["text"])
def test_whisper_hears_every_line_of_the_demo(whisper: Ear, entry: dict[str, str]) -> None:
    """The demo's words come out as they were spoken, best first."""
    heard = hear(whisper, read_wav(SAMPLES / entry["file"]))
    assert heard.words == entry["text"]
    assert 0.99 < sum(one.probability for one in heard.hypotheses) <= 1.000001


def test_vosk_hears_a_reading_and_shows_words_while_it_is_spoken(vosk: Ear) -> None:
    """Partial words grow toward the reading, and the reading is the best hypothesis."""
    entry = next(one for one in MANIFEST if one["text"] == "top twenty six and seven eighths" and not one["noise"])
    frames = read_wav(SAMPLES / entry["file"]).frames
    partials = [vosk.feed(frames[at : at + 1600]) for at in range(0, len(frames), 1600)]
    heard = vosk.finish()
    assert "twenty six" in partials[-1]
    assert heard.words == "top twenty six and seven eighths"
    assert heard.audio_seconds == pytest.approx(len(frames) / 16000)
    assert sum(one.probability for one in heard.hypotheses) <= 1.000001


@pytest.mark.parametrize("name", ["vosk", "whisper"])
def test_silence_is_nothing(name: str, request: pytest.FixtureRequest) -> None:
    """Silence, and no sound at all, give no hypotheses rather than a word."""
    ear: Ear = request.getfixturevalue(name)
    assert hear(ear, Sound(np.zeros(32_000, np.int16))).hypotheses == ()
    assert ear.finish().hypotheses == ()


def test_noise_alone_is_no_reading_to_whisper(whisper: Ear) -> None:
    """Two seconds of loud hiss aren't words."""
    hiss = (3000 * np.random.default_rng(4).standard_normal(32_000)).astype(np.int16)
    assert hear(whisper, Sound(hiss)).hypotheses == ()


def test_one_utterance_leaves_nothing_behind_for_the_next(vosk: Ear) -> None:
    """The same words are heard twice in a row; probabilities may differ a little, as the front end dithers."""
    sound = read_wav(SAMPLES / DEMO[4]["file"])
    assert [hear(vosk, sound).words for _ in range(2)] == [DEMO[4]["text"]] * 2


def test_a_word_that_the_model_lacks_is_a_loud_error() -> None:
    """Vosk would drop it silently; here it is named."""
    with pytest.raises(BadInput, match="boardwalker") as caught:
        VoskEar(FIXTURE, ["top", "boardwalker"])
    assert "could never be heard" in str(caught.value)


def test_an_utterance_without_an_end_is_not_guessed(whisper: Ear) -> None:
    """Half a minute without a pause can't be a reading, and doesn't crash."""
    hum = (8000 * np.sin(np.arange(40 * 16_000) / 9)).astype(np.int16)
    assert hear(whisper, Sound(hum)).hypotheses == ()


def test_an_unknown_recognizer_is_wrong_usage() -> None:
    """The names to choose from are said."""
    with pytest.raises(BadUsage, match="whisper, vosk"):
        open_ear("parrot", ["top"], Network)


def test_words_come_out_plain() -> None:
    """Case, commas, hyphens and stops are gone; apostrophes inside words stay."""
    assert plain_words(" Top, forty-two. What's missing?") == "top forty two what's missing"


def test_hypotheses_with_the_same_words_are_one() -> None:
    """Their probabilities add up."""
    both = merged([Hypothesis("no", 0.2), Hypothesis("yes", 0.5), Hypothesis("no", 0.4), Hypothesis("", 0.1)])
    assert [(one.words, round(one.probability, 3)) for one in both] == [("no", 0.6), ("yes", 0.5)]


@pytest.mark.parametrize(
    ("words", "seconds", "kept"),
    [
        ("yes yes", 0.4, "yes"),
        ("say again say again", 0.8, "say again"),
        ("eight eight", 0.8, "eight eight"),
        ("forty two", 0.3, "forty two"),
    ],
)
def test_a_made_up_repetition_goes_and_a_spoken_one_stays(words: str, seconds: float, kept: str) -> None:
    """What decides is whether there was time to say it."""
    assert unrepeated(Hypothesis(words, 1.0), seconds).words == kept


def test_the_prompt_has_no_digits() -> None:
    """Digits in the prompt made Whisper worse than none."""
    assert not any(sign.isdigit() for sign in PROMPT)


def test_the_samples_are_many_small_and_described() -> None:
    """At least 24 clips, 16 kHz 16 bit mono, each described; the demo's places run from 1 without a gap."""
    assert len(MANIFEST) >= 24
    assert {entry["snr_db"] for entry in MANIFEST} == {None, 20, 10}
    assert [entry["demo"] for entry in DEMO] == list(range(1, len(DEMO) + 1))
    assert {entry["file"] for entry in MANIFEST} == {file.name for file in SAMPLES.glob("*.wav")}
    for entry in MANIFEST:
        sound = read_wav(SAMPLES / entry["file"])
        assert (sound.source_rate, sound.source_channels) == (16_000, 1)
        assert entry["text"]
        assert entry["meanings"]
        assert entry["license"]
