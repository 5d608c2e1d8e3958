"""What a job takes, each quantity with its rule and its source: feet of joints, corners and edges, each once, whichever
boards meet there; what a planned room, or some boards by themselves, take; and in which order a room is done, with what
is looked at before it is covered and after.

Published rules differ in what a square foot takes and how much is lost; both ends are kept.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import ceil, isqrt

from fieldvoice.fastening.panels import Panel, panel_of, panel_of_piece, turned
from fieldvoice.fastening.plans import columns, fasten
from fieldvoice.fastening.table import Table
from fieldvoice.fastening.weight import area_less
from fieldvoice.records.board import Sheet, Surface
from fieldvoice.records.fastening import Citation, Confidence, FasteningPlan, Schedule
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Course, Edge, Neighbor, TopPoint
from fieldvoice.records.plan import CutPlan
from fieldvoice.records.room import RoomSurface, name_of
from fieldvoice.records.room_plan import Piece, PieceName, RoomPlan, SurfacePlan
from fieldvoice.records.takeoff import Article, Measure, Phase, Quantity, Rule, Supply, Task, Waste, WorkItem

CORNER = (Neighbor.WALL, Neighbor.CEILING)
UPRIGHT = (Edge.LEFT, Edge.RIGHT)
SIXTEENTH = Fraction(1, 16)
CLOSED = 3
"""So many walls go all the way round a room."""


def face(surface: SurfacePlan) -> tuple[Piece, ...]:
    """The pieces that are seen: those of the last layer."""
    return tuple(piece for piece in surface.pieces if piece.layer == surface.surface.layers)


def joint_inches(surface: SurfacePlan) -> Fraction:
    """Inches of joint between the boards of a surface's face, openings left out."""
    last = surface.surface.layers
    return sum((joint.length.inches for joint in surface.joints if joint.layer == last), Fraction(0))


def corner_inches(plan: RoomPlan) -> Fraction:
    """Inches of inside corner, each once: wall to wall, and wall to ceiling.

    Walls stand in the order in which one goes round their room: of three or more the last meets the first, so that two
    ends make a corner; of fewer, the ends that meet no wall of the plan meet one that is there already. Where a room's
    ceiling is planned its own edges are the corner to the walls, else the tops of the walls are.
    """
    return sum((_room_corners(surfaces) for surfaces in _rooms(plan).values()), Fraction(0))


def _rooms(plan: RoomPlan) -> dict[str, list[SurfacePlan]]:
    rooms: dict[str, list[SurfacePlan]] = {}
    for surface in plan.surfaces:
        rooms.setdefault(surface.surface.room, []).append(surface)
    return rooms


def _room_corners(surfaces: list[SurfacePlan]) -> Fraction:
    walls = [one for one in surfaces if one.surface.kind is Surface.WALL]
    ceilings = [one for one in surfaces if one.surface.kind is Surface.CEILING]
    ends = [end for wall in walls for end in (_edge_inches(wall, Edge.LEFT), _edge_inches(wall, Edge.RIGHT))]
    upright = _upright(ends, closed=len(walls) >= CLOSED)
    if ceilings:
        return upright + sum((_edge_inches(one, edge) for one in ceilings for edge in Edge), Fraction(0))
    return upright + sum((_edge_inches(wall, Edge.TOP) for wall in walls), Fraction(0))


def _upright(ends: list[Fraction], *, closed: bool) -> Fraction:
    """`ends` are left, right, left, right …: a right end and the next left one are one corner; the higher counts."""
    if not ends:
        return Fraction(0)
    pairs = [max(a, b) for a, b in zip(ends[1:-1:2], ends[2::2], strict=True)]
    outer = max(ends[0], ends[-1]) if closed else ends[0] + ends[-1]
    return sum(pairs, outer)


def _edge_inches(plan: SurfacePlan, edge: Edge) -> Fraction:
    """Inches of a surface's side where its face meets a wall or a ceiling, less the openings that reach that side."""
    surface = plan.surface
    if surface.kind is Surface.WALL and edge is Edge.TOP:
        return sum((_top_inches(surface, a, b) for a, b in pairwise(surface.top_line)), Fraction(0))
    there = [one for one in face(plan) if one.edges[edge].neighbor in CORNER]
    return sum((side(one, edge) - _open_inches(surface, edge, *_reach(one, edge)) for one in there), Fraction(0))


def _top_inches(wall: RoomSurface, left: TopPoint, right: TopPoint) -> Fraction:
    """Inches of one straight part of a wall's top. No opening reaches up to a slope but at a corner."""
    whole = slant((right.across - left.across).inches, (right.height - left.height).inches)
    if left.height != right.height:
        return whole
    return whole - _open_inches(wall, Edge.TOP, left.across, right.across, left.height)


def _reach(piece: Piece, edge: Edge) -> tuple[Length, Length, Length]:
    """From where to where a side of a piece runs, and how far from the left or from below it is."""
    if edge in UPRIGHT:
        return piece.y, piece.y + Length(side(piece, edge)), piece.x if edge is Edge.LEFT else piece.right
    return piece.x, piece.right, piece.y if edge is Edge.BOTTOM else piece.top


def _open_inches(surface: RoomSurface, edge: Edge, low: Length, high: Length, at: Length) -> Fraction:
    """Inches that openings take of a line from one place to another along a side of the surface."""
    found = Fraction(0)
    for hole in surface.openings:
        where = {Edge.LEFT: hole.left, Edge.RIGHT: hole.right, Edge.BOTTOM: hole.bottom, Edge.TOP: hole.top}
        near, far = (hole.bottom, hole.top) if edge in UPRIGHT else (hole.left, hole.right)
        if where[edge] == at:
            found += max(Length(0), min(high, far) - max(low, near)).inches
    return found


def outside_corner_inches(plan: RoomPlan) -> Fraction:
    """Inches of edges at outside corners on the face, both boards of a corner counted."""
    return sum(
        (
            side(piece, edge)
            for surface in plan.surfaces
            for piece in face(surface)
            for edge, stands in piece.edges.items()
            if stands.neighbor is Neighbor.OUTSIDE_CORNER
        ),
        Fraction(0),
    )


def side(piece: Piece, edge: Edge) -> Fraction:
    """How long a piece's side is; under a slope rounded up to a sixteenth."""
    if edge is Edge.LEFT:
        return piece.left_height.inches
    if edge is Edge.RIGHT:
        return piece.right_height.inches
    if edge is Edge.BOTTOM:
        return piece.width.inches
    runs = ((b.across - a.across, b.height - a.height) for a, b in pairwise(piece.top_corners))
    return sum((slant(run.inches, rise.inches) for run, rise in runs), Fraction(0))


def slant(across: Fraction, down: Fraction) -> Fraction:
    """The length of a line, exactly where it is level or upright, else up to the next sixteenth."""
    if not across or not down:
        return abs(across) + abs(down)
    squared = ceil((across * across + down * down) / SIXTEENTH**2)
    return (isqrt(squared - 1) + 1) * SIXTEENTH


def net_area(surface: RoomSurface) -> Fraction:
    """Square inches of a surface less its openings."""
    twice = ((b.across - a.across).inches * (a.height + b.height).inches for a, b in pairwise(surface.top_line))
    holes = sum((one.width.inches * one.height.inches for one in surface.openings), Fraction(0))
    return sum(twice, Fraction(0)) / 2 - holes


def edges_at(plans: Iterable[CutPlan], stands: frozenset[Neighbor]) -> Fraction:
    """Inches of the boards' edges at those neighbors, each board's by itself."""
    return sum((length for plan in plans for length in _edges(plan, stands)), Fraction(0))


def _edges(plan: CutPlan, stands: frozenset[Neighbor]) -> Iterator[Fraction]:
    """The outline's sides at those neighbors; a side belongs to the edge that it is turned to."""
    points = [(point.x.inches, point.y.inches) for point in plan.outline]
    ends = list(zip(points, points[1:] + points[:1], strict=True))
    clockwise = sum(a[0] * b[1] - b[0] * a[1] for a, b in ends) > 0
    for (ax, ay), (bx, by) in ends:
        dx, dy = (bx - ax, by - ay) if clockwise else (ax - bx, ay - by)
        edge = (Edge.TOP if dx > 0 else Edge.BOTTOM) if abs(dx) >= abs(dy) else (Edge.RIGHT if dy > 0 else Edge.LEFT)
        if plan.board.edges[edge].neighbor in stands:
            yield slant(dx, dy)


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
    area = sum((net_area(one.surface) for one in plan.surfaces), Fraction(0)) / SQUARE_FOOT
    joints = sum((joint_inches(one) for one in plan.surfaces), Fraction(0))
    taped = (joints + corner_inches(plan)) / FOOT
    found = (
        *_sheets({one.sheet: one.count for one in plan.sheets}),
        *_fasteners((piece.fastening.schedule, piece.fastening.count) for piece in pieces),
        *_tape(taped, taped, Rule.JOINTS),
        *_compound(area),
        *_bead(outside_corner_inches(plan) / FOOT),
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
    taped = edges_at(plans, frozenset({Neighbor.BOARD, *CORNER})) / FOOT
    found = (
        *_sheets(Counter(plan.sheet for plan in plans if plan.from_offcut is None)),
        *_fasteners((one.schedule, one.count) for one in fastened),
        *_tape(taped / 2, taped, Rule.EDGES),
        *_compound(area),
        *_bead(edges_at(plans, frozenset({Neighbor.OUTSIDE_CORNER})) / FOOT),
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


BOX_GAP = Length("1/8")
BOX_SET_BACK = Length("1/4")
JOINT_GAP = Length("1/4")

_PRACTICE = Citation("the trade", Confidence.PRACTICE)
_CEILINGS_FIRST = Citation("trade pages and a board maker's guide, page 103: ceilings first", Confidence.REPORTED)
_COVERED = Citation("IRC R109: inspected before it is covered; local code decides", Confidence.MEMORY_HIGH)
_SET_BACK = Citation("NEC 314.20, as quoted: no more than 1/4 in behind the finished face", Confidence.REPORTED)
_BOX_GAP = Citation("NEC 314.21, as quoted: no gap over 1/8 in; a larger plate is no cure", Confidence.REPORTED)
_JOINT_GAP = Citation("an older residential guide: gaps of 1/4 in at most", Confidence.REPORTED)

BEFORE = (
    WorkItem(Phase.BEFORE, Task.PHOTOGRAPH, _PRACTICE),
    WorkItem(Phase.BEFORE, Task.MARK_FRAMING, _PRACTICE),
    WorkItem(Phase.BEFORE, Task.SET_OUT_BOXES, _SET_BACK, limit=BOX_SET_BACK),
    WorkItem(Phase.BEFORE, Task.INSULATE, _PRACTICE),
    WorkItem(Phase.BEFORE, Task.HAVE_INSPECTED, _COVERED),
)
"""What can't be done, or seen, once the board hangs."""

AFTER = (
    WorkItem(Phase.AFTER, Task.CHECK_DEPTH, _PRACTICE),
    WorkItem(Phase.AFTER, Task.CHECK_GAPS, _JOINT_GAP, limit=JOINT_GAP),
    WorkItem(Phase.AFTER, Task.CHECK_BOX_GAP, _BOX_GAP, limit=BOX_GAP),
    WorkItem(Phase.AFTER, Task.CHECK_SET_BACK, _SET_BACK, limit=BOX_SET_BACK),
)
"""What is looked at before anything is taped."""


def order_of_work(plan: RoomPlan) -> tuple[WorkItem, ...]:
    """Everything in order: before covering, the boards of every surface, after hanging. All ceilings come first, then
    room by room the walls' upper course, then the lower, each layer before the next.
    """
    ceilings = [one for one in plan.surfaces if one.surface.kind is Surface.CEILING]
    rooms: dict[str, list[SurfacePlan]] = {}
    for surface in plan.surfaces:
        if surface.surface.kind is Surface.WALL:
            rooms.setdefault(surface.surface.room, []).append(surface)
    walls = (item for room in rooms.values() for item in _hung(room))
    return (*BEFORE, *_hung(ceilings), *walls, *AFTER)


def _hung(surfaces: Sequence[SurfacePlan]) -> Iterator[WorkItem]:
    """The pieces of surfaces, those together that hang together: a wall's course, or all of a ceiling."""
    runs: dict[tuple[int, int, int], list[int]] = {}
    for number, surface in enumerate(surfaces):
        for piece in surface.pieces:
            row = _CEILING if surface.surface.kind is Surface.CEILING else _row(piece.course)
            runs.setdefault((piece.layer, row, number), []).append(piece.name.number)
    for (_, row, number), pieces in sorted(runs.items()):
        task = _TASKS.get(row, Task.HANG_COURSE)
        yield WorkItem(Phase.HANGING, task, _CEILINGS_FIRST, name_of(surfaces[number].surface), tuple(pieces))


_CEILING, _UPPER, _LOWER = -3, -2, -1
_TASKS = {_CEILING: Task.HANG_CEILING, _UPPER: Task.HANG_UPPER, _LOWER: Task.HANG_LOWER}


def _row(course: Course | int) -> int:
    """The place of a course from the top."""
    if isinstance(course, Course):
        return _UPPER if course is Course.UPPER else _LOWER
    return course
