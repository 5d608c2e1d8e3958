"""A place that is a full sheet's at one end and less at the other has a plan: what sticks out is taken off."""

from __future__ import annotations

from fractions import Fraction
from itertools import product

import pytest

from fieldvoice.cutting import edges
from fieldvoice.cutting.solving import solve
from fieldvoice.errors import NotPlanned
from fieldvoice.records.board import Board, EdgeSetting, Known, Lies, Sheet
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Course, Dimension, Edge, Neighbor, Reading, Slot
from fieldvoice.records.plan import CutPlan

FULL = {Unit.INCH: Length(48), Unit.MM: Length.of(1200, Unit.MM)}
LONG = {Unit.INCH: Length(144), Unit.MM: Length.of(3600, Unit.MM)}
SHORT = {
    Unit.INCH: [Length(Fraction(sixteenths, 16)) for sixteenths in (0, 1, 2, 3, 4, 5, 8)],
    Unit.MM: [Length.of(each, Unit.MM) for each in (0, 1, 2, 3, 5, 6, 7, 12)],
}
ENDS = [(unit, one, other) for unit in Unit for one, other in product(SHORT[unit], repeat=2)]


def between(unit: Unit, one: Length, other: Length, around: tuple[Neighbor, Neighbor], dimension: Dimension) -> Board:
    """A board whose short way is a full sheet's but for so much at each end."""
    across = dimension is Dimension.WIDTH
    near, far = (Edge.LEFT, Edge.RIGHT) if across else (Edge.TOP, Edge.BOTTOM)
    ends = (Slot.TOP, Slot.BOTTOM) if across else (Slot.LEFT, Slot.RIGHT)
    sides = (Slot.LEFT, Slot.RIGHT) if across else (Slot.TOP, Slot.BOTTOM)
    short = tuple(Reading(FULL[unit] - off, dimension, at) for off, at in zip((one, other), ends, strict=True))
    way = Dimension.HEIGHT if across else Dimension.WIDTH
    long = tuple(Reading(LONG[unit], way, at) for at in sides)
    stands = dict.fromkeys(Edge, Neighbor.BOARD) | {near: around[0], far: around[1]}
    return Board(
        "1",
        unit=unit,
        lies=Lies.STANDING if across else Lies.LYING,
        course=None if across else Course.UPPER,
        sheet=Sheet(FULL[unit], LONG[unit]),
        widths=short if across else long,
        heights=long if across else short,
        edges={edge: EdgeSetting(each, Length(0), Known.CALLED) for edge, each in stands.items()},
    )


PLACES = (
    (Dimension.WIDTH, (Neighbor.BOARD, Neighbor.BOARD)),
    (Dimension.WIDTH, (Neighbor.WALL, Neighbor.BOARD)),
    (Dimension.HEIGHT, (Neighbor.CEILING, Neighbor.BOARD)),
    (Dimension.HEIGHT, (Neighbor.BOARD, Neighbor.BOARD)),
)


def ends_of(plan: CutPlan, dimension: Dimension) -> tuple[Fraction, Fraction]:
    """How much the piece measures at both its ends."""
    points = [(one.x.inches, one.y.inches) for one in plan.outline]
    points = points if dimension is Dimension.WIDTH else [(y, x) for x, y in points]
    along = sorted({t for _, t in points})
    middle = (along[0] + along[-1]) / 2
    sides = [[v for v, t in points if (t < middle) is first] for first in (True, False)]
    first, last = (max(each) - min(each) for each in sides)
    return first, last


@pytest.mark.parametrize(("unit", "one", "other"), ENDS)
@pytest.mark.parametrize(("dimension", "around"), PLACES)
def test_there_is_a_plan_and_neither_end_is_too_wide(
    unit: Unit, one: Length, other: Length, dimension: Dimension, around: tuple[Neighbor, Neighbor]
) -> None:
    """Within a graduation of what was measured, and never over it."""
    plan = solve(between(unit, one, other, around, dimension))
    assert plan.proof.ok
    step = Length("1/8").inches if unit is Unit.INCH else Length.of(2, Unit.MM).inches
    for cut, short in zip(ends_of(plan, dimension), (one, other), strict=True):
        assert 0 <= FULL[unit].inches - short.inches - cut + Fraction(1, 128) <= step + Fraction(1, 64)
    assert bool(plan.cuts) is (one.inches > 0 or other.inches > 0)


def test_a_mutant_is_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    """By its longer end alone it would hang uncut."""
    monkeypatch.setattr(edges.SolvedDirection, "uncut", lambda self, sheet: not self.leaning and self.size == sheet)
    with pytest.raises(NotPlanned):
        solve(between(Unit.INCH, Length(0), Length("1/8"), (Neighbor.BOARD, Neighbor.BOARD), Dimension.WIDTH))
