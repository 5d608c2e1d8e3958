"""Fewest sheets for pieces that are given, with a bound: what a layout does, without a layout."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace

from fieldvoice.stock.buying import Bought, Effort, cost_of, fewest, fewest_of_all, taken
from fieldvoice.stock.columns import Columns, Demand, whole_bound
from fieldvoice.stock.first_fit import first_fit
from fieldvoice.stock.needs import Fill, PieceSize, Stock
from fieldvoice.stock.packing import GivenUp, Packing, Work


def cover(needs: Mapping[PieceSize, int], stocks: Sequence[Stock], effort: Effort | None = None) -> Bought:
    """Sheets for all the pieces. Each piece has to fit a stock that there is any number of (`ValueError` else)."""
    work = effort or Effort()
    columns = Columns(stocks, Demand.of(needs))
    found = columns.generate(work.rounds)
    if found is None:
        raise ValueError("a piece fits no sheet")
    bound = whole_bound(found)
    fills = dived(columns, needs, first_fit(needs, stocks), bound)
    if cost_of(fills, stocks) == bound:
        return Bought((), fills, bound, bound)
    bought = fewest_of_all(columns, fewest(columns, taken(columns, {}, fills, bound), work), work)
    return _proved(bought, needs, stocks)


PROOF = 200_000
"""How much may be done to lay the pieces on fewer sheets in every way."""


def _proved(bought: Bought, needs: Mapping[PieceSize, int], stocks: Sequence[Stock]) -> Bought:
    """The bound raised in whole numbers, as far as every way can be tried: a set of sheets that is enough is the
    answer.
    """
    packing, left = Packing(), Work(PROOF)
    while bought.bound < bought.cost:
        try:
            fills = packing.for_cost(needs, stocks, bought.bound, left)
        except GivenUp:
            break
        bought = replace(bought, bound=bought.bound + 1) if fills is None else replace(bought, fills=fills)
        if fills is not None:
            return replace(bought, cost=bought.bound)
    return bought


NEARLY = 1e-6
"""A share of a fill is a float, and may be off by this much."""

DIVES = 8
"""So many are tried. On published instances the first or second is nearly always enough."""

Taken = tuple[int, Fill]
"""A stock and what is cut from one of it."""


def dived(columns: Columns, needs: Mapping[PieceSize, int], fills: Sequence[Taken], bound: int) -> tuple[Taken, ...]:
    """The fills that are known for these needs, or fewer. `columns` has been generated for just these."""
    best, cost = tuple(fills), cost_of(fills, columns.stocks)
    for skipped in range(DIVES):
        if cost <= bound:
            break
        found = _dive(columns, Counter(needs), cost, skipped)
        if found is not None:
            best, cost = found, cost_of(found, columns.stocks)
    return best


def _dive(columns: Columns, left: Counter[PieceSize], below: int, skipped: int) -> tuple[Taken, ...] | None:
    taken: list[Taken] = []
    while True:
        step = _whole(columns, left)
        if not step:
            step, skipped = _part(columns, left, skipped), 0
        if not step:
            return None
        taken += step
        left = left - sum((fill.counts for _, fill in step), Counter[PieceSize]())
        if not left:
            return tuple(taken) if cost_of(taken, columns.stocks) < below else None
        columns = _rest(columns, left, step)
        bound = columns.generate()
        if bound is None or cost_of(taken, columns.stocks) + whole_bound(bound) >= below:
            return None


def _whole(columns: Columns, left: Counter[PieceSize]) -> list[Taken]:
    """The sheets that the linear program takes whole, as far as they give nothing twice."""
    room, taken = Counter(left), []
    stock_left = {index: stock.available for index, stock in enumerate(columns.stocks) if stock.available is not None}
    for share, (index, fill) in _by_share(columns):
        for _ in range(int(share + NEARLY)):
            if fill.counts <= room and stock_left.get(index, 1):
                taken.append((index, fill))
                room -= fill.counts
                stock_left = {one: count - (one == index) for one, count in stock_left.items()}
    return taken


def _part(columns: Columns, left: Counter[PieceSize], skipped: int) -> list[Taken]:
    """The sheet of which it takes most, or one of the next."""
    parts = [
        (index, fill)
        for share, (index, fill) in _by_share(columns)
        if share > NEARLY and fill.counts <= left and columns.stocks[index].available != 0
    ]
    return parts[min(skipped, len(parts) - 1) :][:1]


def _by_share(columns: Columns) -> list[tuple[float, Taken]]:
    return sorted(zip(columns.shares, columns.fills, strict=False), key=lambda one: -one[0])


def _rest(columns: Columns, left: Counter[PieceSize], step: Sequence[Taken]) -> Columns:
    """What is left to be covered, with the fills known so far that give nothing too often."""
    used = Counter(index for index, _ in step)
    stocks = [_without(stock, used[index]) for index, stock in enumerate(columns.stocks)]
    rest = Columns(stocks, Demand.of(left))
    for index, fill in columns.fills:
        if fill.counts <= left:
            rest.add(index, fill)
    return rest


def _without(stock: Stock, used: int) -> Stock:
    return stock if stock.available is None else replace(stock, available=stock.available - used)
