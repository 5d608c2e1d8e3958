"""A box or a round thing that leaves no board beside it, and a round thing that is larger than those are."""

from dataclasses import replace

import pytest

from fieldvoice.cutting.oddities import oddities
from fieldvoice.records.board import Board, EdgeSetting
from fieldvoice.records.facts import Odd
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Box, BoxKind, Coordinate, Edge, Neighbor, Opening, OpeningKind, Point
from fieldvoice.wording.forms import Form
from fieldvoice.wording.questions import ask_odd
from tests.cutting.rooms import heights, widths
from tests.dialogue.talk import wall_after

ALONE = {edge: EdgeSetting(Neighbor.BOARD) for edge in Edge}
BOARD = Board("1", widths=widths("46", "46", "46"), heights=heights("95", None, "95"), edges=ALONE)
LEFT = {"0": Odd.TO_EDGE, "1/8": Odd.TO_EDGE, "3/8": Odd.TO_EDGE, "1/2": None, "1": None, "20": None}
"""How much board is left beside it."""


def _things(edge: Edge, left: str) -> list[Box | Opening]:
    """A box and round things, so much of the board left at one edge; the other way they are in the middle."""
    at = Coordinate(Point.NEAR, Length(left), edge)
    things: list[Box | Opening] = []
    if edge in {Edge.LEFT, Edge.RIGHT}:
        other = Coordinate(Point.CENTER, Length(40), Edge.TOP)
        things.append(Box(BoxKind.SINGLE, at, other, "box 1"))
        xs, ys = at, other
    else:
        other = Coordinate(Point.CENTER, Length(20), Edge.LEFT)
        things.append(Box(BoxKind.SINGLE, other, at, "box 1"))
        xs, ys = other, at
    kinds = (OpeningKind.PIPE, OpeningKind.LIGHT, OpeningKind.HOLE)
    return [*things, *(Opening(kind, (xs,), (ys,), diameter=Length(3), name=f"{kind} 1") for kind in kinds)]


def _board(thing: Box | Opening) -> Board:
    return replace(BOARD, boxes=(thing,)) if isinstance(thing, Box) else replace(BOARD, openings=(thing,))


@pytest.mark.parametrize("edge", list(Edge))
@pytest.mark.parametrize("left", LEFT)
def test_what_leaves_no_board_beside_it_is_asked_about(edge: Edge, left: str) -> None:
    """A strip that is narrower than the board is thick doesn't stay: a distance was heard otherwise."""
    for thing in _things(edge, left):
        found = oddities(_board(thing))
        assert [one.odd for one in found] == ([LEFT[left]] if LEFT[left] else []), thing
        if found:
            assert ask_odd(found[0], Form(Unit.INCH)).startswith(f"Does {thing.name} really reach the edge?")


@pytest.mark.parametrize("kind", [OpeningKind.PIPE, OpeningKind.LIGHT, OpeningKind.HOLE])
@pytest.mark.parametrize("across", ["1/2", "4", "8", "12", "12 1/2", "20", "40"])
def test_a_round_thing_larger_than_those_are_is_asked_about(kind: OpeningKind, across: str) -> None:
    """Up to a foot nothing is said."""
    there = (Coordinate(Point.CENTER, Length(23), Edge.LEFT),), (Coordinate(Point.CENTER, Length(45), Edge.TOP),)
    found = oddities(_board(Opening(kind, *there, diameter=Length(across), name="it")))
    assert [one.odd for one in found] == ([Odd.LARGE_ROUND] if Length(across) > Length(12) else [])


@pytest.mark.parametrize(
    "call", ["pipe 40 center 20 from left 48 down", "14 inch can light center 20 from left 48 down"]
)
@pytest.mark.parametrize("before", [("t 46", "b 46", "l 96", "r 96"), ("north wall 12 foot by 8 foot", "16 on center")])
def test_it_is_asked_about_when_it_is_called(before: tuple[str, ...], call: str) -> None:
    """On a board and at a wall; until then there is nothing to cut."""
    wall = wall_after(*before)
    assert "really" in wall.types(call)
    assert wall.asks
    wall.types("no")
    assert not any(isinstance(one.fact, Opening) for one in wall.session.state.known(wall.view.board).values())
