"""Runs a short script on a journal and says on standard output what was acknowledged: the process that gets killed.

A script is a word: `a` adds a short entry, `A` one longer than a page, `r` closes and opens again. Told of trouble, the
child says so and goes on with the next letter, as a session does.
"""

import os
import sys
from datetime import UTC, datetime
from pathlib import Path

from fieldvoice.errors import JournalTrouble
from fieldvoice.journal.format import Json
from fieldvoice.journal.journal import Journal

NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)
SIZES: dict[str, int] = {"a": 20, "A": 9000}


def _say(*words: object) -> None:
    os.write(1, (" ".join(map(str, words)) + "\n").encode())


def run(path: Path, script: str) -> None:
    """Each line said is `ack N`, entry N being on the disk now, or `trouble TEXT`."""
    journal: Journal | None = None
    for count, letter in enumerate("r" + script):
        try:
            if letter == "r" or journal is None:
                before, journal = journal, None
                if before is not None:
                    before.close()
                journal = Journal.open(path)
            if letter in SIZES:
                body: dict[str, Json] = {"count": count, "heard": letter * SIZES[letter]}
                _say("ack", journal.append("reading", "hanger", body, NOON).body["count"])
        except JournalTrouble as trouble:
            _say("trouble", str(trouble))
        except Exception as error:  # noqa: BLE001
            _say("traceback", repr(error))
    try:
        if journal is not None:
            journal.close()
    except JournalTrouble as trouble:
        _say("trouble", str(trouble))
    _say("done")


if __name__ == "__main__":
    run(Path(sys.argv[1]), sys.argv[2])
