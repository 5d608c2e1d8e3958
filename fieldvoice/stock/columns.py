"""Fewest sheets for pieces that are partly still to be chosen: fills made as they are wanted, and an exact bound.

The linear program over all fills is solved by making fills as its prices ask for them (column generation). Its prices,
rounded to whole millionths, then prove a bound in whole numbers alone, whatever the solver rounded: no fill is worth
more than its sheet costs, so that no plan costs less than its pieces are worth.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from math import ceil

from fieldvoice.stock.filling import fillers, whole_fills
from fieldvoice.stock.needs import Band, Fill, PieceSize, RippedLength, Stock, fits
from fieldvoice.stock.program import Program, Solution, linear_answer

SCALE = 10**6
"""Prices are held in whole millionths of a unit of cost."""

HALF = 0.5
"""A column of zero or one stands at one above this."""

ROUNDING = 1000
"""Millionths by which a fill's worth may be off, since prices are rounded and pieces are few."""

NO_MORE = 1e-9
"""A linear program that costs no more than this over what is asked for proves nothing."""

OVER = 1e8
"""What a unit of sheet above the budget costs: there is always an answer, and that one is too dear. The bound doesn't
go by it."""

ROUNDS = 400
DISJOINT = 6
"""How many fills of one stock a round may add, each of other pieces."""


@dataclass(slots=True)
class Demand:
    """What has to be cut, with what is still open held as columns and rows of `program`.

    `fixed` is needed in any case; `takes` says how many of a need a column takes. `most` is the most of a need that can
    be asked for, `least` the least that a choice can be worth at given values of the needs and given prices of the
    program's rows that limit choices, in millionths.

    Where the sheets are settled `budget` is what they may cost at most: what the choice itself costs is then made
    least, `given` of it in any case.
    """

    program: Program
    fixed: Counter[PieceSize]
    takes: dict[PieceSize, Counter[int]]
    most: dict[PieceSize, int]
    least: Callable[[Mapping[PieceSize, int], Mapping[int, int]], int]
    budget: int | None = None
    given: int = 0

    @classmethod
    def of(cls, needs: Mapping[PieceSize, int]) -> Demand:
        """Pieces that are given, with nothing left open."""

        def least(values: Mapping[PieceSize, int], _: Mapping[int, int]) -> int:
            return sum(count * values[need] for need, count in needs.items())

        return cls(Program(), Counter(needs), {}, dict(needs), least)

    @property
    def needs(self) -> tuple[PieceSize, ...]:
        """All that may be needed, in a fixed order."""
        return tuple(sorted(self.most))

    def needed(self, values: Sequence[float]) -> Counter[PieceSize]:
        """What a solution of the program asks for."""
        asked = Counter(self.fixed)
        for need, takes in self.takes.items():
            asked[need] += sum(count for column, count in takes.items() if values[column] > HALF)
        return +asked


@dataclass(slots=True)
class Columns:
    """The fills made so far for a demand, in the program that chooses among them."""

    stocks: Sequence[Stock]
    demand: Demand
    fills: list[tuple[int, Fill]] = field(default_factory=list)
    columns: list[int] = field(default_factory=list)
    known: dict[tuple[int, tuple[tuple[PieceSize, int], ...]], int] = field(default_factory=dict)
    rows: dict[PieceSize, int] = field(default_factory=dict)
    limits: dict[int, int] = field(default_factory=dict)
    worth: dict[PieceSize, int] = field(default_factory=dict)
    spent: dict[int, int] = field(default_factory=dict)
    rounds: int = 0
    """How often fills were made: that, times the sizes of pieces, is what it takes."""
    relaxed: float = 0.0
    shares: list[float] = field(default_factory=list)
    """How much the last linear program took of each fill that was there."""
    own: list[float] = field(default_factory=list)
    """What the last linear program gave the demand's own columns."""
    _met: set[PieceSize] = field(default_factory=set)
    """What a fill gives of a stock of which there is any number."""
    _best: list[int] = field(default_factory=list)
    """The last prices of pieces and of offcuts, in millionths, and what the linear program then cost."""
    _budget: int | None = None
    """The row that holds what the sheets may cost."""
    _foot: int = SCALE
    """The last price of a unit of a sheet's cost, in millionths."""

    def __post_init__(self) -> None:
        program = self.demand.program
        for need in self.demand.needs:
            takes = {column: -float(count) for column, count in self.demand.takes.get(need, Counter()).items()}
            self.rows[need] = program.row(takes, lower=float(self.demand.fixed[need]))
        for index, stock in enumerate(self.stocks):
            if stock.available is not None:
                self.limits[index] = program.row({}, upper=float(stock.available))
        if self.demand.budget is not None:
            over = program.column(OVER)
            self._budget = program.row({over: -1.0}, upper=float(self.demand.budget))

    @property
    def mix(self) -> tuple[float, ...]:
        """How many of each stock the last linear program took."""
        taken = [0.0] * len(self.stocks)
        for share, (index, _) in zip(self.shares, self.fills, strict=False):
            taken[index] += share
        return tuple(taken)

    def add(self, stock: int, fill: Fill) -> bool:
        """Offer a fill; returns whether it is new. Of a stock of which there is nothing none is of use."""
        counts, key = fill.counts, (stock, fill.alike)
        if key in self.known or not counts or self.stocks[stock].available == 0:
            return False
        program = self.demand.program
        cost = float(self.stocks[stock].cost)
        entries = {self.rows[need]: float(count) for need, count in counts.items()}
        if self._budget is not None and cost:
            entries[self._budget] = cost
        if stock in self.limits:
            entries[self.limits[stock]] = 1.0
        column = program.column(cost if self._budget is None else 0.0, entries=entries)
        self.known[key] = column
        self._met.update(counts.keys() if self.stocks[stock].available is None else ())
        self.fills.append((stock, fill))
        self.columns.append(column)
        return True

    def start(self) -> None:
        """One fill for each need that none of a stock without a limit gives, so that every choice can be met."""
        for need in self.demand.needs:
            if need in self._met:
                continue
            stocks = [index for index, stock in enumerate(self.stocks) if fits(need, stock) and stock.available is None]
            if stocks:
                cheapest = min(stocks, key=lambda index: self.stocks[index].cost)
                self.add(cheapest, single(need, self.stocks[cheapest]))

    def generate(
        self, rounds: int = ROUNDS, above: int | None = None, whole: Callable[[Fraction], int] | None = None
    ) -> Fraction | None:
        """Make fills until none is worth more than its sheet, or for so many rounds; where only a bound over `above` is
        of use, until there is one or there can't be; where only the `whole` cost is that a bound comes to, until more
        fills can't raise that. Returns the exact bound, None where nothing meets the demand.
        """
        self.start()
        mine = len(self.demand.program.costs) - len(self.columns)
        highs = self.demand.program.solver(whole=False)
        sent = len(self.columns)
        bound = Fraction(0)
        for _ in range(rounds):
            answer = linear_answer(highs)
            if answer.infeasible:
                return None
            self.shares = [answer.values[column] for column in self.columns]
            self.own = [answer.values[column] for column in range(mine)]
            if above is not None and answer.objective <= above + NO_MORE:
                break
            self.rounds += 1
            more = self.price(answer, self.demand.most)
            bound = max(bound, self._bound(answer))
            if not more or (above is not None and bound > above):
                break
            if whole is not None and whole(bound) >= whole(Fraction(answer.objective)):
                break
            sent = self.send(highs, sent)
        return bound

    def price(self, answer: Solution, most: Mapping[PieceSize, int]) -> bool:
        """Make the fills that are worth more than their sheets at an answer's prices. Returns whether there are any."""
        before = len(self.columns)
        self.worth, self.spent = self._prices(answer)
        self._foot = SCALE if self._budget is None else max(0, -int(answer.prices[self._budget] * SCALE))
        self.relaxed = answer.objective
        self._best = self._price(self.worth, self.spent, most)
        return len(self.columns) > before

    def complete(self, below: int) -> bool:
        """Make every fill that a plan for less than `below` could use; returns whether that was possible. Ripped sheets
        have too many.
        """
        widths = {stock.width for stock in self.stocks if stock.available is None}
        if any(stock.available is not None for stock in self.stocks):
            return False
        if any(need.width not in widths for need in self.demand.needs) or len(widths) > 1:
            return False
        slack = int((below - 1 - self.relaxed) * SCALE) + ROUNDING
        for index, stock in enumerate(self.stocks):
            fills = whole_fills(stock, self.worth, self.demand.most, stock.cost * SCALE - slack)
            if fills is None:
                return False
            for fill in fills:
                self.add(index, Fill(fill))
        return True

    def send(self, highs: object, sent: int) -> int:
        """Hand the new columns to the solver that stands at its last answer."""
        import numpy as np

        program = self.demand.program
        for column in self.columns[sent:]:
            entries = program.entries[column]
            indices = np.array(list(entries), dtype=np.int32)
            numbers = np.array(list(entries.values()), dtype=float)
            highs.addCol(program.costs[column], 0.0, np.inf, len(indices), indices, numbers)  # type: ignore[attr-defined]
        return len(self.columns)

    def _prices(self, answer: Solution) -> tuple[dict[PieceSize, int], dict[int, int]]:
        """What the pieces are worth, and what an offcut's being used up costs, in millionths."""
        values = {need: max(0, int(answer.prices[row] * SCALE)) for need, row in self.rows.items()}
        spent = {stock: max(0, -int(answer.prices[row] * SCALE)) for stock, row in self.limits.items()}
        return values, spent

    def _price(
        self, values: Mapping[PieceSize, int], spent: Mapping[int, int], most: Mapping[PieceSize, int]
    ) -> list[int]:
        """Add the fills that are worth more than their sheets; returns the best value for each stock."""
        best = []
        ready = fillers(self.stocks, values, most)
        for index, stock in enumerate(self.stocks):
            if stock.available == 0:
                best.append(0)
                continue
            limit = stock.cost * self._foot + spent.get(index, 0)
            value, fill = ready[stock.width, stock.tapered].best(stock.length)
            best.append(value)
            if value > limit:
                self.add(index, fill)
        self._more(values, spent, most)
        return best

    def _more(self, values: Mapping[PieceSize, int], spent: Mapping[int, int], most: Mapping[PieceSize, int]) -> None:
        """Further fills, each of other pieces: every round of the linear program then learns more."""
        left = dict(values)
        for _ in range(DISJOINT):
            ready = fillers(self.stocks, left, most)
            found = []
            for index, stock in enumerate(self.stocks):
                if stock.available == 0:
                    continue
                value, fill = ready[stock.width, stock.tapered].best(stock.length)
                limit = stock.cost * self._foot + spent.get(index, 0)
                if value > limit:
                    found.append((Fraction(value, max(1, limit)), index, fill))
            if not found:
                return
            _, index, fill = max(found, key=lambda each: (each[0], -each[1]))
            self.add(index, fill)
            for need in fill.counts:
                left[need] = 0

    def _bound(self, answer: Solution) -> Fraction:
        """What no plan can cost less than. The price of a foot of sheet is raised until no fill of a whole sheet is
        worth more than its sheet. Then every plan's sheets cost no less than its pieces are worth; and where the sheets
        are settled, what is worth more than they may cost has to be paid by the choice itself.
        """
        paid = [
            Fraction(value, stock.cost)
            for stock, value in zip(self.stocks, self._best, strict=True)
            if stock.available is None
        ]
        foot = max([Fraction(self._foot), *paid])
        kept = {row: max(0, -int(price * SCALE)) for row, price in enumerate(answer.prices)}
        worth = Fraction(self.demand.least(self.worth, kept))
        for stock, value in zip(self.stocks, self._best, strict=True):
            if stock.available is not None:
                worth -= stock.available * max(Fraction(0), value - stock.cost * foot)
        if self.demand.budget is None:
            return worth / foot
        return self.demand.given + (worth - self.demand.budget * foot) / SCALE


def single(need: PieceSize, stock: Stock) -> Fill:
    """A fill with one piece in it."""
    if need.width == stock.width:
        return Fill((need,))
    band = Band(need.width, stock.tapered > 0, (need,))
    return Fill((), (RippedLength(stock.length, (band,), to_bottom=False),))


def whole_bound(bound: Fraction) -> int:
    """Costs are whole, so that the bound may be raised to the next whole number."""
    return ceil(bound)
