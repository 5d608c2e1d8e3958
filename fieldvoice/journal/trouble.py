"""What went wrong with a journal, in words for the people at the wall."""

from __future__ import annotations

import errno
from collections.abc import Sequence
from pathlib import Path

from fieldvoice.errors import JournalTrouble
from fieldvoice.journal.span import Span

_FULL = ("The disk is full", "Make room on the disk")
_UNWRITABLE = ("The journal's file or folder can't be written to", "Give write permission, or choose another --job")
_CAUSES = {
    errno.ENOSPC: _FULL,
    errno.EDQUOT: _FULL,
    errno.EFBIG: _FULL,
    errno.EACCES: _UNWRITABLE,
    errno.EPERM: _UNWRITABLE,
    errno.EROFS: _UNWRITABLE,
    errno.ENOTDIR: _UNWRITABLE,
    errno.EEXIST: _UNWRITABLE,
}
_OTHER = ("The disk reports an error", "Check the disk, and export the job to another one")


class JournalBusy(JournalTrouble):
    """Another fieldvoice writes this journal; it may still be viewed."""


class OldJob(JournalTrouble):
    """The file is a job of fieldvoice 0.1: it may be viewed and exported."""


class NotKept(JournalTrouble):
    """What was just said is in memory only. The session may go on with it; the journal tries again at each turn."""


def busy(path: Path) -> JournalBusy:
    """Said to the second that wants to write."""
    return JournalBusy(
        f"{path} is being written by another fieldvoice. Nothing said here would be kept in it, so no cut may "
        "rest on it. Close the other one, join it as a viewer, or choose another file with --job."
    )


def old_job(path: Path) -> OldJob:
    """Said where a job of the first version is to be gone on with."""
    return OldJob(
        f"{path} was kept by fieldvoice 0.1, which this one can show and export but not go on with: look its readings "
        f"up with `fieldvoice job show --job {path}`, and call them again in a new job, named with --job."
    )


def only_viewed(path: Path) -> JournalTrouble:
    """Said where a view is asked to keep something."""
    return JournalTrouble(f"{path} is only viewed here, so what was said is not kept. Say it to the one who writes it.")


def not_opened(error: OSError, path: Path) -> JournalTrouble:
    """Said where the journal can't be opened to write."""
    cause, remedy = _CAUSES.get(error.errno or 0, _OTHER)
    return JournalTrouble(
        f"{cause}: {path}. Earlier entries are safe; no cut may rest on new readings, which would be lost when "
        f"fieldvoice closes. {remedy}."
    )


def not_kept(why: OSError | JournalTrouble, path: Path, waiting: int) -> NotKept:
    """Said at each turn that couldn't be kept, and at the end; `waiting` entries are in memory only."""
    if isinstance(why, JournalTrouble):
        text = str(why)
    else:
        cause, remedy = _CAUSES.get(why.errno or 0, _OTHER)
        text = f"{cause} ({path}). What was said last is not kept; everything before it is safe. {remedy}."
    entries = "1 entry is" if waiting == 1 else f"{waiting} entries are"
    return NotKept(f"{text} {entries} in memory only, and lost if fieldvoice ends like this.")


def not_read(error: OSError, path: Path) -> JournalTrouble:
    """Said where a journal can't be read."""
    return JournalTrouble(f"{path} can't be read ({error.strerror}). No cut may rest on it until it opens.")


def not_there(path: Path) -> JournalTrouble:
    """Said where there is no file to view."""
    return JournalTrouble(f"There is no journal at {path}, so no reading to cut by. Check the name given to --job.")


def not_a_journal(path: Path) -> JournalTrouble:
    """Said of a file that holds nothing of ours."""
    return JournalTrouble(
        f"{path} is no journal, or so damaged that nothing in it can be read. It was left as it is. "
        "Choose another file with --job, and take the readings again before cutting."
    )


def newer(path: Path) -> JournalTrouble:
    """Said of a file that a later version wrote."""
    return JournalTrouble(f"{path} was written by a newer fieldvoice, so it was left as it is. Use that one.")


def damage(path: Path, aside: Path | None, lost: Sequence[Span]) -> str:
    """Said when a damaged journal is opened; `aside` is where the damaged file went, None where it stays as it is."""
    kept = f"The damaged file is kept as {aside}." if aside else "The file itself was left as it was."
    return (
        f"{path} is damaged. {losses(lost)} The rest is open. "
        f"Check every reading against the wall before cutting. {kept}"
    )


def losses(lost: Sequence[Span]) -> str:
    """The entries lost, in one sentence."""
    return f"Entries lost: {', '.join(map(str, lost))}." if lost else "No entry is lost."
