"""Feet first, then butt joint, then pieces: against every layout of a small wall, tried one by one."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import product

import pytest

from fieldvoice.errors import CannotCut
from fieldvoice.layout.choosing import Aim, Decisions
from fieldvoice.layout.improving import Cutting, PoolState, settle
from fieldvoice.layout.planning import begun, plan
from fieldvoice.layout.pools import Pool, pools
from fieldvoice.layout.rows import Arc, Arrangement, Span
from fieldvoice.stock.buying import Effort
from tests.layout.houses import house_of, house_text, plan_at_once, wide_open_text
from tests.layout.test_plans import wall

Worth = tuple[int, int, int]
"""Modules of sheet, steps of butt joint, pieces."""


def _text(seed: int) -> str:
    """A wall of two full courses, with an opening or two, and the sheets that there are."""
    draw = random.Random(seed)
    lengths = sorted(draw.sample((96, 120, 144), 2))
    width = draw.randrange(150, 300)
    openings = []
    if draw.random() < 0.7:
        openings.append(f"window {draw.randrange(10, width - 60)} 36 {draw.choice((24, 36, 44))} 48")
    if not openings and draw.random() < 0.7:
        openings.append(f"door {draw.randrange(20, width - 60)} 0 {draw.choice((30, 34))} 82")
    sheets = ", ".join(f'"48 x {length}"' for length in lengths)
    return f'[job]\nunit = "in"\nsheets = [{sheets}]\n' + wall("long", str(width), "96 1/2", *openings)


def _paths(span: Span, at: int) -> Iterator[tuple[Arc, ...]]:
    if at == span.end:
        yield ()
        return
    for arc in span.arcs:
        if arc.start == at:
            for rest in _paths(span, arc.end):
                yield (arc, *rest)


def _layouts(one: Arrangement) -> Iterator[tuple[int, list[int]]]:
    """Every layout that keeps joints apart: its steps of butt joint, and the lengths of its pieces."""
    spans = [(number, span) for number, row in enumerate(one.rows) for span in row.spans]
    for paths in product(*(list(_paths(span, span.start)) for _, span in spans)):
        joints = {(number, arc.start) for (number, _), path in zip(spans, paths, strict=True) for arc in path[1:]}
        if all(len(joints & {*clash}) < 2 for clash in one.clashes):
            butt = one.cut_joints + sum(one.rows[row].butts[place] for row, place in joints)
            yield butt, [arc.end - arc.start for path in paths for arc in path]


def _bought(lengths: Sequence[int], pool: Pool) -> int:
    """The least that whole-width pieces cost: each onto a sheet that is there, or onto one of every length."""
    best = [sum(pool.stocks[-1].cost for _ in lengths)]

    def put(number: int, rooms: tuple[int, ...], cost: int) -> None:
        if cost >= best[0]:
            return
        if number == len(lengths):
            best[0] = cost
            return
        mine = lengths[number]
        for index, room in enumerate(rooms):
            if room >= mine and room not in rooms[:index]:
                put(number + 1, (*rooms[:index], room - mine, *rooms[index + 1 :]), cost)
        for stock in pool.stocks:
            if stock.length >= mine:
                put(number + 1, (*rooms, stock.length - mine), cost + stock.cost)

    put(0, (), 0)
    return best[0]


def _best(pool: Pool) -> Worth:
    """Of every layout."""
    ((*ways,),) = pool.options
    known: dict[tuple[int, ...], int] = {}
    best: Worth | None = None
    for butt, lengths in (each for one in ways for each in _layouts(one)):
        key = tuple(sorted(lengths, reverse=True))
        if key not in known:
            known[key] = _bought(key, pool)
        worth = (known[key], butt, len(key))
        best = worth if best is None or worth < best else best
    assert best is not None
    return best


@pytest.mark.parametrize("seed", range(10))
def test_no_layout_of_a_small_wall_is_better(seed: int) -> None:
    """And every one of the three is proved to be the least."""
    house = house_of(_text(seed))
    (pool,) = pools(house, (), (), ())
    cost, butt, pieces = _best(pool)
    made = plan(house)
    assert (made.feet, made.bound_feet) == (cost * pool.module, cost * pool.module)
    least = Fraction(butt) * pool.grid.unit / 12
    assert (made.butt_feet, made.least_butt_feet) == (least, least)
    assert (len(made.pieces), made.least_pieces) == (pieces, pieces)


@pytest.mark.parametrize("seed", [*range(60), 9175])
def test_a_layout_costs_the_joint_that_it_has(seed: int) -> None:
    """What is made least is what the printed joints come to, to the last step; under a slope to a step a joint, and
    never more. Else a bound could lie above its plan.
    """
    for text in (house_text(random.Random(seed), 2), wide_open_text(random.Random(seed))):
        house = house_of(text)
        try:
            made = plan_at_once(house)
        except CannotCut:
            continue
        joint, pieces = Fraction(0), 0
        for pool, first in zip(*begun(house, (), (), ()), strict=True):
            aim, chosen = Aim.of(pool.options, 0), first.chosen
            choice = Decisions(pool.options, aim)
            cost = choice.given + sum(round(choice.program.costs[column]) for column in choice.values_of(chosen))
            joint, pieces = joint + aim.joint(cost) * pool.grid.unit / 12, pieces + aim.pieces(cost)
        assert pieces == len(made.pieces)
        assert joint <= made.butt_feet
        assert joint == made.butt_feet or any(key in text for key in ("top_right_height", "peak_height", "top_breaks"))


@pytest.mark.parametrize("seed", [23, 65, 67, 87, 100])
def test_what_a_search_finds_is_told_as_it_was_offered(seed: int) -> None:
    """However few joints were open where it was found: what goes on from there looks it up among these ways."""
    for pool, first in zip(*begun(house_of(house_text(random.Random(seed), 3)), (), (), ()), strict=True):
        now, cutting = PoolState(first.chosen, first.fills), Cutting(pool.stocks, first.cost)
        found = settle(pool.options, cutting, now, (), Effort(nodes=1), 60_000).standing
        for one, ways in zip(found.chosen, pool.options, strict=True):
            assert any(one.arrangement is way for way in ways)
