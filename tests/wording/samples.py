"""One example of every trouble, and the golden texts: `python -m tests.wording.samples` writes them anew."""

import errno
from collections.abc import Mapping
from pathlib import Path

from fieldvoice.journal.format import Lost
from fieldvoice.records.trouble import Trouble, Wrong
from fieldvoice.wording.troubles import sentence

GOLDEN = Path(__file__).with_name("troubles.txt")

JOB = Path("kitchen.job")

TOLD: Mapping[Wrong, Mapping[str, object]] = {
    Wrong.HELD_BACK: {"box": "box 1"},
    Wrong.JOURNAL_BUSY: {"path": JOB},
    Wrong.JOURNAL_CLOSED: {},
    Wrong.JOURNAL_DAMAGED: {"path": JOB, "aside": Path("kitchen.job.damaged"), "lost": (Lost(3, 5), Lost(9, None))},
    Wrong.JOURNAL_NOT_OPENED: {"path": JOB, "errno": errno.EACCES},
    Wrong.JOURNAL_NOT_READ: {"path": JOB, "error": "Input/output error"},
    Wrong.JOURNAL_VIEWED: {"path": JOB},
    Wrong.ENTRIES_LOST: {"lost": (Lost(3, 3),)},
    Wrong.NOT_KEPT: {"path": JOB, "cause": errno.ENOSPC, "waiting": 2},
    Wrong.NO_JOURNAL: {"path": JOB},
    Wrong.NOT_A_JOURNAL: {"path": JOB},
    Wrong.NEWER_JOURNAL: {"path": JOB},
    Wrong.OLD_JOB: {"path": JOB},
    Wrong.OLD_JOB_DAMAGED: {"path": JOB, "error": "no such table: entry"},
    Wrong.NO_EXPORT: {"error": "Expecting value: line 1 column 1 (char 0)"},
    Wrong.NO_EXPORT_FORMAT: {"format": "fieldvoice job"},
    Wrong.NO_EXPORT_ENTRIES: {},
    Wrong.OTHER_EXPORT: {"version": 1},
    Wrong.EXPORT_CHANGED: {"entry": 4, "error": "ValueError: its sum doesn't fit it"},
    Wrong.EXPORT_CUT_OFF: {"entry": 4},
    Wrong.EXPORT_NOT_OPENED: {"error": "KeyError: 'furlong'"},
    Wrong.JOB_THERE: {"path": JOB},
    Wrong.JOB_NOT_WRITTEN: {"path": JOB, "error": "[Errno 30] Read-only file system: 'kitchen.job'"},
}


def texts() -> str:
    """Every trouble in words, a line each, by its code."""
    return "".join(f"{what}: {sentence(Trouble(what, **told))}\n" for what, told in TOLD.items())


if __name__ == "__main__":
    GOLDEN.write_text(texts(), encoding="utf-8")
