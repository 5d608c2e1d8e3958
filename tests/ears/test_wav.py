"""Recordings of every usual kind are taken alike; each defect gets its own sentence."""

from __future__ import annotations

import contextlib
from pathlib import Path

import numpy as np
import pytest
import soundfile
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldvoice.ears.sound import RATE
from fieldvoice.ears.wav import read_wav, stream_wav
from fieldvoice.errors import BadInput


def tone(rate: int, seconds: float = 1.0, hertz: float = 440.0) -> np.ndarray:
    """A sine of half scale."""
    return 0.5 * np.sin(2 * np.pi * hertz * np.arange(round(rate * seconds)) / rate)


@pytest.mark.parametrize("subtype", ["PCM_U8", "PCM_16", "PCM_24", "PCM_32", "FLOAT", "DOUBLE", "ULAW"])
@pytest.mark.parametrize("rate", [8_000, 11_025, 16_000, 44_100, 48_000, 96_000])
def test_every_usual_wav_becomes_16_khz_mono(tmp_path: Path, subtype: str, rate: int) -> None:
    """A tone survives any depth and rate: same length, same pitch, same level."""
    soundfile.write(tmp_path / "a.wav", tone(rate), rate, subtype)
    sound = read_wav(tmp_path / "a.wav")
    assert sound.source_rate == rate
    assert abs(sound.seconds - 1.0) < 0.01
    middle = sound.frames[4000:12000].astype(float)
    assert np.argmax(np.abs(np.fft.rfft(middle))) == 220
    assert abs(np.sqrt(np.mean(middle**2)) / (0.5 * 32768 / np.sqrt(2)) - 1) < 0.03


def test_stereo_is_the_mean_of_its_channels(tmp_path: Path) -> None:
    """A voice on one side only is heard at half level, and two equal sides at full level."""
    soundfile.write(tmp_path / "one.wav", np.stack([tone(RATE), np.zeros(RATE)], 1), RATE)
    soundfile.write(tmp_path / "both.wav", np.stack([tone(RATE), tone(RATE)], 1), RATE)
    one, both = read_wav(tmp_path / "one.wav"), read_wav(tmp_path / "both.wav")
    assert one.source_channels == 2
    assert np.max(np.abs(both.frames - 2.0 * one.frames)) <= 2


def test_a_float_file_with_values_that_are_no_numbers_is_taken(tmp_path: Path) -> None:
    """Not-a-number and infinity become silence and full scale rather than noise or a crash."""
    soundfile.write(tmp_path / "a.wav", np.array([np.nan, np.inf, -np.inf, 0.0] * 400, np.float32), RATE, "FLOAT")
    assert len(read_wav(tmp_path / "a.wav").frames) == 1600


def test_streamed_and_whole_are_the_same(tmp_path: Path) -> None:
    """Reading in blocks changes no sample."""
    soundfile.write(tmp_path / "a.wav", tone(44_100, 3.3), 44_100)
    whole = read_wav(tmp_path / "a.wav").frames
    blocks = list(stream_wav(tmp_path / "a.wav"))
    assert len(blocks) > 3
    assert np.array_equal(np.concatenate(blocks), whole)


def defects(folder: Path) -> dict[str, bytes]:
    """Each defective file's content by its name."""
    good = folder / "good.wav"
    soundfile.write(good, tone(RATE), RATE)
    whole = good.read_bytes()
    return {
        "empty": b"",
        "text": b"top forty two and a sixteenth\n" * 9,
        "head only": whole[:44],
        "half a head": whole[:20],
        "cut off": whole[: len(whole) // 2],
        "zeros": bytes(5000),
        "no sound": whole[:40] + bytes(4),
        "riff of another kind": b"RIFF" + whole[4:8] + b"AVI " + whole[12:],
    }


@pytest.mark.parametrize(
    ("defect", "sentence"),
    [
        ("empty", "is empty"),
        ("text", "is not a WAV"),
        ("head only", "cut off|no sound"),
        ("half a head", "cut off"),
        ("cut off", "cut off"),
        ("zeros", "is not a WAV"),
        ("no sound", "no sound"),
        ("riff of another kind", "is not a WAV"),
    ],
)
def test_each_defect_has_its_sentence(tmp_path: Path, defect: str, sentence: str) -> None:
    """A file that can't be used says how it is broken and what to do."""
    broken = tmp_path / "broken.wav"
    broken.write_bytes(defects(tmp_path)[defect])
    with pytest.raises(BadInput, match=sentence) as caught:
        read_wav(broken)
    assert caught.value.exit_status == 65


def test_a_file_that_is_not_there_says_so(tmp_path: Path) -> None:
    """A mistyped name is told as such."""
    with pytest.raises(BadInput, match="Check the name"):
        read_wav(tmp_path / "nowhere.wav")


def test_a_two_hour_recording_is_refused_whole_and_streamed_in_pieces(tmp_path: Path) -> None:
    """Two hours are never taken into memory at once, yet can be walked through."""
    long = tmp_path / "long.wav"
    with soundfile.SoundFile(long, "w", 8_000, 1, "PCM_U8") as file:
        for _ in range(120):
            file.write(np.zeros(60 * 8_000, np.float32))
    with pytest.raises(BadInput, match=r"2\.0 hours"):
        read_wav(long)
    first = next(stream_wav(long))
    assert len(first) <= RATE


@pytest.mark.parametrize("rate", [4_000, 384_000])
def test_a_rate_that_cannot_be_speech_is_refused(tmp_path: Path, rate: int) -> None:
    """A rate out of range is named with the range."""
    soundfile.write(tmp_path / "a.wav", np.zeros(4000), rate)
    with pytest.raises(BadInput, match="samples a second"):
        read_wav(tmp_path / "a.wav")


@settings(max_examples=60, deadline=None)
@given(data=st.data())
def test_no_bytes_crash_the_reader(tmp_path_factory: pytest.TempPathFactory, data: st.DataObject) -> None:
    """A damaged file is either taken or refused with BadInput, never anything else."""
    folder = tmp_path_factory.mktemp("fuzz")
    soundfile.write(folder / "a.wav", tone(8_000, 0.05), 8_000)
    content = bytearray((folder / "a.wav").read_bytes())
    for place in data.draw(st.lists(st.integers(0, len(content) - 1), max_size=8)):
        content[place] = data.draw(st.integers(0, 255))
    del content[data.draw(st.integers(0, len(content))) :]
    (folder / "b.wav").write_bytes(bytes(content))
    with contextlib.suppress(BadInput):
        assert read_wav(folder / "b.wav").frames.dtype == np.int16


@pytest.mark.parametrize("offset", [-0.3, 0.02, 0.3])
def test_an_offset_under_all_of_the_sound_is_taken_off(tmp_path: Path, offset: float) -> None:
    """In each channel by itself; a sound without one keeps every sample."""
    said = 0.5 * tone(RATE, 2.0)
    soundfile.write(tmp_path / "plain.wav", said, RATE)
    soundfile.write(tmp_path / "raised.wav", said + offset, RATE)
    soundfile.write(tmp_path / "one_side.wav", np.stack([said + offset, said], 1), RATE)
    plain = read_wav(tmp_path / "plain.wav").frames
    assert np.max(np.abs(plain - np.round(said * 32768))) <= 1
    for name in ("raised.wav", "one_side.wav"):
        frames = read_wav(tmp_path / name).frames
        assert abs(frames.mean()) < 2
        assert np.max(np.abs(frames.astype(int) - plain)) <= 3


def test_channels_that_cancel_each_other_are_no_silence(tmp_path: Path) -> None:
    """One side wired the wrong way round; a voice on one side of two is still the mean."""
    soundfile.write(tmp_path / "against.wav", np.stack([tone(RATE), -tone(RATE)], 1), RATE)
    soundfile.write(tmp_path / "one.wav", tone(RATE), RATE)
    one, against = read_wav(tmp_path / "one.wav").frames, read_wav(tmp_path / "against.wav").frames
    assert np.max(np.abs(one - against)) <= 2
