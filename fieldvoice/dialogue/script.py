"""Lines of text led through a dialogue, with every read-back confirmed."""

from __future__ import annotations

from fieldvoice.dialogue.session import Session
from fieldvoice.records.hearing import Hearing

MOST_QUESTIONS = 8
"""How often one line is said yes to: a value can be in doubt for several reasons, each asked by itself."""


def take_line(session: Session, line: str, who: str = "hanger") -> str | None:
    """Types one line and says yes while something of this speaker's is open. Why the line still wasn't taken: it is
    refused, or yes doesn't settle it; None where it was.
    """
    session.take(Hearing.typed(line), who)
    last = session.view().last
    if last is None or last.refused:
        return last.answer if last is not None else None
    for _ in range(MOST_QUESTIONS):
        if who not in session.state.pending:
            break
        session.take(Hearing.typed("yes"), who)
    last = session.view().last
    return last.answer if last is not None and (last.asks or last.refused) else None
