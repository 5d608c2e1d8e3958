"""What crews on several sites call, behind what stands: which of two meanings counts, and where work goes."""

from __future__ import annotations

import pytest

from fieldvoice.records.meaning import Context, Edge, Neighbor, Topic
from tests.dialogue.talk import Wall, wall_after

SIDES = ("top 48", "bottom 48", "left 96", "right 96")


def facts(wall: Wall, board: str) -> set[object]:
    """What is settled on a board."""
    return {call.fact for call in wall.session.state.settled(board).values()}


@pytest.mark.parametrize("before", [(), ("top 48",), SIDES, ("outlet center 30 from left 16 up",)])
def test_its_a_ceiling_tells_the_surface_where_nothing_is_asked(before: tuple[str, ...]) -> None:
    """Behind a read-back that waits, too; spoken as well."""
    for speak in (False, True):
        wall = wall_after(*before)
        _ = wall.speaks("it's a ceiling") if speak else wall.types("it's a ceiling")
        wall.types("yes")
        assert Context(Topic.SURFACE, "ceiling") in facts(wall, "1"), before


@pytest.mark.parametrize("edge", ["top", "left"])
@pytest.mark.parametrize("stands", ["open", "board", "wall"])
def test_its_a_ceiling_is_no_surface_where_it_may_stand_at_an_edge(edge: str, stands: str) -> None:
    """Right behind what was called there it may put that right; once that is taken it is the surface."""
    wall = wall_after(f"{edge} is {stands}", "it's a ceiling")
    assert Context(Topic.SURFACE, "ceiling") not in facts(wall, "1")
    wall = wall_after(f"{edge} is {stands}", "yes", "it's a ceiling", "yes")
    assert Context(Topic.SURFACE, "ceiling") in facts(wall, "1")


@pytest.mark.parametrize(("side", "edge"), [("right", Edge.LEFT), ("left", Edge.RIGHT)])
def test_the_next_board_beside_this_one_is_another_board(side: str, edge: Edge) -> None:
    """The one at hand stands at its edge there, and keeps its own readings when that one is called."""
    wall = wall_after(*SIDES, "yes")
    before = facts(wall, "1")
    wall.types(f"next board to the {side}")
    assert wall.session.state.board == "2"
    wall.types("top 32 1/2 bottom 32 3/8", "yes")
    assert facts(wall, "1") == before
    assert Context(Topic.NEIGHBOR, Neighbor.BOARD, edge) in facts(wall, "2")
    assert {told.value for told in wall.readings} == {"32 1/2", "32 3/8"}


@pytest.mark.parametrize("said", ["north wall board two", "board two north wall", "board 2 on the kitchen north wall"])
def test_a_board_of_a_wall_that_nobody_called_is_no_board(said: str) -> None:
    """It isn't board two either: another wall may have one, too."""
    wall = wall_after("top 48")
    answer = wall.types(said)
    assert "north wall yet" in answer
    assert wall.session.state.boards == ("1",)


def test_two_of_a_kind_are_both_asked_for_and_both_stand() -> None:
    """Each with its own figures."""
    wall = wall_after(*SIDES, "two outlets, twelve and forty from the left, both sixteen up")
    assert wall.asks
    wall.types("center", "center", "yes")
    assert [told.value for told in wall.readings if told.label.startswith("box")] == [
        f"single gang, center {far} from left, center 16 from bottom" for far in (12, 40)
    ]
