"""The drawing of a board's fasteners: each one where the plan has it, to one scale."""

from __future__ import annotations

import pytest

from fieldvoice.output.drawing.board import EDGE, fastening_picture
from fieldvoice.output.drawing.picture import Area, Circle, Stroke
from fieldvoice.output.fastening import plan_fastening
from fieldvoice.records.fastening import FasteningPlan, Stage
from tests.output.paper.views import BOARD, planned


def test_a_ring_or_a_dot_a_fastener() -> None:
    """As many of either as the plan has, each in its place."""
    _, plan = planned(*BOARD)
    found = plan_fastening(plan)
    assert isinstance(found, FasteningPlan)
    picture = fastening_picture(plan, found, 90, 50)
    assert picture.width <= 90
    assert picture.height <= 50 + 1e-9
    rings = [mark.center for mark in picture.marks if isinstance(mark, Circle)]
    dots = [mark.points[1][0] - 0.85 for mark in picture.marks if isinstance(mark, Area)]
    first = [spot for spot in found.spots if spot.stage is Stage.FIRST]
    rest = [spot for spot in found.spots if spot.stage is Stage.REST]
    assert (len(dots), len(rings)) == (len(first), len(rest))
    high = max(float(point.y.inches) for point in plan.outline)
    scale = (picture.height - 2 * EDGE) / high
    for spot, (x, y) in zip(rest, rings, strict=True):
        assert x == pytest.approx(EDGE + float(spot.x.inches) * scale)
        assert y == pytest.approx(EDGE + float(spot.y.inches) * scale)
    for spot, x in zip(first, dots, strict=True):
        assert x == pytest.approx(EDGE + float(spot.x.inches) * scale)


def test_outline_openings_and_a_line_a_member() -> None:
    """The board, its box, and a dashed line on each row between edges."""
    _, plan = planned(*BOARD)
    found = plan_fastening(plan)
    assert isinstance(found, FasteningPlan)
    strokes = [mark for mark in fastening_picture(plan, found, 90, 50).marks if isinstance(mark, Stroke)]
    closed = [mark for mark in strokes if mark.closed]
    assert len(closed) == 1 + len(plan.openings)
    rows = {spot.x for spot in found.spots if not spot.along_edge}
    assert len([mark for mark in strokes if mark.dash]) == len(rows)
