"""Boards from which hardly anything comes off: every number of a cut still finds its place."""

from __future__ import annotations

import pytest

from fieldvoice.dialogue.session import Session
from fieldvoice.journal.journal import MemoryJournal
from fieldvoice.output.drawing.board import board_picture
from fieldvoice.records.hearing import Hearing

LYING = ("lying", "sheet 48 by 96", "upper course", "left wall", "right board", "top 63 7/8", "bottom 63 3/4")


@pytest.mark.parametrize("left", ["47 1/2", "47 3/4", "47 7/8", "47 15/16"])
@pytest.mark.parametrize("right", ["47 5/8", "47 7/8"])
@pytest.mark.parametrize("paper", [(280.0, 200.0), (200.0, 280.0), (120.0, 90.0)])
def test_a_strip_thinner_than_its_number_is_drawn(left: str, right: str, paper: tuple[float, float]) -> None:
    """A lying board that is a hair lower than its sheet."""
    session = Session(MemoryJournal())
    for line in (*LYING, f"left {left}", f"right {right}", "done"):
        session.take(Hearing.typed(line), "partner")
    plan = session.view().plan
    assert plan is not None
    picture = board_picture(plan, *paper)
    assert len(picture.marks) > 5
