"""Boards talked about in a session, as they come to paper."""

from __future__ import annotations

from datetime import UTC, datetime

from fieldvoice.dialogue.session import Session
from fieldvoice.dialogue.view import View
from fieldvoice.journal.journal import MemoryJournal
from fieldvoice.output.paper.blocks import Made
from fieldvoice.records.hearing import Hearing
from fieldvoice.records.plan import CutPlan

NOON = datetime(2026, 11, 26, 12, tzinfo=UTC)
MADE = Made(NOON, "lake-house", NOON, "0.1.0")
BOARD = (
    "room kitchen",
    "top 46 7/8",
    "middle 46 3/4",
    "bottom 46 1/4",
    "height left 95 1/2",
    "height right 95 1/2",
    "single gang center 30 1/4 from left 48 from top",
    "yes",
)
DEAD = ("box 1 dead and tested", "yes")


def view(*lines: str) -> View:
    """The view after those calls of the hanger, at noon."""
    session = Session(MemoryJournal(), clock=lambda: NOON)
    for line in lines:
        session.take(Hearing.typed(line), "hanger")
    return session.view()


def planned(*lines: str) -> tuple[View, CutPlan]:
    """The view with its plan."""
    seen = view(*lines)
    assert seen.plan is not None, seen.missing
    return seen, seen.plan
