"""Figures that can be read across a room."""

import pytest

from fieldvoice.output.figures import ROWS, large, side_by_side


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
