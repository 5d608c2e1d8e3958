"""A session with its page in a process of its own: `child.py PORT FOLDER`; each line on standard input is a call of the
hanger. Says "ready" when the page is there.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from fieldvoice.commands.page import Wanted, partner_page
from fieldvoice.dialogue.session import Session
from fieldvoice.dialogue.view import Say, View
from fieldvoice.journal.journal import Journal
from fieldvoice.records.hearing import Hearing


class Tried:
    """A session whose cautions can be acknowledged."""

    def __init__(self, session: Session) -> None:
        self._session, self._acknowledged = session, False
        self.take, self.tick = session.take, session.tick

    def untick(self, who: str) -> Sequence[Say]:
        """Takes back the last call."""
        return self._session.take(Hearing.typed("undo"), who)

    def acknowledge(self, who: str) -> Sequence[Say]:
        """The cautions were read."""
        self._acknowledged = True
        return ()

    def view(self) -> View:
        """The view with that."""
        return replace(self._session.view(), acknowledged=self._acknowledged)


def main() -> None:
    """Serves until standard input ends."""
    port, folder = int(sys.argv[1]), Path(sys.argv[2])
    with Journal.open(folder / "tried.job") as journal:
        job = Tried(Session(journal))
        with partner_page(Wanted(page=True, port=port), job, folder / "tried.job") as changed:
            print("ready", flush=True)
            for line in sys.stdin:
                job.take(Hearing.typed(line.strip()), "hanger")
                changed()
                print("taken", flush=True)


if __name__ == "__main__":
    main()
