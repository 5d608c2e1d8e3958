"""A whole dialogue from lines of text, with every read-back confirmed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from fieldvoice.job.session import Session
from fieldvoice.job.view import View
from fieldvoice.records.hearing import Hearing

MOST_QUESTIONS = 8
"""How often one line is said yes to: a value can be in doubt for several reasons, each asked by itself."""


@dataclass(frozen=True, slots=True)
class ScriptRun:
    """What became of the lines: the last view of every board, in order, and where it stopped, if it did."""

    views: tuple[View, ...]
    failed_line: int | None = None
    why: str | None = None


def run_lines(session: Session, lines: Iterable[str], who: str = "hanger") -> ScriptRun:
    """Types each line and says yes to what is asked. A line that is refused, or that yes doesn't settle, ends it;
    lines count from 1. Empty lines are passed over.
    """
    views: dict[str, View] = {}
    for number, line in enumerate(lines, 1):
        if not line.strip():
            continue
        session.take(Hearing.typed(line), who)
        why = _confirmed(session, who)
        view = session.view()
        views[view.board] = view
        if why is not None:
            return ScriptRun(tuple(views.values()), number, why)
    return ScriptRun(tuple(views.values()))


def _confirmed(session: Session, who: str) -> str | None:
    """Says yes while something of this speaker's is open; why the line still wasn't taken, if it wasn't."""
    last = session.view().last
    if last is None or last.refused:
        return last.answer if last is not None else None
    for _ in range(MOST_QUESTIONS):
        if who not in session.state.pending:
            break
        session.take(Hearing.typed("yes"), who)
    last = session.view().last
    return last.answer if last is not None and (last.asks or last.refused) else None
