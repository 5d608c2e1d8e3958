"""What a job takes, and in which order it is done: quantities with their rule and source, and lists to tick."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction

from fieldvoice.records.board import Sheet
from fieldvoice.records.fastening import Citation, Fastener, Grip
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.room import SurfaceName


class Supply(StrEnum):
    """What is bought."""

    SHEETS = "sheets"
    FASTENERS = "fasteners"
    TAPE = "tape"
    COMPOUND = "compound"
    BEAD = "corner bead"
    ADHESIVE = "adhesive"


class Measure(StrEnum):
    """What a quantity is counted in."""

    PIECES = "pieces"
    FEET = "ft"
    POUNDS = "lb"
    GALLONS = "gal"
    TUBES = "tubes"
    METERS = "m"
    KILOGRAMS = "kg"
    LITERS = "L"


KILOGRAMS = Fraction(45359237, 100_000_000)
"""In a pound, exactly (the international pound)."""

METRIC: dict[Measure, tuple[Measure, Fraction]] = {
    Measure.FEET: (Measure.METERS, Fraction(3048, 10_000)),
    Measure.POUNDS: (Measure.KILOGRAMS, KILOGRAMS),
    Measure.GALLONS: (Measure.LITERS, Fraction(3_785_411_784, 10**9)),
}
"""What a crew buys by that works in millimeters; all exact, the gallon being 231 cubic inches."""


class Rule(StrEnum):
    """How a quantity is worked out."""

    PATTERNS = "patterns"
    SPOTS = "spots"
    JOINTS = "joints"
    EDGES = "edges"
    CORNERS = "corners"
    AREA = "area"
    ROWS = "rows"


@dataclass(frozen=True, slots=True)
class Article:
    """Which sheet or fastener it is; empty for what comes in one kind."""

    sheet: Sheet | None = None
    fastener: Fastener | None = None
    grip: Grip | None = None
    length: Length | None = None


@dataclass(frozen=True, slots=True)
class Waste:
    """What is lost at work, as shares of a quantity, from the least to the most that is printed."""

    least: Fraction
    most: Fraction
    source: Citation


@dataclass(frozen=True, slots=True)
class Quantity:
    """How much of something, without waste, from `least` to `most`; the two are one where it is exact. `sources` are
    those of the least and of the most.
    """

    supply: Supply
    least: Fraction
    most: Fraction
    measure: Measure
    rule: Rule
    sources: tuple[Citation, ...]
    kind: Article = Article()
    waste: Waste | None = None

    def in_units_of(self, unit: Unit) -> Quantity:
        """As a crew buys it that measures in that unit."""
        if unit is Unit.INCH or self.measure not in METRIC:
            return self
        measure, factor = METRIC[self.measure]
        return replace(self, least=self.least * factor, most=self.most * factor, measure=measure)

    @property
    def to_buy(self) -> int:
        """Whole units that are enough at the most, with the most waste."""
        return -int(-(self.most * (1 + (self.waste.most if self.waste else 0))) // 1)


class Phase(StrEnum):
    """When in the job a task stands."""

    BEFORE = "before covering"
    HANGING = "hanging"
    AFTER = "after hanging"


class Task(StrEnum):
    """One thing to tick."""

    PHOTOGRAPH = "photograph"
    MARK_FRAMING = "mark framing"
    SET_OUT_BOXES = "set out boxes"
    INSULATE = "insulate"
    HAVE_INSPECTED = "have inspected"
    HANG_CEILING = "hang ceiling"
    HANG_UPPER = "hang upper course"
    HANG_LOWER = "hang lower course"
    HANG_COURSE = "hang a course"
    CHECK_DEPTH = "check depth of fasteners"
    CHECK_GAPS = "check gaps at joints"
    CHECK_BOX_GAP = "check gaps at boxes"
    CHECK_SET_BACK = "check set-back of boxes"


@dataclass(frozen=True, slots=True)
class WorkItem:
    """A task with the surface and the pieces that it is about, the figure that it keeps to, and who says so."""

    phase: Phase
    task: Task
    source: Citation
    surface: SurfaceName | None = None
    pieces: tuple[int, ...] = ()
    limit: Length | None = None
