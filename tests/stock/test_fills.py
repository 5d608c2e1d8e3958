"""What one sheet gives to a house: lengths, rips and factory edges, against trying everything."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from fractions import Fraction
from itertools import product

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from fieldvoice.records.board import Sheet
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Edge
from fieldvoice.records.room import SurfaceName
from fieldvoice.records.room_plan import PieceName
from fieldvoice.stock.buying import cover
from fieldvoice.stock.filling import Filler, Knapsack, LengthItem
from fieldvoice.stock.needs import Band, Fill, PieceSize, RippedLength, Stock, fits
from fieldvoice.stock.rack import pattern

ITEMS = st.lists(st.tuples(st.integers(1, 9), st.integers(1, 20), st.integers(1, 3)), min_size=1, max_size=4)


@given(ITEMS, st.integers(1, 20))
def test_a_length_is_used_best(items: list[tuple[int, int, int]], length: int) -> None:
    """Each item so often at most; nothing that fits is worth more."""
    sack = Knapsack([LengthItem(*item, key) for key, item in enumerate(items)], length)
    tried = product(*(range(copies + 1) for _, _, copies in items))
    lengths = [(sum(n * i[0] for n, i in zip(counts, items, strict=True)), counts) for counts in tried]
    most = max(sum(n * i[1] for n, i in zip(c, items, strict=True)) for total, c in lengths if total <= length)
    chosen = Counter(sack.chosen(length))
    assert sack.best[length] == most == sum(count * items[key][1] for key, count in chosen.items())
    assert all(count <= items[key][2] for key, count in chosen.items())
    assert sum(count * items[key][0] for key, count in chosen.items()) <= length


NEEDS = st.lists(
    st.builds(PieceSize, st.integers(2, 12), st.sampled_from([2, 3, 5, 8]), st.integers(0, 2)), min_size=1, max_size=5
)


@given(NEEDS, st.integers(4, 24), st.integers(0, 2))
@example([PieceSize(2, 2, 0), PieceSize(12, 3, 0)], 14, 0)  # one part three times, with more pieces than are needed
def test_a_fill_is_on_its_sheet(needs: list[PieceSize], length: int, tapered: int) -> None:
    """Laid out, pieces lie on the sheet, the rest is what is left, and factory edges are where they must be. With more
    of a piece than is needed it may be worth more than was reckoned, and never less.
    """
    usable = [need for need in dict.fromkeys(needs) if fits(need, Stock(length, 8, 1, tapered))]
    values = {need: need.area + 1 for need in usable}
    filler = Filler(8, tapered, length, values, dict.fromkeys(usable, 2))
    value, fill = filler.best(length)
    worth = sum(values[need] for need in fill.needs())
    assert value == worth or (value < worth and max(Counter(fill.needs()).values()) > 2)
    laid = pattern(fill, Sheet(Length(8), Length(length)), None, Length, _names())
    areas = [p.length.inches * p.width.inches for p in laid.pieces] + [
        o.length.inches * o.width.inches for o in laid.left_over
    ]
    assert sum(areas, Fraction(0)) == 8 * length
    for need, placed in zip(_in_order(fill), laid.pieces, strict=True):
        touching = (not placed.y) + (placed.y + placed.width == Length(8))
        assert min(need.tapered, 2) <= touching or need.tapered <= touching


SMALL = st.lists(
    st.builds(PieceSize, st.integers(2, 7), st.sampled_from([2, 3, 5, 8]), st.just(0)),
    min_size=1,
    max_size=3,
    unique=True,
)


@given(SMALL, st.lists(st.integers(1, 9), min_size=3, max_size=3), st.integers(6, 16))
def test_no_fill_of_what_is_needed_is_worth_more(needs: list[PieceSize], worth: list[int], length: int) -> None:
    """Every way to put two of each at most on a sheet is tried: the bound on a house's feet leans on the best."""
    usable = [need for need in needs if fits(need, Stock(length, 8, 1))]
    values = dict(zip(usable, worth, strict=False))
    value, _ = Filler(8, 0, length, values, dict.fromkeys(usable, 2)).best(length)
    ways = _least_lengths(usable, 2, 8)
    assert value >= max(sum(map(int.__mul__, way, values.values())) for way, used in ways.items() if used <= length)


def _least_lengths(needs: list[PieceSize], most: int, width: int) -> dict[tuple[int, ...], int]:
    """The least length of sheet for each count of pieces: parts behind each other, of bands, of pieces in a row."""
    none = (0,) * len(needs)
    parts = {none: 0}
    waiting: list[tuple[tuple[int, ...], tuple[tuple[int, int], ...]]] = [(none, ())]
    seen = set(waiting)
    while waiting:
        counts, bands = waiting.pop()
        for key, need in enumerate(needs):
            if counts[key] == most:
                continue
            more = (*counts[:key], counts[key] + 1, *counts[key + 1 :])
            grown = [
                (*bands[:at], (high, used + need.length), *bands[at + 1 :])
                for at, (high, used) in enumerate(bands)
                if need.width <= high
            ]
            if sum(high for high, _ in bands) + need.width <= width:
                grown.append((*bands, (need.width, need.length)))
            for each in {tuple(sorted(one)) for one in grown}:
                if (more, each) not in seen:
                    seen.add((more, each))
                    waiting.append((more, each))
                    parts[more] = min(parts.get(more, 99), max(used for _, used in each))
    whole = {none: 0}
    for _ in range(most * len(needs)):
        for (one, used), (other, length) in product([*whole.items()], parts.items()):
            both = tuple(map(int.__add__, one, other))
            if max(both) <= most:
                whole[both] = min(whole.get(both, 99), used + length)
    return whole


def _in_order(fill: Fill) -> list[PieceSize]:
    return [*sorted(fill.whole, reverse=True), *(n for part in fill.ripped for band in part.bands for n in band.needs)]


def _names() -> Callable[[PieceSize], PieceName]:
    numbers = iter(range(1, 1000))
    return lambda need: PieceName(SurfaceName("a", "b"), next(numbers))


def test_two_strips_and_no_more_keep_a_factory_edge() -> None:
    """Four strips of 12 in come out of 48 in, but two of them alone have a factory edge."""
    stock = [Stock(96, 48, 8)]
    assert cover({PieceSize(96, 12, 1): 4}, stock).cost == 16
    assert cover({PieceSize(96, 12, 0): 4}, stock).cost == 8


def test_what_is_left_knows_its_factory_edges() -> None:
    """A strip ripped off a cut length: the rest of the rip, and the end of the sheet."""
    ((_, fill),) = cover({PieceSize(60, 48): 1, PieceSize(30, 12, 1): 1}, [Stock(96, 48, 8)]).fills
    laid = pattern(fill, Sheet(Length(48), Length(96)), None, Length, _names())
    left = [one.factory for one in laid.left_over]
    assert all(Edge.LEFT not in factory for factory in left)
    assert any(Edge.BOTTOM in factory and Edge.TOP not in factory for factory in left)
    assert [Edge.LEFT in one.factory for one in laid.pieces] == [True, False]
    assert all(Edge.TOP in one.factory for one in laid.pieces)


@given(st.integers(1, 96), st.integers(1, 48), st.integers(0, 10), st.booleans())
def test_one_piece_leaves_two_rectangles_and_the_larger_whole(long: int, wide: int, more: int, bottom: bool) -> None:
    """Whatever larger pieces its fill was made for: what lies beside it comes off at two cuts, first the most."""
    need = PieceSize(long, wide)
    band = Band(min(wide + more, 47), tapered=False, needs=(need,))
    part = RippedLength(min(long + more, 96), (band,), to_bottom=bottom)
    fill = Fill((), (part,)) if wide < 48 else Fill((need,))
    laid = pattern(fill, Sheet(Length(48), Length(96)), None, Length, _names())
    end, strip = (96 - long) * 48, 96 * (48 - wide)
    sizes = [one.length.inches * one.width.inches for one in laid.left_over]
    assert len(sizes) == (end > 0) + (strip > 0)
    assert max(sizes, default=Fraction(0)) == max(end, strip)


@pytest.mark.parametrize("count", [1, 2, 3])
def test_an_offcut_is_used_before_a_sheet_is_bought(count: int) -> None:
    """Free stock of a limited number: what it can't give is bought."""
    bought = cover({PieceSize(40, 48): count}, [Stock(96, 48, 8), Stock(44, 48, 0, available=1)])
    assert bought.cost == 8 * ((count - 1 + 1) // 2)
    assert bought.bound <= bought.cost
