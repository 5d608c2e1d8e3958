"""A usable layout made better. A large house a room at a time: its pieces and the sheets they lie on, solved anew among
themselves. And once the feet of sheet are settled: least butt joint for just as much sheet, then fewest pieces, with a
bound.

The linear program of the layout is solved anew for that: sheets cost nothing but may not be more, and fills are made as
its prices ask for them. What is open is then decided both ways, a joint at a time; what is left of a layout once every
joint is decided are pieces, which come out of so much sheet or don't.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import combinations
from math import ceil

from fieldvoice.layout.choosing import Aim, Chosen, Decisions
from fieldvoice.layout.pools import Pool
from fieldvoice.layout.proving import Options, as_offered, laid_by, lp_work, parted
from fieldvoice.layout.rows import Arc, Row
from fieldvoice.stock.buying import Effort, cost_of, fewest, taken
from fieldvoice.stock.columns import Columns, Demand, whole_bound
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
    """From what is known on: what a search finds in half of so much work; where that leaves a gap the best of the fills
    that were thought of, and what the search finds from there in the other half.
    """
    search = _Search(options, cutting, Aim.of(options, cutting.budget), dict.fromkeys(known))
    choice, columns = search.columns(options)
    start = taken(columns, choice.values_of(now.chosen), now.fills, 0)
    found = columns.generate(effort.rounds)
    search.learn(columns, 0)
    search.best, search.cost = now, start.cost
    least = search.run(options, 0 if found is None else ceil(found), work // 2)
    program = columns.demand.program
    if search.cost > least and len(program.costs) * len(program.row_lowers) <= LARGE * len(options):
        for stock, fill in search.fills:
            if fill.counts.keys() <= columns.rows.keys():
                columns.add(stock, fill)
        best = taken(columns, choice.values_of(search.best.chosen), search.best.fills, least)
        bought = fewest(columns, best, effort)
        if bought.cost < search.cost:
            search.best, search.cost = PoolState(choice.chosen(bought.values), bought.fills), bought.cost
        least = search.run(options, least, work - work // 2)
    return Settled(search.aim, search.best, search.cost, least, tuple(search.fills))


@dataclass(slots=True)
class _Search:
    offered: Options
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
            as_known = (as_offered(one, ways) for one, ways in zip(chosen, self.offered, strict=True))
            self.best, self.cost = PoolState(tuple(as_known), fills), cost
        return sure


MOST_AT_ONCE = 10
"""Surfaces that are solved together in well under a second."""

COLUMNS = 300
"""About so many columns has the program of a room."""

ROWS = 3
"""Rows of a surface that are too many together are solved so many at a time."""

APART = 5
"""So many rooms further on a room is tried together with another."""

SPARE = 3
"""Sheets with much left on them that each new try takes in besides its own."""


@dataclass(frozen=True, slots=True)
class Better:
    """Where a pool stands after a try, never worse than before; every fill that was thought of; and about how much work
    it was, a room of four walls and a ceiling being one.
    """

    standing: PoolState
    fills: tuple[tuple[int, Fill], ...]
    work: float


def anew(pool: Pool, now: PoolState, surfaces: Sequence[int], effort: Effort, most: float) -> Better:
    """The surfaces and their sheets solved again, what else lies on these sheets with them; left as they are where that
    is more work than `most`.
    """
    options = tuple(pool.options[number] for number in surfaces)
    mine = tuple(now.chosen[number] for number in surfaces)
    tried = _anew(pool, now.fills, options, mine, effort, most)
    decided = dict(zip(surfaces, tried.standing.chosen, strict=True))
    chosen = tuple(decided.get(number, one) for number, one in enumerate(now.chosen))
    return replace(tried, standing=replace(tried.standing, chosen=chosen))


def rows_anew(pool: Pool, now: PoolState, number: int, rows: Collection[int], effort: Effort, most: float) -> Better:
    """The same for some rows of one surface, as if the other rows hung already."""
    one = now.chosen[number]
    hung = tuple(
        pieces if index in rows else tuple(tuple(replace(arc, need=None) for arc in span) for span in pieces)
        for index, pieces in enumerate(one.pieces)
    )
    narrowed = tuple(
        row if index in rows else _hanging(row, pieces)
        for index, (row, pieces) in enumerate(zip(one.arrangement.rows, hung, strict=True))
    )
    mine = Chosen(replace(one.arrangement, rows=narrowed), hung)
    tried = _anew(pool, now.fills, ((mine.arrangement,),), (mine,), effort, most)
    (found,) = tried.standing.chosen
    pieces = tuple(found.pieces[index] if index in rows else old for index, old in enumerate(one.pieces))
    chosen = (*now.chosen[:number], replace(one, pieces=pieces), *now.chosen[number + 1 :])
    return replace(tried, standing=replace(tried.standing, chosen=chosen))


def _hanging(row: Row, pieces: Sequence[tuple[Arc, ...]]) -> Row:
    return replace(row, spans=tuple(replace(span, arcs=arcs) for span, arcs in zip(row.spans, pieces, strict=True)))


def _anew(
    pool: Pool,
    fills: Sequence[tuple[int, Fill]],
    options: Options,
    mine: tuple[Chosen, ...],
    effort: Effort,
    most: float,
) -> Better:
    choice = Decisions(options)
    work = (len(choice.program.costs) / COLUMNS) ** 2
    before = Better(PoolState(mine, tuple(fills)), (), 0.0)
    if work > most:
        return before
    wanted = before.standing.needs()
    theirs, kept = _their_sheets(pool, fills, wanted)
    beside = sum((fill.counts for _, fill in theirs), Counter[PieceSize]()) - wanted
    used = Counter(index for index, _ in kept)
    stocks = [
        one if one.available is None else replace(one, available=one.available - used[index])
        for index, one in enumerate(pool.stocks)
    ]
    columns = Columns(stocks, with_beside(choice.demand(), beside))
    bound = columns.generate(effort.rounds)
    if bound is None:
        return before
    bought = fewest(columns, taken(columns, choice.values_of(mine), theirs, whole_bound(bound)), effort)
    found = PoolState(choice.chosen(bought.values), bought.fills)
    if not effort.joints:
        return Better(replace(found, fills=(*kept, *found.fills)), tuple(columns.fills), work)
    joined = settle(options, Cutting(stocks, bought.cost, beside), found, columns.fills, effort, 0)
    return Better(replace(joined.standing, fills=(*kept, *joined.standing.fills)), joined.fills, work)


def _their_sheets(
    pool: Pool, fills: Sequence[tuple[int, Fill]], wanted: Counter[PieceSize]
) -> tuple[list[tuple[int, Fill]], list[tuple[int, Fill]]]:
    """The sheets that the wanted pieces lie on, with those that have the most left; and the other sheets."""
    wanted = Counter(wanted)
    order = sorted(fills, key=lambda one: -_waste(pool, one))
    theirs, kept = [], []
    for one in order:
        given = one[1].counts & wanted
        if given:
            wanted -= given
            theirs.append(one)
        else:
            kept.append(one)
    return theirs + kept[:SPARE], kept[SPARE:]


def _waste(pool: Pool, one: tuple[int, Fill]) -> int:
    """What is left of a sheet."""
    stock = pool.stocks[one[0]]
    return stock.length * stock.width - sum(need.area for need in one[1].needs())


def row_groups(now: PoolState) -> Iterator[tuple[int, range]]:
    """Which rows of which surface to try together: each with the next ones."""
    for number, one in enumerate(now.chosen):
        for first in range(max(1, len(one.pieces) - ROWS + 1)):
            yield number, range(first, first + ROWS)


def groups(pool: Pool) -> Iterator[tuple[int, ...]]:
    """Which surfaces to try together: in a small house one after the other and two by two; then each room, each room
    with the next ones.
    """
    if len(pool.surfaces) <= MOST_AT_ONCE:
        yield from ((number,) for number in range(len(pool.surfaces)))
        yield from combinations(range(len(pool.surfaces)), 2)
        return
    rooms: dict[str, list[int]] = {}
    for number, surface in enumerate(pool.surfaces):
        rooms.setdefault(surface.room, []).append(number)
    names = list(rooms)
    for apart in range(min(APART, len(names))):
        for index, name in enumerate(names):
            other = names[(index + apart) % len(names)]
            both = rooms[name] if not apart else rooms[name] + rooms[other]
            yield from _portions(sorted(set(both)))


def _portions(surfaces: Sequence[int]) -> Iterator[tuple[int, ...]]:
    """No more at once than are solved quickly."""
    for start in range(0, len(surfaces), MOST_AT_ONCE):
        yield tuple(surfaces[start : start + MOST_AT_ONCE])


def standing_cost(pool: Pool, now: PoolState) -> int:
    """What the sheets cost."""
    return cost_of(now.fills, pool.stocks)
