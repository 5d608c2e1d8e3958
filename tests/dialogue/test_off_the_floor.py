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
    wall = wall_after(f"bottom edge is {high} above the floor", "top 46", "bottom 46", "left 48", "right 48")
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
