"""The reading ear and Whisper on real sound with the real models."""

from __future__ import annotations

import json
import subprocess
import sys
from functools import partial

import numpy as np
import pytest
import soxr

from benchmarks.endpointing import trimmed
from benchmarks.hearing import open_pair
from fieldvoice import data_folder
from fieldvoice.ears import hear, open_ear
from fieldvoice.ears.ear import Ear
from fieldvoice.ears.encoder import bare_columns, context_columns
from fieldvoice.ears.listening import Listening, listen
from fieldvoice.ears.reading_head.head import ReadingHead
from fieldvoice.ears.sound import RATE, Sound
from fieldvoice.ears.wav import read_wav
from fieldvoice.ears.whole_utterance import WholeEar
from fieldvoice.language.automaton import automaton, open_talk, vocabulary
from fieldvoice.language.outlook import outlook
from fieldvoice.language.understanding import understand
from fieldvoice.language.verdict import Expectation, Finding, Verdict, judge
from fieldvoice.output.voice import Synthesizer
from fieldvoice.records.hearing import EarKind, Source
from fieldvoice.records.length import Unit
from training.mixing import as_frames
from training.noises import echo

SAMPLES = data_folder("audio_samples")
MANIFEST = [json.loads(line) for line in (SAMPLES / "manifest.jsonl").read_text(encoding="utf-8").splitlines()]


@pytest.fixture(scope="module")
def pair() -> tuple[Ear, Ear]:
    """The head's ear and Whisper's."""
    return open_pair(vocabulary(), automaton)


def verdict_on(pair: tuple[Ear, Ear], sound: Sound) -> Verdict:
    """What both together make of a recording, a yes or no being waited for."""
    return judge([hear(ear, sound) for ear in pair], Expectation(answer=True))


@pytest.mark.parametrize("entry", MANIFEST, ids=lambda entry: entry["file"])
def test_no_recording_is_taken_for_something_else(pair: tuple[Ear, Ear], entry: dict[str, str]) -> None:
    """In noise a recording is taken as it was spoken or not at all; without noise every one is taken, but for a wall's
    name alone, which is asked about as what it is.
    """
    verdict = verdict_on(pair, read_wav(SAMPLES / entry["file"]))
    if verdict.finding is Finding.ACCEPT:
        assert verdict.utterance.meanings == understand(entry["text"], Source.SPOKEN).meanings
    elif entry["snr_db"] is None:
        assert (
            (verdict.finding, verdict.utterance.heard)
            == (Finding.DOUBT, "south wall")
            == (verdict.finding, entry["text"])
        )


def test_the_heads_probabilities_are_of_all_that_could_have_been_said(pair: tuple[Ear, Ear]) -> None:
    """A clear reading has nearly all; each hearing names its own encoder."""
    sound = read_wav(SAMPLES / "05-top-forty-one-and.wav")
    first, second = (hear(ear, sound) for ear in pair)
    assert (first.kind, second.kind) == (EarKind.READING, EarKind.WHISPER)
    assert (first.encoder, second.encoder) == ("reading", "tiny.en")
    assert 0.9 < sum(one.probability for one in first.hypotheses) <= 1.000001
    assert first.recognizer == "reading"


def test_the_ear_follows_the_unit_of_the_job() -> None:
    """Between two utterances the job was switched to millimeters, and back: the same sound is a plain number there
    alone.
    """
    now = [Unit.INCH]
    ear, _ = open_pair(vocabulary(), lambda: automaton(now[0]))
    voice = Synthesizer()
    sound = Sound(soxr.resample(np.array(voice("top twelve hundred"), np.int16), voice.rate, RATE))
    heard = []
    for unit in (Unit.INCH, Unit.MM, Unit.INCH):
        now[0] = unit
        heard.append(hear(ear, sound).words)
    assert heard[1] == "top twelve hundred"
    assert heard[0] == heard[2] != heard[1]


@pytest.mark.parametrize("seed", range(4))
def test_noise_is_no_reading(pair: tuple[Ear, Ear], seed: int) -> None:
    """The head finds some reading in any hiss; its posterior rejects it."""
    hiss = (3000 * np.random.default_rng(seed).standard_normal(32_000)).astype(np.int16)
    assert verdict_on(pair, Sound(hiss)).finding is Finding.REFUSE


def test_the_reading_ear_tells_whether_anybody_speaks(pair: tuple[Ear, Ear]) -> None:
    """In hiss nobody, in a reading somebody, also in a second from its middle; the other ear leaves that open."""
    reading, whisper = pair
    hiss = (300 * np.random.default_rng(3).standard_normal(16_000)).astype(np.int16)
    words = read_wav(SAMPLES / "05-top-forty-one-and.wav").frames
    assert reading.silent(hiss)
    assert not reading.silent(words)
    assert not reading.silent(words[16_000:32_000])
    assert not whisper.silent(hiss)
    reading.feed(hiss)
    assert reading.silent()
    reading.reset()
    assert reading.silent(), "nothing was fed"


def test_no_second_out_of_a_call_is_silent(pair: tuple[Ear, Ear]) -> None:
    """A long call goes on through the looks that are taken of it: what is cut out of it anywhere is somebody's words,
    in the recordings with noise too.
    """
    reading, _ = pair
    seconds = [
        (entry["file"], at, trimmed(read_wav(SAMPLES / entry["file"]).frames)[at : at + RATE])
        for entry in MANIFEST
        for at in range(RATE // 2, 4 * RATE, RATE // 2)
    ]
    whole = [each for each in seconds if len(each[2]) == RATE]
    assert len(whole) > 40
    assert not [(file, at) for file, at, sound in whole if reading.silent(sound)]


@pytest.mark.parametrize("samples", [0, 800, 40 * 16_000])
def test_silence_short_or_endless_is_nothing(pair: tuple[Ear, Ear], samples: int) -> None:
    """No sound, a click's length and 40 s without a pause are refused without a crash."""
    assert verdict_on(pair, Sound(np.zeros(samples, np.int16))).finding is Finding.REFUSE


def test_the_reading_encoder_takes_no_time_over_emptiness() -> None:
    """It is shown the utterance and little more; Whisper's at least ten seconds."""
    assert bare_columns(16_000) == 140
    assert bare_columns(27 * 16_000) < 2_800
    assert context_columns(16_000) == 1_000


def test_a_word_that_the_head_lacks_is_named() -> None:
    """All others are heard; who waits for it is told."""
    ear = open_ear("reading", ["top", "boardwalker"], automaton)
    assert isinstance(ear, WholeEar)
    assert ear.unheard == ("boardwalker",)


def test_the_shipped_head_knows_every_word_that_an_ear_listens_for() -> None:
    """A new word of the grammar is in `unheard.tsv` until a head was trained on it: none is waited for in vain."""
    assert ReadingHead.load().missing(vocabulary()) == ()


SAID = ("Width, top: four six and seven eighths.", "Is the bottom width really one four?", "Yes or no?")


@pytest.mark.parametrize("late", [0.0, 0.2, 0.5, None])
def test_what_fieldvoice_says_is_not_heard_behind_it(pair: tuple[Ear, Ear], late: float | None) -> None:
    """The end of a read-back, in an empty room and by a loudspeaker that is late, is no call. Where nothing is muted
    (None) it would be one.
    """
    voice, heard = Synthesizer(), []
    for room, line in enumerate(SAID):
        dry = soxr.resample(np.array(voice(line), np.float64), voice.rate, RATE)
        sound = np.concatenate([echo(0.3 * dry / np.abs(dry).max(), room), np.zeros(4 * RATE)])
        sound += np.random.default_rng(room).normal(0, 4e-4, len(sound))
        blocks = as_frames(sound)[: len(sound) // 1600 * 1600].reshape(-1, 1600)
        over = 0.0 if late is None else len(dry) - late * RATE
        how = Listening(outlook, muted=partial(next, iter([1600 * at < over for at in range(len(blocks))])))
        heard += list(listen(blocks, pair[:1], how))
    assert bool(heard) is (late is None)


@pytest.mark.parametrize("words", ["okay, top forty six and seven eighths", "so, bottom forty six and a half"])
def test_a_filler_that_is_spoken_is_passed_over(words: str) -> None:
    """In the language of an open microphone the ear takes what follows it."""
    voice, ear = Synthesizer(), open_ear("reading", vocabulary(), open_talk)
    sound = Sound(soxr.resample(np.array(voice(words), np.int16), voice.rate, RATE))
    assert understand(hear(ear, sound).words, Source.SPOKEN).meanings == understand(words, Source.SPOKEN).meanings


LENGTHS = """
import fieldvoice
import numpy as np
from pathlib import Path
from fieldvoice.ears.whole_utterance import reading_encoder

def resident():
    return int(Path("/proc/self/status").read_text().partition("VmRSS:")[2].split()[0]) / 1000

encoder = reading_encoder()
sound = (1000 * np.random.default_rng(0).standard_normal(4 * 16000)).astype(np.int16)
encoder.encode(sound)
before = resident()
for samples in range(16000, 3 * 16000, 320):
    encoder.encode(sound[:samples])
print(resident() - before)
"""


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="the memory of a process is read as Linux tells it")
def test_utterances_of_many_lengths_do_not_grow() -> None:
    """A hundred, of which each was kept once: 50 MB."""
    run = subprocess.run([sys.executable, "-c", LENGTHS], check=True, capture_output=True, text=True)
    assert float(run.stdout) < 12


_LARGE_BLOCKS = """
import ctypes, sys
import numpy as np
from fieldvoice.ears.whole_utterance import reading_encoder

library = ctypes.CDLL(None)
if not hasattr(library, "mallinfo2"):
    sys.exit("elsewhere")


class Info(ctypes.Structure):
    _fields_ = [(f"field{at}", ctypes.c_size_t) for at in range(10)]


library.mallinfo2.restype = Info
encoder = reading_encoder(1)
for size in (30, 20, 10):
    np.ones(size * 2**20, np.int8)
before = library.mallinfo2().field3
held = np.ones(6 * 2**20, np.int8)
print(library.mallinfo2().field3 - before)
"""


def test_large_blocks_are_had_from_the_system_by_themselves() -> None:
    """Left to itself, glibc puts them into its heap from then on that it once gave such a block back."""
    run = subprocess.run([sys.executable, "-c", _LARGE_BLOCKS], capture_output=True, text=True, check=False)
    if run.stderr.strip() == "elsewhere":
        pytest.skip("this C library tells nothing of its blocks")
    assert run.stdout.strip() == "1", run.stderr
