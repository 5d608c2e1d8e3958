"""One pool of surfaces solved: a usable layout at once, an exact bound, then better ones until the bound is met."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from math import inf

from fieldvoice.errors import CannotCut
from fieldvoice.layout.choosing import Choice, Chosen
from fieldvoice.layout.first_plan import first_choice
from fieldvoice.layout.improving import MOST_AT_ONCE, Standing, anew, groups, second_costs, standing_cost
from fieldvoice.layout.pools import Pool
from fieldvoice.layout.proving import possible, prove
from fieldvoice.records.room import name_of
from fieldvoice.records.trouble import Trouble, Wrong
from fieldvoice.stock.buying import Effort, cost_of, fewest, proved, taken, then
from fieldvoice.stock.columns import Columns, whole_bound
from fieldvoice.stock.first_fit import first_fit
from fieldvoice.stock.needs import Fill, Need

FEW_NEEDS = 70
"""With no more sizes of pieces than this a search to the end takes less than a second."""

WORK, ROOMS = 45.0, 12
"""The work that a house of so many rooms may take; a larger one in proportion. Counted, not timed, so that two runs are
the same."""

THOROUGH, QUICK = Effort(nodes=400, second_nodes=100), Effort(nodes=20, second_nodes=5)


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


def first_plan(pool: Pool) -> First:
    """Each surface by itself, then sheets for all. Raises `CannotCut` where a surface has no layout."""
    chosen = []
    for surface, arrangements in zip(pool.surfaces, pool.options, strict=True):
        one = first_choice(arrangements)
        if one is None:
            raise CannotCut(Trouble(Wrong.JOINTS_TOO_NEAR, surface=name_of(surface)))
        chosen.append(one)
    needs = sum((one.needs() for one in chosen), Counter[Need]())
    fills = tuple(first_fit(needs, pool.stocks))
    return First(tuple(chosen), fills, cost_of(fills, pool.stocks))


def solve(pool: Pool, first: First, tell: Callable[[int, int | None], None]) -> Solved:
    """The best layout that the effort finds, with the bound. `tell` hears of each better one."""
    choice = Choice(pool.options)
    columns = Columns(pool.stocks, choice.demand())
    if len(columns.demand.needs) > FEW_NEEDS:
        return _large(pool, first, choice, columns, tell)
    bound = _bound(columns)
    tell(first.cost, bound)
    bought = fewest(columns, taken(columns, choice.values_of(first.chosen), first.fills, bound), THOROUGH)
    tell(bought.cost, bound)
    bought = proved(columns, bought, THOROUGH)
    tell(bought.cost, bought.bound)
    if bought.cost > bought.bound:
        known = First(choice.chosen(bought.values), bought.fills, bought.cost)
        found, bound = _search(pool, known, columns, bought.bound, tell)
        bought = taken(columns, choice.values_of(found.chosen), found.fills, bound)
    bought = then(columns, bought, second_costs(choice), THOROUGH)
    return Solved(choice.chosen(bought.values), bought.fills, bought.cost, bought.bound)


def _large(
    pool: Pool, first: First, choice: Choice, columns: Columns, tell: Callable[[int, int | None], None]
) -> Solved:
    """A few surfaces are searched, every set of sheets by itself. Rooms of a house, and surfaces between which the
    search leaves a gap, are solved anew among themselves.
    """
    if len(pool.surfaces) > MOST_AT_ONCE:
        return _room_by_room(pool, first, columns, 0, tell)
    first, bound = _search(pool, first, columns, _bound(columns), tell)
    if first.cost > bound and len(pool.surfaces) > 1:
        return _room_by_room(pool, first, columns, bound, tell)
    bought = taken(columns, choice.values_of(first.chosen), first.fills, bound)
    bought = then(columns, bought, second_costs(choice), QUICK)
    return Solved(choice.chosen(bought.values), bought.fills, bought.cost, bought.bound)


def _bound(columns: Columns) -> int:
    """By the linear program, up to what sheets can cost together."""
    found = columns.generate()
    return possible(whole_bound(found), columns.stocks) if found is not None else 0


def _search(
    pool: Pool, first: First, columns: Columns, bound: int, tell: Callable[[int, int | None], None]
) -> tuple[First, int]:
    """The best of every set of sheets, as far as the work allows, and the bound."""
    tell(first.cost, bound)
    proof = prove(pool.options, pool.stocks, columns.fills, bound, first.cost, columns.mix)
    for stock, fill in proof.tried:
        columns.add(stock, fill)
    if proof.chosen:
        first = First(proof.chosen, proof.fills, cost_of(proof.fills, pool.stocks))
    tell(first.cost, proof.bound)
    return first, proof.bound


def _room_by_room(
    pool: Pool, first: First, columns: Columns, bound: int, tell: Callable[[int, int | None], None]
) -> Solved:
    """Rooms solved anew among themselves, one after the other, then pairs of them; the bound over all of it. Where
    every set of sheets was searched there is a bound, and less to be found.
    """
    now = Standing(first.chosen, first.fills)
    tell(first.cost, bound or None)
    turns = list(groups(pool))
    rooms = len({surface.room for surface in pool.surfaces})
    work, most = 0.0, WORK * (rooms / ROOMS if bound else max(1.0, rooms / ROOMS))
    for surfaces in turns[:rooms]:
        if bound and work > most:
            break
        now, more = _again(pool, now, surfaces, columns, most if bound else inf)
        work += more
        tell(standing_cost(pool, now), bound or None)
    bound = bound or _bound(columns)
    for surfaces in turns[rooms:]:
        cost = standing_cost(pool, now)
        tell(cost, bound)
        if cost <= bound or work > most:
            break
        now, more = _again(pool, now, surfaces, columns, most)
        work += more
    cost = standing_cost(pool, now)
    tell(cost, bound)
    return Solved(now.chosen, now.fills, cost, bound)


def _again(
    pool: Pool, now: Standing, surfaces: tuple[int, ...], columns: Columns, most: float
) -> tuple[Standing, float]:
    """The surfaces solved anew, unless that alone is more work than `most`."""
    tried = anew(pool, now, surfaces, QUICK, most)
    for stock, fill in tried.fills:
        columns.add(stock, fill)
    return tried.standing, tried.work
