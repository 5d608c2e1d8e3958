"""What a cut leaves of a sheet or an offcut."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldvoice.records.board import Sheet
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Edge
from fieldvoice.stock.rack import LEAST, Taken, left_of, whole

SHEET = whole(Sheet(Length(48), Length(96)))


def sixteenths(most: int) -> st.SearchStrategy[Length]:
    """Lengths on a tape."""
    return st.integers(1, most * 16).map(lambda count: Length(Fraction(count, 16)))


def test_an_end_has_three_factory_edges_and_a_strip_one() -> None:
    """Cut to length first, then ripped; each is named after its board."""
    end, strip = left_of(SHEET, Taken(Length("63 3/4"), Length(30)), "4")
    assert (end.name, end.length, end.width) == ("4A", Length("32 1/4"), Length(48))
    assert end.factory == {Edge.TOP, Edge.BOTTOM, Edge.RIGHT}
    assert (strip.name, strip.length, strip.width, strip.tapered) == ("4B", Length("63 3/4"), Length(18), 1)


def test_the_strip_of_an_offcut_with_one_factory_edge_has_none() -> None:
    """The board may have kept it."""
    strip = left_of(SHEET, Taken(Length(96), Length(30)), "4")[0]
    (rest,) = left_of(strip, Taken(Length(96), Length(8)), "5")
    assert rest.tapered == 0


@given(sixteenths(96), sixteenths(48), sixteenths(12), sixteenths(12), st.sampled_from(["whole", "end", "strip"]))
def test_nothing_is_left_that_was_not_there(
    along: Length, across: Length, lost: Length, lost_across: Length, kind: str
) -> None:
    """Board, what is lost and what is left lie in the source without overlap; scraps aren't kept, and no offcut has a
    factory edge that its source hasn't.
    """
    source = SHEET
    if kind != "whole":
        source = left_of(SHEET, Taken(Length(40), Length(20)), "1")[kind == "strip"]
    taken = Taken(along, across, lost, lost_across)
    fits = along + lost <= source.length and across + lost_across <= source.width
    if not fits:
        with pytest.raises(ValueError, match="come out"):
            left_of(source, taken, "2")
        return
    left = left_of(source, taken, "2")
    area = sum((one.length.inches * one.width.inches for one in left), start=along.inches * across.inches)
    assert area <= source.length.inches * source.width.inches
    assert all(min(one.length, one.width) >= LEAST and one.factory <= source.factory for one in left)
    assert all(one.tapered <= source.tapered for one in left)
