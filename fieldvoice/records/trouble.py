"""What went wrong outside the words and the geometry, as a value. Worded in `wording.troubles`."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum


class Wrong(StrEnum):
    """The codes, by what they are about; each says in `wording.troubles` which values it is told with."""

    HELD_BACK = "held back"

    JOURNAL_BUSY = "journal busy"
    JOURNAL_CLOSED = "journal closed"
    JOURNAL_DAMAGED = "journal damaged"
    JOURNAL_NOT_OPENED = "journal not opened"
    JOURNAL_NOT_READ = "journal not read"
    JOURNAL_VIEWED = "journal only viewed"
    ENTRIES_LOST = "entries lost"
    NOT_KEPT = "not kept"
    NO_JOURNAL = "no journal there"
    NOT_A_JOURNAL = "not a journal"
    NEWER_JOURNAL = "newer journal"
    OLD_JOB = "job of 0.1"
    OLD_JOB_DAMAGED = "job of 0.1 damaged"

    NO_EXPORT = "no exported job"
    NO_EXPORT_FORMAT = "no exported job's format"
    NO_EXPORT_ENTRIES = "no exported entries"
    OTHER_EXPORT = "export of another version"
    EXPORT_CHANGED = "export changed"
    EXPORT_CUT_OFF = "export cut off"
    EXPORT_NOT_OPENED = "export not opened"
    JOB_THERE = "job there already"
    JOB_NOT_WRITTEN = "job not written"


@dataclass(frozen=True, slots=True, init=False)
class Trouble:
    """One thing that is wrong: its code, and the values that its sentence tells, by their names."""

    what: Wrong
    told: Mapping[str, object]

    def __init__(self, what: Wrong, **told: object) -> None:
        object.__setattr__(self, "what", what)
        object.__setattr__(self, "told", told)
