"""What a drawing of a plan has to say in figures: each mark once, with the edge that the tape hooks on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from fieldvoice.records.length import Length
from fieldvoice.records.meaning import BoxKind, Edge, OpeningKind, Place, Slot
from fieldvoice.records.plan import CutLine, CutPlan, HoleMarks, Mark, Method, Offset, OpeningPlan

ZERO = Fraction(0)
Spot = tuple[Fraction, Fraction]
"""A place on the sheet in inches, x from the finished board's left and y down from its top."""
Polygon = tuple[Spot, ...]

UPRIGHT = frozenset({Edge.LEFT, Edge.RIGHT})
ROUND = frozenset({BoxKind.ROUND, OpeningKind.PIPE})
"""Openings that are drawn as circles."""


@dataclass(frozen=True, slots=True)
class MarkedDimension:
    """One mark: `value` from the edge `origin` at `hook` to `mark`. `where` is the place along a cut, None for an
    opening; `opening` names the opening it belongs to.
    """

    value: Length
    origin: Edge
    hook: Spot
    mark: Spot
    where: Place | None = None
    opening: str | None = None

    @property
    def across(self) -> bool:
        """Whether the tape lies level."""
        return self.origin in UPRIGHT


@dataclass(frozen=True, slots=True)
class Extent:
    """The sheet that the board is cut from, round the board."""

    left: Fraction
    top: Fraction
    right: Fraction
    bottom: Fraction

    def side(self, edge: Edge) -> Fraction:
        """Where that edge of the sheet lies."""
        sides = {Edge.LEFT: self.left, Edge.RIGHT: self.right, Edge.TOP: self.top, Edge.BOTTOM: self.bottom}
        return sides[edge]


def polygon(plan: CutPlan) -> Polygon:
    """The finished board."""
    return tuple((point.x.inches, point.y.inches) for point in plan.outline)


def waste(plan: CutPlan) -> tuple[Polygon, ...]:
    """What is cut off."""
    return tuple(tuple((point.x.inches, point.y.inches) for point in piece) for piece in plan.offcut)


def sheet(plan: CutPlan) -> Extent:
    """The whole sheet: the board and all that is cut off it."""
    every = [spot for piece in (polygon(plan), *waste(plan)) for spot in piece]
    xs, ys = [x for x, _ in every], [y for _, y in every]
    return Extent(min(xs), min(ys), max(xs), max(ys))


def by_center(opening: OpeningPlan) -> bool:
    """Whether an opening is marked by its center: a bit goes in there once the board hangs, and round things are bored.
    Every other one is drawn on the sheet by its sides.
    """
    return opening.method in {Method.ROUT, Method.COMPASS} or is_round(opening)


def is_round(opening: OpeningPlan) -> bool:
    """Whether it is drawn as a circle."""
    return opening.radius is not None or opening.kind in ROUND


def dimensions(plan: CutPlan) -> tuple[MarkedDimension, ...]:
    """Every mark of the plan once, cuts in their order first; what openings share is measured to the farthest."""
    openings: dict[tuple[Edge, Length, Fraction], MarkedDimension] = {}
    holes = {step.opening: step.hole for step in plan.steps if step.hole is not None}
    marked = ((opening, holes[opening.name]) for opening in plan.openings if opening.name in holes)
    for one in (one for opening, hole in marked for one in _of_opening(opening, hole)):
        across = one.across
        key = (one.origin, one.value, one.mark[0 if across else 1])
        other = openings.get(key)
        away = 1 if across else 0
        if other is None or other.mark[away] < one.mark[away]:
            openings[key] = one
    return (*_of_cuts(plan), *openings.values())


def cut_path(plan: CutPlan, edge: Edge) -> Polygon:
    """The line that a cut makes, as the finished board has it: its corners that face that edge."""
    corners = polygon(plan)
    sides = [(a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True) if _facing(a, b) is edge]
    along = 1 if edge in UPRIGHT else 0
    return tuple(sorted({spot for side in sides for spot in side}, key=lambda spot: spot[along]))


def _facing(a: Spot, b: Spot) -> Edge:
    """Which edge a side of the outline belongs to, the corners running clockwise from the top left."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    if abs(dx) >= abs(dy):
        return Edge.TOP if dx > 0 else Edge.BOTTOM
    return Edge.RIGHT if dy > 0 else Edge.LEFT


def _of_cuts(plan: CutPlan) -> Iterator[MarkedDimension]:
    made: set[Edge] = set()
    for cut in plan.cuts:
        yield from _of_cut(plan, cut, made)
        made.add(cut.edge)


def _of_cut(plan: CutPlan, cut: CutLine, made: set[Edge]) -> Iterator[MarkedDimension]:
    level = cut.same_all_along
    for mark in cut.distinct:
        along = _along(plan, cut.edge, mark, made)
        start = _edge_at(plan, cut.origin, along, made)
        end = start + mark.distance.inches * (1 if cut.origin in {Edge.LEFT, Edge.TOP} else -1)
        hook, spot = ((start, along), (end, along)) if cut.origin in UPRIGHT else ((along, start), (along, end))
        yield MarkedDimension(mark.distance, cut.origin, hook, spot, None if level else mark.at)


def _along(plan: CutPlan, edge: Edge, mark: Mark, made: set[Edge]) -> Fraction:
    """Where along an edge a mark is, from the finished board's top or left."""
    values = [spot[1 if edge in UPRIGHT else 0] for spot in polygon(plan)]
    least, most = min(values), max(values)
    if mark.start is not None:
        first = mark.start in {Edge.TOP, Edge.LEFT}
        base = (least if first else most) if mark.start in made else sheet(plan).side(mark.start)
        return base + mark.along.inches * (1 if first else -1)
    if isinstance(mark.at, Length):
        return mark.at.inches
    return {Slot.MIDDLE: most / 2, Slot.BOTTOM: most, Slot.RIGHT: most}.get(mark.at, ZERO)


def _edge_at(plan: CutPlan, edge: Edge, along: Fraction, made: set[Edge]) -> Fraction:
    """Where the tape hooks on: the edge of the sheet, or of the board once it is cut."""
    if edge not in made:
        return sheet(plan).side(edge)
    path = cut_path(plan, edge)
    t, v = (1, 0) if edge in UPRIGHT else (0, 1)
    if not path:
        return sheet(plan).side(edge)
    for a, b in pairwise(path):
        if a[t] <= along <= b[t] and a[t] != b[t]:
            return a[v] + (b[v] - a[v]) * (along - a[t]) / (b[t] - a[t])
    return (path[0] if along < path[0][t] else path[-1])[v]


def _of_opening(opening: OpeningPlan, hole: HoleMarks) -> Iterator[MarkedDimension]:
    """The marks that are put on the sheet for an opening, its corners being where they are."""
    xs, ys = [p.x.inches for p in opening.corners], [p.y.inches for p in opening.corners]
    ends = {Edge.LEFT: min(xs), Edge.RIGHT: max(xs), Edge.TOP: min(ys), Edge.BOTTOM: max(ys)}
    sides = dict(hole.sides)
    middle = tuple(
        _center(one, sides, ends, pair) for one, pair in zip(hole.center or (None, None), _PAIRS, strict=True)
    )
    if by_center(opening) and hole.center is not None:
        offsets = list(zip(hole.center, middle, strict=True))
    else:
        offsets = [(offset, ends[edge]) for edge, offset in hole.sides]
    for offset, at in offsets:
        edge = offset.hook.edge
        hook = at - offset.distance.inches * (1 if edge in {Edge.LEFT, Edge.TOP} else -1)
        x, y = middle
        start, mark = ((hook, y), (at, y)) if edge in UPRIGHT else ((x, hook), (x, at))
        yield MarkedDimension(offset.distance, edge, start, mark, None, opening.name)


_PAIRS = ((Edge.LEFT, Edge.RIGHT), (Edge.TOP, Edge.BOTTOM))


def _center(
    center: Offset | None, sides: dict[Edge, Offset], ends: dict[Edge, Fraction], pair: tuple[Edge, Edge]
) -> Fraction:
    """Where the center lies: as far from a marked side as the two differ, else halfway."""
    for edge in pair:
        side = sides.get(edge)
        if center is not None and side is not None and side.hook is center.hook:
            way = 1 if center.hook.edge in {Edge.LEFT, Edge.TOP} else -1
            return ends[edge] + way * (center.distance - side.distance).inches
    return (ends[pair[0]] + ends[pair[1]]) / 2
