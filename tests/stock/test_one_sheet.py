"""One sheet filled for the most value, against trying everything."""

from __future__ import annotations

from functools import cache

from hypothesis import given
from hypothesis import strategies as st

from fieldvoice.files.planning_files import SheetProblem
from fieldvoice.stock.guillotine import Rectangle, best_fill
from tests.stock.rectangles import faults

SIDES = st.integers(1, 7)
PIECES = st.lists(st.builds(Rectangle, SIDES, SIDES, st.integers(1, 30)), min_size=1, max_size=4)
LIMITED = st.lists(st.builds(Rectangle, SIDES, SIDES, st.integers(1, 30), st.integers(1, 2)), min_size=1, max_size=3)


def most(pieces: tuple[Rectangle, ...], width: int, height: int) -> int:
    """Every way to cut, tried."""

    @cache
    def best(wide: int, high: int) -> int:
        value = max((p.value for p in pieces if p.width <= wide and p.height <= high), default=0)
        for at in range(1, wide):
            value = max(value, best(at, high) + best(wide - at, high))
        for at in range(1, high):
            value = max(value, best(wide, at) + best(wide, high - at))
        return value

    return best(width, height)


def most_limited(pieces: tuple[Rectangle, ...], width: int, height: int) -> int:
    """Every way to cut, with every way to share out what is left of each piece."""

    @cache
    def ways(wide: int, high: int, left: tuple[int, ...]) -> frozenset[tuple[int, tuple[int, ...]]]:
        found = {(0, left)}
        for number, piece in enumerate(pieces):
            if left[number] and piece.width <= wide and piece.height <= high:
                after = tuple(count - (number == index) for index, count in enumerate(left))
                found.add((piece.value, after))
        for at in range(1, wide):
            for value, after in ways(at, high, left):
                found |= {(value + more, last) for more, last in ways(wide - at, high, after)}
        for at in range(1, high):
            for value, after in ways(wide, at, left):
                found |= {(value + more, last) for more, last in ways(wide, high - at, after)}
        return frozenset(found)

    limits = tuple(piece.most or 0 for piece in pieces)
    return max(value for value, _ in ways(width, height, limits))


@given(PIECES, st.integers(1, 12), st.integers(1, 12), st.booleans())
def test_any_number_of_each(pieces: list[Rectangle], width: int, height: int, turn: bool) -> None:
    """The table of best values finds what trying everything finds."""
    turned = [Rectangle(p.height, p.width, p.value) for p in pieces] if turn else []
    fill = best_fill(pieces, width, height, turn=turn)
    assert fill.value == fill.bound == most((*pieces, *turned), width, height)
    assert faults(SheetProblem(width, height, tuple(pieces)), fill, turn=turn) == []


@given(LIMITED, st.integers(1, 7), st.integers(1, 6))
def test_so_many_of_each(pieces: list[Rectangle], width: int, height: int) -> None:
    """The search from below finds what trying everything finds."""
    fill = best_fill(pieces, width, height, turn=False)
    assert fill.value == fill.bound == most_limited(tuple(pieces), width, height)
    assert faults(SheetProblem(width, height, tuple(pieces)), fill, turn=False) == []


def test_a_search_that_gives_up_tells_its_bound() -> None:
    """With too little work the value is below the bound, and both are true."""
    pieces = [Rectangle(3, 2, 7, 3), Rectangle(2, 2, 5, 4), Rectangle(4, 1, 4, 3)]
    whole, stopped = (best_fill(pieces, 9, 7, turn=False, builds=builds) for builds in (10**5, 3))
    assert whole.value == whole.bound
    assert stopped.value <= whole.value <= stopped.bound
