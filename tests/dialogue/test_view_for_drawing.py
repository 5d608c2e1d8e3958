"""What sketch and paper need beside the plan: the hole as measured, and who said what of a circuit, until when."""

from datetime import UTC, datetime, timedelta

from fieldvoice.dialogue.session import Session
from fieldvoice.journal.journal import MemoryJournal
from fieldvoice.records.hearing import Hearing
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Circuit, Slot
from fieldvoice.safety import DEAD_LASTS

NOON = datetime(2026, 11, 26, 12, tzinfo=UTC)


def _session() -> Session:
    return Session(MemoryJournal(), clock=lambda: NOON)


def test_the_hole_is_there_before_the_plan() -> None:
    """One width is enough for a sketch of the hole."""
    session = _session()
    session.take(Hearing.typed("top 46 7/8"), "hanger")
    hole = session.view().hole
    assert hole is not None
    assert [(one.at, one.value) for one in hole.widths] == [(Slot.TOP, Length("46 7/8"))]


def test_a_word_about_a_box_says_who_and_until_when() -> None:
    """Dead and tested counts for its hours; the paper says when they are over."""
    session = _session()
    for line in ("single gang center 30 1/4 from left 48 from top", "yes", "box 1 dead and tested", "yes"):
        session.take(Hearing.typed(line), "hanger")
    (word,) = session.view().circuits
    assert (word.box, word.state, word.by) == ("box 1", Circuit.DEAD, "hanger")
    assert (word.at, word.until) == (NOON, NOON + DEAD_LASTS)


def test_a_live_box_has_no_end() -> None:
    """Only dead and tested runs out."""
    session = _session()
    for line in ("single gang center 30 1/4 from left 48 from top", "yes", "box 1 is live"):
        session.take(Hearing.typed(line), "hanger")
    (word,) = session.view().circuits
    assert (word.state, word.until) == (Circuit.LIVE, None)


def test_a_word_that_ran_out_is_gone() -> None:
    """After its hours nobody has said anything that counts."""
    now = [NOON]
    session = Session(MemoryJournal(), clock=lambda: now[0])
    for line in ("single gang center 30 1/4 from left 48 from top", "yes", "box 1 dead and tested", "yes"):
        session.take(Hearing.typed(line), "hanger")
    now[0] = NOON + DEAD_LASTS + timedelta(seconds=1)
    assert session.view().circuits == ()
