"""From which height on a board hangs above the floor, rather than stands at it over a gap."""

from __future__ import annotations

from fractions import Fraction

import pytest

from fieldvoice.cutting.hole import off_the_floor
from fieldvoice.dialogue.finishing import board_now
from fieldvoice.records.board import AT_THE_FLOOR
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Edge, Neighbor
from tests.dialogue.talk import wall_after

TOLD = "from the floor here"


@pytest.mark.parametrize(
    ("high", "hangs"), [("3", False), ("3 15/16", False), ("4", True), ("4 1/16", True), ("48", True)]
)
def test_what_the_screen_says_is_below_a_board_is_what_its_cut_goes_by(high: str, hangs: bool) -> None:
    """A gap is less than the limit: at the limit itself it hangs, for its neighbor, its cut and the words alike."""
    assert Length(4) == AT_THE_FLOOR
    wall = wall_after(
        f"bottom edge is {high} above the floor",
        *([] if hangs else ["yes"]),
        "top 46",
        "bottom 46",
        "left 48",
        "right 48",
    )
    told = wall.types("box 1 single gang center 30 from left 20 up")
    board = board_now(wall.session.state, "1", wall.now)
    assert off_the_floor(board) is hangs
    assert (board.edges[Edge.BOTTOM].neighbor is Neighbor.BOARD) is hangs
    assert (TOLD in told) is hangs


GAPS = [Fraction(eighths, 8) for eighths in range(2, 29)]


@pytest.mark.parametrize("gap", GAPS)
@pytest.mark.parametrize("base", [None, 2, 3])
def test_a_gap_that_was_said_is_left_and_one_that_the_base_does_not_cover_is_asked_about(
    gap: Fraction, base: int | None
) -> None:
    """A yes plans it as it was said."""
    wall = wall_after("t 46", "b 46", "l 96", "r 96", *(() if base is None else (f"base covers {base}",)))
    wall.types(f"floor gap {float(gap)}")
    assert wall.asks == (gap > (base or 1))
    wall.types(*["yes"] * wall.asks, "done")
    plan = wall.view.plan
    assert plan is not None, wall.said
    lowest = max(point.y.inches for point in plan.outline) - min(point.y.inches for point in plan.outline)
    assert Fraction(96) - lowest >= gap
    assert Fraction(96) - lowest <= max(gap, Fraction(1, 2)) + Fraction(1, 4)


HIGH = [Fraction(sixteenths, 16) for sixteenths in (1, 8, 16, 17, 24, 33, 48, 63)]


@pytest.mark.parametrize("high", HIGH)
@pytest.mark.parametrize("first", [False, True])
@pytest.mark.parametrize("up", [10, 20])
def test_less_above_the_floor_is_the_gap_and_what_counts_from_there_is_that_much_nearer_the_edge(
    high: Fraction, up: int, *, first: bool
) -> None:
    """It is asked about as soon as it is said where no base covers it, and is never taken for nothing."""
    box = f"box 1 single gang center 20 from left {up} up"
    wall = wall_after("t 46", "b 46", "l 96", "r 96", *((box,) if first else ()))
    wall.types(f"above floor {Length(high).text()}")
    assert wall.asks == (high > 1)
    wall.types(*["yes"] * wall.asks, *(() if first else (box,)), "done")
    plan = wall.view.plan
    assert plan is not None, wall.said
    assert not wall.view.draft
    (opening,) = plan.openings
    corners = [point.y.inches for point in opening.corners]
    lowest = max(point.y.inches for point in plan.outline)
    assert abs(lowest - (min(corners) + max(corners)) / 2 - (up - high)) <= Fraction(1, 4)


@pytest.mark.parametrize("high", ["3", "2 1/2"])
@pytest.mark.parametrize("piece", [1, 2])
def test_a_piece_of_a_layout_that_is_said_to_be_less_above_the_floor_is_asked_about(high: str, piece: int) -> None:
    """The lower one over a gap, the upper one over a joint."""
    wall = wall_after("north wall 144 by 96", "24 on center from left", "lying", *["next board"] * piece)
    told = wall.types(f"above floor {high}")
    assert wall.asks
    assert ("joint" in told) is (piece == 1)
