"""Surfaces of which no layout keeps the rules: that there is none, and what is told to do instead."""

from __future__ import annotations

import json
import random
from dataclasses import replace
from itertools import combinations, pairwise

import pytest

from fieldvoice.errors import CannotCut
from fieldvoice.layout.planning import plan
from fieldvoice.output.documents.rooms import room_document
from fieldvoice.records.board import Lies, Sheet
from fieldvoice.records.laying import HangThem
from fieldvoice.records.length import Length
from fieldvoice.records.room import House
from fieldvoice.records.trouble import Hinders, Hindrance
from tests.layout.check import problems
from tests.layout.houses import house_of, plan_at_once
from tests.layout.test_plans import JOB, wall

SHIFT, PAST, WIDE = 12, 6, 48


def _two_layers(draw: random.Random) -> tuple[str, int, list[int], tuple[int, int]]:
    """A standing wall in two layers, no higher than a sheet: its text, its width, its studs, its window's jambs."""
    wide = draw.randrange(60, 120)
    studs = sorted(draw.sample(range(4, wide - 3), draw.randint(4, 10)))
    left = draw.randrange(2, wide - 26)
    text = (
        '[job]\nunit = "in"\nsheets = ["48 x 96"]\n[[wall]]\nroom = "den"\nname = "north"\n'
        f'width = {wide}\nheight = "96 1/2"\nstuds = {[str(stud) for stud in studs]}\nlies = "standing"\nlayers = 2\n'
        f'[[wall.opening]]\nkind = "window"\nleft = {left}\nbottom = 36\nwidth = 24\nheight = 40\n'
    )
    return text.replace("'", '"'), wide, studs, (left, left + 24)


def _there_is_one(wide: int, studs: list[int], jambs: tuple[int, int]) -> bool:
    """Whether two sets of studs cover the wall, every joint of one away from every joint of the other."""
    places = [stud for stud in studs if all(abs(stud - jamb) >= PAST for jamb in jambs)]
    sets = [
        joints
        for count in range(len(places) + 1)
        for joints in combinations(places, count)
        if all(far - near <= WIDE for near, far in pairwise((0, *joints, wide)))
    ]
    return any(all(abs(a - b) >= SHIFT for a in one for b in other) for one in sets for other in sets)


def _refusal(house: House) -> Hindrance:
    with pytest.raises(CannotCut) as refused:
        plan_at_once(house)
    assert isinstance(refused.value.why, Hindrance)
    return refused.value.why


def _cured(house: House, cure: object) -> House:
    (surface,) = house.surfaces
    if isinstance(cure, Lies):
        return replace(house, surfaces=(replace(surface, lies=cure),))
    if isinstance(cure, Sheet):
        return replace(house, sheets=(*house.sheets, cure))
    return replace(house, surfaces=(replace(surface, layers=1),))


def test_two_layers_that_stand_are_refused_where_no_two_sets_of_studs_are_apart_with_what_would_do() -> None:
    """Every set of studs is tried; both answers come up often. Each thing that would do is done, and there is a plan;
    each that isn't told of doesn't help.
    """
    draw, planned, told = random.Random(106), 0, 0
    for _ in range(100):
        text, wide, studs, jambs = _two_layers(draw)
        house = house_of(text)
        if _there_is_one(wide, studs, jambs):
            assert problems(text, json.loads(json.dumps(room_document(plan_at_once(house))))) == [], text
            planned += 1
            continue
        refused = _refusal(house)
        why, cures = refused.named["why"], refused.named["cures"]
        assert isinstance(why, Hindrance)
        assert why.what is Hinders.NO_JOINT_PLACES, text
        assert isinstance(cures, tuple)
        for cure in cures:
            told += 1
            assert plan_at_once(_cured(house, cure)).pieces, (text, cure)
        for other in {Lies.LYING, 1} - {*cures}:
            _refusal(_cured(house, other))
    assert min(planned, told, 100 - planned) > 20


def test_a_refusal_names_what_was_tried_and_would_do() -> None:
    """One stud, on which only one layer can have its joint."""
    text = (
        '[job]\nunit = "in"\nsheets = ["48 x 96"]\n[[wall]]\nroom = "den"\nname = "north"\nwidth = 96\n'
        'height = "96 1/2"\nstuds = [48]\nlies = "standing"\nlayers = 2\n'
    )
    with pytest.raises(CannotCut, match=r"of one layer and of the next. It can be planned .*in one layer"):
        plan_at_once(house_of(text))
    longer = (
        text.replace('lies = "standing"\nlayers = 2', "").replace("[48]", "[]").replace("width = 96", "width = 130")
    )
    assert _refusal(house_of(longer)).named["cures"] == (Sheet(Length(48), Length(144)),)


@pytest.mark.parametrize(("asked", "other"), [(Lies.STANDING, Lies.LYING), (Lies.LYING, Lies.STANDING)])
def test_what_hangs_is_named_where_it_is_in_the_way(asked: Lies, other: Lies) -> None:
    """Sheets turned once one of them is cut: no framing is blamed, and what would do leaves it where it is."""
    house = house_of(JOB + wall("north", "144"))
    hung = plan(house, [HangThem(other)]).pieces[:1]
    with pytest.raises(CannotCut) as refused:
        plan(house, [HangThem(asked)], hung)
    assert isinstance(refused.value.why, Hindrance)
    why = refused.value.why.named["why"]
    assert isinstance(why, Hindrance)
    assert why.what is Hinders.ROUND_WHAT_HANGS
    assert refused.value.why.named["cures"] == (other,)
    assert plan(house, [HangThem(other)], hung).pieces


def test_no_cure_forgets_what_hangs() -> None:
    """A wall that is a foot higher than it was when its upper course was cut: sheets that stand would do without it."""
    hung = plan(house_of(JOB + wall("north", "144"))).pieces[:1]
    with pytest.raises(CannotCut) as refused:
        plan(house_of(JOB + wall("north", "144", "108 1/2")), (), hung)
    assert isinstance(refused.value.why, Hindrance)
    assert refused.value.why.named["cures"] == ()
