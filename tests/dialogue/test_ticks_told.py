"""A tick whose step is another one by what was called since is told off: nobody cuts on from a list that went back."""

from __future__ import annotations

import pytest

from fieldvoice.dialogue.finishing import plan_now
from fieldvoice.dialogue.ticking import fingerprint
from fieldvoice.records.ledger import Tell
from fieldvoice.records.plan import CutPlan
from tests.dialogue.talk import wall_after

BOARD = "top 47 1/2, bottom 47 1/2, left 95, right 95"
CHANGES = (
    "type x",
    "5/8 board",
    "54 inch board",
    "left edge is a wall",
    "two layers",
    "top 47",
    "box 1 single gang center 30 from left 48 down",
    "sixteen on center",
)


def _stands(plan: CutPlan, step: str) -> bool:
    return step in {fingerprint(one) for one in plan.steps}


@pytest.mark.parametrize("ticked", [1, 3, 7])
@pytest.mark.parametrize("change", CHANGES)
def test_ticks_that_a_change_takes_off_are_told(change: str, ticked: int) -> None:
    """Those and no others, in the turn that takes them off."""
    wall = wall_after(BOARD, "done", "understood", *["next"] * ticked)
    was = {one.step: one.number for one in wall.session.state.ticks["1"]}
    for line in (change, "yes"):
        before = wall.session.state
        plan = plan_now(before, "1", wall.now, wall.rooms)
        stood = {step for step in was if _stands(plan, step)}
        wall.types(line)
        plan = plan_now(wall.session.state, "1", wall.now, wall.rooms)
        gone = sorted(was[step] for step in stood if not _stands(plan, step))
        told = [value for note in wall.session.state.said if note.tell is Tell.TICKS_OFF for value in note.values]
        assert told == gone, (line, wall.session.state.said)
