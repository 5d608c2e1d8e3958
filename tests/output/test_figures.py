"""Marks set as large as the window allows. Figures that can be read across a room."""

from __future__ import annotations

from fractions import Fraction

import pytest

from fieldvoice.output.figures import ASCII, BLOCKS, ROWS, Cells, Figure, in_line, large, largest, side_by_side, stacked

CUT = (Figure("46 13/16", "TOP"), Figure("46 3/16", "BOTTOM"))


def test_both_marks_of_a_cut_are_numerals_in_a_small_window() -> None:
    """On 80 columns and 14 rows, side by side, each under its place in capitals as high as the fraction."""
    setting = largest(CUT, 80, 14)
    assert setting is not None
    assert setting.shown == 2
    top, bottom = (BLOCKS.drawn(in_line(word, 1)) for word in ("TOP", "BOTTOM"))
    assert all(
        line.startswith(one) and line.endswith(other)
        for line, one, other in zip(setting.lines[:4], top, bottom, strict=True)
    )


def test_where_capitals_would_cost_a_figure_its_height_the_caption_is_text() -> None:
    """On 60 columns and 10 rows the marks stand one above the other, each under a line of text."""
    setting = largest(CUT, 60, 10)
    assert setting is not None
    assert setting.shown == 2
    assert {"TOP", "BOTTOM"} <= set(setting.lines)


@pytest.mark.parametrize("cells", [BLOCKS, ASCII])
@pytest.mark.parametrize(("columns", "rows"), [(46, 10), (60, 14), (80, 14), (120, 30), (200, 50), (400, 110)])
def test_nothing_leaves_the_window(columns: int, rows: int, cells: Cells) -> None:
    """Whatever is drawn fits; in a larger window it is never smaller."""
    smaller = largest(CUT, columns, rows, cells)
    larger = largest(CUT, 2 * columns, 2 * rows, cells)
    assert smaller is not None
    assert larger is not None
    for setting, wide, high in ((smaller, columns, rows), (larger, 2 * columns, 2 * rows)):
        assert len(setting.lines) <= high
        assert max(map(len, setting.lines)) <= wide
    assert (larger.shown, larger.smallest) >= (smaller.shown, smaller.smallest)


def test_figures_grow_with_the_window() -> None:
    """Five times the window, at least three times the figures."""
    small, large = largest(CUT, 80, 14), largest(CUT, 400, 70)
    assert small is not None
    assert large is not None
    assert large.smallest >= 3 * small.smallest


def test_no_room_for_even_one_figure_is_told() -> None:
    """The caller then writes it as text."""
    assert largest(CUT, 20, 3) is None


def test_a_fraction_stands_over_its_bar() -> None:
    """The numerator is above the bar, the denominator below, and the bar is as wide as the wider of them."""
    dots = stacked("3/16", 1)
    bar = [row for row in dots if set(row.strip()) == {"#"} and len(row.strip()) == len(row)]
    assert len(bar) == 1
    middle = dots.index(bar[0])
    assert middle == len(dots) // 2
    assert any("#" in row for row in dots[:middle])
    assert any("#" in row for row in dots[middle + 1 :])


def test_different_lengths_are_drawn_differently() -> None:
    """All sixteenths of a foot, stacked and in line: no two pictures are the same."""
    lengths = [f"{whole} {part}/16" for whole in range(1, 13) for part in range(1, 16, 2)]
    for way in (stacked, in_line):
        assert len({way(text, 1) for text in lengths}) == len(lengths)


def test_half_blocks_hold_the_same_dots_as_full_ones() -> None:
    """Taken apart again, the cells give the picture that was put in."""
    dots = stacked("46 7/8", 1)
    halves = {"█": ("#", "#"), "▀": ("#", " "), "▄": (" ", "#"), " ": (" ", " ")}
    rows = []
    for line in BLOCKS.drawn(dots):
        padded = line.ljust(len(dots[0]))
        rows += ["".join(halves[cell][0] for cell in padded), "".join(halves[cell][1] for cell in padded)]
    assert tuple(rows[: len(dots)]) == dots


def test_the_height_of_the_lowest_figure_is_told_in_rows() -> None:
    """A fraction at scale 1 is seven dots, three and a half rows of half blocks."""
    setting = largest((Figure("46 13/16"),), 36, 9)
    assert setting is not None
    assert setting.smallest == Fraction(7, 2)


@pytest.mark.parametrize("figure", "0123456789/-. ")
def test_every_character_of_a_length_is_drawn(figure: str) -> None:
    """Each figure has seven rows of equal width."""
    rows = large(figure)
    assert len(rows) == ROWS
    assert len({len(row) for row in rows}) == 1


@pytest.mark.parametrize("figure", "023456789")
def test_figures_are_at_least_five_by_seven_dots(figure: str) -> None:
    """ISO 9241 asks for numerals of at least 5 by 7 dots; a 4 keeps its fifth dot on its bar."""
    drawn = [row.rstrip() for row in large(figure)]
    assert max(map(len, drawn)) == 5
    assert all(row.strip() for row in drawn)


def test_no_two_figures_look_alike() -> None:
    """Any two figures differ in at least three cells, so that one damaged row does not turn 3 into 8."""
    drawn = {figure: "".join(large(figure)) for figure in "023456789"}
    for one, cells in drawn.items():
        for other, others in drawn.items():
            if one < other:
                assert sum(a != b for a, b in zip(cells, others, strict=True)) >= 2, (one, other)


def test_a_mixed_number_keeps_its_fraction_apart() -> None:
    """46 1/8 and 461/8 are told apart by the gap between the inches and the fraction."""
    assert len(large("46 1/8")[0]) >= len(large("461/8")[0]) + 4
    assert large("46 1/8") != large("461/8")


def test_capitals_are_told_apart() -> None:
    """Places and edges are written large, too; no two capitals look alike, and none like a figure but O, I and S."""
    drawn = {letter: "".join(large(letter)) for letter in "ABCDEFGHIJKLMNOPQRSTUVWXYZ"}
    for one, cells in drawn.items():
        assert len(cells) == 35
        for other, others in drawn.items():
            if one < other:
                assert sum(a != b for a, b in zip(cells, others, strict=True)) >= 2, (one, other)


def test_anything_else_is_refused() -> None:
    """What can't be drawn isn't left out in silence."""
    with pytest.raises(KeyError):
        large("x")


def test_ascii_cells_where_a_block_cannot_be_shown() -> None:
    """The cell is the caller's choice."""
    assert set("".join(large("8", full="#"))) == {"#", " "}


def test_blocks_stand_side_by_side_and_keep_their_rows() -> None:
    """A shorter block is filled with blanks, a longer one sets the height."""
    assert side_by_side((("a", "bb"), ("c",)), 2) == ("a   c", "bb")
