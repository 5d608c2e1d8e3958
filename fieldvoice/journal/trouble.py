"""What went wrong with a journal, in words for the people at the wall."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from pathlib import Path

from fieldvoice.errors import JournalTrouble
from fieldvoice.journal.span import Span

_FULL = "The disk is full"
_UNWRITABLE = "The journal's file or folder can't be written to"
_CAUSES = {
    "SQLITE_FULL": (_FULL, "Make room on the disk"),
    "SQLITE_READONLY": (_UNWRITABLE, "Give write permission, or choose another file with --job"),
    "SQLITE_CANTOPEN": (_UNWRITABLE, "Give write permission, or choose another file with --job"),
    "SQLITE_PERM": (_UNWRITABLE, "Give write permission, or choose another file with --job"),
    "SQLITE_BUSY": ("Another program holds the journal", "Close the other program"),
    "SQLITE_IOERR_SHMSIZE": (_FULL, "Make room on the disk"),  # the log's index couldn't grow
    "SQLITE_IOERR": ("The disk reports an error", "Check the disk, and export the job to another one"),
    "SQLITE_CORRUPT": ("The journal's file is damaged", "Start again: opening it saves what is left"),
    "SQLITE_NOTADB": ("The journal's file is damaged", "Start again: opening it saves what is left"),
}


class JournalBusy(JournalTrouble):
    """Another fieldvoice writes this journal; it may still be viewed."""


class Unwritable(JournalTrouble):
    """The journal's file or folder refuses to be written; it may still be viewed."""


def busy(path: Path) -> JournalBusy:
    """Said to the second that wants to write."""
    return JournalBusy(
        f"{path} is being written by another fieldvoice. Nothing said here would be kept in it, so no cut may "
        "rest on it. Close the other one, join it as a viewer, or choose another file with --job."
    )


def only_viewed(path: Path) -> JournalTrouble:
    """Said where a view is asked to keep something."""
    return JournalTrouble(f"{path} is only viewed here, so what was said is not kept. Say it to the one who writes it.")


def unwritable(path: Path) -> Unwritable:
    """Said where the file or its folder refuses to be written."""
    return Unwritable(
        f"{_UNWRITABLE}: {path}. Earlier entries are safe; new readings would be lost when fieldvoice closes. "
        "Give write permission, or choose another file with --job."
    )


def not_kept(error: sqlite3.Error, path: Path) -> JournalTrouble:
    """Said where an entry couldn't be kept."""
    cause, remedy = _cause(error)
    return JournalTrouble(
        f"{cause} ({path}: {error}). What was said last is not kept; everything before it is safe. "
        f"{remedy}, and check the last reading before cutting."
    )


def not_read(error: sqlite3.Error | OSError, path: Path) -> JournalTrouble:
    """Said where a journal can't be read."""
    cause, remedy = _cause(error) if isinstance(error, sqlite3.Error) else ("The file can't be read", "Check the file")
    return JournalTrouble(f"{cause} ({path}: {error}). No cut may rest on this job until it opens. {remedy}.")


def not_there(path: Path) -> JournalTrouble:
    """Said where there is no file to view."""
    return JournalTrouble(f"There is no journal at {path}, so no reading to cut by. Check the name given to --job.")


def not_a_journal(path: Path) -> JournalTrouble:
    """Said of a file that holds nothing of ours."""
    return JournalTrouble(
        f"{path} is no journal, or so damaged that nothing in it can be read. It was left as it is. "
        "Choose another file with --job, and take the readings again before cutting."
    )


def damage(path: Path, aside: Path | None, lost: Sequence[Span]) -> str:
    """Said when a damaged journal is opened; `aside` is where the damaged file went, None where it stays as it is."""
    kept = f"The damaged file is kept as {aside}." if aside else "The file itself was left as it was."
    return (
        f"{path} is damaged. {losses(lost)} The rest is open. "
        f"Check every reading against the wall before cutting. {kept}"
    )


def losses(lost: Sequence[Span]) -> str:
    """The entries lost, in one sentence."""
    if not lost:
        return "No entry is lost."
    return f"Entries lost: {', '.join(map(str, lost))}."


def _cause(error: sqlite3.Error) -> tuple[str, str]:
    name = getattr(error, "sqlite_errorname", None) or ""
    for start, cause in _CAUSES.items():
        if name.startswith(start):
            return cause
    return "The journal's database reports an error", "Check the disk, or choose another file with --job"
