"""The answer for a room or a house: its pieces, the sheets that they are cut from, and what is left; a list
of pieces that are wanted; a surface as it is worked at.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from fieldvoice.records.board import Lies, Offcut, Sheet
from fieldvoice.records.length import ZERO, Length, Unit
from fieldvoice.records.meaning import Course, Edge, Neighbor, SurfaceCall, TopPoint
from fieldvoice.records.room import House, RoomSurface, SurfaceName, name_of


@dataclass(frozen=True, slots=True, order=True)
class PieceName:
    """What a piece is called: its surface, and its number there in the order of hanging."""

    surface: SurfaceName
    number: int

    def __str__(self) -> str:
        return f"{self.surface} {self.number}"


@dataclass(frozen=True, slots=True)
class PieceEdge:
    """What stands at an edge of a piece, whether the edge is the sheet's own (a factory edge; the long ones are
    tapered), and whether it has to be (`taped`), since a tapered joint is there. Where boards stand there `pieces`
    names them.
    """

    neighbor: Neighbor
    factory: bool
    pieces: tuple[PieceName, ...] = ()
    taped: bool = False


@dataclass(frozen=True, slots=True)
class Piece:
    """One board to be hung. `x` and `y` are its lower left corner from that of the surface, seen from the room;
    `width` and `height` the rectangle round it, openings not taken off and clearances not taken off.

    `layer` counts from the framing, from 1. `course` is `upper`, `lower` or a number from the top. Under a slope
    `left_height` and `right_height` are its two sides, else both are `height`. `bends` are the places in between where
    the line of its top breaks, at a peak or where the slope ends on it, from its own left and lower side.
    """

    name: PieceName
    layer: int
    x: Length
    y: Length
    width: Length
    height: Length
    lies: Lies
    course: Course | int
    sheet: Sheet
    edges: dict[Edge, PieceEdge]
    left_height: Length
    right_height: Length
    bends: tuple[TopPoint, ...] = ()

    @property
    def slopes(self) -> bool:
        """Whether its top does, or a part of it."""
        return self.left_height != self.right_height or bool(self.bends)

    @property
    def four_sided(self) -> bool:
        """Whether it has four sides: where the line of its top breaks, or runs out to a point, it hasn't."""
        return not self.bends and not self.pointed

    @property
    def pointed(self) -> bool:
        """Whether its top runs out to a point at a side, which has no height to measure."""
        return ZERO in {self.left_height, self.right_height}

    @property
    def top_corners(self) -> tuple[TopPoint, ...]:
        """The corners of its top, from the left: how far each is from its left and from its lower side."""
        return TopPoint(ZERO, self.left_height), *self.bends, TopPoint(self.width, self.right_height)

    @property
    def right(self) -> Length:
        """Its right side."""
        return self.x + self.width

    @property
    def top(self) -> Length:
        """Its highest place."""
        return self.y + self.height

    @property
    def run(self) -> Length:
        """What it takes of a sheet's length."""
        return self.width if self.lies is Lies.LYING else self.height

    @property
    def rise(self) -> Length:
        """What it takes of a sheet's width."""
        return self.height if self.lies is Lies.LYING else self.width

    @property
    def taped(self) -> frozenset[Edge]:
        """The edges that have to keep their factory edge."""
        return frozenset(edge for edge, stands in self.edges.items() if stands.taped)


class JointKind(StrEnum):
    """How two boards of one layer meet."""

    TAPERED = "tapered"
    """Two factory long edges."""
    BUTT = "butt"
    """Two ends, or ends and edges that are cut."""


@dataclass(frozen=True, slots=True)
class Joint:
    """A straight joint between two pieces of a layer, from one point to another, openings left out."""

    kind: JointKind
    layer: int
    pieces: tuple[PieceName, PieceName]
    start: tuple[Length, Length]
    end: tuple[Length, Length]

    @property
    def length(self) -> Length:
        """How long it is; joints are level or plumb."""
        (x0, y0), (x1, y1) = self.start, self.end
        return abs(x1 - x0) + abs(y1 - y0)


@dataclass(frozen=True, slots=True)
class SurfacePlan:
    """A surface with its pieces in the order of hanging and the joints between them."""

    surface: RoomSurface
    pieces: tuple[Piece, ...]
    joints: tuple[Joint, ...]

    @property
    def butt_feet(self) -> Fraction:
        """Feet of butt joint."""
        return sum((j.length.inches for j in self.joints if j.kind is JointKind.BUTT), Fraction(0)) / 12


@dataclass(frozen=True, slots=True)
class PlacedPiece:
    """Where a piece lies on its sheet: `x` along the sheet from its left end, `y` across from its top long edge.
    `factory` holds the edges that are what it is cut from's own.
    """

    name: PieceName
    x: Length
    y: Length
    length: Length
    width: Length
    factory: frozenset[Edge] = frozenset()


@dataclass(frozen=True, slots=True)
class Pattern:
    """One sheet, or one offcut of the rack, with all that is cut from it and what is left over."""

    sheet: Sheet
    pieces: tuple[PlacedPiece, ...]
    left_over: tuple[Offcut, ...]
    offcut: Offcut | None = None
    """The offcut of the rack that it is cut from, None for a whole sheet."""


@dataclass(frozen=True, slots=True)
class SheetCount:
    """So many sheets of one size to be had."""

    sheet: Sheet
    count: int


def by_size(sheet: Sheet) -> tuple[str, Length, Length, Length]:
    """In the order in which sheets are listed."""
    return sheet.kind, sheet.thickness, sheet.width, sheet.length


class RuleCode(StrEnum):
    """The rules that a layout keeps."""

    STAGGER = "stagger"
    JOINTS_ON_FRAMING = "joints on framing"
    OPENING_CORNERS = "opening corners"
    LEAST_PIECE = "least piece"
    LEAST_STRIP = "least strip"
    NO_NEEDLESS_JOINT = "no needless joint"
    FACTORY_EDGES = "factory edges together"
    FLOOR_GAP = "floor gap"
    FOOT_LIFT = "foot lift"
    CEILINGS_FIRST = "ceilings first"
    ACROSS_JOISTS = "across the joists"
    LAYERS_SHIFTED = "layers shifted"
    STAGED_CUTS = "cuts from edge to edge"
    FEWEST_FEET = "fewest feet"
    FOUR_SIDES = "four sides"


@dataclass(frozen=True, slots=True)
class LayoutRule:
    """A rule that every plan keeps, its figures, and where they come from."""

    code: RuleCode
    values: tuple[Length, ...]
    source: str


class RoomWarningCode(StrEnum):
    """What a plan can't cure and a person has to know."""

    FRAMING_TOO_WIDE = "framing too wide"
    SAG = "sag"
    WISH_NOT_KEPT = "wish not kept"
    CUT_EDGE_IN_JOINT = "cut edge in joint"
    SLIVER = "sliver"
    UNLIKELY_SIDE = "unlikely side"
    NOT_FOUR_SIDED = "not four-sided"


@dataclass(frozen=True, slots=True)
class RoomWarning:
    """A warning about one surface, or about the whole plan where `surface` is None."""

    code: RoomWarningCode
    surface: SurfaceName | None = None
    values: tuple[Length, ...] = ()


@dataclass(frozen=True, slots=True)
class RoomPlan:
    """A whole plan, checked in exact numbers. `sheets` are all that it takes: those of `patterns`, and those that were
    begun before it was made. `feet` is the length of sheet to be bought and `bound_feet` what no plan
    under the same rules can be below, both counted in sheets of 48 in or 1200 mm. Of plans that take just as much sheet
    none has less than `least_butt_feet` of butt joint; where this one has no more, none of them has fewer pieces to cut
    than `least_pieces`.

    `first_plan_seconds` and `seconds` are how long a first usable plan and this one took.
    """

    house: House
    surfaces: tuple[SurfacePlan, ...]
    patterns: tuple[Pattern, ...]
    sheets: tuple[SheetCount, ...]
    feet: Fraction
    bound_feet: Fraction
    rules: tuple[LayoutRule, ...]
    warnings: tuple[RoomWarning, ...] = ()
    least_butt_feet: Fraction = Fraction(0)
    least_pieces: int | None = None
    first_plan_seconds: float = 0.0
    seconds: float = 0.0

    @property
    def unit(self) -> Unit:
        """The unit that the house was called in."""
        return self.house.unit

    @property
    def pieces(self) -> tuple[Piece, ...]:
        """Every piece, in the order of the surfaces."""
        return tuple(piece for surface in self.surfaces for piece in surface.pieces)

    @property
    def joints(self) -> tuple[Joint, ...]:
        """Every joint between two boards."""
        return tuple(joint for surface in self.surfaces for joint in surface.joints)

    def pattern_of(self, piece: PieceName) -> Pattern | None:
        """The sheet that a piece is cut from, with all that is cut from it."""
        return next((one for one in self.patterns if any(each.name == piece for each in one.pieces)), None)

    def warned(self, surface: SurfacePlan) -> tuple[RoomWarning, ...]:
        """The warnings about one of its surfaces."""
        return tuple(one for one in self.warnings if one.surface == name_of(surface.surface))

    @property
    def proved(self) -> bool:
        """Whether no plan under the same rules needs less sheet."""
        return self.feet == self.bound_feet

    @property
    def butt_feet(self) -> Fraction:
        """Feet of butt joint."""
        return sum((surface.butt_feet for surface in self.surfaces), Fraction(0))

    @property
    def gap(self) -> Fraction:
        """How far the plan is above the bound at most, over the plan."""
        return (self.feet - self.bound_feet) / self.feet if self.feet else Fraction(0)


Progress = Callable[[Fraction, Fraction | None], None]
"""Told the feet of sheet of the best plan so far, and the bound where it is known."""


@dataclass(frozen=True, slots=True)
class WantedPiece:
    """Pieces of one size: `length` along the sheet, `width` across; `tapered` long edges are to be factory edges."""

    name: str
    length: Length
    width: Length
    count: int
    tapered: int


@dataclass(frozen=True, slots=True)
class PieceList:
    """All that is wanted, and the sheets to be had."""

    unit: Unit
    sheets: tuple[Sheet, ...]
    pieces: tuple[WantedPiece, ...]


@dataclass(frozen=True, slots=True)
class SurfaceAtHand:
    """The wall or ceiling that is spoken of: its whole name, its call where it was made, its plan where it is laid out,
    which of its pieces are boards of the job, which of those are cut, and which is next.
    """

    name: str
    sides: SurfaceCall | None
    plan: SurfacePlan | None
    boards: Mapping[PieceName, str]
    cut: frozenset[PieceName]
    next: PieceName | None

    @property
    def layer(self) -> int:
        """The layer that is worked at: that of the next piece, else the outermost."""
        pieces = () if self.plan is None else self.plan.pieces
        return next(
            (one.layer for one in pieces if one.name == self.next), max((one.layer for one in pieces), default=1)
        )
