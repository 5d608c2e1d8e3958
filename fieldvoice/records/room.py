"""A room or a house before it is hung: its walls and ceilings, what they are framed with, and the sheets on hand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise
from math import ceil

from fieldvoice.records.board import Lies, Offcut, Sheet, Surface
from fieldvoice.records.length import ZERO, Length, Unit, on_a_mark
from fieldvoice.records.meaning import Dimension, Edge, TopPoint

HALF_INCH = Length("1/2")
USUAL = {Unit.INCH: HALF_INCH, Unit.MM: Length.of("12.5", Unit.MM)}
"""How thick the board is where nobody said."""


LIKELY_SIDES = (Length(24), Length(720))
"""The sides of walls and ceilings: what is shorter or longer is of another unit, or misheard (our own rule)."""
NARROWEST_WALL = Length(8)
"""A return beside a door or a closet (our own rule)."""
HIGHEST_WALL = Length(288)
"""Few walls are higher that a crew hangs by hand (our own rule)."""


def unlikely_side(kind: Surface, width: Length, highest: Length) -> Length | None:
    """The first side that few walls or ceilings have, None where both are likely."""
    least, most = LIKELY_SIDES
    narrowest, limit = (NARROWEST_WALL, HIGHEST_WALL) if kind is Surface.WALL else (least, most)
    if not narrowest <= width <= most:
        return width
    return None if least <= highest <= limit else highest


class Material(StrEnum):
    """What the framing is made of; it decides on the screw."""

    WOOD = "wood"
    STEEL = "steel"


@dataclass(frozen=True, slots=True)
class Members:
    """Studs or joists: their centers along a dimension of the surface.

    Either `spacing` on center from the edge `start` (a wall's left or right end; a ceiling's left or bottom side), or
    the `places` themselves, measured from there. `along` is the dimension they are counted along: studs always along
    the width. Ends of a surface and jambs of its openings are framing without being listed.
    """

    spacing: Length | None = None
    start: Edge = Edge.LEFT
    places: tuple[Length, ...] = ()
    along: Dimension = Dimension.WIDTH
    material: Material = Material.WOOD

    def centers(self, extent: Length) -> tuple[Length, ...]:
        """The centers inside a surface that measures `extent` along, from its left or bottom side, in order; those of a
        spacing that no tape shows, as of five spaces in eight feet, at the nearest mark.
        """
        places = self.places
        if self.spacing is not None:
            places = tuple(on_a_mark(self.spacing * count) for count in range(1, ceil(extent / self.spacing)))
        if self.start in (Edge.RIGHT, Edge.TOP):
            places = tuple(extent - place for place in places)
        return tuple(sorted(place for place in places if ZERO < place < extent))


class RoughOpeningKind(StrEnum):
    """What an opening in a surface is for."""

    WINDOW = "window"
    DOOR = "door"
    LIGHT = "light"
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class RoughOpening:
    """A framed hole in a wall or ceiling, measured from the surface's lower left corner, seen from the room."""

    kind: RoughOpeningKind
    left: Length
    bottom: Length
    width: Length
    height: Length

    @property
    def right(self) -> Length:
        """Its right jamb."""
        return self.left + self.width

    @property
    def top(self) -> Length:
        """Its head."""
        return self.bottom + self.height


def line_of_top(
    width: Length, left: Length, right: Length | None = None, breaks: tuple[TopPoint, ...] = ()
) -> tuple[TopPoint, ...]:
    """The line of a top from its left end to its right, which is as high where nothing else is said."""
    return TopPoint(ZERO, left), *breaks, TopPoint(width, left if right is None else right)


def height_at(line: Sequence[TopPoint], x: Length) -> Length:
    """How high a line of points is somewhere along it."""
    for left, right in pairwise(line):
        if x <= right.across:
            run = right.across - left.across
            return left.height + (right.height - left.height) * ((x - left.across) / run) if run else right.height
    return line[-1].height


def level_top(surface: RoomSurface) -> bool:
    """Whether its top is as high everywhere."""
    return len({point.height for point in surface.top_line}) == 1


def lowest_top(surface: RoomSurface) -> Length:
    """How high it is where it is lowest."""
    return min(point.height for point in surface.top_line)


def top_between(surface: RoomSurface, left: Length, right: Length) -> tuple[TopPoint, ...]:
    """The line of its top from one place to another, both ends among it."""
    inside = (point for point in surface.top_line if left < point.across < right)
    return (TopPoint(left, surface.top_at(left)), *inside, TopPoint(right, surface.top_at(right)))


def reaches(surface: RoomSurface, high: Length) -> tuple[Length, Length] | None:
    """From where to where a surface is at least so high, None where it is nowhere: its top falls to either side."""
    places: list[Length] = []
    for left, right in pairwise(surface.top_line):
        places += [point.across for point in (left, right) if point.height >= high]
        if min(left.height, right.height) < high < max(left.height, right.height):
            part = (high - left.height) / (right.height - left.height)
            places.append(left.across + (right.across - left.across) * part)
    return (min(places), max(places)) if places else None


@dataclass(frozen=True, slots=True)
class Wall:
    """A wall, seen from the room. `height` is what is to be covered under the hung ceiling, from the floor up;
    where the top slopes it is the height at the left end and `top_right_height` that at the right. `breaks` are the
    places in between where the slope changes, from the left: one for a peak, two for a level part between slopes; from
    the highest place the top falls to either side. `lies` None: sheets lie, but under a slope they may stand.
    """

    room: str
    name: str
    width: Length
    height: Length
    studs: Members
    openings: tuple[RoughOpening, ...] = ()
    top_right_height: Length | None = None
    thickness: Length = HALF_INCH
    board: str = "regular"
    layers: int = 1
    lies: Lies | None = None
    breaks: tuple[TopPoint, ...] = ()

    @property
    def kind(self) -> Surface:
        """A wall."""
        return Surface.WALL

    @property
    def members(self) -> Members:
        """Its studs."""
        return self.studs

    @property
    def top_line(self) -> tuple[TopPoint, ...]:
        """The line of its top from its left end to its right."""
        return line_of_top(self.width, self.height, self.top_right_height, self.breaks)

    def top_at(self, x: Length) -> Length:
        """Its height at a distance from its left end."""
        return height_at(self.top_line, x)

    @property
    def highest(self) -> Length:
        """Its height where it is highest."""
        return max(point.height for point in self.top_line)


@dataclass(frozen=True, slots=True)
class Ceiling:
    """A ceiling as if drawn on a page: `width` across, `length` up. Sheets that lie have their long edges across.

    `lies` None leaves it to the joists: long edges across the joists.
    """

    room: str
    name: str
    width: Length
    length: Length
    joists: Members
    openings: tuple[RoughOpening, ...] = ()
    thickness: Length = HALF_INCH
    board: str = "regular"
    layers: int = 1
    lies: Lies | None = None

    @property
    def kind(self) -> Surface:
        """A ceiling."""
        return Surface.CEILING

    @property
    def members(self) -> Members:
        """Its joists."""
        return self.joists

    @property
    def height(self) -> Length:
        """Its length, the way that `y` runs."""
        return self.length

    @property
    def top_line(self) -> tuple[TopPoint, ...]:
        """Its far side."""
        return line_of_top(self.width, self.length)

    def top_at(self, x: Length) -> Length:  # noqa: ARG002 - as a wall's
        """Its length, everywhere the same."""
        return self.length

    @property
    def highest(self) -> Length:
        """Its length."""
        return self.length


RoomSurface = Wall | Ceiling
"""A wall or a ceiling to be covered."""


@dataclass(frozen=True, slots=True, order=True)
class SurfaceName:
    """What a surface is called; unique in a house."""

    room: str
    name: str

    def __str__(self) -> str:
        return f"{self.room} {self.name}".strip()


def name_of(surface: RoomSurface) -> SurfaceName:
    """The surface's room and name together."""
    return SurfaceName(surface.room, surface.name)


@dataclass(frozen=True, slots=True)
class House:
    """All that is planned together: its surfaces in the order in which they were called, and the sheets to be had.

    A sheet of `sheets` is to be had in every thickness and kind of board that a surface asks for; only its `width` and
    `length` count. `offcuts` are left over from elsewhere, and used before a sheet is bought.
    """

    name: str | None
    unit: Unit
    sheets: tuple[Sheet, ...]
    surfaces: tuple[RoomSurface, ...]
    offcuts: tuple[Offcut, ...] = ()
