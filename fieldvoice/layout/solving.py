"""One pool of surfaces solved: a usable layout at once, an exact bound, then better ones until the bound is met."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass

from fieldvoice.errors import CannotCut
from fieldvoice.layout.choosing import Choice, Chosen
from fieldvoice.layout.first_plan import first_choice
from fieldvoice.layout.pools import Pool
from fieldvoice.records.room import name_of
from fieldvoice.stock.buying import Effort, cost_of, fewest, proved, then
from fieldvoice.stock.columns import Columns, whole_bound
from fieldvoice.stock.first_fit import first_fit
from fieldvoice.stock.needs import Fill, Need

FEW_NEEDS = 70
"""With no more sizes of pieces than this a search to the end takes less than a second."""

THOROUGH, QUICK = Effort(nodes=400, second_nodes=100), Effort(nodes=1, second_nodes=1)

JOINT_WEIGHT = 1000
"""A piece counts one beside this much for a joint: fewest feet of butt joint come before fewest pieces."""


@dataclass(frozen=True, slots=True)
class Solved:
    """What was decided for each surface of a pool, the sheets, what they cost, and the least possible, in modules."""

    chosen: tuple[Chosen, ...]
    fills: tuple[tuple[int, Fill], ...]
    cost: int
    bound: int


@dataclass(frozen=True, slots=True)
class First:
    """A usable answer, made at once."""

    chosen: tuple[Chosen, ...]
    fills: tuple[tuple[int, Fill], ...]
    cost: int

    def as_solved(self) -> Solved:
        """As an answer of which nothing is proved."""
        return Solved(self.chosen, self.fills, self.cost, 0)


def first_plan(pool: Pool) -> First:
    """Each surface by itself, then sheets for all. Raises `CannotCut` where a surface has no layout."""
    chosen = []
    for surface, arrangements in zip(pool.surfaces, pool.options, strict=True):
        one = first_choice(arrangements)
        if one is None:
            raise CannotCut(
                f"No layout of “{name_of(surface)}” keeps its butt joints far enough apart on its framing. "
                "Add a longer sheet, or check its studs or joists and its openings."
            )
        chosen.append(one)
    needs = sum((one.needs() for one in chosen), Counter[Need]())
    fills = tuple(first_fit(needs, pool.stocks))
    return First(tuple(chosen), fills, cost_of(fills, pool.stocks))


def solve(pool: Pool, first: First, tell: Callable[[int, int | None], None], effort: Effort | None = None) -> Solved:
    """The best layout that the effort finds, with the bound. `tell` hears of each better one."""
    choice = Choice(pool.options)
    columns = Columns(pool.stocks, choice.demand())
    work = effort or (THOROUGH if len(columns.demand.needs) <= FEW_NEEDS else QUICK)
    found = columns.generate(work.rounds)
    bound = whole_bound(found) if found is not None else 0
    tell(first.cost, bound)
    bought = fewest(columns, choice.values_of(first.chosen), first.fills, bound, work)
    tell(bought.cost, bound)
    bought = proved(columns, bought, work)
    tell(bought.cost, bought.bound)
    bought = then(columns, bought, _second(choice), work)
    return Solved(choice.chosen(bought.values), bought.fills, bought.cost, bought.bound)


def _second(choice: Choice) -> dict[int, float]:
    """Feet of butt joint first, then pieces."""
    columns = {*choice.joints, *choice.pieces}
    return {
        column: float(JOINT_WEIGHT * choice.joints.get(column, 0) + choice.pieces.get(column, 0)) for column in columns
    }
