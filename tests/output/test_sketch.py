"""The board in a few cells."""

from __future__ import annotations

from fractions import Fraction

import pytest

from fieldvoice.output.sketch import ASCII, UNICODE, Ink, Outline, Sketched, sketch


def outline(*corners: tuple[float, float]) -> Outline:
    """Corners in inches."""
    return tuple((Fraction(x), Fraction(y)) for x, y in corners)


SHEET = outline((0, 0), (48, 0), (48, 96), (0, 96))
BOARD = outline((0, 0), (44, 0), (36, 95), (0, 95))
BOX = outline((20, 40), (26, 40), (26, 48), (20, 48))
HOOKS = (((Fraction(0), Fraction(1)), Ink.HOOK_LEFT),)
WHOLE = Sketched(SHEET, BOARD, (BOX,), HOOKS, ((Fraction(44), Fraction(0)),))


@pytest.mark.parametrize(("columns", "rows"), [(10, 8), (26, 16), (40, 24), (100, 60)])
@pytest.mark.parametrize("inks", [UNICODE, ASCII])
def test_the_sketch_keeps_to_its_room(columns: int, rows: int, inks: dict[Ink, str]) -> None:
    """No larger than it may be, with waste, edge, hook and mark in it, and in ASCII nothing else."""
    lines = sketch(WHOLE, columns, rows, inks)
    assert 0 < len(lines) <= rows
    assert max(map(len, lines)) <= columns
    drawn = "".join(lines)
    for ink in (Ink.WASTE, Ink.EDGE, Ink.HOOK_LEFT, Ink.MARK):
        assert inks[ink] in drawn
    assert inks is UNICODE or drawn.isascii()


def test_waste_is_where_the_sheet_is_cut_away() -> None:
    """On the right, and wider at the bottom, where the taper leaves less."""
    lines = sketch(WHOLE, 40, 24)
    assert lines[2].count("░") < lines[-3].count("░")
    assert all(line.rstrip("░").find("░") == -1 for line in lines)


def test_the_hook_stands_outside_the_edge_it_hooks_on() -> None:
    """Left of the sheet, pointing the way the tape runs."""
    assert any(line.startswith("▶█") for line in sketch(WHOLE, 40, 24))


def test_no_room_is_no_sketch() -> None:
    """Rather than a shape that nobody can make out."""
    assert sketch(WHOLE, 4, 3) == ()
    assert sketch(Sketched(outline((0, 0)), outline((0, 0))), 40, 20) == ()
