"""Where jobs are kept, which are there, and the sound of utterances beside them."""

from __future__ import annotations

import os
import wave
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import BinaryIO

from fieldvoice.errors import JournalTrouble
from fieldvoice.journal.journal import Journal, View
from fieldvoice.journal.span import Span

SUFFIX = ".job"
RATE = 16_000


@dataclass(frozen=True, slots=True)
class JobSummary:
    """One job: how many entries, from when to when, whose, what is lost, and what is wrong with it if anything."""

    path: Path
    entries: int = 0
    first: datetime | None = None
    last: datetime | None = None
    people: tuple[str, ...] = ()
    lost: tuple[Span, ...] = ()
    trouble: str | None = None


def jobs_folder() -> Path:
    """The folder for jobs in the user's data folder of this platform; it may not be there yet."""
    from platformdirs import user_data_path

    return user_data_path("fieldvoice", appauthor=False) / "jobs"


def job_files(folder: Path) -> list[Path]:
    """The jobs in a folder, the one written last first."""
    there = [path for path in folder.glob(f"*{SUFFIX}") if path.is_file()]
    return sorted(there, key=lambda path: path.stat().st_mtime, reverse=True)


def job_file(chosen: Path | None, folder: Path | None = None) -> Path:
    """The journal to use: the one chosen, else the one written last, so that a job goes on where it was left, else a
    first one.
    """
    if chosen is not None:
        return chosen
    folder = folder or jobs_folder()
    return next(iter(job_files(folder)), folder / f"first{SUFFIX}")


def list_jobs(folder: Path) -> Iterator[JobSummary]:
    """A summary of each job in the folder; one that can't be read is listed with its trouble."""
    for path in job_files(folder):
        try:
            with Journal.view(path) as journal:
                yield _summary(path, journal)
        except JournalTrouble as error:
            yield JobSummary(path, trouble=str(error))


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
        raise JournalTrouble(
            f"The sound of this utterance can't be kept ({error}). The reading itself is not touched by that. "
            "Make room on the disk, or go on without --keep-audio."
        ) from error
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


def _summary(path: Path, journal: View) -> JobSummary:
    count, first, last = 0, None, None
    people: dict[str, None] = {}
    for entry in journal.entries():
        count, first, last = count + 1, first or entry.at, entry.at
        people[entry.who] = None
    return JobSummary(path, count, first, last, tuple(people), journal.lost, journal.notice)
