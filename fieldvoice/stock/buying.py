"""From a demand to sheets: a usable answer at once, an exact bound, then fewer sheets until the bound is met. The
demand comes from a layout, or from pieces that are given.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import inf

from fieldvoice.stock.columns import Columns, Demand, whole_bound
from fieldvoice.stock.needs import Fill, PieceSize, Stock
from fieldvoice.stock.packing import GivenUp, Packing, Work, first_fit


@dataclass(frozen=True, slots=True)
class Bought:
    """The values of the demand's own columns, the sheets with their fills, what they cost, and the least possible."""

    values: tuple[float, ...]
    fills: tuple[tuple[int, Fill], ...]
    cost: int
    bound: int


@dataclass(frozen=True, slots=True)
class Effort:
    """How hard to search: nodes of the search, rounds of making fills, and whether joints are weighed as well."""

    nodes: int = 400
    rounds: int = 400
    joints: bool = True


def taken(columns: Columns, start: Mapping[int, float], fills: Sequence[tuple[int, Fill]], bound: int) -> Bought:
    """A usable start as an answer: the demand's own columns that stand at one, and the sheets."""
    for stock, fill in fills:
        columns.add(stock, fill)
    own = [start.get(column, 0.0) for column in range(len(columns.demand.program.costs))]
    return Bought(tuple(own), tuple(fills), _cost(columns, own, fills), bound)


def fewest(columns: Columns, known: Bought, effort: Effort) -> Bought:
    """Fewest sheets from the fills that are there, from what is known on, until the bound is met. The bound stays as it
    is: what a solver says of whole numbers it says in floats.
    """
    if known.cost <= known.bound:
        return known
    program, given = columns.demand.program, columns.demand.given
    limit = program.row(_costs(columns), upper=known.cost - given - 1.0)
    answer = program.whole(nodes=effort.nodes, gap=0.99)
    program.row_uppers[limit] = inf
    if not answer.values:
        return known
    better = _bought(columns, answer.values, known.bound)
    return better if better.cost < known.cost else known


def fewest_of_all(columns: Columns, known: Bought, effort: Effort) -> Bought:
    """The same, from every fill that a plan of fewer sheets could use: first those for the very bound."""
    for below in sorted({known.bound + 1, known.cost}):
        if known.cost <= known.bound or not columns.complete(below):
            break
        known = fewest(columns, known, effort)
    return known


def _costs(columns: Columns) -> dict[int, float]:
    return {column: cost for column, cost in enumerate(columns.demand.program.costs) if cost}


def _cost(columns: Columns, own: Sequence[float], fills: Sequence[tuple[int, Fill]]) -> int:
    """What is to be made least: what the sheets cost, or the choice where the sheets are settled."""
    costs = columns.demand.program.costs
    choice = columns.demand.given + sum(round(costs[column] * value) for column, value in enumerate(own) if value)
    return choice if columns.demand.budget is not None else choice + cost_of(fills, columns.stocks)


def _bought(columns: Columns, values: Sequence[float], bound: int) -> Bought:
    fills = [
        one for one, column in zip(columns.fills, columns.columns, strict=True) for _ in range(round(values[column]))
    ]
    own = list(values)
    for column in columns.columns:
        own[column] = 0.0
    whole = tuple(float(round(value)) for value in own)
    needed = columns.demand.needed(whole)
    kept = trimmed(fills, needed)
    return Bought(whole, kept, _cost(columns, whole, kept), bound)


def cost_of(fills: Sequence[tuple[int, Fill]], stocks: Sequence[Stock]) -> int:
    """What the sheets cost together."""
    return sum(stocks[index].cost for index, _ in fills)


def trimmed(fills: Sequence[tuple[int, Fill]], needs: Mapping[PieceSize, int]) -> tuple[tuple[int, Fill], ...]:
    """The fills with every piece left out that nobody needs; a sheet of which nothing is needed isn't there."""
    left = Counter(needs)
    kept = []
    for stock, fill in fills:
        pruned = _pruned(fill, left)
        if any(True for _ in pruned.needs()):
            kept.append((stock, pruned))
    if any(count > 0 for count in left.values()):
        raise ValueError("a piece is in no sheet")
    return tuple(kept)


def _pruned(fill: Fill, left: Counter[PieceSize]) -> Fill:
    def keep(needs: Sequence[PieceSize]) -> tuple[PieceSize, ...]:
        kept = []
        for need in needs:
            if left[need] > 0:
                left[need] -= 1
                kept.append(need)
        return tuple(kept)

    whole = keep(fill.whole)
    ripped = []
    for part in fill.ripped:
        bands = tuple(replace(band, needs=keep(band.needs)) for band in part.bands)
        if any(band.needs for band in bands):
            ripped.append(replace(part, bands=bands))
    return Fill(whole, tuple(ripped))


def cover(needs: Mapping[PieceSize, int], stocks: Sequence[Stock]) -> Bought:
    """Sheets for all the pieces. Each piece has to fit a stock that there is any number of (`ValueError` else)."""
    work = Effort()
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
