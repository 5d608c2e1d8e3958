"""Opening the job that a live session goes on with."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

from fieldvoice.commands.output import tell
from fieldvoice.errors import JournalTrouble
from fieldvoice.jobs.folder import job_file
from fieldvoice.journal.journal import Journal
from fieldvoice.records.hearing import Hearing


def open_job(job: Path | None) -> Journal:
    """The job's journal to write; where the disk can't keep it, it goes on in memory and says so on the screen.

    Raises `JournalBusy` while another session writes the same job.
    """
    return Journal.open_anyway(job_file(job))


def with_sound(hearings: Sequence[Hearing], frames: bytes, job: Path) -> tuple[Hearing, ...]:
    """The hearings of one utterance with the name of the file that now holds its sound, beside the job.

    Where the sound can't be kept that is told, and the hearings are as they were.
    """
    from fieldvoice.ears.wav import keep_audio

    try:
        name = keep_audio(job, frames, datetime.now(UTC))
    except JournalTrouble as trouble:
        tell(f"fieldvoice: {trouble}")
        return tuple(hearings)
    return tuple(replace(hearing, sound=name) for hearing in hearings)
