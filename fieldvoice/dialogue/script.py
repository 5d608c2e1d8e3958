"""Lines of text led through a dialogue, with every read-back confirmed and nothing else."""

from __future__ import annotations

from fieldvoice.dialogue.session import Session
from fieldvoice.records.hearing import Hearing
from fieldvoice.records.ledger import Concern

CONFIRMED = frozenset({Concern.LAST})
"""Questions that a script says yes to: those that read back what it says itself."""


def take_line(session: Session, line: str, who: str = "hanger") -> str | None:
    """Types one line and says yes to its read-back. Why the line wasn't taken: it is refused, or something is asked
    that a session would ask a person; None where it was.
    """
    session.take(Hearing.typed(line), who)
    return _settled(session, who)


def finish(session: Session, who: str = "hanger") -> None:
    """Says done, and yes to the last read-back."""
    session.take(Hearing.typed("done"), who)
    _settled(session, who)


def _settled(session: Session, who: str) -> str | None:
    """Yes to a read-back; why it stays open otherwise."""
    last = session.view().last
    if last is not None and last.refused:
        return last.answer
    mine = session.state.open.get(who)
    if mine is not None and (not mine.doubts or mine.doubts[0].concern in CONFIRMED):
        session.take(Hearing.typed("yes"), who)
    last = session.view().last
    return last.answer if last is not None and (last.asks or last.refused) else None
