"""A large house made better a room at a time: its pieces and the sheets they lie on, solved anew among themselves."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from fieldvoice.layout.choosing import Decisions
from fieldvoice.layout.pools import Pool
from fieldvoice.layout.settling import Cutting, PoolState, settle, with_beside
from fieldvoice.stock.buying import Effort, cost_of, fewest
from fieldvoice.stock.buying import taken as as_bought
from fieldvoice.stock.columns import Columns, whole_bound
from fieldvoice.stock.needs import Fill, Need

MOST_AT_ONCE = 10
"""Surfaces that are solved together in well under a second."""

COLUMNS = 300
"""About so many columns has the program of a room."""

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
    taken, kept = _their_sheets(pool, now, surfaces)
    options = tuple(pool.options[number] for number in surfaces)
    choice = Decisions(options)
    work = (len(choice.program.costs) / COLUMNS) ** 2
    if work > most:
        return Better(now, (), 0.0)
    mine = tuple(now.chosen[number] for number in surfaces)
    beside = sum((fill.counts() for _, fill in taken), Counter[Need]()) - PoolState(mine, ()).needs()
    used = Counter(index for index, _ in kept)
    stocks = [
        one if one.available is None else replace(one, available=one.available - used[index])
        for index, one in enumerate(pool.stocks)
    ]
    columns = Columns(stocks, with_beside(choice.demand(), beside))
    bound = columns.generate(effort.rounds)
    if bound is None:
        return Better(now, (), 0.0)
    bought = fewest(columns, as_bought(columns, choice.values_of(mine), taken, whole_bound(bound)), effort)
    found = PoolState(choice.chosen(bought.values), bought.fills)
    joined = settle(options, Cutting(stocks, bought.cost, beside), found, columns.fills, effort, 0)
    decided = dict(zip(surfaces, joined.standing.chosen, strict=True))
    chosen = tuple(decided.get(number, one) for number, one in enumerate(now.chosen))
    return Better(PoolState(chosen, (*kept, *joined.standing.fills)), joined.fills, work)


def _their_sheets(
    pool: Pool, now: PoolState, surfaces: Iterable[int]
) -> tuple[list[tuple[int, Fill]], list[tuple[int, Fill]]]:
    """The sheets that the surfaces' pieces lie on, with those that have the most left; and the other sheets."""
    wanted = sum((now.chosen[number].needs() for number in surfaces), Counter[Need]())
    order = sorted(now.fills, key=lambda one: -_waste(pool, one))
    taken, kept = [], []
    for one in order:
        given = one[1].counts() & wanted
        if given:
            wanted -= given
            taken.append(one)
        else:
            kept.append(one)
    return taken + kept[:SPARE], kept[SPARE:]


def _waste(pool: Pool, one: tuple[int, Fill]) -> int:
    """What is left of a sheet."""
    stock = pool.stocks[one[0]]
    return stock.length * stock.width - sum(need.area for need in one[1].needs())


def groups(pool: Pool) -> Iterator[tuple[int, ...]]:
    """Which surfaces to try together: in a small house one after the other and two by two; then each room, each room
    with the next, and with the one after that.
    """
    if len(pool.surfaces) <= MOST_AT_ONCE:
        yield from ((number,) for number in range(len(pool.surfaces)))
        yield from combinations(range(len(pool.surfaces)), 2)
        return
    rooms: dict[str, list[int]] = {}
    for number, surface in enumerate(pool.surfaces):
        rooms.setdefault(surface.room, []).append(number)
    names = list(rooms)
    for apart in range(3):
        for index, name in enumerate(names):
            other = names[(index + apart) % len(names)]
            if apart and (len(names) <= apart or index % 2):
                continue
            both = rooms[name] if not apart else rooms[name] + rooms[other]
            yield from _portions(sorted(set(both)))


def _portions(surfaces: Sequence[int]) -> Iterator[tuple[int, ...]]:
    """No more at once than are solved quickly."""
    for start in range(0, len(surfaces), MOST_AT_ONCE):
        yield tuple(surfaces[start : start + MOST_AT_ONCE])


def standing_cost(pool: Pool, now: PoolState) -> int:
    """What the sheets cost."""
    return cost_of(now.fills, pool.stocks)
