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
    Diagonal,
    Edge,
    Neighbour,
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


@dataclass(frozen=True, slots=True)
class CircuitWord:
    """What somebody said of a box's circuit, and when. It repeats their word and claims nothing itself."""

    state: Circuit
    by: str
    at: datetime


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
    not the unit's own (1/16 in, 1 mm). `circuits` holds by box what
    people said of it that still counts.
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

    def circuit(self, box: str) -> Circuit:
        """What was said of a box's circuit: unknown where nobody said anything that still counts."""
        return self.circuits.get(box, Circuit.UNKNOWN)
