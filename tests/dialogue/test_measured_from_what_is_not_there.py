"""A thing is measured from what stands at an edge: the wall or ceiling that was named is there, or that is asked."""

from __future__ import annotations

from itertools import product

import pytest

from fieldvoice.dialogue import matters
from fieldvoice.records.ledger import Concern
from tests.dialogue.talk import Wall, wall_after

MEASURED = ("lying", "t 90", "b 90", "l 47", "r 47")
THINGS = ("box 1 single gang center", "outlet near edge", "light 6 inch center", "three inch pipe center")
CEILING = ("20 from the ceiling", "20 down from the ceiling", "20 off the ceiling")
NAMED = {
    ("top board", "lower course"): (
        "30 from left",
        ("20 from the ceiling", "20 down from the ceiling", "20 off the ceiling"),
    ),
    ("left board",): ("20 down", ("30 from the left wall", "30 off the left wall", "30 over from the left wall")),
    ("right board",): ("20 down", ("30 from the right wall", "30 from right wall")),
    ("left jamb", "left open", "left outside corner"): ("20 down", ("30 from the left wall",)),
    ("right jamb", "right open"): ("20 down", ("30 from the right wall",)),
    ("top jamb", "top open"): ("30 from left", ("20 from the ceiling",)),
}
"""What stands at the edge, by each way to say it; the other distance, and the one from what isn't there."""
CASES = [
    (there, beside, named, thing)
    for theres, (beside, names) in NAMED.items()
    for there, named, thing in product(theres, names, THINGS)
]


def _asked(wall: Wall) -> set[Concern]:
    return {doubt.concern for doubt in wall.session.state.doubts}


def _told(wall: Wall) -> str:
    return " ".join(say.text for say in wall.said)


@pytest.mark.parametrize(("there", "beside", "named", "thing"), CASES)
def test_from_a_wall_or_ceiling_that_a_board_stands_at_is_asked_about(
    there: str, beside: str, named: str, thing: str
) -> None:
    """A yes is to the board that is there, a no takes it out; what stands there called otherwise ends the question."""
    wall = wall_after(there, *MEASURED, f"{thing} {named} {beside}")
    assert Concern.AT_ODDS in _asked(wall), wall.said
    assert "and not from the" in _told(wall)
    other = wall.twin()
    other.types("no")
    assert other.session.state.not_taken("1")
    wall.types("yes", "done")
    assert not wall.session.state.not_taken("1")


@pytest.mark.parametrize("there", ["left wall", "left brick"])
def test_a_wall_that_stands_there_is_the_one_that_was_named(there: str) -> None:
    """Of masonry too."""
    wall = wall_after(*MEASURED, there, "box 1 single gang center 30 from the left wall 20 down")
    assert Concern.AT_ODDS not in _asked(wall)


@pytest.mark.parametrize(("there", "beside", "named", "thing"), CASES)
def test_by_default_what_was_named_stands_there(there: str, beside: str, named: str, thing: str) -> None:
    """Nobody had said what does: it is told, and nothing is asked."""
    wall = wall_after("t 46", "b 46", "l 96", "r 96", f"{thing} {named} {beside}")
    assert Concern.AT_ODDS not in _asked(wall)
    edge = "top" if "top" in there or "course" in there else there.split()[0]
    assert (f"By default: {edge} wall" in _told(wall)) is (edge == "left"), wall.said  # the others are as before


@pytest.mark.parametrize("plain", ["20 down", "20 from the top", "20 down from the top"])
@pytest.mark.parametrize("there", ["top board", "lower course"])
def test_from_the_edge_itself_nothing_is_asked(there: str, plain: str) -> None:
    """The top of the board is its joint."""
    wall = wall_after(there, *MEASURED, f"box 1 single gang center 30 from left {plain}")
    assert Concern.AT_ODDS not in _asked(wall)


@pytest.mark.parametrize("then", ["lower course", "top board", "top jamb", "top open"])
def test_what_is_said_to_stand_there_afterwards_is_asked_about(then: str) -> None:
    """One of the two isn't so."""
    wall = wall_after("box 1 single gang center 30 from left 20 from the ceiling", then)
    assert Concern.AT_ODDS in _asked(wall), wall.said
    assert "Something was measured from the ceiling" in _told(wall)


def test_a_mutant_is_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without the rule the distance counts from the joint."""
    monkeypatch.setattr(matters, "_off_another", lambda *_: ())
    wall = Wall()
    wall.types("top board", *MEASURED, "box 1 single gang center 30 from left 20 from the ceiling")
    assert not wall.asks
