"""What a piece weighs, and who lifts it, by the revised lifting equation of NIOSH (publication 94-110), in exact
numbers.

The equation answers for one person's two-handed lifts in place. It doesn't cover carrying, one-handed or seated lifts,
loads that shift, slippery floors or two people at one load; what lies outside its limits has no recommended weight
here.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from math import ceil

from fieldvoice.fastening.panels import Hole, Panel, Point, Polygon, area, sides
from fieldvoice.fastening.rules import pounds_per_square_foot
from fieldvoice.fastening.table import Table
from fieldvoice.records.fastening import Citation, Confidence, Crew, Handling, Weight
from fieldvoice.records.length import Length

ZERO, ONE = Fraction(0), Fraction(1)


class Coupling(StrEnum):
    """How well hands hold the load."""

    GOOD = "good"
    FAIR = "fair"
    POOR = "poor"


class Duration(StrEnum):
    """How long a day of lifting goes on, with rest between as the publication has it."""

    SHORT = "an hour"
    MODERATE = "two hours"
    LONG = "eight hours"


LOAD = 51
"""Pounds: the load constant."""
REACH, REACH_MOST = Fraction(10), 25
HANDS, HANDS_MOST, HANDS_SLOPE = 30, 70, Fraction(75, 10_000)
TRAVEL, TRAVEL_MOST, TRAVEL_SHARE = Fraction(10), 70, Fraction(18, 10)
"""Constants of 94-110 in inches, by three pages that transcribe it."""


@dataclass(frozen=True, slots=True)
class Lift:
    """One lift in inches: `horizontal` from the ankles to the hands, `vertical` the height of the hands,
    `distance` how far up or down, `degrees` off the front, `per_minute` how often.
    """

    horizontal: Fraction
    vertical: Fraction
    distance: Fraction
    degrees: Fraction = ZERO
    per_minute: Fraction = Fraction(1, 5)
    duration: Duration = Duration.SHORT
    coupling: Coupling = Coupling.GOOD


@dataclass(frozen=True, slots=True)
class Multipliers:
    """The six factors, each from 0 to 1."""

    horizontal: Fraction
    vertical: Fraction
    distance: Fraction
    asymmetry: Fraction
    frequency: Fraction
    coupling: Fraction

    def product(self) -> Fraction:
        """All six together."""
        return self.horizontal * self.vertical * self.distance * self.asymmetry * self.frequency * self.coupling


_FREQUENCIES = (Fraction(1, 5), Fraction(1, 2), *map(Fraction, range(1, 16)))
_TABLE_5 = {
    Duration.SHORT: "1.00 .97 .94 .91 .88 .84 .80 .75 .70 .60 .52 .45 .41 .37 .34 .31 .28",
    Duration.MODERATE: ".95 .92 .88 .84 .79 .72 .60 .50 .42 .35 .30 .26 .23 .21 0 0 0",
    Duration.LONG: ".85 .81 .75 .65 .55 .45 .35 .27 .22 .18 .15 .13 0 0 0 0 0",
}
_LOW_ENDS = {Duration.SHORT: 12, Duration.MODERATE: 10, Duration.LONG: 8}
"""Table 5 by lifts a minute, and the most of them with the hands lower than 30 in. The hour's column by public copies;
of two hours the first five; all else from memory (high)."""

_GRIPS = {Coupling.GOOD: (ONE, ONE), Coupling.FAIR: (Fraction(95, 100), ONE), Coupling.POOR: (Fraction(9, 10),) * 2}
"""Table 7, hands below and from 30 in on: from memory (high), and the examples agree."""


def multipliers(lift: Lift) -> Multipliers:
    """The six factors of a lift; 0 where it lies outside the equation's limits."""
    low = lift.vertical < HANDS
    return Multipliers(
        horizontal=_within(lift.horizontal, REACH_MOST) * REACH / max(lift.horizontal, REACH),
        vertical=_within(lift.vertical, HANDS_MOST) * (1 - HANDS_SLOPE * abs(lift.vertical - HANDS)),
        distance=_within(lift.distance, TRAVEL_MOST) * (Fraction(82, 100) + TRAVEL_SHARE / max(lift.distance, TRAVEL)),
        asymmetry=_within(lift.degrees, 135) * (1 - Fraction(32, 10_000) * lift.degrees),
        frequency=_frequency(lift, low=low),
        coupling=_GRIPS[lift.coupling][0 if low else 1],
    )


def _within(value: Fraction, most: int) -> int:
    return 1 if 0 <= value <= most else 0


def _frequency(lift: Lift, *, low: bool) -> Fraction:
    """Table 5 at the next listed frequency up, so that what is between two rows is never taken too lightly."""
    listed = next((one for one in _FREQUENCIES if lift.per_minute <= one), None)
    if listed is None or (low and listed > _LOW_ENDS[lift.duration]):
        return ZERO
    return Fraction(_TABLE_5[lift.duration].split()[_FREQUENCIES.index(listed)])


def recommended_weight_limit(lift: Lift) -> Fraction:
    """The pounds that nearly all healthy workers can lift so over a shift, exactly; 0 outside the equation's limits."""
    return LOAD * multipliers(lift).product()


SQUARE_FOOT = 144

EQUATION = Citation(
    "NIOSH publication 94-110, one person's best case: 10 in from the ankles, no twist, poor grip, a lift in five "
    "minutes all day; so much for each of several is our own rule",
    Confidence.REPORTED,
)


LIGHT = 10
"""Pounds that one hand holds up while the other drives a screw (common practice, no source)."""

PRACTICE = Citation("what one hand holds up", Confidence.PRACTICE)


def weigh(panel: Panel, table: Table) -> Weight:
    """Pounds of a piece and of its sheet, exactly, from the upper figures."""
    per, source = pounds_per_square_foot(panel.case, table)
    sheet = panel.sheet.width.inches * panel.sheet.length.inches
    return Weight(
        piece=area_less(panel.outline, panel.holes) * per / SQUARE_FOOT,
        lifted=area_less(panel.outline, (hole for hole in panel.holes if hole.beforehand)) * per / SQUARE_FOOT,
        sheet=sheet * per / SQUARE_FOOT,
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
    """A lift that the equation has no figure for: with a lift, or by two at least and no fewer than it asks for low. A
    small piece one person holds there with one hand.
    """
    if pounds <= LIGHT:
        return Handling(Crew.ONE, 1, pounds, None, PRACTICE)
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
