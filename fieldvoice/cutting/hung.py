"""A finished plan hung in the measured room: cross-sections of its outline, seen in one direction."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from fieldvoice.cutting.axis import ACROSS, DOWN, Axis, Measured, largest_bound, leaning, measured, reading_at
from fieldvoice.cutting.lines import Point, Polyline, value_at
from fieldvoice.cutting.outline import Polygon, section
from fieldvoice.cutting.sheets import across_and_down
from fieldvoice.cutting.tables import stand_off
from fieldvoice.records.board import Board
from fieldvoice.records.meaning import Edge
from fieldvoice.records.plan import CutLine, CutPlan

ZERO = Fraction(0)
OPPOSITE = {Edge.LEFT: Edge.RIGHT, Edge.RIGHT: Edge.LEFT, Edge.TOP: Edge.BOTTOM, Edge.BOTTOM: Edge.TOP}


@dataclass(frozen=True, slots=True)
class Hung:
    """One direction of a plan. `lines` are the cuts' marks by place along the edge; `trimmed` says that a slanted cut
    across takes corners off these edges, so that a cross-section near an end may be short. `instead` holds the cuts
    that are offered in place of these, each with its marks by place.
    """

    board: Board
    axis: Axis
    outline: Polygon
    along: Fraction
    sheet: Fraction
    readings: tuple[Measured, ...]
    cuts: tuple[CutLine, ...]
    lines: tuple[Polyline, ...]
    lean: Polyline | None
    trimmed: bool
    instead: tuple[tuple[CutLine, Polyline], ...] = ()

    def size(self) -> Fraction:
        """The outline's extent in this direction."""
        return _extent(self.outline, 0 if self.axis is ACROSS else 1)

    def span(self, t: Fraction) -> tuple[Fraction, Fraction] | None:
        """Where the outline begins and ends at `t`."""
        return section(self.outline, t, 1 if self.axis is ACROSS else 0)

    def edges(self) -> tuple[Polyline, ...]:
        """The cut edges as the marks draw them, across by place, from the board's outermost near point."""
        if not self.lines:
            return ()
        first = self.lines[0]
        if len(self.lines) == 1 and self.cuts[0].edge is self.axis.far:
            return (first,)
        kept = max(point[0 if self.axis is ACROSS else 1] for point in self.outline)
        outermost = kept if len(self.lines) == 1 else max(v for _, v in first)
        near = tuple((t, outermost - v) for t, v in first)
        if len(self.lines) == 1:
            return (near,)
        return near, tuple((t, v + value_at(near, t)) for t, v in self.lines[1])

    def has_side(self, a: Point, b: Point) -> bool:
        """Whether some side of the outline lies on the line through two points `(place, across)`."""
        across, along = (0, 1) if self.axis is ACROSS else (1, 0)
        slope = (b[1] - a[1]) / (b[0] - a[0])
        on = [point[across] == a[1] + slope * (point[along] - a[0]) for point in self.outline]
        return any(one and other for one, other in zip(on, (*on[1:], on[0]), strict=True))

    def measure(self, t: Fraction) -> Fraction:
        """The board's measure at `t`, by the marks where the outline does not reach that place."""
        span = self.span(t)
        if self.lines and (self.trimmed or span is None):
            return value_at(self.lines[-1], t)
        return self.size() if span is None else span[1] - span[0]

    def open_at(self, edge: Edge, t: Fraction) -> Fraction:
        """What stays open at `edge`, with the board at its clearance on the other side."""
        reading = reading_at(self.readings, t)
        return reading - self.measure(t) - stand_off(self.board, OPPOSITE[edge]).inches


def hang(plan: CutPlan) -> tuple[Hung, Hung]:
    """The plan's widths and heights, ready to be looked at."""
    outline = tuple((point.x.inches, point.y.inches) for point in plan.outline)
    most = largest_bound(plan.board, ACROSS)
    down = _hang(plan, DOWN, outline, _extent(outline, 0) if most is None else most)
    high = max((v for _, v in down.edges()[1]), default=ZERO) if len(down.cuts) == 2 else _one_end(down)
    return _hang(plan, ACROSS, outline, high), down


def _one_end(down: Hung) -> Fraction:
    """How high the board is at most, where one end or none is cut."""
    marks = [mark.distance.inches for cut in down.cuts for mark in cut.marks]
    return max(marks) if marks else down.size()


def _extent(outline: Polygon, coordinate: int) -> Fraction:
    values = [point[coordinate] for point in outline]
    return max(values) - min(values)


def _hang(plan: CutPlan, axis: Axis, outline: Polygon, along: Fraction) -> Hung:
    other = DOWN if axis is ACROSS else ACROSS
    cuts, across = _cuts(plan, axis), _cuts(plan, other)
    readings = measured(plan.board, axis, along)
    sheet = across_and_down(plan.sheet, plan.lies)[0 if axis is ACROSS else 1]
    lean = leaning(plan.board, axis, axis.near, along) if len(cuts) == 2 else None
    trimmed = any(mark.distance != cut.marks[0].distance for cut in across for mark in cut.marks)
    lines = tuple(_line(axis, readings, along, cut) for cut in cuts)
    offered = tuple(cut for cut in plan.broken if cut.edge in {axis.near, axis.far})
    instead = tuple((cut, _line(axis, readings, along, cut)) for cut in offered)
    return Hung(plan.board, axis, outline, along, sheet, readings, cuts, lines, lean, trimmed, instead)


def _cuts(plan: CutPlan, axis: Axis) -> tuple[CutLine, ...]:
    return tuple(cut for cut in plan.cuts if cut.edge in {axis.near, axis.far})


def _line(axis: Axis, readings: tuple[Measured, ...], along: Fraction, cut: CutLine) -> Polyline:
    places = {one.at: one.t for one in readings}
    ends = {axis.start.value: ZERO, axis.end.value: along}
    found = ((ends.get(str(mark.at), places.get(mark.at)), mark.distance.inches) for mark in cut.marks)
    return tuple((t, v) for t, v in found if t is not None)
