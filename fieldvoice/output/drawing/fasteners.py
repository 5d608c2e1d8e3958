"""A board to scale with every fastener in its place, on lines where its framing is."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from fractions import Fraction

from fieldvoice.output.drawing.picture import Area, Circle, Mark, Picture, Stroke
from fieldvoice.records.fastening import FasteningPlan, Stage
from fieldvoice.records.plan import CutPlan
from fieldvoice.wording.fastening import fasteners_title

XY = tuple[float, float]
EDGE = 0.4
"""Room round the board, in millimeters, for half its outline."""
SPOT, FIRST_SPOT = 0.55, 0.85
"""Radii in millimeters: those that go in first are larger and filled."""


def fastening_picture(plan: CutPlan, fastening: FasteningPlan, width: float, height: float) -> Picture:
    """The finished board on paper of at most that many millimeters: outline, openings, a thin line a member that is
    fastened between edges, a ring a fastener and a dot one that goes in first.
    """
    corners = [(point.x.inches, point.y.inches) for point in plan.outline]
    xs, ys = zip(*corners, strict=True)
    wide, high = float(max(xs) - min(xs)), float(max(ys) - min(ys))
    scale = min((width - 2 * EDGE) / wide, (height - 2 * EDGE) / high)

    def at(x: Fraction, y: Fraction) -> XY:
        return EDGE + float(x - min(xs)) * scale, EDGE + float(y - min(ys)) * scale

    def marks() -> Iterator[Mark]:
        yield Stroke(tuple(at(x, y) for x, y in corners), 0.3, closed=True)
        for opening in plan.openings:
            around = tuple(at(point.x.inches, point.y.inches) for point in opening.corners)
            yield Stroke(around, 0.2, closed=True)
        for x, places in member_rows(fastening):
            yield Stroke((at(x, min(places)), at(x, max(places))), 0.1, (1.0, 0.6))
        for spot in fastening.spots:
            center = at(spot.x.inches, spot.y.inches)
            if spot.stage is Stage.FIRST:
                yield _dot(center)
            else:
                yield Circle(center, SPOT, 0.15)

    title = fasteners_title(plan.board.name)
    return Picture(2 * EDGE + wide * scale, 2 * EDGE + high * scale, tuple(marks()), title)


def member_rows(fastening: FasteningPlan) -> list[tuple[Fraction, list[Fraction]]]:
    """The members that are fastened between the board's edges: how far right, and how far down each fastener is."""
    rows: dict[Fraction, list[Fraction]] = defaultdict(list)
    for spot in fastening.spots:
        if not spot.along_edge:
            rows[spot.x.inches].append(spot.y.inches)
    return sorted(rows.items())


def _dot(center: XY) -> Area:
    """A filled square on its corner, which a printer keeps apart from a ring."""
    x, y, r = *center, FIRST_SPOT
    return Area(((x, y - r), (x + r, y), (x, y + r), (x - r, y)), 0.0)
