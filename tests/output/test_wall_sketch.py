"""A wall in a few cells: whatever is built, every board under its name once, nothing outside the window."""

from __future__ import annotations

import random

import pytest

from fieldvoice.errors import CannotCut
from fieldvoice.output.wall_sketch import ASCII, UNICODE, wall_sketch
from fieldvoice.records.room_plan import SurfacePlan
from tests.layout.houses import house_of, house_text, plan_at_once

SIZES = ((30, 8), (60, 12), (80, 18), (120, 32), (200, 50))


def planned(text: str) -> tuple[SurfacePlan, ...]:
    """The surfaces of a house written down; none where no layout keeps the rules."""
    try:
        return plan_at_once(house_of(text)).surfaces
    except CannotCut:
        return ()


@pytest.mark.parametrize("seed", range(30))
def test_every_board_is_named_once_and_nothing_is_outside(seed: int) -> None:
    """Or there is no sketch at all: one that leaves a board out would be believed."""
    drawn = 0
    for surface in planned(house_text(random.Random(seed))):
        for layer in range(1, surface.surface.layers + 1):
            pieces = [piece.name for piece in surface.pieces if piece.layer == layer]
            names = {name: f"{{{number}}}" for number, name in enumerate(pieces)}
            for columns, rows in SIZES:
                lines = wall_sketch(surface, names, columns, rows, ASCII, layer)
                assert len(lines) <= rows
                assert all(len(line) <= columns and line.isascii() for line in lines)
                text = "\n".join(lines)
                assert not lines or all(text.count(name) == 1 for name in names.values())
                assert bool(lines) == bool(wall_sketch(surface, names, columns, rows, UNICODE, layer))
                drawn += bool(lines)
    assert drawn or not planned(house_text(random.Random(seed)))


SLOPE = """
[job]
sheets = ["48 x 144"]
[[wall]]
room = "attic"
name = "gable"
width = "120"
height = "{left}"
top_right_height = "{right}"
studs = "16 on center from left"
"""


@pytest.mark.parametrize(("left", "right", "line"), [("60", "110", "/"), ("110", "60", "\\")])
def test_under_a_slope_nothing_stands_above_it(left: str, right: str, line: str) -> None:
    """The top is one line that rises or falls to the right, and no name is on it or over it."""
    (surface,) = planned(SLOPE.format(left=left, right=right))
    names = {piece.name: str(piece.name.number) for piece in surface.pieces}
    lines = [each.ljust(80) for each in wall_sketch(surface, names, 80, 24, ASCII)]
    for column in zip(*lines, strict=True):
        tops = [row for row, ink in enumerate(column) if ink == line]
        if tops:
            assert not "".join(column[: tops[0]]).strip()
            assert len(tops) == 1
    assert any(line in each for each in lines)
