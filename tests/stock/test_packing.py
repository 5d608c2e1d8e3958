"""Pieces onto given sheets by trying every way, against the fills that are made by their worth."""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldvoice.layout.recheck import recheck_sheets
from fieldvoice.records.board import Sheet
from fieldvoice.records.length import Length
from fieldvoice.records.room import SurfaceName
from fieldvoice.records.room_plan import PieceName
from fieldvoice.stock.filling import Filler
from fieldvoice.stock.needs import PieceSize, Stock
from fieldvoice.stock.packing import GivenUp, Packing, Work
from fieldvoice.stock.rack import pattern

NEEDS = st.lists(
    st.builds(PieceSize, st.integers(2, 12), st.sampled_from([2, 3, 5, 8]), st.integers(0, 2)), min_size=1, max_size=5
)
SHEETS = st.lists(st.builds(Stock, st.integers(4, 24), st.just(8), st.just(1), st.integers(0, 2)), max_size=2)


@given(NEEDS, st.integers(4, 24), st.integers(0, 2))
def test_one_sheet_takes_what_the_best_fill_takes(needs: list[PieceSize], length: int, tapered: int) -> None:
    """A fill made by worth, whose pieces are each there but once, is one; and what is worth more than any can't be."""
    sheet, wanted = Stock(length, 8, 1, tapered), Counter(needs)
    value, fill = Filler(8, tapered, length, {need: need.area for need in wanted}, wanted).best(length)
    if fill.counts <= wanted and fill.counts:
        assert Packing().packed(fill.counts, [sheet], Work(10**6)) is not None
    if value < sum(need.area for need in needs):
        assert Packing().packed(wanted, [sheet], Work(10**6)) is None


@given(NEEDS, SHEETS)
def test_what_is_packed_lies_on_its_sheets(needs: list[PieceSize], sheets: list[Stock]) -> None:
    """Every piece is there once, and laid out none is outside, over another, or without its factory edges."""
    packed = Packing().packed(Counter(needs), sheets, Work(10**6))
    if packed is None:
        return
    assert sum((fill.counts for fill in packed), Counter[PieceSize]()) == Counter(needs)
    for sheet, fill in zip(sheets, packed, strict=True):
        names: list[tuple[PieceName, PieceSize]] = []

        def name(need: PieceSize, names: list[tuple[PieceName, PieceSize]] = names) -> PieceName:
            names.append((PieceName(SurfaceName("piece", ""), len(names) + 1), need))
            return names[-1][0]

        laid = pattern(fill, Sheet(Length(8), Length(sheet.length)), None, Length, name)
        recheck_sheets([laid], {named: (Length(need.length), Length(need.width)) for named, need in names})
        places = {placed.name: placed for placed in laid.pieces}
        for named, need in names:
            at = places[named]
            own = (not at.y) + (at.y + at.width == Length(8))
            assert min(need.tapered, own) == need.tapered
            assert need.tapered <= sheet.tapered


def test_more_work_than_is_allowed_is_told() -> None:
    """Not that there is no way."""
    with pytest.raises(GivenUp):
        Packing().packed(Counter({PieceSize(5, 3): 4, PieceSize(4, 3): 3}), [Stock(12, 8, 1)] * 3, Work(20))
