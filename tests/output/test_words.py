"""Lines that fit a terminal, whatever letters a name is made of."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from fieldvoice.output.screen.parts import bar
from fieldvoice.output.words import cells, lines

WORDS = st.lists(st.text("ab4厨房😀é-", min_size=1, max_size=40), max_size=12)


@given(WORDS, st.integers(4, 60))
def test_no_line_is_wider_than_asked_and_no_sign_is_lost(words: list[str], columns: int) -> None:
    """Letters two columns wide count as such, and one that doesn't fit begins the next line."""
    found = lines(" ".join(words), columns)
    assert all(cells(line) <= columns for line in found)
    assert "".join("".join(found).split()) == "".join(words)


@given(st.text("ab4厨房😀é\n\t", max_size=60), st.integers(12, 90))
def test_a_bar_is_exactly_as_wide_as_the_window(text: str, columns: int) -> None:
    """So that it runs into no other row."""
    row = bar(text, columns, "█", "bold").plain
    assert cells(row) == columns
    assert "\n" not in row
    assert "\t" not in row


def test_a_name_that_is_cut_off_says_so() -> None:
    """Board 1 of "board 12" would be another board."""
    assert "…" in bar("kitchen, north wall, board 12", 30, "█", "bold").plain
