"""Which joints may be used together: said once for all rows beside each other, and no choice is lost by it."""

from __future__ import annotations

import random
from itertools import combinations, pairwise, product

import pytest

from fieldvoice.layout.courses import CourseBand
from fieldvoice.layout.frame import Steps
from fieldvoice.layout.planning import plan
from fieldvoice.layout.rows import Row, _clashes
from tests.layout.houses import house_of

STEPS = Steps(24, 6, 24, 6, 1, 1, 2, 24, 24, 1)
"""In inches: joints 24 apart."""


def drawn_rows(seed: int) -> tuple[Row, ...]:
    """Two layers, each divided into its own courses, with a few joints a row, a least piece and more apart."""
    draw, rows = random.Random(seed), list[Row]()
    for layer in (1, 2):
        seams = [0, *sorted(draw.sample(range(20, 140, 20), draw.randint(1, 2))), 160]
        for near, far in pairwise(seams):
            step = STEPS.stagger + draw.choice((0, 5))
            nodes = range(draw.randrange(10, step), step * 3, step)
            rows.append(Row(layer, CourseBand(near, far, 0), (), dict.fromkeys(nodes, far - near)))
    return tuple(rows)


def meet(one: Row, other: Row) -> bool:
    """Whether their joints have to keep apart: courses of a layer that share a seam, and what lies over each other."""
    if one.layer == other.layer:
        return one.band.far == other.band.near or other.band.far == one.band.near
    return max(one.band.near, other.band.near) < min(one.band.far, other.band.far)


@pytest.mark.parametrize("seed", range(25))
def test_just_those_joints_are_barred_that_are_too_near(seed: int) -> None:
    """Every choice of a joint or none in each row, tried one by one: it is allowed where no two rows that meet have
    theirs nearer than the stagger, and nowhere else.
    """
    rows = drawn_rows(seed)
    clashes = _clashes(rows, STEPS)
    for picked in product(*([None, *row.butts] for row in rows)):
        used = {(number, node) for number, node in enumerate(picked) if node is not None}
        near = any(
            meet(rows[one], rows[other]) and abs(at - there) < STEPS.stagger
            for (one, at), (other, there) in combinations(sorted(used), 2)
        )
        assert near == any(len(used & {*clash}) > 1 for clash in clashes), (seed, picked)


ATTIC = """
[job]
sheets = [{sheets}]
[[wall]]
room = "attic"
name = "gable"
width = "{width}"
height = "108"
top_right_height = "{right}"
studs = "16 on center from left"
layers = 2
"""


@pytest.mark.parametrize(
    ("width", "right", "sheets", "feet"),
    [("164", "132", '"48 x 96", "48 x 120"', 88), ("192", "120", '"48 x 96", "48 x 120"', 88)],
)
def test_two_layers_under_a_slope_are_proved(width: str, right: str, sheets: str, feet: int) -> None:
    """Said pair by pair, one of them was 2 ft more than it needs and its bound 8 ft too low; with forty times the work
    the pairs came to the same 88 ft.
    """
    made = plan(house_of(ATTIC.format(width=width, right=right, sheets=sheets)))
    assert made.proved
    assert made.feet == feet
