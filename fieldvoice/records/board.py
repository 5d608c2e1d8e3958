"""A board to hang, as the readings describe it: the whole input of the cutting room."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum

from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import (
    Box,
    Circuit,
    Course,
    Diagonal,
    Dimension,
    Edge,
    Neighbor,
    Opening,
    Plumb,
    Reading,
)


class Surface(StrEnum):
    """What the board is hung on."""

    WALL = "wall"
    CEILING = "ceiling"


class Lies(StrEnum):
    """Which way the sheet hangs: standing has its long edges upright, lying has them level."""

    STANDING = "standing"
    LYING = "lying"


@dataclass(frozen=True, slots=True)
class Sheet:
    """What a board is cut from. `width` is the short side between the tapered edges, `length` the long side."""

    width: Length
    length: Length
    thickness: Length = Length("1/2")
    kind: str = "regular"


KINDS = ("regular", "lightweight", "type x", "moisture resistant", "sag resistant", "flexible")
"""What kinds of gypsum board there are."""

SPACING = {Unit.INCH: Length(16), Unit.MM: Length.of(400, Unit.MM)}
"""How far apart framing is where nobody said: common practice, no source. A board of 1200 mm ends on the third."""


@dataclass(frozen=True, slots=True)
class Framing:
    """What the board is fastened to; `studs` are centers from the board's left neighbor. Nothing goes by the spacing
    unless it was `called`: then centers stand at it from the left neighbor on. `across` are those of joists that run
    across the board as it is seen, from the neighbor at its top: no end bears on them, but its fasteners stand there.
    """

    material: str = "wood"
    spacing: Length = SPACING[Unit.INCH]
    studs: tuple[Length, ...] = ()
    called: bool = False
    across: tuple[Length, ...] = ()

    @property
    def counted_from(self) -> Edge:
        """The board's edge whose neighbor the centers are counted from."""
        return Edge.TOP if self.across else Edge.LEFT


class Known(StrEnum):
    """How it is known what stands at an edge."""

    CALLED = "called"
    CARRIED = "carried over"
    DEFAULT = "default said aloud"
    UNKNOWN = "not known"


@dataclass(frozen=True, slots=True)
class EdgeSetting:
    """What stands at an edge, how that is known, and the clearance if the hanger said one (else the table's)."""

    neighbor: Neighbor
    clearance: Length | None = None
    known: Known = Known.DEFAULT


@dataclass(frozen=True, slots=True)
class Offcut:
    """What a cut left, as it lies on its sheet: `length` along the sheet, `width` across. `factory` holds the edges
    that are still the sheet's own: top and bottom are the long tapered ones, left and right the ends. `name` is for
    writing on it.
    """

    name: str
    length: Length
    width: Length
    factory: frozenset[Edge]
    thickness: Length = Length("1/2")
    board: str = "regular"

    @property
    def tapered(self) -> int:
        """How many of its long edges are factory edges."""
        return len(self.factory & {Edge.TOP, Edge.BOTTOM})


class EdgesTold(StrEnum):
    """What is said of the edges of an offcut from elsewhere: which of them are a sheet's long tapered ones."""

    UNKNOWN = "unknown"
    NONE = "none"
    BOTH = "both"
    LONG = "long side"
    SHORT = "short side"


class OddOffcut(StrEnum):
    """Why no offcut is as it was told."""

    TOO_SMALL = "too small"  # nothing so small is kept
    NO_SHEET = "no sheet"  # no sheet is so wide, or so long
    NO_EDGE = "no edge"  # no sheet is so wide as this one would be between its factory edges
    NO_WIDTH = "no width"  # both tapered edges are a sheet's width apart


@dataclass(frozen=True, slots=True)
class CutFrom:
    """An offcut that a board is cut from: the name on it, and which of its edges are cut already, as it will hang."""

    offcut: str
    cut: frozenset[Edge]


class MarksBy(StrEnum):
    """How the crew likes a box marked."""

    BOTH = "center and sides"
    CENTER = "center"
    SIDES = "sides"


@dataclass(frozen=True, slots=True)
class CircuitWord:
    """What somebody said of a box's circuit, and when; `behind` is the last call before it. It repeats their word and
    claims nothing itself.
    """

    state: Circuit
    by: str
    at: datetime
    behind: int = 0


def _default_edges() -> dict[Edge, EdgeSetting]:
    return {
        Edge.LEFT: EdgeSetting(Neighbor.BOARD),
        Edge.RIGHT: EdgeSetting(Neighbor.WALL),
        Edge.TOP: EdgeSetting(Neighbor.CEILING),
        Edge.BOTTOM: EdgeSetting(Neighbor.FLOOR),
    }


AT_THE_FLOOR = Length(4)
"""What is less above the floor is a gap under a board that stands there (our own rule)."""


@dataclass(frozen=True, slots=True)
class Board:
    """One piece to hang. Everything is as measured: clearances are not yet taken off.

    `taper` is the side to cut and `end` the end, if the hanger said one; `sheet` is what to cut from if the hanger said
    one, else the cutting room chooses. `floor_to_ceiling` places what was measured from the floor where no height was
    measured. `step` is how fine the marks are if not the unit's own (1/16 in, 1 mm).

    `course` is the row of a lying board; `above_floor` is how high the lower edge of the hole is above the floor, where
    that edge isn't at it. `base_covers` is the widest gap at the floor that the base covers, if it was said. `layer`
    counts from the framing, None where nobody called it. `beveled`: ends that butt are beveled at the back.

    `sheet_width` and `sheet_length` are what was said of the sheet where not both were. `in_place`: windows and doors
    are cut once the board hangs. `middle_width`: the crew measures one. `bevels` are edges whose backs are
    to be beveled.

    `cut_from` is the offcut that it comes from, None for a sheet; `taped` are the edges that have to keep their factory
    edge, since a tapered joint is planned there. `sides_first`: where sides and ends are cut the sides come first, so
    that the rest of the sheet is as it is needed.

    `ripped` are the directions in which a layout has it smaller than what it is cut from; `breaks` is how far from its
    left the line of its top breaks there, at a peak or where a slope begins: its top is cut along that line.

    `circuits` holds by box what people said of it that still counts.
    """

    name: str
    surface: Surface = Surface.WALL
    unit: Unit = Unit.INCH
    lies: Lies = Lies.STANDING
    edges: dict[Edge, EdgeSetting] = field(default_factory=_default_edges)
    widths: tuple[Reading, ...] = ()
    heights: tuple[Reading, ...] = ()
    diagonals: tuple[Diagonal, ...] = ()
    plumbs: tuple[Plumb, ...] = ()
    boxes: tuple[Box, ...] = ()
    circuits: Mapping[str, Circuit] = field(default_factory=dict)
    openings: tuple[Opening, ...] = ()
    sheet: Sheet | None = None
    thickness: Length = Length("1/2")
    kind: str = "regular"
    layers: int = 1
    framing: Framing = Framing()
    taper: Edge | None = None
    floor_to_ceiling: Length | None = None
    step: Length | None = None
    end: Edge | None = None
    course: Course | None = None
    above_floor: Length | None = None
    base_covers: Length | None = None
    layer: int | None = None
    marks_by: MarksBy = MarksBy.BOTH
    beveled: bool = False
    sheet_width: Length | None = None
    sheet_length: Length | None = None
    in_place: bool = False
    middle_width: bool = True
    bevels: frozenset[Edge] = frozenset()
    room: str | None = None
    cut_from: CutFrom | None = None
    taped: frozenset[Edge] = frozenset()
    sides_first: bool = False
    ripped: frozenset[Dimension] = frozenset()
    breaks: tuple[Length, ...] = ()

    @property
    def on_framing(self) -> bool:
        """Whether it hangs on the framing itself, as far as is known: a later layer is called."""
        return (self.layer or 1) == 1

    @property
    def cut_before(self) -> frozenset[Edge]:
        """The edges that are cut already as it comes."""
        return frozenset() if self.cut_from is None else self.cut_from.cut

    def circuit(self, box: str) -> Circuit:
        """What was said of a box's circuit: unknown where nobody said anything that still counts."""
        return self.circuits.get(box, Circuit.UNKNOWN)
