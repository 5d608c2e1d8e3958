"""What is called from the floor on a board that hangs above it is marked where that is by what was measured: the board
hangs from what is above it, whatever height the layout has there.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import product

import pytest

from fieldvoice.records.length import Length
from tests.dialogue.talk import Wall, wall_after

FRAMED = ("24 on center from left", "lying")
WIDE = ("t 144", "b 144")


def high(left: Length, right: Length) -> str:
    """A board's heights, as they are called."""
    return f"l {left.text()} r {right.text()}"


def measured(wall: Wall, *lines: str) -> None:
    """The lines typed, each with a yes to what it asks."""
    for line in lines:
        wall.types(line)
        while wall.asks:
            wall.types("yes")


def above_lower_edge(wall: Wall, piece_high: Length) -> Fraction:
    """How far the middle of the only box is above the lower edge of the board, as its plan cuts it."""
    wall.types("done")
    plan = wall.view.plan
    assert plan is not None, wall.said
    assert not wall.view.draft, wall.said
    (box,) = plan.openings
    corners = [point.y.inches for point in box.corners]
    down = (min(corners) + max(corners)) / 2
    return piece_high.inches - down


HIGH = [Length(each) for each in ("40", "46", "47", "47 1/2", "47 15/16", "48")]


@pytest.mark.parametrize(
    ("wall_high", "board_high", "behind"), tuple(product(("92", "96", "97 1/2"), HIGH, (False, True)))
)
def test_a_box_from_the_floor_hangs_with_its_board(wall_high: str, board_high: Length, *, behind: bool) -> None:
    """On an upper course it is as far above the edge as the wall's height and the board's own make it, whether it was
    called behind the board's height or before.
    """
    up = Length(wall_high) - board_high + Length(14)
    box = f"box 1 single gang center 100 from left {up.text()} up"
    wall = wall_after(f"north wall 144 by {wall_high}", *FRAMED, "next board", *WIDE)
    measured(wall, *((high(board_high, board_high), box) if behind else (box, high(board_high, board_high))))
    assert above_lower_edge(wall, board_high) == 14
    assert "above floor" not in wall.settings


@pytest.mark.parametrize(("higher", "cut"), tuple(product(("1/16", "1", "3", "-1/2"), (False, True))))
def test_a_wall_called_anew_moves_what_counts_from_its_floor(higher: str, *, cut: bool) -> None:
    """Also on a board that is settled, which is told."""
    wall = wall_after("north wall 144 by 96", *FRAMED, "next board", *WIDE, high(Length(48), Length(48)))
    measured(wall, "box 1 single gang center 100 from left 62 up", *(("done",) if cut else ()))
    again = Length(96) + Length(higher)
    measured(wall, "north wall", f"north wall 144 by {again.text()}")
    told = " ".join((*(say.text for say in wall.said), wall.types("board 1")))
    assert f"floor to ceiling {again.text()} in" in told
    assert ("counts as cut" in told) is cut
    assert above_lower_edge(wall, Length(48)) == 14 - Length(higher).inches


@pytest.mark.parametrize("upper", HIGH[2:])
@pytest.mark.parametrize("middle", HIGH[2:])
@pytest.mark.parametrize("first", [False, True])
def test_a_middle_course_hangs_from_the_one_above_it(upper: Length, middle: Length, *, first: bool) -> None:
    """By the heights of both, whichever was measured first."""
    up = Length(120) - upper - middle + Length(20)
    wall = wall_after("north wall 144 by 120", *FRAMED, "next board", *WIDE)
    measured(wall, *((high(upper, upper),) if first else ()), "next board", *WIDE, high(middle, middle))
    measured(wall, f"box 1 single gang center 100 from left {up.text()} up")
    if not first:
        measured(wall, "board 1", high(upper, upper), "board 2")
    assert above_lower_edge(wall, middle) == 20


@pytest.mark.parametrize(("left", "right"), [("47 1/2", "48"), ("48", "47 15/16"), ("47", "47 1/2")])
def test_a_middle_course_that_is_not_level_is_asked_how_high_it_hangs(left: str, right: str) -> None:
    """Nothing says by which end."""
    wall = wall_after("north wall 144 by 120", *FRAMED, "next board", *WIDE, high(Length(48), Length(48)), "next board")
    measured(wall, *WIDE, "box 1 single gang center 100 from left 50 up", high(Length(left), Length(right)))
    assert "how high the board's bottom edge is above the floor" in wall.types("done")
    measured(wall, "above floor 24")
    wall.types("done")
    assert not wall.view.draft


@pytest.mark.parametrize("lower", ["45", "46", "47 11/16", "47 3/4", "48", "48 1/4", "48 5/16", "49"])
@pytest.mark.parametrize("upper", ["47", "48"])
def test_boards_that_leave_another_height_than_their_wall_s_are_asked_about(upper: str, lower: str) -> None:
    """By more than a box's cover hides; the upper board alone, which counts from the floor through the lower one."""
    wall = wall_after("north wall 144 by 96", *FRAMED, "next board", *WIDE, high(Length(upper), Length(upper)))
    measured(wall, "box 1 single gang center 100 from left 64 up", "done")
    off = abs(Length(upper) + Length(lower) - Length(96))
    measured(wall, "next board", *WIDE, high(Length(lower), Length(lower)))
    told = " ".join(say.text for say in wall.said)
    measured(wall, "board 1")
    asked = "how high the board's bottom edge is above the floor" in wall.types("done")
    assert asked == wall.view.draft == (off > Length("1/4"))
    assert ("Board 1 counts as cut, but the layout has changed there: floor to ceiling isn't known" in told) <= asked


@pytest.mark.parametrize(("shorter", "side"), tuple(product(("0", "1/16", "1/2", "3/4"), ("both", "left"))))
def test_below_a_slope_a_board_hangs_as_far_up_as_it_is_short(shorter: str, side: str) -> None:
    """Where both its sides are by as much; else it is asked."""
    wall = wall_after("north wall 144 by 96 right height 120", *FRAMED, "next board", *WIDE)
    off = Length(shorter)
    one, other = Length(24) - off, Length(48) - (off if side == "both" else Length(0))
    measured(wall, "box 1 single gang center 100 from left 86 up", high(one, other))
    level = side == "both" or off == Length(0)
    assert wall.settings.get("above floor") == (f"{(Length(72) + off).text()} in" if level else None)
    wall.types("done")
    asked = "how high the board's bottom edge is above the floor" in " ".join(say.text for say in wall.said)
    assert asked is not level
