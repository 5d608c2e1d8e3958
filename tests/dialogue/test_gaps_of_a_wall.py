"""A gap at an end, the floor or the ceiling that is said at a wall is of every board that ends there, of no joint."""

from __future__ import annotations

import pytest

from fieldvoice.dialogue.layouts import planned
from fieldvoice.records.facts import Key, Of
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Context, Edge, Neighbor
from tests.dialogue.talk import Wall, wall_after

WALLS = ("north wall 12 foot by 8 foot", "north wall 20 foot by 9 foot", "north wall 9 foot by 13 foot")
FRAMED = "16 on center from the left"
SAID = {
    "gap at the floor is {}": Edge.BOTTOM,
    "gap at the bottom {}": Edge.BOTTOM,
    "clearance bottom {}": Edge.BOTTOM,
    "clearance at the ceiling {}": Edge.TOP,
    "gap at the top is {}": Edge.TOP,
}
AT_ITS_ENDS = {
    "right gap {}": Edge.RIGHT,
    "clearance right {}": Edge.RIGHT,
    "left gap {}": Edge.LEFT,
    "gap at the left is {}": Edge.LEFT,
}
FIGURES = ("1/4", "1/2", "1")


def _gaps(wall: Wall) -> dict[Edge, Length]:
    """What stays open at each edge of the board at hand, where somebody said so."""
    known = wall.session.state.known(wall.session.state.board, doubtful=True)
    calls = ((edge, known.get(Key(Of.CLEARANCE, edge=edge))) for edge in Edge)
    facts = {edge: call.fact for edge, call in calls if call is not None}
    return {edge: fact.value for edge, fact in facts.items() if isinstance(fact, Context) and fact.value}  # type: ignore[misc]


def _all_boards(wall: Wall) -> list[tuple[str, Edge, Neighbor]]:
    """Each edge of each board of the wall, opened one after the other, with what stands there."""
    found = []
    for _ in range(20):
        told = wall.types("next board")
        if "Every piece" in told:
            break
        board = wall.session.state.board
        known = planned(wall.session.state, board)
        assert known is not None, told
        found += [(board, edge, setting.neighbor) for edge, setting in known.board.edges.items()]
    return found


@pytest.mark.parametrize("figure", FIGURES)
@pytest.mark.parametrize("said", SAID | AT_ITS_ENDS)
@pytest.mark.parametrize("called", WALLS)
def test_it_is_of_each_board_that_ends_there(called: str, said: str, figure: str) -> None:
    """Whether it is said before the boards are opened, or once they are; an undo takes it off them again."""
    before, since = wall_after(called, FRAMED, said.format(figure)), wall_after(called, FRAMED)
    at = (SAID | AT_ITS_ENDS)[said]
    edges = _all_boards(before)
    assert _all_boards(since) == edges
    since.types("go to north wall", said.format(figure), "go to north wall")
    ends = {Edge.BOTTOM: Neighbor.FLOOR, Edge.TOP: Neighbor.CEILING}.get(at, Neighbor.WALL)
    of_it = {board for board, edge, there in edges if edge is at and there is ends}
    assert of_it
    for board in dict.fromkeys(board for board, _, _ in edges):
        for wall in (before, since):
            wall.types(f"go to board {board}")
            assert _gaps(wall) == ({at: Length(figure)} if board in of_it else {}), (board, wall.said)
    since.types("go to north wall", said.format("3/8"), "undo")
    told = since.types("undo")
    assert "out" in told, told
    for board in of_it:
        since.types(f"go to board {board}")
        assert not _gaps(since), (board, since.said)


@pytest.mark.parametrize("figure", FIGURES)
@pytest.mark.parametrize("said", SAID)
@pytest.mark.parametrize(
    "board",
    [
        ("north wall 12 foot by 8 foot", FRAMED, "next board"),
        ("north wall 12 foot by 8 foot", FRAMED, "next board", "next board"),
        ("upper course",),
        ("lower course",),
        ("middle course",),
        ("bottom is board", "top is board"),
    ],
)
def test_at_a_joint_it_is_asked_about(board: tuple[str, ...], said: str, figure: str) -> None:
    """Boards meet there: the floor, or the ceiling, was meant; where the board ends at those nothing is asked."""
    wall = wall_after(*board)
    told = wall.types(said.format(figure))
    upper = "upper course" in board or board[-2:] == (FRAMED, "next board")
    lower = "lower course" in board or board[-2:] == ("next board", "next board")
    joint = not (upper if SAID[said] is Edge.TOP else lower)
    assert ("Does the joint there really stay open" in told) is joint, told
    assert wall.asks is joint
    if joint:
        wall.types("no")
        assert not _gaps(wall), wall.said


@pytest.mark.parametrize("figure", FIGURES)
@pytest.mark.parametrize("said", AT_ITS_ENDS)
@pytest.mark.parametrize(
    ("before", "joints"),
    [
        (("north wall 15 foot by 8 foot", FRAMED, "next board"), {Edge.RIGHT}),
        (("north wall 15 foot by 8 foot", FRAMED, "next board", "next board"), {Edge.LEFT}),
        (("north wall 16 foot by 8 foot", "standing", FRAMED, "next board", "next board"), {Edge.LEFT, Edge.RIGHT}),
        (("left wall", "right wall"), set()),
        (("left wall", "right is board"), {Edge.RIGHT}),
        (("right wall",), {Edge.LEFT}),  # by default a board stands there
        (("left is board", "right outside corner"), {Edge.LEFT}),
    ],
)
def test_at_a_side_joint_it_is_asked_about(before: tuple[str, ...], joints: set[Edge], said: str, figure: str) -> None:
    """As at an upper or a lower one: it is the wall's end that was meant. It was held off at the joint instead."""
    wall = wall_after(*before)
    at = AT_ITS_ENDS[said]
    told = wall.types(said.format(figure))
    assert ("Does the joint there really stay open" in told) is (at in joints), told
    if at in joints:
        assert not _settled_gaps(wall)
        wall.types("no")
        assert not _gaps(wall), wall.said
    else:
        assert _gaps(wall) == {at: Length(figure)}


def _settled_gaps(wall: Wall) -> list[Key]:
    return [key for key in wall.session.state.settled(wall.session.state.board) if key.of is Of.CLEARANCE]


@pytest.mark.parametrize("figure", FIGURES)
@pytest.mark.parametrize(("said", "course"), [("gap at the floor is {}", "upper"), ("gap at the top is {}", "lower")])
def test_it_is_asked_about_once_a_course_makes_a_joint_of_it(said: str, course: str, figure: str) -> None:
    """Whichever was said first."""
    wall = wall_after("top 48", said.format(figure))
    assert "Does the joint there really stay open" in wall.types(f"{course} course")


@pytest.mark.parametrize("said", SAID)
def test_one_that_nobody_leaves_is_asked_about_at_the_wall(said: str) -> None:
    """Before it is of any board."""
    wall = wall_after(*(WALLS[0], FRAMED), said.format("3"))
    assert wall.asks
    wall.types("no", "yes", "next board", "yes", "next board", "next board")
    for board in wall.session.state.pieces:
        wall.types(f"go to board {board}")
        assert not _gaps(wall), wall.said
