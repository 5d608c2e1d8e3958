"""What published rules say a square foot of board takes, and how much is lost. They differ; both ends are kept."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from fieldvoice.records.sources import Citation, Confidence
from fieldvoice.records.takeoff import Measure, Waste


@dataclass(frozen=True, slots=True)
class Rate:
    """From the least to the most a square foot, with the source of either."""

    least: Fraction
    most: Fraction
    measure: Measure
    sources: tuple[Citation, Citation]


COMPOUND = Rate(
    Fraction(53, 1000),
    Fraction(14, 100),
    Measure.POUNDS,
    (
        Citation("a trade page on estimating: .053 lb a square foot", Confidence.REPORTED),
        Citation("a building page: 12 to 14 lb per 100 square feet", Confidence.REPORTED),
    ),
)
"""Pounds of compound. The two pages are 2.6 times apart: buy by what you know of your own finish."""

COMPOUND_READY_MIXED = Rate(
    Fraction(5, 1000),
    Fraction(11, 1000),
    Measure.GALLONS,
    (
        Citation("the least of several pages: 5 gal of ready-mixed per 1,000 square feet", Confidence.REPORTED),
        Citation("the most of several pages: 11 gal; 9 to 11 are credible", Confidence.REPORTED),
    ),
)
"""The same compound by the gallon, ready-mixed: another way to buy it, not more of it."""

WASTE = Waste(
    Fraction(10, 100), Fraction(15, 100), Citation("three trade pages: 10 to 15 percent", Confidence.REPORTED)
)
"""What is lost at work. Of sheets nothing is added, since their offcuts are planned."""

GEOMETRY = Citation("geometry: each joint belongs to two boards", Confidence.CALCULATED)
COUNTED = Citation("counted on the plan", Confidence.CALCULATED)

BEAD_WIDTH = Fraction(3, 8)
BEAD_OF_ADHESIVE = Citation(
    "NAVEDTRA 14044, page 164: a bead of 3/8 in on every member, two where boards meet", Confidence.SEEN
)

TUBE = Fraction(28) * Fraction(231, 128)
"""Cubic inches in a tube of 28 US fluid ounces, by definition 231/128 each (the size: common practice, no source)."""

ROUND = Fraction(22, 7)
"""Over pi, so that no tube is missing."""
