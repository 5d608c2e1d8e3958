"""A large house made better a room at a time: its pieces and the sheets they lie on, solved anew among themselves."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from fieldvoice.layout.choosing import Chosen, Decisions
from fieldvoice.layout.pools import Pool
from fieldvoice.layout.proving import Options
from fieldvoice.layout.rows import Arc, Row
from fieldvoice.layout.settling import Cutting, PoolState, settle, with_beside
from fieldvoice.stock.buying import Effort, cost_of, fewest
from fieldvoice.stock.buying import taken as as_bought
from fieldvoice.stock.columns import Columns, whole_bound
from fieldvoice.stock.needs import Fill, PieceSize

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
    taken, kept = _their_sheets(pool, fills, wanted)
    beside = sum((fill.counts for _, fill in taken), Counter[PieceSize]()) - wanted
    used = Counter(index for index, _ in kept)
    stocks = [
        one if one.available is None else replace(one, available=one.available - used[index])
        for index, one in enumerate(pool.stocks)
    ]
    columns = Columns(stocks, with_beside(choice.demand(), beside))
    bound = columns.generate(effort.rounds)
    if bound is None:
        return before
    bought = fewest(columns, as_bought(columns, choice.values_of(mine), taken, whole_bound(bound)), effort)
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
    taken, kept = [], []
    for one in order:
        given = one[1].counts & wanted
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
