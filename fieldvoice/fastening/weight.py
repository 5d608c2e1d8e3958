"""What a piece weighs, and who lifts it."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from math import ceil

from fieldvoice.fastening.lifting import Coupling, Duration, Lift, recommended_weight_limit
from fieldvoice.fastening.panels import Hole, Panel, Point, Polygon
from fieldvoice.fastening.rows import Table
from fieldvoice.fastening.rules import pounds_per_square_foot
from fieldvoice.fastening.sections import area, sides
from fieldvoice.records.fastening import Crew, Handling, Weight
from fieldvoice.records.length import Length
from fieldvoice.records.sources import Citation, Confidence

SQUARE_FOOT = 144

EQUATION = Citation(
    "NIOSH publication 94-110, one person's best case: 10 in from the ankles, no twist, poor grip, a lift in five "
    "minutes all day; so much for each of several is our own rule",
    Confidence.REPORTED,
)


def weigh(panel: Panel, table: Table) -> Weight:
    """Pounds of a piece and of its sheet, exactly, from the upper figures."""
    per, source = pounds_per_square_foot(panel.case, table)
    sheet = panel.sheet.width.inches * panel.sheet.length.inches
    return Weight(
        piece=area_less(panel.outline, panel.holes) * per / SQUARE_FOOT,
        lifted=area_less(panel.outline, (hole for hole in panel.holes if hole.beforehand)) * per / SQUARE_FOOT,
        sheet=sheet * per / SQUARE_FOOT,
        per_square_foot=per,
        source=source,
    )


def area_less(outline: Polygon, holes: Iterable[Hole]) -> Fraction:
    """Square inches of a polygon less its holes. Of holes that overlap the first is taken off, so that the figure is
    never too small.
    """
    taken: list[Hole] = []
    left = area(outline)
    for hole in holes:
        if not any(_overlap(hole, other) for other in taken):
            left -= area(_clipped(outline, hole))
            taken.append(hole)
    return left


def _overlap(one: Hole, other: Hole) -> bool:
    across = one.left < other.right and other.left < one.right
    return across and one.top < other.bottom and other.top < one.bottom


def _clipped(polygon: Polygon, hole: Hole) -> Polygon:
    """What of the polygon lies in the hole's box."""
    limits = ((0, hole.left, 1), (0, hole.right, -1), (1, hole.top, 1), (1, hole.bottom, -1))
    for axis, limit, sign in limits:
        polygon = tuple(_kept(polygon, axis, limit, sign))
        if not polygon:
            return ()
    return polygon


def _kept(polygon: Polygon, axis: int, limit: Fraction, sign: int) -> Iterable[Point]:
    """The polygon's corners on one side of a level or an upright line, with the places where it crosses."""
    for a, b in sides(polygon):
        over_a, over_b = sign * (a[axis] - limit), sign * (b[axis] - limit)
        if over_a >= 0:
            yield a
        if (over_a > 0 > over_b) or (over_a < 0 < over_b):
            t = over_a / (over_a - over_b)
            yield a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])


def carrying(weight: Weight) -> Handling:
    """Who takes the sheet to where it is cut. The equation doesn't cover carrying: this is the least that it asks."""
    return _handled(weight.sheet, Length(0))


def hanging(panel: Panel, weight: Weight) -> Handling:
    """Who lifts the board into its place."""
    if panel.case.location.overhead:
        return _outside(weight.lifted)
    return _handled(weight.lifted, panel.hangs_at)


def _handled(pounds: Fraction, height: Length) -> Handling:
    limit = one_person(height)
    if not limit:
        return _outside(pounds)
    people = ceil(pounds / limit)
    crew = {1: Crew.ONE, 2: Crew.TWO}.get(people, Crew.LIFT)
    return Handling(crew, people, pounds, limit, EQUATION)


def _outside(pounds: Fraction) -> Handling:
    """A lift that the equation has no figure for: with a lift, or by two at least and no fewer than it asks for low."""
    return Handling(Crew.LIFT, max(2, ceil(pounds / one_person(Length(0)))), pounds, None, EQUATION)


def one_person(height: Length) -> Fraction:
    """The most pounds that the equation recommends for one person who lifts a board's lower edge from 30 in to that
    height, everything else at its best but for the grip and the hours; 0 where the lift lies outside its limits.
    """
    hands = max(height.inches, Fraction(30))
    return recommended_weight_limit(
        Lift(
            horizontal=Fraction(10),
            vertical=hands,
            distance=max(hands - 30, Fraction(10)),
            duration=Duration.LONG,
            coupling=Coupling.POOR,
        )
    )
