"""From a demand to sheets: a usable answer at once, an exact bound, then fewer sheets until the bound is met."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import inf

from fieldvoice.stock.columns import Columns
from fieldvoice.stock.needs import Fill, PieceSize, Stock


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
