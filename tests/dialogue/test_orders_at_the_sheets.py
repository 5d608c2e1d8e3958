"""Orders that a partner with full hands says: next, back, understood, louder, slower."""

from __future__ import annotations

import pytest

from fieldvoice.dialogue.session import Session
from fieldvoice.journal.journal import MemoryJournal
from fieldvoice.records.hearing import Hearing
from fieldvoice.records.said import LOUDEST, Manner, Say

BOARD = ("left board", "right wall", "t 46 7/8", "m 46 3/4", "b 46 1/4", "l 95 1/2", "r 95 1/2", "done")


def said(session: Session, *lines: str) -> str:
    """What the last of those lines is answered with."""
    says: tuple[Say, ...] = ()
    for line in lines:
        says = session.take(Hearing.typed(line), "partner")
    return " ".join(say.text for say in says)


@pytest.fixture
def session() -> Session:
    """A board that may be cut."""
    session = Session(MemoryJournal())
    said(session, *BOARD)
    assert session.view().plan is not None
    return session


def test_next_ticks_one_step_after_the_cautions_were_read(session: Session) -> None:
    """Not before; then each next is one step, until all are done."""
    assert "Read the cautions" in said(session, "next")
    assert session.view().ticked == frozenset()
    said(session, "understood")
    assert session.view().acknowledged
    plan = session.view().plan
    assert plan is not None
    for number in range(1, len(plan.steps) + 1):
        said(session, "next")
        assert session.view().ticked == frozenset(range(1, number + 1))
    assert "Every step" in said(session, "next")


def test_cautions_are_not_read_before_there_are_any() -> None:
    """Said while measuring it would stand for those that come with the plan, which nobody has seen."""
    session = Session(MemoryJournal())
    said(session, *BOARD[:4], "understood", *BOARD[4:])
    assert session.view().plan is not None
    assert not session.view().acknowledged
    assert "Read the cautions" in said(session, "next")


def test_back_takes_back_ticks_alone(session: Session) -> None:
    """One at a time, and never a reading."""
    said(session, "understood", "next", "next", "back")
    assert session.view().ticked == frozenset({1})
    said(session, "back")
    assert session.view().ticked == frozenset()
    said(session, "back")
    assert len(session.view().readings) == 5


def test_next_does_nothing_while_something_is_open() -> None:
    """There is no plan to tick a step of."""
    session = Session(MemoryJournal())
    said(session, *BOARD[:4], "understood")
    said(session, "next")
    assert session.view().ticked == frozenset()


def test_how_loud_and_how_slow_is_kept(session: Session) -> None:
    """By a word, as far as it goes, and again after a restart."""
    journal = MemoryJournal()
    session = Session(journal)
    said(session, "louder", "slower", "slower", "faster")
    assert session.state.manner == Manner(1, 1)
    said(session, *["louder"] * 9)
    assert session.state.manner.loudness == LOUDEST
    assert Session(journal).state.manner == session.state.manner
    said(session, "quieter")
    assert session.state.manner.loudness == LOUDEST - 1
