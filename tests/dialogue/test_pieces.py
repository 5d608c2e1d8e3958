"""What is asked for comes a piece at a time, in any order: the thing comes out as it would in one breath. And a piece
of the layout is a place to go to, by its number and its wall, and how many are left is told.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import permutations

import pytest

from fieldvoice.dialogue.state import is_whole
from fieldvoice.records.ledger import OpenKind
from fieldvoice.records.meaning import Box, Opening
from fieldvoice.records.room import SurfaceName
from fieldvoice.records.room_plan import PieceName
from tests.dialogue.talk import Wall, wall_after


def thing(*lines: str, kept: Sequence[str] = ()) -> object:
    """The one thing that stands or waits on the board after these lines; those `kept` are named as not taken."""
    wall = wall_after(*lines)
    found = [call.fact for call in wall.session.state.known("1").values() if is_whole(call)]
    assert len(found) <= 1
    missed = [one.call.words for one in wall.view.open if one.kind is OpenKind.NOT_TAKEN and one.call is not None]
    assert missed == [*kept], "a piece was lost"
    assert found or wall.asks, "nobody knows what is missing"
    return found[0] if found else None


WHOLE = {
    "box 1 single gang": "box 1 single gang center 15 from left 48 down",
    "outlet": "outlet center 15 from left 48 down",
    "box 1": "box 1 single gang center 15 from left 48 down",
    "3 inch pipe": "3 inch pipe center 15 from left 48 down",
    "pipe": "3 inch pipe center 15 from left 48 down",
    "pipe 3 inch": "3 inch pipe center 15 from left 48 down",
    "window": "window 15 from left 48 down 30 wide 40 high",
    "window 1": "window 15 from left 48 down 30 wide 40 high",
    "door": "door 15 from left 48 down 30 wide 40 high",
}
MORE = {
    "box 1": ("single gang",),
    "pipe": ("3",),
    "window": ("30", "40"),
    "window 1": ("40 high", "30 wide"),
    "door": ("30 wide", "40 high"),
}
ACROSS = (("15", "the left"), ("the left", "15"), ("from the left", "15"), ("15 from left",))
DOWN = (("48", "down"), ("from the top", "48"), ("48", "ceiling"), ("48 down",))


def talks() -> list[tuple[str, tuple[str, ...]]]:
    """Every beginning with its pieces in several orders."""
    found = []
    for begun in WHOLE:
        framed = "window" in begun or "door" in begun
        for across in ACROSS:
            for down in DOWN:
                orders = permutations((across, down, *(() if framed else (("center",),))))
                found += [(begun, (*(piece for part in one for piece in part), *MORE.get(begun, ()))) for one in orders]
    return found[:: max(len(found) // 240, 1)]


@pytest.mark.parametrize(("begun", "pieces"), talks())
def test_pieces_make_what_one_breath_makes(begun: str, pieces: tuple[str, ...]) -> None:
    """None is lost, none is put in the wrong place, and the thing is there with the last one."""
    made, meant = thing(begun, *pieces), thing(WHOLE[begun])
    assert isinstance(meant, Box | Opening)
    assert made == meant


@pytest.mark.parametrize("begun", WHOLE)
def test_two_edges_of_one_way_are_no_two_distances(begun: str) -> None:
    """Of two across none is down: the question stays, and no thing is made of it."""
    which = ["the right", "center"] if begun[0] in "wd" else ["the right"]
    assert thing(begun, "15 from left", "48", "the right", "center", kept=which) is None


@pytest.mark.parametrize("figure", ["15", "15 and a half"])
@pytest.mark.parametrize("edge", ["up", "from the floor", "floor", "bottom", "the bottom"])
def test_a_figure_without_its_edge_is_kept_and_the_edge_asked(figure: str, edge: str) -> None:
    """It broke off, and the rest of it comes in the next breath."""
    made = thing(f"outlet center 30 from left {figure}", edge)
    whole = thing(f"outlet center 30 from left {figure} up")
    assert made == whole


@pytest.mark.parametrize("part", ["13 from left", "center 13 from left"])
@pytest.mark.parametrize("front", ["no,", "no", "no, box 1 is", "no box 1", "no box 1 is at", "wrong, box 1 is"])
@pytest.mark.parametrize("who", ["hanger", "partner"])
def test_no_and_a_piece_of_what_is_there_mends_it(front: str, part: str, who: str) -> None:
    """Whoever says it of whose box: the rest of it stays."""
    wall = wall_after("box 1 single gang center 30 from left 48 down")
    if who == "partner" and "box" not in front:
        return  # of nothing that was said to the partner
    wall.types(f"{front} {part}", who=who)
    wall.types("yes", who=who)
    (box,) = (call.fact for call in wall.session.state.settled("1").values())
    assert box == thing("box 1 single gang center 13 from left 48 down")


@pytest.mark.parametrize("after", ["done", "top 46 7/8", "what's missing"])
def test_a_thing_that_was_begun_is_open_until_it_is_whole(after: str) -> None:
    """Nothing that is said meanwhile makes an end of it, and its pieces are taken then."""
    wall = wall_after("3 inch pipe", after, "22 from left", "30 down", "center")
    (pipe,) = (call.fact for call in wall.session.state.known("1").values() if isinstance(call.fact, Opening))
    assert pipe == thing("3 inch pipe center 22 from left 30 down")


def test_a_point_said_once_holds_for_both_distances() -> None:
    """Also where it came with the second one."""
    made = thing("box 1 15", "the right", "center 20 up", "single gang")
    assert made == thing("box 1 single gang center 15 from right 20 up")


@pytest.mark.parametrize(
    ("no", "meant"),
    [
        ("no 31 from left", "outlet center 31 from left 15 up"),
        ("no, 31 from the right", "outlet center 31 from right 15 up"),
        ("no 16 up", "outlet center 30 from left 16 up"),
        ("no double gang", "double gang center 30 from left 15 up"),
    ],
)
def test_a_no_to_a_piece_of_what_still_lacks_one_is_heard(no: str, meant: str) -> None:
    """The piece is another one, and the question goes on."""
    assert thing("outlet 30 from left 15 up", no, "center") == thing(meant)


@pytest.mark.parametrize("second", ["3 inch pipe", "window"])
def test_what_is_begun_under_a_question_is_asked_about_next(second: str) -> None:
    """It waits its turn, and nothing of it is left to be said again."""
    wall = wall_after("box 1 single gang", second, "22 from left", "30 down", "center")
    assert "how far from the left or the right" in wall.types("say again")
    assert not [one for one in wall.view.open if one.kind is OpenKind.NOT_TAKEN]


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
    wall = wall_after("room kitchen")
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
