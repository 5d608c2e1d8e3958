"""Short ways to write a room."""

import re
from collections.abc import Iterator
from contextlib import contextmanager

import pytest

from fieldvoice.errors import CannotCut
from fieldvoice.records.board import EdgeSetting
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import (
    Box,
    BoxKind,
    Coordinate,
    Dimension,
    Edge,
    Neighbor,
    Point,
    Reading,
    Slot,
)
from fieldvoice.records.plan import CutLine, CutPlan
from fieldvoice.wording import steps, warnings


def sides(
    left: Neighbor, right: Neighbor, top: Neighbor = Neighbor.CEILING, bottom: Neighbor = Neighbor.FLOOR
) -> dict[Edge, EdgeSetting]:
    """What stands at the four edges."""
    stands = {Edge.LEFT: left, Edge.RIGHT: right, Edge.TOP: top, Edge.BOTTOM: bottom}
    return {edge: EdgeSetting(neighbor) for edge, neighbor in stands.items()}


SIDES_SWAPPED = sides(Neighbor.WALL, Neighbor.BOARD)
SIDES_JOINED = sides(Neighbor.BOARD, Neighbor.BOARD)
SIDES_WALLED = sides(Neighbor.WALL, Neighbor.WALL)


def widths(top: str | None, middle: str | None, bottom: str | None) -> tuple[Reading, ...]:
    """Widths at the three named places; None was not taken."""
    return _readings(Dimension.WIDTH, (Slot.TOP, top), (Slot.MIDDLE, middle), (Slot.BOTTOM, bottom))


def heights(left: str, middle: str | None = None, right: str | None = None) -> tuple[Reading, ...]:
    """Heights at the three named places; None was not taken."""
    return _readings(Dimension.HEIGHT, (Slot.LEFT, left), (Slot.MIDDLE, middle), (Slot.RIGHT, right))


def _readings(dimension: Dimension, *readings: tuple[Slot, str | None]) -> tuple[Reading, ...]:
    return tuple(Reading(Length(value), dimension, at) for at, value in readings if value is not None)


def box(
    name: str,
    x: str,
    y: str,
    *,
    x_from: Edge = Edge.LEFT,
    y_from: Edge = Edge.TOP,
    kind: BoxKind = BoxKind.SINGLE,
) -> Box:
    """A box by its center."""
    return Box(
        kind,
        Coordinate(Point.CENTER, Length(x), x_from),
        Coordinate(Point.CENTER, Length(y), y_from),
        name,
    )


def says(plan: CutPlan) -> list[str]:
    """What the steps say."""
    return [steps.text(step, plan.board.unit) for step in plan.steps]


def notes(plan: CutPlan) -> list[str]:
    """What the warnings say."""
    return [warnings.text(warning, plan.board.unit) for warning in plan.warnings]


@contextmanager
def no_plan(match: str) -> Iterator[None]:
    """The cutting room has no plan, and says why in words that match."""
    with pytest.raises(CannotCut) as found:
        yield
    assert re.search(match, str(found.value)), str(found.value)


def cut_at(plan: CutPlan, edge: Edge) -> CutLine:
    """The plan's cut at that edge."""
    return next(cut for cut in plan.cuts if cut.edge is edge)
