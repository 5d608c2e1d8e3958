"""What is measured up is measured from the floor, whatever the board's lower edge is at: it is never guessed."""

from __future__ import annotations

from dataclasses import replace

import pytest

from fieldvoice.cutting.solving import missing, solve
from fieldvoice.records.board import Board, Lies, Surface
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Course, Edge, Neighbor
from fieldvoice.records.plan import Need
from tests.cutting.rooms import box, heights, sides, widths

BELOW = sorted(set(Neighbor) - {Neighbor.FLOOR, Neighbor.CEILING})


def _board(bottom: Neighbor) -> Board:
    return Board(
        "1",
        edges=sides(Neighbor.BOARD, Neighbor.WALL, bottom=bottom),
        widths=widths("42", "42", "42"),
        heights=heights("40", None, "40"),
        boxes=(box("box 1", "12", "14", y_from=Edge.BOTTOM),),
    )


@pytest.mark.parametrize("lies", Lies)
@pytest.mark.parametrize("bottom", BELOW)
def test_a_board_off_the_floor_wants_to_know_how_high_it_hangs(bottom: Neighbor, lies: Lies) -> None:
    """The same box is as much lower on it as that is; on a ceiling there is no floor to count from."""
    board = replace(_board(bottom), lies=lies, course=Course.UPPER if lies is Lies.LYING else None)
    assert Need.FLOOR_HEIGHT in {one.need for one in missing(board)}
    tall = replace(board, above_floor=Length(10))
    assert Need.FLOOR_HEIGHT not in {one.need for one in missing(tall)}
    (hole,) = solve(tall).openings
    (from_top,) = solve(replace(board, boxes=(box("box 1", "12", "36"),))).openings
    assert hole.center == from_top.center
    ceiling = replace(board, surface=Surface.CEILING)
    assert Need.FLOOR_HEIGHT not in {one.need for one in missing(ceiling)}


def test_how_high_it_hangs_counts_although_nobody_said_what_is_below() -> None:
    """The floor is there by default alone; the gap under a board that stands on it is none of this."""
    board = _board(Neighbor.FLOOR)
    ups = {up: solve(replace(board, above_floor=Length(up))).openings[0].center.y for up in (0, 1, 10)}
    assert ups[0] == ups[1]
    assert ups[10] - ups[0] == Length(10)
