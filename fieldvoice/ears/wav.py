"""Recordings as files: any usual WAV becomes the kind of sound that ears take, each defect has its sentence; and what
is said in a job is kept beside it.
"""

from __future__ import annotations

import wave
from collections.abc import Iterator
from datetime import datetime
from io import BytesIO
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from fieldvoice.ears.sound import RATE, Frames, Sound, to_int16
from fieldvoice.errors import BadInput, JournalTrouble
from fieldvoice.files.durable import make
from fieldvoice.records.trouble import Trouble, Wrong

LOWEST_RATE, HIGHEST_RATE = 8_000, 192_000
LONGEST_SECONDS = 600.0
"""What `read_wav` takes into memory at once; longer recordings go through `stream_wav`."""

_BLOCK_SECONDS = 0.5
OFFSET = 0.003
"""From this share of full scale on the middle of the first half second counts as one that the card put under all of the
sound: it hides from the speech detector how quiet the pauses are. Without it at 0.02 "top forty one" lost its "top".
"""
CANCELED_DB = 13.0
"""Where the mean of the channels is so far below the loudest of them they cancel each other: one is wired the wrong way
round, and their mean is silence.
"""


def read_wav(path: Path | str, longest_seconds: float = LONGEST_SECONDS) -> Sound:
    """A whole recording as 16 kHz mono 16 bit, whatever rate (8 to 192 kHz), depth or channel count it has.

    Raises BadInput, saying which defect and what to do, where the file is missing, empty, no WAV, cut off, at a rate
    that can't carry speech, or longer than `longest_seconds`.
    """
    path = Path(path)
    with _opened(path) as file:
        seconds = file.frames / file.samplerate
        if seconds > longest_seconds:
            raise BadInput(Trouble(Wrong.WAV_TOO_LONG, name=path.name, seconds=seconds, longest=longest_seconds))
        rate, channels = file.samplerate, file.channels
        blocks = list(_resampled(file, path))
    frames = np.concatenate(blocks) if blocks else np.zeros(0, np.int16)
    return Sound(frames, rate, channels)


def wav_seconds(path: Path | str) -> float:
    """How long a recording lasts. Raises as `read_wav` does."""
    with _opened(Path(path)) as file:
        return float(file.frames / file.samplerate)


def stream_wav(path: Path | str) -> Iterator[Frames]:
    """The same recording in blocks of about half a second, so that its length doesn't matter to memory."""
    path = Path(path)
    with _opened(path) as file:
        yield from _resampled(file, path)


def _opened(path: Path) -> Any:
    """The open soundfile, once its head has been found sound; Any since the package has no type hints of its own."""
    import soundfile

    check_head(path)
    try:
        file = soundfile.SoundFile(path)
    except (soundfile.LibsndfileError, RuntimeError, OSError, ValueError, TypeError) as error:
        raise _not_wav(path) from error
    problem = _problem(file, path)
    if problem is not None:
        file.close()
        raise problem
    return file


def check_head(path: Path) -> None:
    """The defects that can be told from the first bytes and the size alone."""
    try:
        size = path.stat().st_size
        with path.open("rb") as raw:
            head = raw.read(12)
    except OSError as error:
        raise BadInput(Trouble(Wrong.WAV_NOT_READ, path=path, error=error.strerror)) from error
    if size == 0:
        raise BadInput(Trouble(Wrong.WAV_EMPTY, name=path.name))
    if head[:4] not in {b"RIFF", b"RIFX", b"RF64"} or (len(head) == 12 and head[8:] != b"WAVE"):
        raise _not_wav(path)
    if size < 44:
        raise _cut_off(path)


def _problem(file: Any, path: Path) -> BadInput | None:
    if not LOWEST_RATE <= file.samplerate <= HIGHEST_RATE:
        return BadInput(
            Trouble(Wrong.WAV_RATE, name=path.name, rate=file.samplerate, lowest=LOWEST_RATE, highest=HIGHEST_RATE)
        )
    if file.frames == 0:
        return BadInput(Trouble(Wrong.WAV_WITHOUT_SOUND, name=path.name))
    return _cut_off(path) if _promised_bytes(path) > path.stat().st_size else None


def _promised_bytes(path: Path) -> int:
    """How long the file must be for the sound chunk that its head announces; 0 where the head leaves that open."""
    with path.open("rb") as raw:
        kind = raw.read(12)[:4]
        while len(head := raw.read(8)) == 8:
            size = int.from_bytes(head[4:], "big" if kind == b"RIFX" else "little")
            if head[:4] == b"data":
                return 0 if size in {0, 0xFFFFFFFF} else raw.tell() + size
            raw.seek(size + size % 2, 1)
    return 0


def _resampled(file: Any, path: Path) -> Iterator[Frames]:
    """Blocks of 16 kHz mono from an open file."""
    import soundfile
    import soxr

    change = soxr.ResampleStream(file.samplerate, RATE, 1, dtype="float32", quality="HQ")
    size = round(file.samplerate * _BLOCK_SECONDS)
    offset: NDArray[np.float32] | None = None
    while True:
        try:
            block: NDArray[np.float32] = file.read(size, dtype="float32", always_2d=True)
        except (soundfile.LibsndfileError, RuntimeError) as error:
            raise _cut_off(path) from error
        last = len(block) < size
        block = np.clip(np.nan_to_num(block, nan=0.0, posinf=1.0, neginf=-1.0), -1.0, 1.0)
        if offset is None:
            offset = _offset(block)
        out = to_int16(change.resample_chunk(_mono(block - offset), last=last))
        if len(out):
            yield out
        if last:
            return


def _offset(block: NDArray[np.float32]) -> NDArray[np.float32]:
    """What lies under all the sound of each channel: that it doesn't swing about 0."""
    middle = block.mean(axis=0) if len(block) else np.zeros(block.shape[1])
    return np.where(np.abs(middle) >= OFFSET, middle, 0.0).astype(np.float32)


def _mono(block: NDArray[np.float32]) -> NDArray[np.float32]:
    """The mean of the channels; where they cancel each other, the first of the loud ones, which is the same from one
    block to the next.
    """
    mean: NDArray[np.float32] = np.ascontiguousarray(block.mean(axis=1, dtype=np.float32))
    if block.shape[1] == 1 or not len(block):
        return mean
    powers = np.mean(block**2, axis=0)
    if np.mean(mean**2) * 10 ** (CANCELED_DB / 10) >= powers.max():
        return mean
    first = int(np.flatnonzero(powers >= powers.max() / 2)[0])
    return np.ascontiguousarray(block[:, first])


def _not_wav(path: Path) -> BadInput:
    return BadInput(Trouble(Wrong.NO_WAV, name=path.name))


def _cut_off(path: Path) -> BadInput:
    return BadInput(Trouble(Wrong.WAV_CUT_OFF, name=path.name))


def keep_audio(journal: Path, frames: bytes, at: datetime) -> str:
    """Writes one utterance (int16 little-endian, mono, 16 kHz) to a WAV beside the journal and returns its name there,
    for the entry to hold. The sound is on the disk before an entry names it. `JournalTrouble` where it can't be kept.
    """
    folder = audio_folder(journal)
    name = f"{at:%Y%m%dT%H%M%S%f}.wav"
    try:
        make(folder / name, wav_of(frames))
    except OSError as error:
        raise JournalTrouble(Trouble(Wrong.SOUND_NOT_KEPT, error=error)) from error
    return name


def wav_of(frames: bytes) -> bytes:
    """Sound as int16 little-endian, mono, 16 kHz as the bytes of a WAV."""
    file = BytesIO()
    with wave.open(file, "wb") as sound:
        sound.setnchannels(1)
        sound.setsampwidth(2)
        sound.setframerate(RATE)
        sound.writeframes(frames)
    return file.getvalue()


def audio_folder(journal: Path) -> Path:
    """Where the sound of a journal's utterances lies."""
    return journal.with_suffix(".audio")
