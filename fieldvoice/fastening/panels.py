"""What is fastened: one piece as a polygon with its holes on its framing members, from a plan or from a layout; and
where along a straight line across it a fastener may sit, inside it, away from its edges and its holes.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise

from fieldvoice.fastening.table import Preference
from fieldvoice.records.board import Board, Lies, Sheet, Surface
from fieldvoice.records.fastening import Direction, Fastener, Location, Situation
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Course, Dimension, Edge, Neighbor, OpeningKind
from fieldvoice.records.plan import CutPlan, Method, OpeningPlan
from fieldvoice.records.room import RoomSurface, RoughOpening
from fieldvoice.records.room_plan import Piece

Point = tuple[Fraction, Fraction]
Polygon = tuple[Point, ...]

MEMBER = {"wood": Length("1 1/2"), "steel": Length("1 1/4")}
"""How wide a member's face is: two-by lumber (IRC R702.3.2 asks for 2 in nominal), and a steel stud's flange from
memory (high)."""


@dataclass(frozen=True, slots=True)
class Hole:
    """An opening's box: left, right, top, bottom, in inches. `framed` ones have framing along their upright sides;
    `beforehand` ones are cut before the board hangs.
    """

    left: Fraction
    right: Fraction
    top: Fraction
    bottom: Fraction
    framed: bool = False
    beforehand: bool = True


@dataclass(frozen=True, slots=True)
class Panel:
    """One piece seen from the room: inches from the left and down from the top of its outermost edges.

    `members` are the centers of the framing behind it, from the left where it runs up and from the top where it runs
    `across`. `joints` are the edges that share a member with the next board; `called` says that the members' places
    were called and not only their spacing; `step` is how fine its marks are;
    `hangs_at` is how high above the floor a wall's piece has its bottom edge.
    """

    outline: Polygon
    holes: tuple[Hole, ...]
    members: tuple[Fraction, ...]
    across: bool
    joints: frozenset[Edge]
    called: bool
    case: Situation
    sheet: Sheet
    step: Length = Length("1/16")
    hangs_at: Length = Length(0)

    @property
    def member_width(self) -> Fraction:
        """How wide the members' faces are."""
        return MEMBER.get(self.case.framing, MEMBER["steel"]).inches


def panel_of(plan: CutPlan, off: Length, choice: Preference) -> Panel:
    """A plan's piece. `off` is how far it stands off what its framing is measured from, its left neighbor or the one at
    its top.
    """
    board, across = plan.board, bool(plan.board.framing.across)
    outline = tuple((point.x.inches, point.y.inches) for point in plan.outline)
    return Panel(
        outline=outline,
        holes=tuple(_hole(opening) for opening in plan.openings),
        members=_members(board, off.inches, max(x for x, _ in outline)),
        across=across,
        joints=frozenset(edge for edge, setting in board.edges.items() if setting.neighbor is Neighbor.BOARD),
        called=across or bool(board.framing.studs),
        case=situation_of(board, plan.lies, choice),
        sheet=plan.sheet,
        step=board.step or STEPS[board.unit],
        hangs_at=_hangs_at(board),
    )


def _hangs_at(board: Board) -> Length:
    """How high the board's lower edge hangs, as called, else by its course or by what stands under it."""
    if board.above_floor is not None:
        return board.above_floor
    if board.floor_to_ceiling is not None and board.heights and board.edges[Edge.TOP].neighbor is Neighbor.CEILING:
        return max(board.floor_to_ceiling - max(one.value for one in board.heights), Length(0))
    if board.course is not None:
        return UPPER_COURSE if board.course in {Course.UPPER, Course.MIDDLE} else Length(0)
    return Length(0) if board.edges[Edge.BOTTOM].neighbor is Neighbor.FLOOR else UPPER_COURSE


UPPER_COURSE = Length(48)
"""How high the upper course of a wall of two hangs, where no layout says: over one sheet's width."""


STEPS = {Unit.INCH: Length("1/16"), Unit.MM: Length.of(1, Unit.MM)}
"""How fine a mark can be put: a tape's graduation."""


def situation_of(board: Board, lies: Lies, choice: Preference) -> Situation:
    """What the rules ask about a board. Where framing runs up as seen a standing sheet's long edges run along it. A
    board of a doubled wall whose layer wasn't called may be in either: its last layer counts.
    """
    return Situation(
        location=location_of(board.surface, board.room),
        thickness=board.thickness,
        kind=board.kind,
        layers=board.layer or board.layers,
        framing=board.framing.material,
        spacing=board.framing.spacing,
        direction=Direction.ACROSS if (lies is Lies.LYING) is not bool(board.framing.across) else Direction.ALONG,
        fastener=choice.fastener,
        grip=choice.grip,
        adhesive=choice.adhesive,
        double_nailing=choice.double_nailing and choice.fastener is Fastener.NAIL,
    )


def location_of(surface: Surface, room: str | None) -> Location:
    """Where a board hangs; a room is a garage where its name says so."""
    if room is not None and re.search(r"\bgarage\b", room, re.IGNORECASE):
        return Location.GARAGE_CEILING if surface is Surface.CEILING else Location.GARAGE_WALL
    return Location.CEILING if surface is Surface.CEILING else Location.WALL


def turned(panel: Panel) -> Panel:
    """The same piece with left for top, so that framing that runs across runs up."""
    flipped = {Edge.LEFT: Edge.TOP, Edge.TOP: Edge.LEFT, Edge.RIGHT: Edge.BOTTOM, Edge.BOTTOM: Edge.RIGHT}
    return replace(
        panel,
        outline=tuple((y, x) for x, y in panel.outline),
        holes=tuple(
            replace(hole, left=hole.top, right=hole.bottom, top=hole.left, bottom=hole.right) for hole in panel.holes
        ),
        across=not panel.across,
        joints=frozenset(flipped[edge] for edge in panel.joints),
    )


def _hole(opening: OpeningPlan) -> Hole:
    """The opening's box on the outline; where its corners aren't drawn, by its marks from the board's left and top."""
    xs = [point.x.inches for point in opening.corners] or [opening.left.inches, opening.right.inches]
    ys = [point.y.inches for point in opening.corners] or [opening.top.inches, opening.bottom.inches]
    framed = opening.kind in {OpeningKind.WINDOW.value, OpeningKind.DOOR.value}
    beforehand = opening.method not in {Method.ROUT, Method.IN_PLACE}
    return Hole(min(xs), max(xs), min(ys), max(ys), framed, beforehand)


def _members(board: Board, off: Fraction, width: Fraction) -> tuple[Fraction, ...]:
    """Centers on the board: as called, else at the spacing from its left neighbor."""
    framing = board.framing
    if framing.across or framing.studs:
        return tuple(center.inches - off for center in framing.across or framing.studs)
    step = framing.spacing.inches
    return tuple(step * number - off for number in range(1, int((width + off) // step) + 1))


ALONE = Length(16)
"""The spacing that the rules are asked with where a surface has one member or none in it: its ends are framing."""


def panel_of_piece(piece: Piece, surface: RoomSurface, unit: Unit, choice: Preference) -> Panel:
    """A piece of a surface's plan, from its left and top."""
    high = piece.height.inches
    outline = (
        *((corner.across.inches, high - corner.height.inches) for corner in piece.top_corners),
        (piece.width.inches, high),
        (Fraction(0), high),
    )
    return Panel(
        outline=outline,
        holes=tuple(hole for opening in surface.openings if (hole := _opening_on(piece, opening)) is not None),
        members=_centers_on(piece, surface),
        across=surface.members.along is Dimension.HEIGHT,
        joints=frozenset(edge for edge, stands in piece.edges.items() if stands.neighbor is Neighbor.BOARD),
        called=True,
        case=_case(piece, surface, choice),
        sheet=piece.sheet,
        step=STEPS[unit],
        hangs_at=piece.y if surface.kind is Surface.WALL else Length(0),
    )


def _opening_on(piece: Piece, opening: RoughOpening) -> Hole | None:
    """What of an opening lies on the piece; it is cut out once the piece hangs unless it runs out over its edge."""
    left, right = (opening.left - piece.x).inches, (opening.right - piece.x).inches
    top, bottom = (piece.top - opening.top).inches, (piece.top - opening.bottom).inches
    wide, high = piece.width.inches, piece.height.inches
    if left >= wide or right <= 0 or top >= high or bottom <= 0:
        return None
    inside = left > 0 and right < wide and top > 0 and bottom < high
    return Hole(left, right, top, bottom, framed=True, beforehand=not inside)


def _centers_on(piece: Piece, surface: RoomSurface) -> tuple[Fraction, ...]:
    """Centers on the piece, from its left, or from its top where members run across."""
    if surface.members.along is Dimension.WIDTH:
        return tuple((center - piece.x).inches for center in surface.members.centers(surface.width))
    return tuple((piece.top - center).inches for center in reversed(surface.members.centers(surface.highest)))


def _case(piece: Piece, surface: RoomSurface, choice: Preference) -> Situation:
    across = (piece.lies is Lies.LYING) is (surface.members.along is Dimension.WIDTH)
    return Situation(
        location=location_of(surface.kind, surface.room),
        thickness=surface.thickness,
        kind=surface.board,
        layers=piece.layer,
        framing=surface.members.material.value,
        spacing=_spacing(surface),
        direction=Direction.ACROSS if across else Direction.ALONG,
        fastener=choice.fastener,
        grip=choice.grip,
        adhesive=choice.adhesive,
        double_nailing=choice.double_nailing and choice.fastener is Fastener.NAIL,
    )


def _spacing(surface: RoomSurface) -> Length:
    """Center to center; where the places were called one by one, the widest of them."""
    members = surface.members
    if members.spacing is not None:
        return members.spacing
    extent = surface.width if members.along is Dimension.WIDTH else surface.highest
    centers = members.centers(extent)
    apart = [b - a for a, b in pairwise(centers)]
    return max(apart, default=ALONE)


Interval = tuple[Fraction, Fraction]


def sides(polygon: Polygon) -> Iterator[tuple[Point, Point]]:
    """The polygon's sides, end to end."""
    yield from zip(polygon, (*polygon[1:], *polygon[:1]), strict=True)


def area(polygon: Polygon) -> Fraction:
    """Square inches, exactly."""
    return abs(sum((a[0] * b[1] - b[0] * a[1] for a, b in sides(polygon)), Fraction(0))) / 2


def section(polygon: Polygon, x: Fraction, *, right: bool) -> list[Interval]:
    """The upright pieces of the polygon just right (or just left) of `x`."""
    found = []
    for a, b in sides(polygon):
        (ax, ay), (bx, by) = sorted((a, b))
        if (ax <= x < bx) if right else (ax < x <= bx):
            found.append(ay + (by - ay) * (x - ax) / (bx - ax))
    found.sort()
    return list(zip(found[::2], found[1::2], strict=True))


def common(one: list[Interval], other: list[Interval]) -> list[Interval]:
    """What lies in both."""
    cut = [(max(a[0], b[0]), min(a[1], b[1])) for a in one for b in other]
    return sorted(interval for interval in cut if interval[0] <= interval[1])


def without(intervals: list[Interval], start: Fraction, end: Fraction) -> list[Interval]:
    """What is left when everything between `start` and `end` is taken out; both ends stay."""
    kept = []
    for a, b in intervals:
        if end <= a or b <= start:
            kept.append((a, b))
            continue
        kept.extend(piece for piece in ((a, start), (end, b)) if piece[0] <= piece[1])
    return kept


def free(polygon: Polygon, holes: Iterable[Hole], xs: Interval, distance: Fraction) -> list[Interval]:
    """Where a line that stays between `xs` may carry a fastener: at every height there, the piece reaches `distance`
    to all sides, and no hole is nearer than that.
    """
    first, last = xs[0] - distance, xs[1] + distance
    least, most = min(x for x, _ in polygon), max(x for x, _ in polygon)
    first, last = max(first, least), min(last, most)
    found = common(section(polygon, first, right=True), section(polygon, last, right=False))
    for x, _ in polygon:
        if first < x < last:
            found = common(common(found, section(polygon, x, right=True)), section(polygon, x, right=False))
    found = [(a + distance, b - distance) for a, b in found if a + distance <= b - distance]
    for hole in holes:
        if hole.left - distance < xs[1] and xs[0] < hole.right + distance:
            found = without(found, hole.top - distance, hole.bottom + distance)
    return found
