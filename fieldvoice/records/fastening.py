"""How a board is fastened: which screw or nail, how far apart, where each one goes, and who can lift the board; where a
figure of it comes from, and how sure that is.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction

from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Edge


class Confidence(StrEnum):
    """How a figure was come by: read in its source, read in a page that reports it, calculated, or remembered."""

    SEEN = "seen"
    REPORTED = "reported"
    CALCULATED = "calculated"
    MEMORY_HIGH = "memory, high"
    MEMORY_MEDIUM = "memory, medium"
    MEMORY_LOW = "memory, low"
    PRACTICE = "common practice, no source"
    OWN = "your own table"


@dataclass(frozen=True, slots=True)
class Citation:
    """Who says so: a publication with its place in it, and how it was come by."""

    text: str
    confidence: Confidence


class Fastener(StrEnum):
    """What holds the board."""

    SCREW = "screw"
    NAIL = "nail"


class Grip(StrEnum):
    """What holds the fastener: a screw's thread or a nail's shank."""

    COARSE = "coarse thread"
    FINE = "fine thread"
    RINGED = "ringed shank"
    SMOOTH = "smooth shank"


class Location(StrEnum):
    """Where a board hangs, as far as the rules tell places apart."""

    WALL = "wall"
    CEILING = "ceiling"
    GARAGE_WALL = "garage wall"
    GARAGE_CEILING = "garage ceiling"

    @property
    def overhead(self) -> bool:
        """Whether board hangs under it."""
        return self in {Location.CEILING, Location.GARAGE_CEILING}

    @property
    def kind_of(self) -> Location:
        """The place whose rules hold where there are none of its own."""
        return Location.CEILING if self.overhead else Location.WALL


class Direction(StrEnum):
    """How a board's long edges run: across its framing or along it."""

    ACROSS = "across"
    ALONG = "along"


class Bending(StrEnum):
    """Which way a board is bent round a curve: its long side, or its short one."""

    LENGTHWISE = "lengthwise"
    WIDTHWISE = "widthwise"


@dataclass(frozen=True, slots=True)
class Bend:
    """How far a dry board of a thickness bends one way: to `least`, and whether the curve asked for is no tighter.
    `layers` of board of the `kind` take it together.
    """

    thickness: Length
    way: Bending
    least: Ruling
    bends: bool
    kind: str = "regular"
    layers: int = 1


class Authority(StrEnum):
    """Who asks for a figure: the hanger's own table, a published code, or the trade."""

    OWN = "own"
    CODE = "code"
    PRACTICE = "practice"


@dataclass(frozen=True, slots=True)
class Requirement:
    """A figure that somebody asks for."""

    value: Length
    authority: Authority
    source: Citation


@dataclass(frozen=True, slots=True)
class Ruling:
    """What is asked for in one matter, the one in force first: the own table's, else the stricter; the others after."""

    requirements: tuple[Requirement, ...]

    @property
    def value(self) -> Length:
        """The figure in force."""
        return self.requirements[0].value


@dataclass(frozen=True, slots=True)
class Situation:
    """All that the rules ask about a board before they say how it is fastened. `spacing` is the framing's, center to
    center; `thickness` is one layer's.
    """

    location: Location
    thickness: Length
    kind: str = "regular"
    layers: int = 1
    framing: str = "wood"
    spacing: Length = Length(16)
    direction: Direction = Direction.ACROSS
    fastener: Fastener = Fastener.SCREW
    grip: Grip | None = None
    adhesive: bool = False
    double_nailing: bool = False


class FramingDoubt(StrEnum):
    """What about a board on its framing the rules don't bear out."""

    TOO_WIDE = "framing too wide"
    NOT_LISTED = "not listed"
    SAG = "sags"
    FIRE = "fire"
    BETWEEN = "between two rules"


@dataclass(frozen=True, slots=True)
class FramingConcern:
    """A doubt with the framing spacing that the rules allow, where they allow any; at a garage, with the thickness, and
    the kind of board, that they ask for; for a thickness that no rule is written for, that whose rules are taken.
    """

    doubt: FramingDoubt
    allowed: Ruling | None = None
    kind: str | None = None
    by: Length | None = None


@dataclass(frozen=True, slots=True)
class Schedule:
    """How one board is fastened. `lengths` has one ruling a layer, the layer on the framing first; `edge` and `field`
    are the most between two fasteners along a framing member at an edge and elsewhere; `edge_distance` is the least
    from an edge or an opening to a fastener, `edge_distance_most` the most where a rule has one. Of nails that are
    doubled `pair` is the least from one to its second in the field, `pair_most` the most.
    """

    situation: Situation
    fastener: Fastener
    grip: Grip
    lengths: tuple[Ruling, ...]
    edge: Ruling
    field: Ruling
    edge_distance: Ruling
    edge_distance_most: Ruling | None = None
    pair: Ruling | None = None
    pair_most: Ruling | None = None
    concerns: tuple[FramingConcern, ...] = ()


class Stage(StrEnum):
    """When a fastener goes in: the first few hold the board away from boxes until these are cut. A second nail goes in
    beside its first one once all of these are in.
    """

    FIRST = "first"
    REST = "rest"
    SECOND = "second"


@dataclass(frozen=True, slots=True)
class Spot:
    """Where one fastener goes: from the left and the top of the finished board's outermost edges."""

    x: Length
    y: Length
    along_edge: bool
    stage: Stage


@dataclass(frozen=True, slots=True)
class FramingMark:
    """A framing member's center, to be marked at the two edges that it runs between, along each: from the left corner
    at the top and at the bottom, or from the top corner at the left and at the right. None where the board is open at
    that end.
    """

    edges: tuple[Edge, Edge]
    distances: tuple[Length | None, Length | None]


@dataclass(frozen=True, slots=True)
class Weight:
    """Pounds, from the upper figure a square foot: the `sheet` that is carried to be cut, the board as it is `lifted`
    (less the openings that are cut before it hangs), and the finished `piece` (less all of them).
    """

    piece: Fraction
    lifted: Fraction
    sheet: Fraction
    source: Citation


class Crew(StrEnum):
    """Who lifts a board into its place."""

    ONE = "one"
    TWO = "two"
    LIFT = "lift"


@dataclass(frozen=True, slots=True)
class Handling:
    """Who lifts how many pounds, by the most that the lifting equation recommends for one person in the best case;
    `limit` is None where the lift lies outside the equation. `people` are how many at least where no lift is at hand.
    """

    crew: Crew
    people: int
    pounds: Fraction
    limit: Fraction | None
    source: Citation


@dataclass(frozen=True, slots=True)
class FasteningPlan:
    """How one board is fastened and lifted. `framing_called` says that the members' places were called and not only
    their spacing; `off_framing` are the joints with no called member behind them.
    """

    schedule: Schedule
    spots: tuple[Spot, ...]
    marks: tuple[FramingMark, ...]
    framing_called: bool
    off_framing: tuple[Edge, ...]
    weight: Weight
    carrying: Handling
    hanging: Handling

    @property
    def count(self) -> int:
        """How many fasteners the board takes."""
        return len(self.spots)
