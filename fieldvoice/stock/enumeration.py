"""Every fill that a better plan could use: those whose worth falls short of their sheet by no more than is at stake."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from fieldvoice.stock.knapsack import Knapsack, LengthItem
from fieldvoice.stock.needs import Need, Stock

MOST_FILLS = 20_000
"""With more than these the program is no quicker than without the proof."""


def whole_fills(
    stock: Stock, values: Mapping[Need, int], most: Mapping[Need, int], least: int, limit: int = MOST_FILLS
) -> list[tuple[Need, ...]] | None:
    """All fills of pieces as wide as the sheet that are worth `least` or more and to which no piece can be added; None
    where there are more than `limit`.
    """
    needs = sorted(need for need in values if need.width == stock.width and need.tapered <= stock.tapered)
    after = _values_after(needs, values, most, stock.length)
    found: list[tuple[Need, ...]] = []
    for fill in _grow(needs, values, most, after, stock.length, least):
        if len(found) == limit:
            return None
        if _full(fill, needs, most, stock.length):
            found.append(fill)
    return found


def _values_after(
    needs: Sequence[Need], values: Mapping[Need, int], most: Mapping[Need, int], length: int
) -> list[Sequence[int]]:
    """For each need: the most that it and those after it are worth in each length."""
    after: list[Sequence[int]] = [[0] * (length + 1)]
    sack = Knapsack([], length)
    for key, need in reversed(list(enumerate(needs))):
        sack.add(LengthItem(need.length, values[need], most[need], key))
        after.append(sack.best.tolist())
    return after[::-1]


def _grow(
    needs: Sequence[Need],
    values: Mapping[Need, int],
    most: Mapping[Need, int],
    after: Sequence[Sequence[int]],
    length: int,
    least: int,
) -> Iterator[tuple[Need, ...]]:
    """Depth first; a branch is left as soon as the best that it can still come to is too little."""
    stack: list[tuple[int, int, int, tuple[Need, ...]]] = [(0, length, 0, ())]
    while stack:
        index, room, worth, taken = stack.pop()
        if worth + after[index][room] < least:
            continue
        if index == len(needs):
            yield taken
            continue
        need = needs[index]
        stack += [
            (index + 1, room - count * need.length, worth + count * values[need], taken + (need,) * count)
            for count in range(min(most[need], room // need.length) + 1)
        ]


def _full(fill: Sequence[Need], needs: Sequence[Need], most: Mapping[Need, int], length: int) -> bool:
    """Whether no piece can be added that is still wanted."""
    room = length - sum(need.length for need in fill)
    return bool(fill) and all(need.length > room or fill.count(need) >= most[need] for need in needs)
