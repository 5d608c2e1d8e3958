"""Once the feet of sheet are settled: least butt joint for just as much sheet, then fewest pieces, with a bound.

The linear program of the layout is solved anew for that: sheets cost nothing but may not be more, and fills are made as
its prices ask for them. What is open is then decided both ways, a joint at a time; what is left of a layout once every
joint is decided are pieces, which come out of so much sheet or don't.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from math import ceil

from fieldvoice.layout.choosing import Aim, Chosen, Decisions
from fieldvoice.layout.proving import Options, laid_by, lp_work, parted
from fieldvoice.stock.buying import Effort, fewest, taken
from fieldvoice.stock.columns import Columns, Demand
from fieldvoice.stock.needs import Fill, PieceSize, Stock
from fieldvoice.stock.packing import GivenUp, Packing, Work, first_fit

LARGE = 150_000
"""With more columns times rows a surface a search in whole numbers finds nothing in some seconds."""

LEAF_NODES = 50
"""So many nodes may a search for sheets take once all pieces are decided."""

LEAF_WORK, QUICKER = 20_000, 4
"""And so much work may go into trying every way to lay them on sheets, which is so many times as quick as the same work
on a linear program."""

ROUND = 100
"""The work that a size of piece is each time that fills are made."""

SEARCHED = 4
"""A search for sheets counts as so many linear programs."""

Fills = Sequence[tuple[int, Fill]]


@dataclass(frozen=True, slots=True)
class PoolState:
    """Where surfaces stand: what is decided for each, and the sheets."""

    chosen: tuple[Chosen, ...]
    fills: tuple[tuple[int, Fill], ...]

    def needs(self) -> Counter[PieceSize]:
        """What is cut."""
        return sum((one.needs() for one in self.chosen), Counter[PieceSize]())


@dataclass(frozen=True, slots=True)
class Cutting:
    """What may be cut up: the stocks, what of them may cost at most, and what is cut from them beside the layout."""

    stocks: Sequence[Stock]
    budget: int
    beside: Mapping[PieceSize, int] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Settled:
    """The layout with its sheets, what its joints and pieces cost by the aim, the least that they can cost for as much
    sheet, and every fill that was thought of.
    """

    aim: Aim
    standing: PoolState
    cost: int
    least: int
    fills: tuple[tuple[int, Fill], ...]


def with_beside(demand: Demand, beside: Mapping[PieceSize, int]) -> Demand:
    """What is asked for, and what is to be cut beside it in any case."""
    offered = demand.least
    demand.fixed.update(beside)
    for need, count in beside.items():
        demand.most[need] = demand.most.get(need, 0) + count
    demand.least = lambda values, prices: offered(values, prices) + sum(n * values[need] for need, n in beside.items())
    return demand


def settle(options: Options, cutting: Cutting, now: PoolState, known: Fills, effort: Effort, work: int) -> Settled:
    """From what is known on: the best of the fills that the linear program makes, then what a search finds in so much
    work.
    """
    search = _Search(cutting, Aim.of(options, cutting.budget), dict.fromkeys(known))
    choice, columns = search.columns(options)
    start = taken(columns, choice.values_of(now.chosen), now.fills, 0)
    found = columns.generate(effort.rounds)
    search.learn(columns, 0)
    least = 0 if found is None else ceil(found)
    bought = replace(start, bound=least)
    program = columns.demand.program
    if len(program.costs) * len(program.row_lowers) <= LARGE * len(options):
        bought = fewest(columns, bought, effort)
    search.best, search.cost = PoolState(choice.chosen(bought.values), bought.fills), bought.cost
    least = search.run(options, least, work)
    return Settled(search.aim, search.best, search.cost, least, tuple(search.fills))


@dataclass(slots=True)
class _Search:
    cutting: Cutting
    aim: Aim
    fills: dict[tuple[int, Fill], None]
    packing: Packing = field(default_factory=Packing)
    best: PoolState = PoolState((), ())
    cost: int = 0
    left: int = 0
    """The work that may still be done."""

    def columns(self, options: Options) -> tuple[Decisions, Columns]:
        """The linear program of what is open, with the fills that are of use in it."""
        choice = Decisions(options, self.aim)
        columns = Columns(self.cutting.stocks, with_beside(choice.demand(), self.cutting.beside))
        for stock, fill in self.fills:
            if fill.counts.keys() <= columns.rows.keys():
                columns.add(stock, fill)
        return choice, columns

    def learn(self, columns: Columns, known: int) -> None:
        """The fills that were made since there were so many stay at hand."""
        self.fills.update(dict.fromkeys(columns.fills[known:]))

    def run(self, options: Options, least: int, work: int) -> int:
        """Better layouts, the likeliest first; returns what none can cost less than. What isn't sure stays below it."""
        self.left = work
        waiting = [(least, options)]
        unsure: list[int] = []
        while waiting and self.left > 0:
            bound, now = waiting.pop()
            if bound >= self.cost:
                continue
            choice, columns = self.columns(now)
            known = len(columns.fills)
            found = columns.generate()
            self._spend(columns)
            self.learn(columns, known)
            if found is None:
                continue
            bound = max(bound, ceil(found))
            if bound >= self.cost:
                continue
            chosen = laid_by(choice, columns.own)
            settled = chosen is not None and self._settled(choice, chosen)
            parts = parted(now, choice, columns.own, chosen)
            if not parts and not settled:
                unsure.append(bound)
            waiting += [(bound, part) for part in parts]
        return min([self.cost, *unsure, *(bound for bound, _ in waiting)])

    def _spend(self, columns: Columns, times: int = 1) -> None:
        program = columns.demand.program
        made = ROUND * columns.rounds * len(columns.demand.needs)
        self.left -= times * max(made, lp_work(len(program.costs), len(program.row_lowers)))

    def _settled(self, choice: Decisions, chosen: tuple[Chosen, ...]) -> bool:
        """Whether it is sure that the pieces come out of the sheets that there may be, or that they don't. A better
        layout is kept.
        """
        cost = choice.given + sum(round(choice.program.costs[column]) for column in choice.values_of(chosen))
        if cost >= self.cost:
            return True
        needs = PoolState(chosen, ()).needs() + Counter(self.cutting.beside)
        columns = Columns(self.cutting.stocks, Demand.of(needs))
        for stock, fill in self.fills:
            if fill.counts <= needs:
                columns.add(stock, fill)
        least = columns.generate()
        self._spend(columns)
        if least is None or least > self.cutting.budget:
            return True
        allowed = Work(LEAF_WORK)
        try:
            fills = self.packing.for_cost(needs, self.cutting.stocks, self.cutting.budget, allowed)
            sure = True
        except GivenUp:
            start = taken(columns, {}, first_fit(needs, self.cutting.stocks), self.cutting.budget)
            bought = fewest(columns, start, Effort(LEAF_NODES))
            self._spend(columns, SEARCHED)
            sure = bought.cost <= self.cutting.budget
            fills = bought.fills if sure else None
        self.left -= (LEAF_WORK - max(0, allowed.left)) // QUICKER
        if fills is not None:
            self.best, self.cost = PoolState(chosen, fills), cost
        return sure
