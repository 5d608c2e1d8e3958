"""The sound of utterances, kept beside the job that their entries are in."""

from __future__ import annotations

import os
import wave
from datetime import datetime
from pathlib import Path
from typing import BinaryIO

from fieldvoice.ears.sound import RATE
from fieldvoice.errors import JournalTrouble
from fieldvoice.records.trouble import Trouble, Wrong


def keep_audio(journal: Path, frames: bytes, at: datetime) -> str:
    """Writes one utterance (int16 little-endian, mono, 16 kHz) to a WAV beside the journal and returns its name there,
    for the entry to hold. The sound is on the disk before an entry names it. `JournalTrouble` where it can't be kept.
    """
    folder = audio_folder(journal)
    name = f"{at:%Y%m%dT%H%M%S%f}.wav"
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with (folder / name).open("xb") as file:
            write_wav(file, frames)
            file.flush()
            os.fsync(file.fileno())
    except OSError as error:
        raise JournalTrouble(Trouble(Wrong.SOUND_NOT_KEPT, error=error)) from error
    return name


def write_wav(file: BinaryIO, frames: bytes) -> None:
    """Writes int16 little-endian, mono, 16 kHz as a WAV into an open file."""
    with wave.open(file, "wb") as sound:
        sound.setnchannels(1)
        sound.setsampwidth(2)
        sound.setframerate(RATE)
        sound.writeframes(frames)


def audio_folder(journal: Path) -> Path:
    """Where the sound of a journal's utterances lies."""
    return journal.with_suffix(".audio")
