"""What went wrong outside the words and the geometry: what happened, what it means for the cut, what to do now."""

from __future__ import annotations

import errno
from collections.abc import Callable, Mapping

from fieldvoice.records.plan import NoPlan
from fieldvoice.records.trouble import Trouble, Wrong
from fieldvoice.wording import no_plan


def sentence(trouble: Trouble | NoPlan) -> str:
    """The whole text."""
    if isinstance(trouble, NoPlan):
        return no_plan.text(trouble)
    says = _SAYS[trouble.what]
    return says(**trouble.told) if callable(says) else says.format(**trouble.told)


_FULL = ("The disk is full", "Make room on the disk")
_UNWRITABLE = ("The journal's file or folder can't be written to", "Give write permission, or choose another --job")
_OTHER = ("The disk reports an error", "Check the disk, and export the job to another one")
_CAUSES = {
    **dict.fromkeys((errno.ENOSPC, errno.EDQUOT, errno.EFBIG), _FULL),
    **dict.fromkeys((errno.EACCES, errno.EPERM, errno.EROFS, errno.ENOTDIR, errno.EEXIST), _UNWRITABLE),
}
"""What the disk's answer means, and what to do, by its number."""


def _not_opened(path: object, errno: int | None) -> str:
    cause, remedy = _CAUSES.get(errno or 0, _OTHER)
    return (
        f"{cause}: {path}. Earlier entries are safe; no cut may rest on new readings, which would be lost when "
        f"fieldvoice closes. {remedy}."
    )


def _not_kept(path: object, cause: object, waiting: int) -> str:
    if isinstance(cause, Exception):
        text = str(cause)
    else:
        what, remedy = _CAUSES.get(cause if isinstance(cause, int) else 0, _OTHER)
        text = f"{what} ({path}). What was said last is not kept; everything before it is safe. {remedy}."
    entries = "1 entry is" if waiting == 1 else f"{waiting} entries are"
    return f"{text} {entries} in memory only, and lost if fieldvoice ends like this."


def _damaged(path: object, aside: object, lost: tuple[object, ...]) -> str:
    kept = f"The damaged file is kept as {aside}." if aside else "The file itself was left as it was."
    return f"{path} is damaged. {_lost(lost)} The rest is open. {CHECK} {kept}"


def _lost(lost: tuple[object, ...]) -> str:
    return f"Entries lost: {', '.join(map(str, lost))}." if lost else "No entry is lost."


CHECK = "Check every reading against the wall before cutting."

_SAYS: Mapping[Wrong, str | Callable[..., str]] = {
    Wrong.HELD_BACK: "The plan is held back: it would put a tool into {box}, and nobody has said that {box} is dead "
    "and tested. Don't cut there. Have the circuit shut off and tested, then say: {box} dead and tested.",
    Wrong.JOURNAL_BUSY: "{path} is being written by another fieldvoice. Nothing said here would be kept in it, so no "
    "cut may rest on it. Close the other one, join it as a viewer, or choose another file with --job.",
    Wrong.JOURNAL_CLOSED: "The journal is closed, so nothing more is kept in it. Open the job again.",
    Wrong.JOURNAL_DAMAGED: _damaged,
    Wrong.JOURNAL_NOT_OPENED: _not_opened,
    Wrong.JOURNAL_NOT_READ: "{path} can't be read ({error}). No cut may rest on it until it opens.",
    Wrong.JOURNAL_VIEWED: "{path} is only viewed here, so what was said is not kept. Say it to the one who writes it.",
    Wrong.ENTRIES_LOST: lambda lost: f"{_lost(lost)} {CHECK}",
    Wrong.NOT_KEPT: _not_kept,
    Wrong.NO_JOURNAL: "There is no journal at {path}, so no reading to cut by. Check the name given to --job.",
    Wrong.NOT_A_JOURNAL: "{path} is no journal, or so damaged that nothing in it can be read. It was left as it is. "
    "Choose another file with --job, and take the readings again before cutting.",
    Wrong.NEWER_JOURNAL: "{path} was written by a newer fieldvoice, so it was left as it is. Use that one.",
    Wrong.OLD_JOB: "{path} is no journal to go on with. If it was kept by fieldvoice 0.1, this one can show and export "
    "it: look its readings up with `fieldvoice job show --job {path}`, and call them again in a new job, named with "
    "--job.",
    Wrong.OLD_JOB_DAMAGED: "{path} is no journal, or one of fieldvoice 0.1 that is damaged ({error}). It was left as "
    "it is. Choose another file with --job, and take the readings again before cutting.",
    Wrong.NO_EXPORT: "This is no exported job: {error}. Nothing was taken in; export the job again.",
    Wrong.NO_EXPORT_FORMAT: 'This is no exported job: "format" isn\'t "{format}". Nothing was taken in.',
    Wrong.NO_EXPORT_ENTRIES: 'This exported job has no list of "entries". Nothing was taken in; export the job again.',
    Wrong.OTHER_EXPORT: "This job was exported in another version of the form, and this fieldvoice reads version "
    "{version}. Nothing was taken in; use the fieldvoice that exported it.",
    Wrong.EXPORT_CHANGED: "Entry {entry} of this exported job isn't as it was written: {error}. Nothing was taken in, "
    "since a changed reading makes a wrong cut; export the job again.",
    Wrong.EXPORT_CUT_OFF: "Entry {entry} of this exported job isn't the last one, so the end is missing. Nothing was "
    "taken in, since a missing reading makes a wrong cut; export the job again.",
    Wrong.EXPORT_NOT_OPENED: "This job's sums are right, but it can't be opened ({error}), so nothing was taken in. "
    "Use the fieldvoice that exported it, and take the readings again before cutting.",
    Wrong.JOB_THERE: "{path} is there already, and a job is never laid over another. Choose another file with --job.",
    Wrong.JOB_NOT_WRITTEN: "The job can't be written to {path}: {error}. Choose another file with --job.",
}
