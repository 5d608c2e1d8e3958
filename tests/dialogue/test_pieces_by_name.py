"""A piece of the layout is a place to go to, by its number and its wall, and how many are left is told."""

from __future__ import annotations

import pytest

from fieldvoice.records.room import SurfaceName
from fieldvoice.records.room_plan import PieceName
from tests.dialogue.talk import Wall

WALLS = {"north": "144 by 96", "east": "190 by 96"}
NAMES = (
    "kitchen {wall} board {number}",
    "kitchen {wall} wall piece {number}",
    "{wall} wall piece number {number}",
    "go to piece {number} of the {wall} wall",
    "{wall} wall board {number}",
)


def laid_out() -> Wall:
    """A kitchen of two walls, its first piece opened as a board."""
    wall = Wall()
    wall.types("room kitchen")
    for name, sides in WALLS.items():
        wall.types(f"{name} wall {sides}", "studs 16 on center", "done")
    wall.types("go to the north wall", "next board")
    return wall


def there(wall: Wall) -> PieceName | None:
    """The piece at hand."""
    return wall.session.state.pieces.get(wall.session.state.board)


@pytest.mark.parametrize("name", NAMES)
def test_every_piece_is_reached_by_its_name(name: str) -> None:
    """In any order, each time the same board for the same piece, and a board of its own for each."""
    wall = laid_out()
    boards: dict[PieceName, str] = {}
    for number in (2, 1, 2, 1):
        for side in WALLS:
            wall.types(name.format(wall=side, number=number))
            piece = there(wall)
            assert piece == PieceName(SurfaceName("kitchen", f"{side} wall"), number)
            assert boards.setdefault(piece, wall.session.state.board) == wall.session.state.board
    assert len(set(boards.values())) == 2 * len(WALLS)


def test_a_number_alone_is_of_the_wall_at_hand() -> None:
    """As in "piece 2"; what the layout hasn't is told, and everything stays as it was."""
    wall = laid_out()
    wall.types("kitchen east piece 1", "piece 2")
    assert there(wall) == PieceName(SurfaceName("kitchen", "east wall"), 2)
    before = wall.session.state
    assert "piece 40" in wall.types("piece 40")
    assert (wall.session.state.board, wall.session.state.pieces) == (before.board, before.pieces)


def test_how_many_are_left_is_told_with_each_board() -> None:
    """One fewer with each board that is opened, until none is; without a layout there are none to count."""
    assert "laid out" in Wall().types("how many boards left")
    wall = laid_out()
    left, told = -1, wall.types("how many boards left")
    while "No more" not in told:
        now = int(told.split()[0])
        assert left in {-1, now + 1}
        left = now
        wall.types("next board")
        told = wall.types("how many to go")
    assert left == 1
