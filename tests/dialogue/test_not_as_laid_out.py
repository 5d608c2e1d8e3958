"""What is called on a planned board otherwise than the layout has it is asked about: the boards beside it know nothing
of it.
"""

from __future__ import annotations

from itertools import product

import pytest

from fieldvoice.records.length import Length
from tests.dialogue.talk import Wall, wall_after

A_WALL = ("north wall 12 feet by 8 feet", "16 on center from the left")
A_WINDOW = "window 36 by 48, 40 from left, 36 up"


def first_board(*lines: str) -> Wall:
    """The upper board of a wall of two courses."""
    wall = wall_after(*A_WALL, *lines, "next board")
    assert wall.session.state.board in wall.session.state.pieces
    return wall


def second_board(*lines: str) -> Wall:
    """The lower one."""
    wall = first_board(*lines)
    wall.types("top 143 1/2", "bottom 143 1/2", "next board")
    return wall


@pytest.mark.parametrize(("width", "length"), tuple(product((48, 54), (96, 120, 144))))
def test_another_sheet_than_the_layout_s_is_asked_about(width: int, length: int) -> None:
    """Its size or one side of it; the layout's own is no question. A no leaves the sheet as it was."""
    for line, sheet in (
        (f"{width} by {length} board", (width, length)),
        (f"{width} inch board", (width, 144)),
        (f"{length // 12} foot board", (48, length)),
    ):
        wall = first_board()
        said = wall.types(line)
        assert wall.asks is (sheet != (48, 144)), line
        if wall.asks:
            assert "the layout has 48 by 144 in" in said
            wall.types("no")
        assert wall.settings["sheet"] == "48 by 144 in"


def test_a_sheet_that_is_said_to_be_right_is_ripped_to_what_was_measured() -> None:
    """A wider one isn't hung whole where the layout has a narrower."""
    wall = first_board()
    wall.types("54 inch board", "yes", "top 143 1/2", "bottom 143 1/2")
    assert "Still open: a height" in wall.types("done")
    assert wall.view.draft


@pytest.mark.parametrize(("x", "top"), tuple(product(("-2", "-1", "-1/2", "0", "1/2", "9/16", "1", "20"), repeat=2)))
def test_a_window_far_from_where_the_layout_has_it_is_asked_about(x: str, top: str) -> None:
    """By more than half an inch at a side that lies on the board; its lower side is another board's."""
    left, high = Length("40") + Length(x), Length("48") + Length(top)
    wall = first_board(A_WINDOW)
    said = wall.types(f"window 36 by {high.text()}, {left.text()} from left, 36 up")
    far_across, far_up = (abs(Length(one)) > Length("1/2") for one in (x, min(top, "12", key=Length)))
    assert wall.asks is (far_across or far_up)
    assert ("has its left side 40 from the left" in said) is far_across


@pytest.mark.parametrize(("line", "asked"), [(A_WINDOW, False), ("window 36 by 48, 40 from left, 38 up", True)])
def test_a_lower_board_s_window_is_counted_from_the_floor(line: str, asked: bool) -> None:
    """As the wall's was; what lies above the board is another's."""
    wall = second_board(A_WINDOW)
    assert ("but the layout has its bottom side 36 up" in wall.types(line)) is asked


def test_an_opening_that_the_layout_knows_nothing_of_is_asked_about() -> None:
    """Where there is none, the other boards aren't cut around it."""
    wall = first_board()
    assert "the layout has none here: is that right? If it is, call it at its wall" in wall.types(A_WINDOW)


def test_a_wall_s_board_is_none_of_the_ceiling_s() -> None:
    """The word is asked about, and a no leaves it where it was."""
    wall = first_board()
    assert "Surface: ceiling, but the layout has wall: is that right?" in wall.types("ceiling board")
    wall.types("no")
    assert wall.settings["surface"] == "wall"


@pytest.mark.parametrize(
    ("kind", "place", "on_board"),
    [("window", "36 up, 36 wide, 48 high", "0 down, 36 by 36"), ("door", "36 wide, 84 high", "12 down, 36 by 36")],
)
def test_an_opening_of_the_layout_that_was_not_called_is_said_with_the_plan(
    kind: str, place: str, on_board: str
) -> None:
    """Not on paper alone: the board would be hung over it. Once it is called the plan has it."""
    wall = first_board(f"{kind} 40 from left, {place}")
    wall.types("top 144", "bottom 144")
    told = wall.types("done")
    assert f"The layout has a {kind} on this board, from about 40 in to 76 in from the left" in told
    assert told.endswith("steps.")
    wall.types(f"{kind} 40 from left, {on_board}", "yes")
    assert "The layout has" not in wall.types("done")


@pytest.mark.parametrize(
    ("called", "piece"), tuple(product(("90", "94 7/8", "95 1/2", "96 3/4", "97 1/8", "108"), (1, 2)))
)
def test_another_height_of_the_wall_than_its_layout_s_is_asked_about(called: str, piece: int) -> None:
    """What is called from the floor is converted with it, and the layout was made with another."""
    wall = (first_board, second_board)[piece - 1]()
    said = wall.types(f"wall is {called} high")
    far = abs(Length(called) - Length(96)) > Length(1)
    assert wall.asks is far
    assert ("but the layout has 96 here" in said) is far


def test_a_sloped_wall_has_no_one_height_to_ask_about() -> None:
    """Its height is another at each end."""
    wall = wall_after("north wall 12 feet wide, 8 feet on the left, 9 feet on the right", A_WALL[1], "next board")
    assert not wall.session.state.board.startswith("north")
    assert "Floor to ceiling: 100 in." in wall.types("wall is 100 high")


@pytest.mark.parametrize(("above", "below"), tuple(product(("39 1/2", "39 3/4", "40", "40 1/2"), repeat=2)))
def test_a_window_that_another_board_has_elsewhere_is_asked_about(above: str, below: str) -> None:
    """By more than half an inch, though each is as near to its layout as tapes go: it is one window."""
    wall = first_board(A_WINDOW)
    wall.types("t 144 b 144", "l 48 r 48", f"window 36 by 48, {above} from left, 36 up")
    assert not wall.asks
    wall.types("done", "next board", "t 144 b 144", "l 48 r 48")
    told = wall.types(f"window 36 by 48, {below} from left, 36 up")
    far = abs(Length(above) - Length(below)) > Length("1/2")
    assert wall.asks is far
    assert (f"by board 1 it is {above} from the left here" in told) is far
    wall.types(*["yes"] * wall.asks, "done")
    assert not wall.view.draft


def test_a_window_is_wanted_on_no_board_for_another_one_s_sake() -> None:
    """The layout cuts it out of each."""
    wall = first_board(A_WINDOW)
    wall.types("t 144 b 144", "l 48 r 48", A_WINDOW, "done", "next board", "t 144 b 144", "l 48 r 48")
    assert "The plan has" in wall.types("done")
