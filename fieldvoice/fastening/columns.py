"""The lines that fasteners stand in: along each framing member, and along each edge that lies on one."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from math import ceil, floor

from fieldvoice.fastening.panels import Hole, Panel, Point, Polygon
from fieldvoice.fastening.sections import Interval, common, free, sides, without
from fieldvoice.records.fastening import Schedule
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Edge

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
