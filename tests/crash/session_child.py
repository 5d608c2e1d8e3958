"""Takes a morning's lines through a session on a journal and acknowledges each with what then stands: it gets killed.

Each line said is `ack N JSON`: line N was answered, and JSON has the figures of every value by board and key.
"""

import json
import os
from pathlib import Path

from fieldvoice.dialogue.session import Session
from fieldvoice.dialogue.state import State
from fieldvoice.journal.journal import Journal
from fieldvoice.records.hearing import Hearing
from fieldvoice.records.length import Unit
from fieldvoice.wording.forms import Form
from fieldvoice.wording.values import figures, label

LINES = (
    ("hanger", "top 46 7/8"),
    ("hanger", "no, 46 5/8"),
    ("partner", "middle 46 1/2"),
    ("hanger", "bottom 64 1/4"),
    ("hanger", "no, 46 1/4"),
    ("hanger", "height 95 1/2"),
    ("partner", "change middle to 46 3/8"),
    ("partner", "yes"),
    ("hanger", "single gang center 30 1/4 from left, 48 down"),
    ("hanger", "undo"),
    ("hanger", "next board"),
    ("hanger", "top 12"),
    ("partner", "undo"),
)


def standing(state: State) -> dict[str, str]:
    """The figures of every value, taken, read back or in question, by board and key."""
    return {
        f"{board}: {label(key, Form(Unit.INCH))}": figures(call.fact, Form(Unit.INCH))
        for board in state.boards
        for key, call in state.known(board, doubtful=True).items()
        if call.fact is not None
    }


def lines(path: Path) -> None:
    """All lines, from the first; then `done`."""
    with Journal.open(path) as journal:
        session = Session(journal)
        for number, (who, line) in enumerate(LINES):
            if session.take(Hearing.typed(line), who):
                os.write(1, f"ack {number} {json.dumps(standing(session.state))}\n".encode())
    os.write(1, b"done\n")
