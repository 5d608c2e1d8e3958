"""A board to hang, as the readings describe it: the whole input of the cutting room."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import (
    BoxKind,
    Circuit,
    Coordinate,
    Diagonal,
    Edge,
    Neighbour,
    OpeningKind,
    Place,
    Plumb,
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


@dataclass(frozen=True, slots=True)
class Taken:
    """A reading in its place: a width at top, middle, bottom or a distance from the top; a height at left, middle,
    right or a distance from the left.
    """

    at: Place
    value: Length


@dataclass(frozen=True, slots=True)
class Box:
    """An electrical box behind the board, with what people said of its circuit and who said it. Where all four sides
    were called, `x` and `y` are the near ones and `far` holds the far ones.
    """

    name: str
    kind: BoxKind
    x: Coordinate
    y: Coordinate
    state: Circuit = Circuit.UNKNOWN
    plugged_in: bool = False
    state_by: str | None = None
    far: tuple[Coordinate, Coordinate] | None = None


@dataclass(frozen=True, slots=True)
class Opening:
    """Any other hole or notch; see `OpeningMark` for what the fields mean."""

    name: str
    kind: OpeningKind
    xs: tuple[Coordinate, ...]
    ys: tuple[Coordinate, ...]
    width: Length | None = None
    height: Length | None = None
    diameter: Length | None = None


@dataclass(frozen=True, slots=True)
class Framing:
    """What the board is fastened to; `studs` are centres from the board's left neighbour."""

    material: str = "wood"
    spacing: Length = Length(16)
    studs: tuple[Length, ...] = ()


@dataclass(frozen=True, slots=True)
class EdgeSetting:
    """What stands at an edge, and the clearance if the hanger said one (else the table's)."""

    neighbour: Neighbour
    clearance: Length | None = None


def _default_edges() -> dict[Edge, EdgeSetting]:
    return {
        Edge.LEFT: EdgeSetting(Neighbour.BOARD),
        Edge.RIGHT: EdgeSetting(Neighbour.WALL),
        Edge.TOP: EdgeSetting(Neighbour.CEILING),
        Edge.BOTTOM: EdgeSetting(Neighbour.FLOOR),
    }


@dataclass(frozen=True, slots=True)
class Board:
    """One piece to hang. Everything is as measured: clearances are not yet taken off.

    `taper` is the side to cut if the hanger said one; `sheet` is what to cut from if the hanger said one, else the
    cutting room chooses. `floor_to_ceiling` converts readings taken from the floor. `step` is how fine the marks are if
    not the unit's own (1/16 in, 1 mm).
    """

    name: str
    surface: Surface = Surface.WALL
    unit: Unit = Unit.INCH
    lies: Lies = Lies.STANDING
    edges: dict[Edge, EdgeSetting] = field(default_factory=_default_edges)
    widths: tuple[Taken, ...] = ()
    heights: tuple[Taken, ...] = ()
    diagonals: tuple[Diagonal, ...] = ()
    plumbs: tuple[Plumb, ...] = ()
    boxes: tuple[Box, ...] = ()
    openings: tuple[Opening, ...] = ()
    sheet: Sheet | None = None
    thickness: Length = Length("1/2")
    kind: str = "regular"
    layers: int = 1
    framing: Framing = Framing()
    taper: Edge | None = None
    floor_to_ceiling: Length | None = None
    step: Length | None = None
