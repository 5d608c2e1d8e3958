"""One board's fastening, from its panel or its cut plan: the lines that fasteners stand in, along each framing member
and along each edge that lies on one; where on them each fastener goes, in which order they are driven, and where the
framing is marked on the board. Exact distances are compared fast in whole numbers of one small unit.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil, floor, isqrt, lcm

from fieldvoice.fastening.panels import (
    Hole,
    Interval,
    Panel,
    Point,
    Polygon,
    common,
    free,
    panel_of,
    section,
    sides,
    turned,
    without,
)
from fieldvoice.fastening.rules import schedule
from fieldvoice.fastening.table import Table, built_in
from fieldvoice.fastening.weight import carrying, hanging, weigh
from fieldvoice.records.fastening import FasteningPlan, FramingMark, Handling, Schedule, Spot, Stage
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Edge
from fieldvoice.records.plan import CutPlan

AIM = Length("1/2")
"""Where fasteners are set from an edge that has its member to itself: the far end of the 3/8 to 1/2 in of a board
maker's guide, so that a hand's slip stays over the least. At a joint two boards share a member, and the least leaves
both the middle of their half."""

HALF = Length("5/8")
"""What of a joint's half of a member carries a fastener: that of a steel stud's flange of 1 1/4 in."""

UPRIGHT = Fraction(1, 16)
"""The most that an edge may lean and still lie along a member: over five times the 3/8 in in 32 that NAHB 4-1-1 takes
for plumb (our own rule)."""


@dataclass(frozen=True, slots=True)
class Column:
    """A line of fasteners: `x` at height 0 and its `lean` an inch down, with the heights where they may sit. `inward`
    is the way that leads away from its edge, 1 to the right, -1 to the left, 0 where it stands at no edge.
    """

    x: Fraction
    lean: Fraction
    free: tuple[Interval, ...]
    along_edge: bool
    inward: int = 0

    def at(self, y: Fraction, step: Fraction) -> Fraction:
        """Where the line is at that height; where it leans, on the next mark away from its edge."""
        exact = self.x + self.lean * y
        if not self.lean:
            return exact
        return (ceil(exact / step) if self.inward == 1 else floor(exact / step)) * step


@dataclass(frozen=True, slots=True)
class Side:
    """An upright side of the piece from `a` down to `b`; `inward` is 1 where the piece lies right of it, else -1."""

    a: Point
    b: Point
    inward: int

    @property
    def lean(self) -> Fraction:
        """How far it goes right an inch down."""
        return (self.b[0] - self.a[0]) / (self.b[1] - self.a[1])

    @property
    def xs(self) -> Interval:
        """Its leftmost and rightmost place."""
        return min(self.a[0], self.b[0]), max(self.a[0], self.b[0])


def aim(schedule: Schedule, step: Length) -> Fraction:
    """How far from an edge fasteners are set: never less than the least, and on a mark of the tape."""
    least, most = schedule.edge_distance.value, schedule.edge_distance_most
    aimed = max(least, AIM if most is None else min(AIM, most.value)).rounded_down(step)
    return aimed.inches if aimed >= least else least_off(schedule, step)


def least_off(schedule: Schedule, step: Length) -> Fraction:
    """The least from an edge, on the next mark of the tape; exactly, where that mark is off the half of a member that
    a board has at a joint.
    """
    least = schedule.edge_distance.value
    marked = least.rounded_up(step)
    return (marked if marked < HALF else least).inches


def upright_sides(polygon: Polygon) -> Iterator[Side]:
    """The sides that may lie along a member that runs up."""
    turn = sum(a[0] * b[1] - b[0] * a[1] for a, b in sides(polygon))
    for a, b in sides(polygon):
        drop = b[1] - a[1]
        if drop and abs(b[0] - a[0]) <= UPRIGHT * abs(drop):
            inward = 1 if (drop < 0) is (turn > 0) else -1
            yield Side(a, b, inward) if drop > 0 else Side(b, a, inward)


def columns(panel: Panel, schedule: Schedule) -> Iterator[Column]:
    """Every line of fasteners of a piece whose framing runs up."""
    uprights = tuple(upright_sides(panel.outline))
    for side in uprights:
        yield _along_side(panel, schedule, side)
    yield from _along_framed_holes(panel, aim(schedule, panel.step))
    width = panel.member_width
    for center in panel.members:
        heights = free(
            panel.outline, _kept_clear(panel, aim(schedule, panel.step)), (center, center), aim(schedule, panel.step)
        )
        for side in uprights:
            if side.xs[0] - width < center < side.xs[1] + width:
                heights = without(heights, side.a[1], side.b[1])
        yield Column(center, Fraction(0), tuple(heights), along_edge=False)


def _kept_clear(panel: Panel, distance: Fraction) -> tuple[Hole, ...]:
    """The holes as a member between edges sees them: beside a framed one its own column stands."""
    more = max(panel.member_width - distance, Fraction(0))
    return tuple(
        replace(hole, left=hole.left - more, right=hole.right + more) if hole.framed else hole for hole in panel.holes
    )


def _along_side(panel: Panel, schedule: Schedule, side: Side) -> Column:
    """The column along an edge: the piece is leaned over until the edge is upright, and every distance grows by as much
    as leaning back may take off it.
    """
    lean, grown = side.lean, 1 + abs(side.lean)
    edge = Edge.LEFT if side.inward == 1 else Edge.RIGHT
    off = least_off(schedule, panel.step) if edge in panel.joints else aim(schedule, panel.step)
    x = side.a[0] - lean * side.a[1]
    outline = tuple((px - lean * py - x, py) for px, py in panel.outline)
    holes = tuple(_leaned(hole, lean, x) for hole in panel.holes)
    place = off * grown * side.inward
    slip = panel.step.inches if lean else Fraction(0)
    heights = free(outline, holes, (place, place), aim(schedule, panel.step) * grown + slip)
    heights = common(heights, [(side.a[1], side.b[1])])
    return Column(x + place, lean, tuple(heights), along_edge=True, inward=side.inward)


def _leaned(hole: Hole, lean: Fraction, x: Fraction) -> Hole:
    offs = (lean * hole.top, lean * hole.bottom)
    return Hole(hole.left - max(offs) - x, hole.right - min(offs) - x, hole.top, hole.bottom)


def _along_framed_holes(panel: Panel, distance: Fraction) -> Iterator[Column]:
    """Beside windows and doors: their upright sides are framing."""
    for hole in panel.holes:
        if not hole.framed:
            continue
        for x in (hole.left - distance, hole.right + distance):
            least, most = min(px for px, _ in panel.outline), max(px for px, _ in panel.outline)
            if not least + panel.member_width < x < most - panel.member_width:
                continue
            heights = common(free(panel.outline, panel.holes, (x, x), distance), [(hole.top, hole.bottom)])
            yield Column(x, Fraction(0), tuple(heights), along_edge=True)


Whole = tuple[int, int]


@dataclass(frozen=True, slots=True)
class WholePanel:
    """`scale` units make an inch, so many that every side, opening and fastener is a whole number of them."""

    scale: int
    sides: tuple[tuple[Whole, Whole], ...]
    holes: tuple[tuple[int, int, int, int], ...]

    def point(self, point: Point) -> Whole:
        """A point in whole units."""
        return self.units(point[0]), self.units(point[1])

    def units(self, inches: Fraction) -> int:
        """A length in whole units."""
        return inches.numerator * (self.scale // inches.denominator)

    def clear(self, point: Whole, least: Fraction) -> bool:
        """Whether every side and every opening is that far off, measured straight."""
        squared = self.units(least) ** 2
        return all(reaches(point, a, b, squared) for a, b in self.sides) and self.off_holes(point) >= squared

    def off_holes(self, point: Whole) -> int:
        """The square of the distance to the nearest opening; 0 inside it, and very far where there is none."""
        x, y = point
        found = [
            max(left - x, x - right, 0) ** 2 + max(top - y, y - bottom, 0) ** 2
            for left, right, top, bottom in self.holes
        ]
        return min(found, default=(self.scale * 100_000) ** 2)


def grid_of(panel: Panel, points: Iterable[Point], least: Fraction) -> WholePanel:
    """The coarsest grid that holds a piece and its fasteners exactly."""
    inches = {least}
    inches.update(value for point in (*panel.outline, *points) for value in point)
    inches.update(value for hole in panel.holes for value in (hole.left, hole.right, hole.top, hole.bottom))
    bare = WholePanel(lcm(*(value.denominator for value in inches)), (), ())
    return WholePanel(
        bare.scale,
        tuple((bare.point(a), bare.point(b)) for a, b in sides(panel.outline)),
        tuple(
            (bare.units(hole.left), bare.units(hole.right), bare.units(hole.top), bare.units(hole.bottom))
            for hole in panel.holes
        ),
    )


def reaches(point: Whole, a: Whole, b: Whole, squared: int) -> bool:
    """Whether the square of the distance from a point to a side is at least that."""
    dx, dy, px, py = b[0] - a[0], b[1] - a[1], point[0] - a[0], point[1] - a[1]
    along, long = px * dx + py * dy, dx * dx + dy * dy
    if along <= 0:
        return px * px + py * py >= squared
    if along >= long:
        return apart(point, b) >= squared
    return (px * dy - py * dx) ** 2 >= squared * long


def apart(one: Whole, other: Whole) -> int:
    """The square of the distance between two points."""
    return (one[0] - other[0]) ** 2 + (one[1] - other[1]) ** 2


FEW = 6
"""How many hold a board until its boxes are cut (few, by common practice; six is our own rule, no source)."""

AWAY = (Length(12), Length(6))
"""How far from every opening these are; the nearer only where no fastener is that far (well away, by common practice;
the figures are our own, no source)."""

SHORT = Length(2)
"""A stretch no longer than this takes one fastener (our own rule, no source)."""


def spots(panel: Panel, schedule: Schedule) -> tuple[Spot, ...]:
    """Every fastener in the order to drive them: a few well away from openings, then the rest from the middle outwards
    (so the trade and, from memory, GA-216), then the second nails where nails are doubled.
    """
    if panel.across:
        return tuple(Spot(spot.y, spot.x, spot.along_edge, spot.stage) for spot in spots(turned(panel), schedule))
    least = schedule.edge_distance.value.inches
    planned: dict[Point, bool] = {}
    seconds: dict[Point, Point] = {}
    for column in columns(panel, schedule):
        most = (schedule.edge if column.along_edge else schedule.field).value
        for interval in column.free:
            heights = _spread(interval, most.rounded_down(panel.step).inches or most.inches, panel.step.inches)
            places = [(column.at(y, panel.step.inches), y) for y in heights]
            for place in places:
                planned.setdefault(place, column.along_edge)
            if schedule.pair is not None and not column.along_edge:
                off = schedule.pair.value.rounded_up(panel.step).inches
                seconds |= {(x, y): (x, y + off) for x, y in places[1:-1]}  # the rim keeps single nails
    grid = grid_of(panel, [*planned, *seconds.values()], least)
    whole = {grid.point(point): point for point in planned}
    firsts = tuple(
        Spot(Length(whole[one][0]), Length(whole[one][1]), planned[whole[one]], stage)
        for stage, ones in _ordered(grid, [one for one in whole if grid.clear(one, least)])
        for one in ones
    )
    beside = [found for one in firsts if (found := seconds.get((one.x.inches, one.y.inches))) is not None]
    return (*firsts, *(Spot(Length(x), Length(y), along_edge=False, stage=Stage.SECOND) for x, y in beside))


def _spread(interval: Interval, most: Fraction, step: Fraction) -> Iterator[Fraction]:
    """Even, at both ends of the stretch and no farther apart than `most`, all on marks of the tape."""
    start = ceil(interval[0] / step) * step
    marks = floor((interval[1] - start) / step)
    if marks < 0:
        return
    if marks * step <= SHORT.inches:
        yield start + marks // 2 * step
        return
    gaps = ceil(marks * step / most)
    yield from (start + marks * number // gaps * step for number in range(gaps + 1))


def _ordered(grid: WholePanel, points: list[Whole]) -> tuple[tuple[Stage, list[Whole]], ...]:
    xs, ys = zip(*(a for a, _ in grid.sides), strict=True)
    twice_middle = min(xs) + max(xs), min(ys) + max(ys)
    first = _first(grid, points, (min(xs), min(ys)))
    rest = [point for point in points if point not in first]
    rest.sort(key=lambda point: (apart((2 * point[0], 2 * point[1]), twice_middle), point))
    return (Stage.FIRST, first), (Stage.REST, rest)


def _first(grid: WholePanel, points: list[Whole], corner: Whole) -> list[Whole]:
    """A few that hold the board: the one nearest a corner, then each the one farthest from those before it."""
    far = _far_from_openings(grid, points)
    if not far:
        return []
    chosen = [min(far, key=lambda point: (apart(point, corner), point))]
    off = {point: apart(point, chosen[0]) for point in far}
    while len(chosen) < min(FEW, len(far)):
        best = max(off, key=lambda point: (off[point], point))
        chosen.append(best)
        off = {point: min(before, apart(point, best)) for point, before in off.items()}
    return chosen


def _far_from_openings(grid: WholePanel, points: list[Whole]) -> list[Whole]:
    for away in AWAY:
        far = [point for point in points if grid.off_holes(point) >= (away.inches.numerator * grid.scale) ** 2]
        if far:
            return far
    return []


def fasten(panel: Panel, table: Table | None = None) -> FasteningPlan:
    """How a piece is fastened and lifted, by the shipped table or another. Raises NoRule where that doesn't say."""
    table = table or built_in()
    asked = schedule(panel.case, table)
    weight = weigh(panel, table)
    return FasteningPlan(
        schedule=asked,
        spots=spots(panel, asked),
        marks=framing_marks(panel),
        framing_called=panel.called,
        off_framing=off_framing(panel, asked),
        weight=weight,
        carrying=carrying(weight),
        hanging=hanging(panel, weight),
    )


def handling(plan: CutPlan, table: Table | None = None) -> tuple[Handling, Handling]:
    """Who carries the sheet of a cut plan, and who hangs its board."""
    table = table or built_in()
    panel = panel_of(plan, Length(0), table.choice)
    weight = weigh(panel, table)
    return carrying(weight), hanging(panel, weight)


def fasten_plan(plan: CutPlan, off: Length, table: Table | None = None) -> FasteningPlan:
    """How the board of a cut plan is fastened; `off` is how far it stands off the neighbor from which its framing
    is measured. Raises NoRule where the table doesn't say.
    """
    table = table or built_in()
    return fasten(panel_of(plan, off, table.choice), table)


_FLIPPED = {Edge.LEFT: Edge.TOP, Edge.RIGHT: Edge.BOTTOM}


def framing_marks(panel: Panel) -> tuple[FramingMark, ...]:
    """A mark at each end of every member behind the piece, measured along that edge from its left corner (its top one
    where members run across), to the nearest mark of a tape.
    """
    ends = (Edge.LEFT, Edge.RIGHT) if panel.across else (Edge.TOP, Edge.BOTTOM)
    upright = turned(panel) if panel.across else panel
    xs = [x for x, _ in upright.outline]
    inside = sorted(center for center in upright.members if min(xs) < center < max(xs))
    return tuple(FramingMark(ends, _ends(upright, center)) for center in inside)


def _ends(panel: Panel, center: Fraction) -> tuple[Length | None, Length | None]:
    pieces = section(panel.outline, center, right=False)
    return _mark(panel, (center, pieces[0][0])), _mark(panel, (center, pieces[-1][1]))


def _mark(panel: Panel, at: Point) -> Length | None:
    """How far along its edge a point is from the left: where the edge slopes a tape lies along it."""
    if any(hole.left <= at[0] <= hole.right and hole.top <= at[1] <= hole.bottom for hole in panel.holes):
        return None
    run = [(a, b) for a, b in map(sorted, sides(panel.outline)) if a[0] < b[0]]
    start = next(a for a, b in run if a[0] < at[0] <= b[0] and _on(at, a, b))
    far = _distance(start, at)
    while before := next((a for a, b in run if b == start and abs(b[1] - a[1]) <= b[0] - a[0]), None):
        far += _distance(before, start)
        start = before
    return Length(far).rounded(panel.step)


def _on(at: Point, a: Point, b: Point) -> bool:
    return (at[1] - a[1]) * (b[0] - a[0]) == (b[1] - a[1]) * (at[0] - a[0])


def _distance(a: Point, b: Point) -> Fraction:
    """Exact where the line is level, else by less than a millionth of an inch too short."""
    across, down = b[0] - a[0], b[1] - a[1]
    if not down:
        return abs(across)
    return Fraction(isqrt(int((across * across + down * down) * 10**12)), 10**6)


def off_framing(panel: Panel, schedule: Schedule) -> tuple[Edge, ...]:
    """The joints whose fasteners would miss every member, where the members' places were called: a joint is on a member
    when both boards can be fastened to it at their least distance from the edge.
    """
    if not panel.called:
        return ()
    if panel.across:
        return tuple(_FLIPPED[edge] for edge in off_framing(turned(panel), schedule))
    reach = panel.member_width / 2 - schedule.edge_distance.value.inches
    off = {
        Edge.LEFT if side.inward == 1 else Edge.RIGHT
        for side in upright_sides(panel.outline)
        if not any(all(abs(x - center) <= reach for x in side.xs) for center in panel.members)
    }
    return tuple(edge for edge in (Edge.LEFT, Edge.RIGHT) if edge in off & panel.joints)
