"""Whether fewer sheets would do, asked of every set of sheets by itself, the smallest first: exact in every step.

A set is refuted where the linear program still has to buy something, by its prices in whole numbers; else what is open
in the layout is decided both ways, a joint at a time, until it is refuted or its pieces come out of the sheets. What a
set could not be refuted by in the work that is allowed is the bound; the first set that does is the best there is.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import islice
from math import gcd

from fieldvoice.layout.choosing import Chosen, Decisions
from fieldvoice.layout.rows import Arc, Arrangement, Joint, Span, open_joints, with_joint, without_joint
from fieldvoice.stock.buying import cost_of
from fieldvoice.stock.columns import Columns
from fieldvoice.stock.needs import Fill, PieceSize, Stock
from fieldvoice.stock.packing import MOST_SETS, GivenUp, Packing, Work, sets_of

Options = tuple[tuple[Arrangement, ...], ...]

WORK, NEARLY = 3_200_000, 300_000
"""How much may be done for one pool of surfaces; and where the plan is within a fiftieth of its bound already, so that
nobody waits for what there is little left to gain of."""

NEAR = 50

SHARES = (8, 4, 2, 1)
"""No set of sheets may take more than this part of what is left to be done, at the first pass and at the next ones."""

COLUMN = 8
"""The work that a column of a small linear program is."""

SMALL = 100
"""So many rows has a small linear program; a larger one is more work a column."""

FEW_SETS = 3
"""Of these, so many where a cheaper plan is looked for quickly, with so much work for each: """
DIVES = 6
"""linear programs as large as the first."""

LEAST_DIVE = 5_000
"""No first linear program counts less."""

Mix = Sequence[float]
"""How many of each stock."""


@dataclass(frozen=True, slots=True)
class SheetProof:
    """What no plan can cost less than; a cheaper plan than the one known, where one was found; and every fill that was
    thought of.
    """

    bound: int
    tried: tuple[tuple[int, Fill], ...]
    chosen: tuple[Chosen, ...] = ()
    fills: tuple[tuple[int, Fill], ...] = ()


def lp_work(columns: int, rows: int) -> int:
    """The work of solving a linear program, fills and all."""
    return COLUMN * columns * max(rows, SMALL) // SMALL


def possible(cost: int, stocks: Sequence[Stock]) -> int:
    """The least that sheets can cost together, from `cost` on."""
    prices = sorted({stock.cost for stock in stocks if stock.available is None})
    step = gcd(*prices)
    last = max(prices) ** 2  # from there on every whole number of steps is to be had
    while cost < last and not _to_be_had(cost, prices):
        cost += 1
    return -(-cost // step) * step


def _to_be_had(cost: int, prices: Sequence[int]) -> bool:
    reached = {0}
    for price in prices:
        reached = {one + price * count for one in reached for count in range((cost - one) // price + 1)}
    return cost in reached


def prove(
    options: Options,
    stocks: Sequence[Stock],
    known: Sequence[tuple[int, Fill]],
    bound: int,
    cost: int,
    mix: Mix,
    share: float = 1.0,
) -> SheetProof:
    """The bound raised as far as a `share` of the work allows, and a plan for less than `cost`, where one is found.
    `known` are fills that are worth a try, `mix` how many of each stock the linear program takes.
    """
    low = possible(bound, stocks)
    work = int(share * (NEARLY if (cost - low) * NEAR <= cost else WORK))
    search = _SetSearch(options, tuple(stocks), mix, dict.fromkeys(known), left=work)
    best = search.cheaper(low, cost)
    bound = search.bound(low, cost if best is None else cost_of(best[1], stocks))
    found = search.found or best
    if found is None:
        return SheetProof(min(bound, cost), tuple(search.fills))
    chosen = tuple(as_offered(one, ways) for one, ways in zip(found[0], options, strict=True))
    return SheetProof(min(bound, cost_of(found[1], stocks)), tuple(search.fills), chosen, found[1])


def as_offered(one: Chosen, ways: Sequence[Arrangement]) -> Chosen:
    """The decisions of a narrowed arrangement as decisions of the one that it was narrowed from."""
    bands = [(row.layer, row.band) for row in one.arrangement.rows]
    way = next(
        way
        for way in ways
        if [(row.layer, row.band) for row in way.rows] == bands
        and all({*path} <= {*span.arcs} for row, mine in _spans(way, one) for span, path in zip(row, mine, strict=True))
    )
    return replace(one, arrangement=way)


def _spans(way: Arrangement, one: Chosen) -> Iterator[tuple[tuple[Span, ...], tuple[tuple[Arc, ...], ...]]]:
    for row, mine in zip(way.rows, one.pieces, strict=True):
        yield row.spans, mine


Found = tuple[tuple[Chosen, ...], tuple[tuple[int, Fill], ...]]


@dataclass(slots=True)
class _SetSearch:
    """The fills that were thought of, the sets that are refuted, and the work that is left, over all sets of sheets."""

    options: Options
    stocks: tuple[Stock, ...]
    mix: Mix
    fills: dict[tuple[int, Fill], None]
    packing: Packing = field(default_factory=Packing)
    refuted: set[tuple[int, ...]] = field(default_factory=set)
    found: Found | None = None
    left: int = WORK
    share: int = SHARES[0]
    first: int = LEAST_DIVE
    """About the work of the first linear program."""

    def cheaper(self, low: int, cost: int) -> Found | None:
        """A plan for less, looked for quickly: half way down to the bound, and half way again."""
        best, high = None, cost
        spare = self.left // 2
        while low < high and self.left > spare:
            middle = possible((low + high) // 2, self.stocks)
            if middle >= high:
                break
            found, _ = self._at_cost(middle, FEW_SETS, DIVES)
            if found is not None:
                best, high = found, middle
            else:
                low = middle + 1
        return best

    def bound(self, low: int, cost: int) -> int:
        """What no plan can cost less than: every set of sheets below is refuted. Where one of them gives a plan it is
        kept in `found`. What isn't sure at a pass is tried with more work at the next.
        """
        for share in SHARES:
            self.share, now, sure = share, low, True
            while now < cost and self.left > 0:
                found, known = self._at_cost(now, MOST_SETS, None)
                if found is not None:
                    self.found, cost = found, now
                    break
                sure = sure and known
                now = possible(now + 1, self.stocks)
                low = now if sure else low
        return min(low, cost)

    def _at_cost(self, cost: int, most: int, dives: int | None) -> tuple[Found | None, bool]:
        """A plan of sheets that cost so much, and where there is none, whether that is sure. Of the sets of sheets
        those come first that are like the linear program's.
        """
        sets = sorted(islice(sets_of(cost, self.stocks), MOST_SETS + 1), key=self._unlike)
        sure = len(sets) <= most
        for counts in sets[:most]:
            if counts in self.refuted:
                continue
            if self.left <= 0:
                return None, False
            work = Work(allowed := self._allowed(dives))
            try:
                found = self.tried(self.options, counts, work)
                if found is not None:
                    return found, True
                self.refuted.add(counts)
            except GivenUp:
                sure = False
            self.left -= allowed - max(0, work.left)
        return None, sure

    def _unlike(self, counts: Sequence[int]) -> float:
        paid = zip(counts, self.mix, self.stocks, strict=True)
        return sum(abs(count - share) * stock.cost for count, share, stock in paid)

    def _allowed(self, dives: int | None) -> int:
        if dives is None:
            return max(COLUMN, self.left // self.share)
        return min(self.left, dives * self.first)

    def tried(self, options: Options, counts: Sequence[int], work: Work) -> Found | None:
        """A plan from these sheets alone, None where there is none. Raises `GivenUp`."""
        here = [replace(stock, cost=0, available=count) for stock, count in zip(self.stocks, counts, strict=True)]
        bought = [stock for stock in self.stocks if stock.available is None]
        waiting = [options]
        while waiting:
            now = waiting.pop()
            columns, choice = self._columns(now, [*here, *bought])
            spent = lp_work(len(columns.demand.program.costs), len(columns.demand.program.row_lowers))
            self.first = max(self.first, spent)
            work.spend(spent)
            known = len(columns.fills)
            bound = columns.generate(above=0)
            self._learn(columns.fills[known:])
            if bound is not None and bound > 0:
                continue
            chosen = laid_by(choice, columns.own) if bound is not None else None
            if chosen is not None:
                found = self._packed(chosen, counts, work)
                if found is not None:
                    return found
            waiting += parted(now, choice, columns.own if bound is not None else (), chosen)
        return None

    def _columns(self, options: Options, stocks: Sequence[Stock]) -> tuple[Columns, Decisions]:
        choice = Decisions(options)
        columns = Columns(stocks, choice.demand())
        needs = columns.demand.most.keys()
        paid = [number for number, stock in enumerate(self.stocks) if stock.available is None]
        for index, fill in self.fills:
            if fill.counts.keys() <= needs:
                columns.add(index, fill)
                if index in paid:
                    columns.add(len(self.stocks) + paid.index(index), fill)
        return columns, choice

    def _learn(self, made: Sequence[tuple[int, Fill]]) -> None:
        paid = [number for number, stock in enumerate(self.stocks) if stock.available is None]
        for index, fill in made:
            self.fills[index if index < len(self.stocks) else paid[index - len(self.stocks)], fill] = None

    def _packed(self, chosen: tuple[Chosen, ...], counts: Sequence[int], work: Work) -> Found | None:
        """The chosen pieces on the sheets."""
        needs = sum((one.needs() for one in chosen), Counter[PieceSize]())
        indices = [index for index, count in enumerate(counts) for _ in range(count)]
        sheets = [self.stocks[index] for index in indices]
        packed = self.packing.packed(needs, sheets, work)
        if packed is None:
            return None
        return chosen, tuple((index, fill) for index, fill in zip(indices, packed, strict=True) if fill.counts)


def laid_by(choice: Decisions, values: Sequence[float]) -> tuple[Chosen, ...] | None:
    """The layout that the linear program has, where it has one and no mixture."""
    own = range(len(values))
    columns = {column for one in choice.surfaces for opened in one for column in opened.arcs.values()}
    columns |= {opened.switch for one in choice.surfaces for opened in one if opened.switch is not None}
    if any(_MIXED < values[column] < 1 - _MIXED for column in columns if column in own):
        return None
    return choice.chosen(values)


_MIXED = 1e-6


def parted(
    options: Options, choice: Decisions, values: Sequence[float], chosen: tuple[Chosen, ...] | None
) -> list[Options]:
    """What is open, decided both ways: which way a surface is divided first, then whether a joint is there. What the
    linear program leans to comes last, so that it is tried first. Nothing where nothing is open.
    """
    for number, ways in enumerate(options):
        if len(ways) > 1:
            shares = [values[one.switch or 0] if values else 0.0 for one in choice.surfaces[number]]
            most = max(range(len(ways)), key=lambda way: shares[way])
            rest = tuple(way for index, way in enumerate(ways) if index != most)
            return [_with(options, number, rest), _with(options, number, (ways[most],))]
    picked = _picked(options, choice, values, chosen)
    if picked is None:
        return []
    number, joint, share = picked
    there, not_there = with_joint(options[number][0], joint), without_joint(options[number][0], joint)
    both = [not_there, there] if share >= 0.5 else [there, not_there]
    return [_with(options, number, (one,)) for one in both if one is not None]


def _picked(
    options: Options, choice: Decisions, values: Sequence[float], chosen: tuple[Chosen, ...] | None
) -> tuple[int, Joint, float] | None:
    """The surface and the joint of which the linear program knows least; where it knows of all, one that it has."""
    found: list[tuple[float, int, int, Joint, float]] = []
    for number, (ways, opened) in enumerate(zip(options, choice.surfaces, strict=True)):
        shares: Counter[Joint] = Counter()
        for (row, span, arc), column in opened[0].arcs.items() if values else ():
            shares[row, ways[0].rows[row].spans[span].arcs[arc].start] += values[column]  # type: ignore[assignment]
        for order, joint in enumerate(open_joints(ways[0])):
            share = float(shares[joint])
            known = abs(share - 0.5) if chosen is None else 1 - share
            found.append((known, order, number, joint, share))
    if not found:
        return None
    _, _, number, joint, share = min(found)
    return number, joint, share


def _with(options: Options, number: int, ways: tuple[Arrangement, ...]) -> Options:
    return (*options[:number], ways, *options[number + 1 :])
