"""What a cut leaves of a sheet or an offcut, as it is planned; what hangs, and what lay on its sheet."""

from __future__ import annotations

from fractions import Fraction
from itertools import product
from string import ascii_uppercase

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldvoice.records.board import Lies, Offcut, Sheet
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Edge, Neighbor
from fieldvoice.records.room import SurfaceName
from fieldvoice.records.room_plan import Piece, PieceEdge, PieceName
from fieldvoice.stock.rack import LEAST, LONG_EDGES, as_hung, as_on_sheet, gives, left_of, named, uncut

SHEET = uncut(Sheet(Length(48), Length(96)))
EDGES = [
    frozenset(edge for edge, own in zip(Edge, owns, strict=True) if own) for owns in product((True, False), repeat=4)
]


def sixteenths(most: int) -> st.SearchStrategy[Length]:
    """Lengths on a tape."""
    return st.integers(1, most * 16).map(lambda count: Length(Fraction(count, 16)))


def a_piece(run: Length, rise: Length, tapered: int) -> Piece:
    """A lying piece, so many of whose long edges are taped on factory edges."""
    taped = (Edge.TOP, Edge.BOTTOM)[:tapered]
    edges = {edge: PieceEdge(Neighbor.BOARD, edge in taped, (), edge in taped) for edge in Edge}
    name, sheet = PieceName(SurfaceName("", "north wall"), 1), Sheet(Length(48), Length(96))
    return Piece(name, 1, Length(0), Length(0), run, rise, Lies.LYING, 1, sheet, edges, rise, rise)


def test_which_cut_comes_first_decides_what_is_left() -> None:
    """Cut to length first, the end is as wide as the sheet; ripped first, the strip is as long."""
    piece = a_piece(Length("63 3/4"), Length(30), 1)
    end, strip = left_of(SHEET, piece, length_first=True)
    assert (end.length, end.width, end.factory) == (Length("32 1/4"), Length(48), LONG_EDGES | {Edge.RIGHT})
    assert (strip.length, strip.width, strip.tapered) == (Length("63 3/4"), Length(18), 1)
    end, strip = left_of(SHEET, piece, length_first=False)
    assert (end.length, end.width, end.tapered) == (Length("32 1/4"), Length(30), 1)
    assert (strip.length, strip.width, strip.tapered) == (Length(96), Length(18), 1)


@given(
    sixteenths(96),
    sixteenths(48),
    st.integers(0, 2),
    st.sampled_from(EDGES),
    sixteenths(96),
    sixteenths(48),
    st.booleans(),
)
def test_nothing_is_left_that_was_not_there(
    run: Length, rise: Length, tapered: int, own: frozenset[Edge], long: Length, wide: Length, first: bool
) -> None:
    """Piece and rest make up the source, and never have more of its factory edges than there are."""
    source, piece = Offcut("2A", long, wide, own), a_piece(run, rise, tapered)
    if run > long or rise > wide:
        assert not gives(source, piece)
        with pytest.raises(ValueError, match="come out"):
            left_of(source, piece, length_first=first)
        return
    left = left_of(source, piece, length_first=first)
    area = sum((one.length.inches * one.width.inches for one in left), start=run.inches * rise.inches)
    assert area == long.inches * wide.inches
    kept = tapered if gives(source, piece) else 0
    strip = next((one.tapered for one in left if one.width == wide - rise and one.length != long - run), 0)
    end = next((one.tapered for one in left if one.length == long - run and one.width != wide - rise), 0)
    assert end <= source.tapered
    if rise < wide:
        assert strip + max(kept, 0 if first else end) <= source.tapered
    assert all(one.factory & {Edge.LEFT, Edge.RIGHT} <= own for one in left)


@given(st.sampled_from(EDGES), st.sampled_from(Lies), st.sampled_from(EDGES))
def test_an_offcut_is_turned_for_its_joint_and_never_over(
    own: frozenset[Edge], lies: Lies, taped: frozenset[Edge]
) -> None:
    """No way to hang it, face out, has more of the edges that are taped; its long edges stay across from each other."""
    hung = as_hung(own, lies, taped)
    assert len(hung) == len(own)
    long_edges = {Edge.TOP, Edge.BOTTOM} if lies is Lies.LYING else {Edge.LEFT, Edge.RIGHT}
    assert len(hung & long_edges) == len(own & LONG_EDGES)
    across = {Edge.LEFT: Edge.RIGHT, Edge.RIGHT: Edge.LEFT, Edge.TOP: Edge.BOTTOM, Edge.BOTTOM: Edge.TOP}
    other = frozenset(across[edge] for edge in hung)
    assert len(hung & taped) >= len(other & taped)
    assert as_on_sheet(hung, lies) in {own, frozenset(across[edge] for edge in own)}


@pytest.mark.parametrize("count", range(8))
def test_offcuts_are_named_after_their_board(count: int) -> None:
    """In the order of the cuts, scraps left out: the one way that an offcut gets a name."""
    left = [Offcut("", Length(number + 1), Length(40), frozenset()) for number in range(count)]
    names = [one.name for one in named("12", left)]
    assert names == [f"12{letter}" for letter in ascii_uppercase[: sum(one.length >= LEAST for one in left)]]


def test_a_factory_edge_to_spare_comes_to_a_joint() -> None:
    """What doesn't have to be taped on it still hangs so that it meets another board there, lying or standing."""
    top = frozenset({Edge.TOP})
    for joined, hung in ((Edge.TOP, Edge.TOP), (Edge.BOTTOM, Edge.BOTTOM)):
        assert as_hung(top, Lies.LYING, frozenset(), frozenset({joined})) == {hung}
    for joined in (Edge.LEFT, Edge.RIGHT):
        assert as_hung(top, Lies.STANDING, frozenset(), frozenset({joined})) == {joined}
    assert as_hung(top, Lies.LYING, top, frozenset({Edge.BOTTOM})) == top
