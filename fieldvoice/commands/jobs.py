"""Opening the job that a live session goes on with."""

from __future__ import annotations

from pathlib import Path

from fieldvoice.job.files import job_file
from fieldvoice.job.journal_steady import SteadyJournal


def open_job(job: Path | None) -> SteadyJournal:
    """The job's journal to write; where the disk can't keep it, it goes on in memory and says so on the screen.

    Raises `JournalBusy` while another session writes the same job.
    """
    return SteadyJournal.open(job_file(job))
