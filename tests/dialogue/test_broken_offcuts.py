"""What a board left, and that broke: it is off the rack, and nothing is planned from it any more."""

from __future__ import annotations

import random

import pytest

from fieldvoice.dialogue.cuts import source_of
from fieldvoice.dialogue.layouts import rack_of, standing_plan
from tests.dialogue.talk import Wall, wall_after
from tests.dialogue.test_house_taken import takes
from tests.dialogue.test_layout_goes_on import cut_as_planned
from tests.layout.houses import lake_house

FIRST = ("top 20", "bottom 20", "left 96", "right 96", "done")
WORDS = (
    "1A is broken",
    "1A broke",
    "the offcut 1A is broken",
    "throw away 1A",
    "throw 1A away",
    "toss 1A",
    "we snapped 1A",
    "1A got wet",
    "1A is no good",
    "take 1A off the rack",
)


def _rack(wall: Wall) -> list[str]:
    return [one.name for one in rack_of(wall.session.state.cut.values()).offcuts]


@pytest.mark.parametrize("words", WORDS)
def test_it_is_off_the_rack_as_crews_say_it(words: str) -> None:
    """Over a restart, too; an undo has it there again, and a second word finds nothing."""
    wall = wall_after(*FIRST)
    assert _rack(wall) == ["1A"]
    assert wall.types(words) == "“1A”, 28 1/8 x 95 1/2 in, is off the rack."
    assert _rack(wall) == []
    wall.restart()
    assert _rack(wall) == []
    assert wall.types(words) == "There is no offcut 1A on the rack, so nothing was taken off it."
    again = wall_after(*FIRST, words)
    assert again.types("undo") == "“1A”, 28 1/8 x 95 1/2 in, is back on the rack."
    assert _rack(again) == ["1A"]


def test_no_board_is_cut_from_it() -> None:
    """Who names it is told what there is."""
    wall = wall_after(*FIRST, "1A is broken", "next board")
    assert "There is no offcut “1A”. On the rack: nothing." in wall.types("use offcut 1A")
    wall.types(*FIRST)
    assert wall.view.to_cut is None
    wall.types("use a new sheet", "done")
    assert wall.view.to_cut is not None


@pytest.mark.parametrize("done", [(), ("done",)])
def test_a_board_that_was_to_be_cut_from_it_is_told(done: tuple[str, ...]) -> None:
    """Whether its plan was settled or not: there is none any more until it is cut from something else."""
    wall = wall_after(*FIRST, "next board", "use offcut 1A", *FIRST[:-1], *done)
    assert wall.view.plan is not None
    told = wall.types("1A is broken")
    assert "Board 2 is cut from the offcut 1A, which isn't as it was." in told
    assert wall.view.to_cut is None
    assert _rack(wall) == []
    wall.types("undo")
    assert wall.view.plan is not None


def test_what_is_cut_already_stays_cut() -> None:
    """A step is ticked: the offcut is used up, and what that cut left is on the rack."""
    wall = wall_after(*FIRST, "next board", "use offcut 1A", *FIRST, "understood", "next", "1A is broken")
    assert "2" in wall.session.state.cut


@pytest.mark.parametrize("words", ["2A is broken", "throw away 1B", "K1 is broken"])
def test_what_nobody_has_is_told(words: str) -> None:
    """Nothing is off the rack by a name that was misheard."""
    wall = wall_after(*FIRST)
    assert "There is no offcut" in wall.types(words)
    assert _rack(wall) == ["1A"]


@pytest.mark.parametrize("seed", range(4))
def test_the_rest_of_a_house_is_planned_without_it(seed: int) -> None:
    """Boards cut one after the other, and every so often something breaks: none comes out of that."""
    draw, wall, broken = random.Random(seed), Wall(), set[str]()
    takes(wall, lake_house())
    wall.types("kitchen north wall")
    for _ in range(9):
        told = wall.types("next board")
        if "Every piece" in told:
            break
        source = source_of(wall.session.state, wall.session.state.board)
        assert source is None or source.name not in broken
        cut_as_planned(wall)
        rack = _rack(wall)
        if rack and draw.random() < 0.6:
            broken.add(name := draw.choice(rack))
            assert "is off the rack" in wall.types(f"{name} is broken")
        assert not broken & {*_rack(wall)}
        plan = standing_plan(wall.session.state)
        assert plan is not None
        assert not broken & {one.offcut.name for one in plan.patterns if one.offcut is not None}
    assert broken
    before = wall.session.state.cut
    wall.restart()
    assert wall.session.state.cut == before
