"""One pool of surfaces solved: a usable layout at once, an exact bound, then better ones until the bound is met."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import islice
from math import inf

from fieldvoice.errors import CannotCut
from fieldvoice.layout.choosing import Chosen, Decisions
from fieldvoice.layout.improving import (
    LARGE,
    MOST_AT_ONCE,
    Cutting,
    PoolState,
    anew,
    groups,
    row_groups,
    rows_anew,
    settle,
    standing_cost,
)
from fieldvoice.layout.pools import Pool
from fieldvoice.layout.proving import possible, prove
from fieldvoice.layout.rows import Arc, Arrangement, Span
from fieldvoice.records.room import name_of
from fieldvoice.records.trouble import Hinders, Hindrance
from fieldvoice.stock.buying import Effort, cost_of, fewest, fewest_of_all, taken
from fieldvoice.stock.columns import Columns, whole_bound
from fieldvoice.stock.needs import Fill, PieceSize
from fieldvoice.stock.packing import first_fit

FEW_NEEDS = 70
"""With no more sizes of pieces than this a search to the end takes less than a second."""

WORK, ROOMS = 45.0, 12
"""The work that a house of so many rooms may take; a larger one in proportion. Counted, not timed, so that two runs are
the same."""

THOROUGH, QUICK, SHEETS = Effort(nodes=400), Effort(nodes=20), Effort(nodes=20, joints=False)


@dataclass(frozen=True, slots=True)
class Solved:
    """What was decided for each surface of a pool, the sheets, what they cost and the least possible, in modules. For
    just as much sheet: steps of butt joint and pieces to cut, with the least of joint that is possible, and where that
    is reached the least of pieces.
    """

    chosen: tuple[Chosen, ...]
    fills: tuple[tuple[int, Fill], ...]
    cost: int
    bound: int
    joint: int = 0
    pieces: int = 0
    least_joint: int = 0
    least_pieces: int | None = None


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
            raise CannotCut(Hindrance(Hinders.JOINTS_TOO_NEAR, surface=name_of(surface), layers=surface.layers))
        chosen.append(one)
    needs = sum((one.needs() for one in chosen), Counter[PieceSize]())
    fills = tuple(first_fit(needs, pool.stocks))
    return First(tuple(chosen), fills, cost_of(fills, pool.stocks))


def solve(pool: Pool, first: First, tell: Callable[[int, int | None], None]) -> Solved:
    """The best layout that the effort finds, with the bound. `tell` hears of each better one. First the feet of sheet;
    once these are settled the joints.
    """
    choice = Decisions(pool.options)
    columns = Columns(pool.stocks, choice.demand())
    program = columns.demand.program
    if len(program.costs) * len(program.row_lowers) > HUGE * len(pool.surfaces) ** 2:
        return _row_by_row(pool, first, tell)
    if len(columns.demand.needs) <= FEW_NEEDS:
        found, bound = _small(pool, first, choice, columns, tell)
        return _settled(pool, found, bound, columns, THOROUGH)
    if len(pool.surfaces) <= MOST_AT_ONCE:
        bound = _bound(columns)
        tell(first.cost, bound)
        share = _share(columns)
        start = _one_by_one(pool, first, columns, bound)
        found, bound = _search(pool, start, columns, bound, tell, share)
        if found.cost <= bound or len(pool.surfaces) == 1:
            return _settled(pool, found, bound, columns, QUICK, share)
        return _room_by_room(pool, found, columns, bound, tell, share)
    return _room_by_room(pool, first, columns, 0, tell)


def _share(columns: Columns) -> float:
    """The part of the usual work that is done once the bound is known: finding that took so long that nobody waits much
    longer.
    """
    program = columns.demand.program
    return 1 / (1 + columns.rounds * len(program.costs) * len(program.row_lowers) / LONG)


LONG = 1e8
"""So many columns times rows, times rounds, is the bound of a room that takes some seconds."""


def _small(
    pool: Pool, first: First, choice: Decisions, columns: Columns, tell: Callable[[int, int | None], None]
) -> tuple[First, int]:
    """Few sizes of pieces: a search through all fills, then every set of sheets by itself; the other way round where
    a search through fills would be long.
    """
    bound = _bound(columns)
    tell(first.cost, bound)
    bought = fewest_of_all(columns, taken(columns, choice.values_of(first.chosen), first.fills, bound), THOROUGH)
    tell(bought.cost, bound)
    program = columns.demand.program
    large = len(program.costs) * len(program.row_lowers) > LARGE
    if not large:
        bought = fewest(columns, bought, THOROUGH)
        tell(bought.cost, bound)
    found = First(choice.chosen(bought.values), bought.fills, bought.cost)
    if found.cost > bound:
        found, bound = _search(pool, found, columns, bound, tell)
    if large and found.cost > bound:
        best = taken(columns, choice.values_of(found.chosen), found.fills, bound)
        bought = fewest(columns, best, THOROUGH)
        found = First(choice.chosen(bought.values), bought.fills, bought.cost)
    return found, bound


def _one_by_one(pool: Pool, first: First, columns: Columns, bound: int) -> First:
    """Each surface of several solved anew with the sheets that it lies on: a start that the search gets further from.
    Its joints wait.
    """
    now = PoolState(first.chosen, first.fills)
    for number in range(len(pool.surfaces)):
        if len(pool.surfaces) > 1 and standing_cost(pool, now) > bound:
            now, _ = _again(pool, now, (number,), columns, WORK / ROOMS, SHEETS)
    return First(now.chosen, now.fills, standing_cost(pool, now))


def _settled(pool: Pool, found: First, bound: int, columns: Columns, effort: Effort, share: float = 1.0) -> Solved:
    """The least joint for just as much sheet."""
    now, work = PoolState(found.chosen, found.fills), int(share * SETTLING)
    settled = settle(pool.options, Cutting(pool.stocks, found.cost), now, columns.fills, effort, work)
    joint, pieces = settled.aim.joint(settled.cost), settled.aim.pieces(settled.cost)
    least = settled.aim.joint(settled.least)
    least_pieces = settled.aim.pieces(settled.least) if least == joint else None
    standing = settled.standing
    return Solved(standing.chosen, standing.fills, found.cost, bound, joint, pieces, least, least_pieces)


SETTLING = 1_000_000
"""How much may be done for the joints of one pool."""


def _bound(columns: Columns) -> int:
    """By the linear program, up to what sheets can cost together."""

    def whole(cost: Fraction) -> int:
        return possible(whole_bound(cost), columns.stocks)

    found = columns.generate(whole=whole)
    return whole(found) if found is not None else 0


def _search(
    pool: Pool, first: First, columns: Columns, bound: int, tell: Callable[[int, int | None], None], share: float = 1.0
) -> tuple[First, int]:
    """The best of every set of sheets, as far as the work allows, and the bound."""
    tell(first.cost, bound)
    proof = prove(pool.options, pool.stocks, columns.fills, bound, first.cost, columns.mix, share)
    for stock, fill in proof.tried:
        columns.add(stock, fill)
    if proof.chosen:
        first = First(proof.chosen, proof.fills, cost_of(proof.fills, pool.stocks))
    tell(first.cost, proof.bound)
    return first, proof.bound


def _room_by_room(
    pool: Pool, first: First, columns: Columns, bound: int, tell: Callable[[int, int | None], None], share: float = 1.0
) -> Solved:
    """Rooms solved anew among themselves, one after the other, then pairs of them; the bound over all of it. Where
    every set of sheets was searched there is a bound, and less to be found.
    """
    now = PoolState(first.chosen, first.fills)
    tell(first.cost, bound or None)
    turns = list(groups(pool))
    rooms = len({surface.room for surface in pool.surfaces})
    work, most = 0.0, WORK * (rooms / ROOMS / 2 if bound else max(1.0, rooms / ROOMS))
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
        now, more = _again(pool, now, surfaces, columns, most, SHEETS)
        work += more
        if standing_cost(pool, now) < cost:  # their joints have to be settled anew
            now, _ = _again(pool, now, surfaces, columns, most)
    cost = standing_cost(pool, now)
    tell(cost, bound)
    return _settled(pool, First(now.chosen, now.fills, cost), bound, columns, QUICK, share)


def _row_by_row(pool: Pool, first: First, tell: Callable[[int, int | None], None]) -> Solved:
    """Surfaces that are too large to be solved at once, as a ceiling of two layers with many ways to divide it: a few
    rows anew at a time. The bound is that of rows whose joints need not keep away from each other.
    """
    apart = tuple(tuple(replace(way, clashes=()) for way in ways) for ways in pool.options)
    bound = _bound(Columns(pool.stocks, Decisions(apart).demand()))
    now, work = PoolState(first.chosen, first.fills), 0.0
    for number, rows in [*row_groups(now)] * PASSES:
        cost = standing_cost(pool, now)
        tell(cost, bound)
        if cost <= bound or work > WORK:
            break
        tried = rows_anew(pool, now, number, rows, QUICK, WORK)
        now, work = tried.standing, work + tried.work
    cost = standing_cost(pool, now)
    tell(cost, bound)
    return Solved(now.chosen, now.fills, cost, bound)


HUGE = 1_000_000
"""So many columns times rows has the program of a surface that can't be solved at once in some seconds."""

PASSES = 2
"""How often its rows are gone through."""


def _again(
    pool: Pool, now: PoolState, surfaces: tuple[int, ...], columns: Columns, most: float, effort: Effort = QUICK
) -> tuple[PoolState, float]:
    """The surfaces solved anew, unless that alone is more work than `most`."""
    tried = anew(pool, now, surfaces, effort, most)
    for stock, fill in tried.fills:
        columns.add(stock, fill)
    return tried.standing, tried.work


PATHS = 60
"""How many ways through a span are tried before it is given up."""

TRIES = 1000
"""How many ways through a span are tried for one arrangement."""


def first_choice(arrangements: Sequence[Arrangement]) -> Chosen | None:
    """A layout of one surface that keeps every rule, None where none is to be had."""
    tried = [(_bought(found), number, found) for number, one in enumerate(arrangements) if (found := _lay(one))]
    if tried:
        return min(tried, key=lambda each: each[:2])[2]
    choice = Decisions([arrangements])
    for column, joint in choice.joints.items():
        choice.program.costs[column] = 1.0 + joint
    answer = choice.program.whole(nodes=20000)
    return choice.chosen(answer.values)[0] if answer.values else None


def _bought(chosen: Chosen) -> int:
    """About how much sheet it takes: a course of which two come out of one sheet counts half."""
    widest = max((row.band.far - row.band.near for row in chosen.arrangement.rows), default=1)
    total = 0
    for need, count in chosen.needs().items():
        total += count * need.length * widest // max(1, min(2, widest // need.width))
    return total


def _lay(one: Arrangement) -> Chosen | None:
    """Each span after the one beside it, whatever its layer, so that a joint that is in the way of another is met soon;
    where a joint may not be any more no way through a span goes by it.
    """
    apart: dict[tuple[int, int], set[tuple[int, int]]] = {}
    for clash in one.clashes:
        for joint in clash:
            apart.setdefault(joint, set()).update(other for other in clash if other[0] != joint[0])
    spans = [(number, index) for number, row in enumerate(one.rows) for index in range(len(row.spans))]
    spans.sort(key=lambda span: one.rows[span[0]].band.near)
    left = [TRIES]

    def lay(done: int, barred: frozenset[tuple[int, int]]) -> dict[tuple[int, int], tuple[Arc, ...]] | None:
        if done == len(spans):
            return {}
        number, index = spans[done]
        for path in islice(_paths(_without(one.rows[number].spans[index], number, barred)), PATHS):
            left[0] -= 1
            if left[0] < 0:
                return None
            met = (apart.get((number, arc.start), set()) for arc in path[1:])
            rest = lay(done + 1, barred.union(*met))
            if rest is not None:
                return {**rest, spans[done]: path}
        return None

    found = lay(0, frozenset())
    if found is None:
        return None
    rows = enumerate(one.rows)
    return Chosen(one, tuple(tuple(found[number, index] for index in range(len(row.spans))) for number, row in rows))


def _without(span: Span, row: int, barred: frozenset[tuple[int, int]]) -> Span:
    """The span with no joint where none may be."""
    kept = (arc for arc in span.arcs if arc.start == span.start or (row, arc.start) not in barred)
    return replace(span, arcs=tuple(kept))


def _fewest(span: Span) -> dict[int, int]:
    """From each place: how few pieces reach the end."""
    fewest = {span.end: 0}
    for arc in sorted(span.arcs, key=lambda arc: -arc.start):
        if arc.end in fewest:
            fewest[arc.start] = min(fewest.get(arc.start, len(span.arcs)), fewest[arc.end] + 1)
    return fewest


def _paths(span: Span) -> Iterator[tuple[Arc, ...]]:
    """Ways through a span: fewest pieces first, long ones first among these."""
    fewest = _fewest(span)
    leaving: dict[int, list[Arc]] = {}
    for arc in sorted(span.arcs, key=lambda arc: -arc.end):
        leaving.setdefault(arc.start, []).append(arc)

    def walk(at: int, left: int) -> Iterator[tuple[Arc, ...]]:
        if at == span.end:
            if left == 0:
                yield ()
            return
        for arc in leaving.get(at, ()):
            if fewest.get(arc.end, left) < left:
                for rest in walk(arc.end, left - 1):
                    yield (arc, *rest)

    least = fewest.get(span.start)
    for pieces in () if least is None else range(least, least + 3):
        yield from walk(span.start, pieces)
