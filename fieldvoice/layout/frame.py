"""A surface turned so that sheets always run along `u` and courses are counted across `v`, on a grid: lengths as whole
numbers of the largest unit that measures them all, exact, and small enough to count with.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor, gcd, lcm

from fieldvoice.layout.rules import Limits
from fieldvoice.records.board import Lies, Surface
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Dimension, Edge
from fieldvoice.records.room import RoomSurface, level_top, lowest_top, reaches, top_between


@dataclass(frozen=True, slots=True)
class Grid:
    """`unit` inches are one step."""

    unit: Fraction

    @classmethod
    def of(cls, lengths: Iterable[Length]) -> Grid:
        """The coarsest grid that holds every one of the lengths; at least one of them is above zero."""
        inches = [length.inches for length in lengths if length]
        denominator = lcm(*(value.denominator for value in inches))
        numerator = gcd(*(int(value * denominator) for value in inches))
        return cls(Fraction(numerator, denominator))

    def count(self, length: Length) -> int:
        """A length that lies on the grid, as a whole number."""
        steps = length.inches / self.unit
        if steps.denominator != 1:
            raise ValueError(f"{length} is not on a grid of {self.unit} in")
        return steps.numerator

    def up(self, length: Length) -> int:
        """The least whole number that is no shorter."""
        return -((-length.inches) // self.unit)

    def length(self, count: int) -> Length:
        """Back to a length."""
        return Length(self.unit * count)


@dataclass(frozen=True, slots=True)
class FrameHole:
    """An opening in the frame's coordinates."""

    u0: int
    u1: int
    v0: int
    v1: int


@dataclass(frozen=True, slots=True)
class Frame:
    """A surface as its sheets see it: `u` runs along their long edges, `v` across, in steps of `grid`.

    Lying, u runs along the width and v down from the top; standing, u runs down and v along the width. `flip_u` and
    `flip_v` count from the other side. `members` are the centers of the framing; `across` says that they are counted
    along u, so that the sheets lie across them and their ends land on them; else their long edges do.
    """

    surface: RoomSurface
    lies: Lies
    grid: Grid
    length: int
    depth: int
    members: tuple[int, ...]
    across: bool
    holes: tuple[FrameHole, ...]
    flip_u: bool = False
    flip_v: bool = False

    @property
    def wall(self) -> bool:
        """Whether it is a wall, with a gap at its floor."""
        return self.surface.kind is Surface.WALL

    @property
    def sloped(self) -> bool:
        """Whether its top slopes."""
        return self.wall and not level_top(self.surface)

    @property
    def courses_slope(self) -> bool:
        """Whether its top slopes along its courses, and not over the end of a column of standing sheets."""
        return self.sloped and self.lies is Lies.LYING

    @property
    def lowest(self) -> Fraction:
        """How high it is where it is lowest, in steps."""
        return lowest_top(self.surface).inches / self.grid.unit

    @property
    def breaks(self) -> tuple[int, ...]:
        """Where along the wall the slope of its top changes: along u where sheets lie, along v where they stand."""
        if not self.sloped:
            return ()
        far, flipped = (self.length, self.flip_u) if self.lies is Lies.LYING else (self.depth, self.flip_v)
        places = (self.grid.count(point.across) for point in self.surface.top_line[1:-1])
        return tuple(sorted(far - place if flipped else place for place in places))

    def box(self, u0: int, u1: int, v0: int, v1: int) -> tuple[Length, Length, Length, Length]:
        """The rectangle's lower left corner, its width and its height on the surface."""
        if self.flip_u:
            u0, u1 = self.length - u1, self.length - u0
        if self.flip_v:
            v0, v1 = self.depth - v1, self.depth - v0
        back = self.grid.length
        top = self.surface.highest
        if self.lies is Lies.LYING:
            return back(u0), top - back(v1), back(u1 - u0), back(v1 - v0)
        return back(v0), top - back(u1), back(v1 - v0), back(u1 - u0)

    def top_at(self, u: int) -> Fraction:
        """How high the surface is at u (lying only), in steps."""
        x = self.length - u if self.flip_u else u
        return self.surface.top_at(self.grid.length(x)).inches / self.grid.unit

    def highest_in(self, start: int, end: int) -> Fraction:
        """How high the surface is where it is highest between two places along u (lying only), in steps."""
        return max(self._tops(start, end, self.length, flipped=self.flip_u))

    def reach_of(self, high: int) -> tuple[int, int]:
        """From where to where along u the surface is higher than that, in whole steps that hold all of it (lying
        only).
        """
        found = reaches(self.surface, self.grid.length(high))
        if found is None:
            return 0, 0
        left, right = (place.inches / self.grid.unit for place in found)
        start, end = (self.length - right, self.length - left) if self.flip_u else (left, right)
        return floor(start), ceil(end)

    def over(self, near: int, far: int) -> tuple[Fraction, Fraction]:
        """From where on a column of standing sheets has surface on a part of it, and from where on everywhere, in steps
        from the highest place (standing only).
        """
        if not self.sloped:
            return Fraction(0), Fraction(0)
        tops = self._tops(near, far, self.depth, flipped=self.flip_v)
        return self.length - max(tops), self.length - min(tops)

    def _tops(self, start: int, end: int, whole: int, *, flipped: bool) -> list[Fraction]:
        """How high the corners of the top are between two places along the wall, in steps."""
        left, right = (whole - end, whole - start) if flipped else (start, end)
        line = top_between(self.surface, self.grid.length(left), self.grid.length(right))
        return [point.height.inches / self.grid.unit for point in line]


def lying_of(surface: RoomSurface) -> Lies:
    """How its sheets lie where nobody says otherwise: a wall's as called, a ceiling's across the joists."""
    if surface.lies is not None:
        return surface.lies
    return Lies.LYING if surface.members.along is Dimension.WIDTH else Lies.STANDING


def frame_of(surface: RoomSurface, grid: Grid, lies: Lies, start: Edge | None) -> Frame:
    """The surface in steps, its sheets lying or standing, begun at an edge (else at the left and at the top)."""
    along = Dimension.WIDTH if lies is Lies.LYING else Dimension.HEIGHT
    wide, high = grid.count(surface.width), grid.count(surface.highest)
    length, depth = (wide, high) if along is Dimension.WIDTH else (high, wide)
    across = surface.members.along is along
    counted = surface.width if surface.members.along is Dimension.WIDTH else surface.height
    members = [grid.count(center) for center in surface.members.centers(counted)]
    if surface.members.along is Dimension.HEIGHT:
        members = [high - member for member in members]
    flip_u, flip_v = _flips(lies, start)
    if flip_u if across else flip_v:
        members = [(length if across else depth) - member for member in members]
    holes = tuple(_hole(surface, grid, lies, number, flip_u=flip_u, flip_v=flip_v) for number in _numbers(surface))
    return Frame(surface, lies, grid, length, depth, tuple(sorted(members)), across, holes, flip_u, flip_v)


def _flips(lies: Lies, start: Edge | None) -> tuple[bool, bool]:
    right, bottom = start is Edge.RIGHT, start is Edge.BOTTOM
    return (right, bottom) if lies is Lies.LYING else (bottom, right)


def _numbers(surface: RoomSurface) -> range:
    return range(len(surface.openings))


def _hole(surface: RoomSurface, grid: Grid, lies: Lies, number: int, *, flip_u: bool, flip_v: bool) -> FrameHole:
    opening = surface.openings[number]
    wide, high = grid.count(surface.width), grid.count(surface.highest)
    x = (grid.count(opening.left), grid.count(opening.right))
    down = (high - grid.count(opening.top), high - grid.count(opening.bottom))
    (u, length), (v, depth) = ((x, wide), (down, high)) if lies is Lies.LYING else ((down, high), (x, wide))
    u = (length - u[1], length - u[0]) if flip_u else u
    v = (depth - v[1], depth - v[0]) if flip_v else v
    return FrameHole(*u, *v)


@dataclass(frozen=True, slots=True)
class Steps:
    """The rules' figures in steps of a grid."""

    stagger: int
    past_opening: int
    least_piece: int
    least_strip: int
    gap: int
    gap_least: int
    gap_most: int
    layer_shift: int
    module: int
    slope_step: int


def steps_of(limits: Limits, grid: Grid) -> Steps:
    """The figures as whole numbers."""
    return Steps(*(grid.count(getattr(limits, name)) for name in Steps.__slots__))
