"""What a planned room, or some boards by themselves, take."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from fieldvoice.fastening.columns import columns
from fieldvoice.fastening.panels import Panel, panel_of, turned
from fieldvoice.fastening.pieces import panel_of_piece
from fieldvoice.fastening.plans import fasten
from fieldvoice.fastening.rows import Table
from fieldvoice.fastening.weight import area_less
from fieldvoice.records.board import Sheet
from fieldvoice.records.fastening import FasteningPlan, Schedule
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Neighbor
from fieldvoice.records.plan import CutPlan
from fieldvoice.records.room_plan import PieceName, RoomPlan
from fieldvoice.records.sources import Citation
from fieldvoice.records.takeoff import Article, Measure, Quantity, Rule, Supply
from fieldvoice.takeoff import lengths, rates

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
    return (
        *_sheets({one.sheet: one.count for one in plan.sheets}),
        *_fasteners((piece.fastening.schedule, piece.fastening.count) for piece in pieces),
        *_tape(taped, taped, Rule.JOINTS),
        *_compound(area),
        *_bead(lengths.outside_corner_inches(plan) / FOOT),
        *_adhesive((piece.panel, piece.fastening.schedule) for piece in pieces),
    )


def take_off_boards(plans: Sequence[CutPlan], table: Table) -> tuple[Quantity, ...]:
    """What boards take that were called by themselves, a sheet each. Which of their joints and corners are shared isn't
    known, so those run from half of all edges to all of them. Raises NoRule where the table doesn't say.
    """
    panels = [panel_of(plan, Length(0), table.choice) for plan in plans]
    fastened = [fasten(panel, table) for panel in panels]
    area = sum((area_less(panel.outline, panel.holes) for panel in panels), Fraction(0)) / SQUARE_FOOT
    taped = lengths.edges_at(plans, frozenset({Neighbor.BOARD, *lengths.CORNER})) / FOOT
    return (
        *_sheets(Counter(plan.sheet for plan in plans)),
        *_fasteners((one.schedule, one.count) for one in fastened),
        *_tape(taped / 2, taped, Rule.EDGES),
        *_compound(area),
        *_bead(lengths.edges_at(plans, frozenset({Neighbor.OUTSIDE_CORNER})) / FOOT),
        *_adhesive((panel, one.schedule) for panel, one in zip(panels, fastened, strict=True)),
    )


def _exactly(
    supply: Supply, amount: Fraction, measure: Measure, rule: Rule, source: Citation, kind: Article = _ONE_KIND
) -> Quantity:
    """A quantity with nothing uncertain in it but what is lost."""
    return Quantity(supply, amount, amount, measure, rule, (source,), kind, rates.WASTE)


def _sheets(counted: Mapping[Sheet, int]) -> Iterator[Quantity]:
    """Nothing is lost of sheets: their offcuts are planned, or counted as a whole sheet a board."""
    for sheet, count in sorted(counted.items(), key=lambda one: (one[0].width, one[0].length, one[0].thickness)):
        amount = Fraction(count)
        kind = Article(sheet=sheet)
        yield Quantity(Supply.SHEETS, amount, amount, Measure.PIECES, Rule.PATTERNS, (rates.COUNTED,), kind)


def _fasteners(counts: Iterable[tuple[Schedule, int]]) -> Iterator[Quantity]:
    """By kind and length: the length of the layer that the piece is in."""
    found: Counter[Article] = Counter()
    for schedule, count in counts:
        found[Article(None, schedule.fastener, schedule.grip, schedule.lengths[-1].value)] += count
    for kind, count in sorted(found.items(), key=lambda one: (str(one[0].grip), one[0].length or Length(0))):
        yield _exactly(Supply.FASTENERS, Fraction(count), Measure.PIECES, Rule.SPOTS, rates.COUNTED, kind)


def _tape(least: Fraction, most: Fraction, rule: Rule) -> Iterator[Quantity]:
    yield Quantity(Supply.TAPE, least, most, Measure.FEET, rule, (rates.GEOMETRY,), waste=rates.WASTE)


def _compound(square_feet: Fraction) -> Iterator[Quantity]:
    for rate in (rates.COMPOUND, rates.COMPOUND_READY_MIXED):
        least, most = square_feet * rate.least, square_feet * rate.most
        yield Quantity(Supply.COMPOUND, least, most, rate.measure, Rule.AREA, rate.sources, waste=rates.WASTE)


def _bead(feet: Fraction) -> Iterator[Quantity]:
    """Two edges make a corner; one alone may have its fellow elsewhere."""
    if feet:
        yield Quantity(Supply.BEAD, feet / 2, feet, Measure.FEET, Rule.CORNERS, (rates.GEOMETRY,), waste=rates.WASTE)


def _adhesive(pieces: Iterable[tuple[Panel, Schedule]]) -> Iterator[Quantity]:
    inches = sum((_row_inches(panel, one) for panel, one in pieces if one.situation.adhesive), Fraction(0))
    if inches:
        tubes = inches * rates.ROUND * (rates.BEAD_WIDTH / 2) ** 2 / rates.TUBE
        yield _exactly(Supply.ADHESIVE, inches / FOOT, Measure.FEET, Rule.ROWS, rates.BEAD_OF_ADHESIVE)
        yield _exactly(Supply.ADHESIVE, tubes, Measure.TUBES, Rule.ROWS, rates.BEAD_OF_ADHESIVE)


def _row_inches(panel: Panel, schedule: Schedule) -> Fraction:
    upright = turned(panel) if panel.across else panel
    return sum((end - start for one in columns(upright, schedule) for start, end in one.free), Fraction(0))
