"""What a planned room, or some boards by themselves, take. Published rules differ in what a square foot takes and
how much is lost; both ends are kept.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from fieldvoice.fastening.columns import columns
from fieldvoice.fastening.panels import Panel, panel_of, panel_of_piece, turned
from fieldvoice.fastening.plans import fasten
from fieldvoice.fastening.rows import Table
from fieldvoice.fastening.weight import area_less
from fieldvoice.records.board import Sheet
from fieldvoice.records.fastening import FasteningPlan, Schedule
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Neighbor
from fieldvoice.records.plan import CutPlan
from fieldvoice.records.room_plan import PieceName, RoomPlan
from fieldvoice.records.sources import Citation, Confidence
from fieldvoice.records.takeoff import Article, Measure, Quantity, Rule, Supply, Waste
from fieldvoice.takeoff import lengths


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


FOOT, SQUARE_FOOT = 12, 144
_ONE_KIND = Article()


@dataclass(frozen=True, slots=True)
class FastenedPiece:
    """A piece of a planned room with its fastening."""

    name: PieceName
    panel: Panel
    fastening: FasteningPlan


def fasten_room(plan: RoomPlan, table: Table) -> tuple[FastenedPiece, ...]:
    """Every piece of a room's plan on its framing. Raises NoRule where the table doesn't say."""
    found = []
    for surface in plan.surfaces:
        for piece in surface.pieces:
            panel = panel_of_piece(piece, surface.surface, plan.unit, table.choice)
            found.append(FastenedPiece(piece.name, panel, fasten(panel, table)))
    return tuple(found)


def take_off_room(plan: RoomPlan, pieces: Sequence[FastenedPiece]) -> tuple[Quantity, ...]:
    """What a planned room or house takes; `pieces` is its fastening."""
    area = sum((lengths.net_area(one.surface) for one in plan.surfaces), Fraction(0)) / SQUARE_FOOT
    joints = sum((lengths.joint_inches(one) for one in plan.surfaces), Fraction(0))
    taped = (joints + lengths.corner_inches(plan)) / FOOT
    found = (
        *_sheets({one.sheet: one.count for one in plan.sheets}),
        *_fasteners((piece.fastening.schedule, piece.fastening.count) for piece in pieces),
        *_tape(taped, taped, Rule.JOINTS),
        *_compound(area),
        *_bead(lengths.outside_corner_inches(plan) / FOOT),
        *_adhesive((piece.panel, piece.fastening.schedule) for piece in pieces),
    )
    return tuple(one.in_units_of(plan.unit) for one in found)


def take_off_boards(plans: Sequence[CutPlan], table: Table) -> tuple[Quantity, ...]:
    """What boards take that were called by themselves, a sheet each but for those from offcuts. Which of their joints
    and corners are shared isn't known, so those run from half of all edges to all of them. Raises NoRule where the
    table doesn't say.
    """
    panels = [panel_of(plan, Length(0), table.choice) for plan in plans]
    fastened = [fasten(panel, table) for panel in panels]
    area = sum((area_less(panel.outline, panel.holes) for panel in panels), Fraction(0)) / SQUARE_FOOT
    taped = lengths.edges_at(plans, frozenset({Neighbor.BOARD, *lengths.CORNER})) / FOOT
    found = (
        *_sheets(Counter(plan.sheet for plan in plans if plan.from_offcut is None)),
        *_fasteners((one.schedule, one.count) for one in fastened),
        *_tape(taped / 2, taped, Rule.EDGES),
        *_compound(area),
        *_bead(lengths.edges_at(plans, frozenset({Neighbor.OUTSIDE_CORNER})) / FOOT),
        *_adhesive((panel, one.schedule) for panel, one in zip(panels, fastened, strict=True)),
    )
    return tuple(one.in_units_of(plans[0].board.unit) for one in found) if plans else ()


def _exactly(
    supply: Supply, amount: Fraction, measure: Measure, rule: Rule, source: Citation, kind: Article = _ONE_KIND
) -> Quantity:
    """A quantity with nothing uncertain in it but what is lost."""
    return Quantity(supply, amount, amount, measure, rule, (source,), kind, WASTE)


def _sheets(counted: Mapping[Sheet, int]) -> Iterator[Quantity]:
    """Nothing is lost of sheets: their offcuts are planned, or counted as a whole sheet a board."""
    for sheet, count in sorted(counted.items(), key=lambda one: (one[0].width, one[0].length, one[0].thickness)):
        amount = Fraction(count)
        kind = Article(sheet=sheet)
        yield Quantity(Supply.SHEETS, amount, amount, Measure.PIECES, Rule.PATTERNS, (COUNTED,), kind)


def _fasteners(counts: Iterable[tuple[Schedule, int]]) -> Iterator[Quantity]:
    """By kind and length: the length of the layer that the piece is in."""
    found: Counter[Article] = Counter()
    for schedule, count in counts:
        found[Article(None, schedule.fastener, schedule.grip, schedule.lengths[-1].value)] += count
    for kind, count in sorted(found.items(), key=lambda one: (str(one[0].grip), one[0].length or Length(0))):
        yield _exactly(Supply.FASTENERS, Fraction(count), Measure.PIECES, Rule.SPOTS, COUNTED, kind)


def _tape(least: Fraction, most: Fraction, rule: Rule) -> Iterator[Quantity]:
    yield Quantity(Supply.TAPE, least, most, Measure.FEET, rule, (GEOMETRY,), waste=WASTE)


def _compound(square_feet: Fraction) -> Iterator[Quantity]:
    for rate in (COMPOUND, COMPOUND_READY_MIXED):
        least, most = square_feet * rate.least, square_feet * rate.most
        yield Quantity(Supply.COMPOUND, least, most, rate.measure, Rule.AREA, rate.sources, waste=WASTE)


def _bead(feet: Fraction) -> Iterator[Quantity]:
    """Two edges make a corner; one alone may have its fellow elsewhere."""
    if feet:
        yield Quantity(Supply.BEAD, feet / 2, feet, Measure.FEET, Rule.CORNERS, (GEOMETRY,), waste=WASTE)


def _adhesive(pieces: Iterable[tuple[Panel, Schedule]]) -> Iterator[Quantity]:
    inches = sum((_row_inches(panel, one) for panel, one in pieces if one.situation.adhesive), Fraction(0))
    if inches:
        tubes = inches * ROUND * (BEAD_WIDTH / 2) ** 2 / TUBE
        yield _exactly(Supply.ADHESIVE, inches / FOOT, Measure.FEET, Rule.ROWS, BEAD_OF_ADHESIVE)
        yield _exactly(Supply.ADHESIVE, tubes, Measure.TUBES, Rule.ROWS, BEAD_OF_ADHESIVE)


def _row_inches(panel: Panel, schedule: Schedule) -> Fraction:
    upright = turned(panel) if panel.across else panel
    return sum((end - start for one in columns(upright, schedule) for start, end in one.free), Fraction(0))
