"""The hole while it is measured: what is known once with its figure, what is missing with a ?."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations, product

import pytest

from fieldvoice.output.drawing.hole import hole_picture
from tests.cutting.rooms import box, widths
from tests.output.drawing.boards import HOLES, SIZES
from tests.output.drawing.test_board_drawing import texts

EVERY = pytest.mark.parametrize(("name", "size"), list(product(HOLES, SIZES)))


@EVERY
def test_nothing_overlaps_and_nothing_leaves_the_paper(name: str, size: tuple[float, float]) -> None:
    """No text lies on another, and all of it is on the paper."""
    picture = hole_picture(HOLES[name], *size)
    for one, other in combinations(picture.labels, 2):
        assert not one.frame.meets(other.frame), (one.text, other.text)
    assert all(label.frame.within(picture.frame) for label in picture.labels)


@EVERY
def test_what_is_known_stands_there_and_what_is_missing_is_asked(name: str, size: tuple[float, float]) -> None:
    """Each reading once; a ? for each end of the width and a height that a plan can't do without."""
    board = HOLES[name]
    read = texts(hole_picture(board, *size))
    for one in (*board.widths, *board.heights):
        assert read.count(one.value.text(board.unit)) == 1
    for each in board.boxes:
        assert each.name in read
        assert each.x.value.text(board.unit) in read
    widths = {one.at for one in board.widths}
    assert read.count("?") == sum(at not in widths for at in ("top", "bottom")) + (not board.heights)


def test_it_says_that_nothing_is_cut_from_it() -> None:
    """A reading is no mark: the sketch says so."""
    assert "No mark for the sheet" in " ".join(texts(hole_picture(HOLES["one width"], 115, 125)))


def test_what_stands_at_the_edges_is_named() -> None:
    """Board on the left, wall on the right, ceiling, floor."""
    assert {"board", "wall", "ceiling", "floor"} <= set(texts(hole_picture(HOLES["one width"], 115, 125)))


@pytest.mark.parametrize("width", ["1", "3 1/2", "6", "9", "14", "200"])
@pytest.mark.parametrize("size", [(64.0, 60.0), *SIZES[1:]])
def test_a_hole_of_any_width_is_drawn(width: str, size: tuple[float, float]) -> None:
    """A strip beside a door and a long wall, with a box that is where it was called, right or wrong."""
    board = replace(HOLES["one width"], widths=widths(width, None, None), boxes=(box("box 1", "2", "48"),))
    picture = hole_picture(board, *size)
    assert texts(picture).count(width) == 1
    for one, other in combinations(picture.labels, 2):
        assert not one.frame.meets(other.frame), (one.text, other.text)
