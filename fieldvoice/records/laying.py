"""What a layout was made from: the surfaces called, the sheets to be had, the wishes, and what was cut already."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from typing import Self

from fieldvoice.records.board import Lies, Offcut, Sheet, Surface
from fieldvoice.records.length import ZERO, Length, Unit
from fieldvoice.records.meaning import Course, Edge, TopPoint
from fieldvoice.records.room import RoomSurface, RoughOpening, SurfaceName, level_top, name_of
from fieldvoice.records.room_plan import Piece, PieceName


@dataclass(frozen=True, slots=True)
class StartFrom:
    """Full sheets from this side on; the cut ones go to the other ("start from the right")."""

    edge: Edge
    surface: SurfaceName | None = None


@dataclass(frozen=True, slots=True)
class HangThem:
    """Sheets lying or standing ("stand them up")."""

    lies: Lies
    surface: SurfaceName | None = None


@dataclass(frozen=True, slots=True)
class OnlyLengths:
    """Sheets of these lengths alone ("twelve footers only")."""

    lengths: tuple[Length, ...]


PlannersWish = StartFrom | HangThem | OnlyLengths
"""A wish; `surface` None means every wall (a ceiling's sheets lie by its joists unless it is named)."""


@dataclass(frozen=True, slots=True)
class Hung:
    """Where a piece is on its surface and what it was to be cut from: all of a `Piece` but what stands beside it, which
    goes by what hangs there at the time.
    """

    layer: int
    x: Length
    y: Length
    width: Length
    height: Length
    lies: Lies
    course: Course | int
    sheet: Sheet
    left_height: Length
    right_height: Length
    below_top: Length | None = None
    """How far its top is below that of its wall, where it lies under a level one: courses hang from the ceiling down,
    so that it stays there when the wall's height is mended."""
    bends: tuple[TopPoint, ...] = ()

    @classmethod
    def of(cls, piece: Piece, surface: RoomSurface) -> Self:
        """A piece of the plan of its surface, as it stays."""
        level = piece.lies is Lies.LYING and _level(surface)
        below = surface.highest - piece.top if level else None
        return cls(**{name: getattr(piece, name) for name in _OF_PIECE}, below_top=below)

    def on(self, surface: RoomSurface) -> Self:
        """Where it is on its surface as that is called now."""
        if self.below_top is None or not _level(surface):
            return self
        return replace(self, y=surface.highest - self.below_top - self.height)

    def inside(self, surface: RoomSurface) -> bool:
        """Whether it still lies on its surface: one that was called smaller since has no place for it, nor where an
        opening was called since that its course ends at.
        """
        right, top = self.x + self.width, self.y + self.height
        corners = (TopPoint(ZERO, self.left_height), *self.bends, TopPoint(self.width, self.right_height))
        over = any(self.y + one.height > surface.top_at(self.x + one.across) for one in corners)
        if self.y < ZERO or right > surface.width or over:
            return False
        return not any(
            self._split(each)
            for each in surface.openings
            if self.x < each.right and each.left < right and self.y < each.top and each.bottom < top
        )

    def _split(self, opening: RoughOpening) -> bool:
        """Whether an opening on it leaves nothing of its course, or of its column where it stands."""
        if self.lies is Lies.STANDING:
            return opening.left <= self.x and opening.right >= self.x + self.width
        return opening.bottom <= self.y and opening.top >= self.y + self.height

    def over(self, other: Hung) -> bool:
        """Whether the two would hang over each other, in one layer."""
        beside = self.x + self.width <= other.x or other.x + other.width <= self.x
        apart = self.y + self.height <= other.y or other.y + other.height <= self.y
        return self.layer == other.layer and not beside and not apart

    def piece(self, name: PieceName) -> Piece:
        """As a piece, with nothing known of its edges."""
        return Piece(name, edges={}, **{each: getattr(self, each) for each in _OF_PIECE})


_OF_PIECE = tuple(each.name for each in fields(Hung) if each.name != "below_top")


def _level(surface: RoomSurface) -> bool:
    """Whether it is a wall whose top doesn't slope."""
    return surface.kind is Surface.WALL and level_top(surface)


@dataclass(frozen=True, slots=True)
class CutPiece:
    """A board of the job that is cut, or measured: the planned `piece` that it is, if any, with the place that a layout
    had it at, `hung`. `offcut` is
    the name of what it is cut from, None for a whole sheet; `left` is what that leaves. `settled`: by its readings,
    else as planned, for want of them. `left` goes by the order of its cuts, `sides_first`, and by how the offcut was
    turned: `cut_before` are the board's edges that were cut on it.

    An offcut from elsewhere is one as well, under its own name: what is left is that offcut, and no board was cut. So
    is one that broke: it was cut from itself, and nothing is left.
    """

    board: str
    piece: PieceName | None
    offcut: str | None
    left: tuple[Offcut, ...]
    settled: bool
    hung: Hung | None = None
    sides_first: bool = False
    cut_before: frozenset[Edge] = frozenset()

    @classmethod
    def from_elsewhere(cls, offcut: Offcut) -> Self:
        """An offcut that no cut of this job left."""
        return cls(offcut.name, None, None, (offcut,), settled=True)

    @classmethod
    def broken(cls, offcut: Offcut) -> Self:
        """An offcut that a cut of this job left, and that is no more."""
        return cls(offcut.name, None, offcut.name, (), settled=True)

    @property
    def is_broken(self) -> bool:
        """Whether it is an offcut that is no more."""
        return self.offcut == self.board

    @property
    def is_told(self) -> bool:
        """Whether it is an offcut from elsewhere: what a board leaves is never called as the board is."""
        return any(one.name == self.board for one in self.left)


@dataclass(frozen=True, slots=True)
class Laying:
    """One time that the surfaces of a job were laid out. `cut` are the pieces that had readings or a settled plan by
    then, in the order of cutting: they stay where they are, and what they left is used before a sheet is bought. The
    plan is worked out from this alone, whatever was laid out before.
    """

    unit: Unit
    sheets: tuple[Sheet, ...]
    surfaces: tuple[RoomSurface, ...]
    wishes: tuple[PlannersWish, ...] = ()
    cut: tuple[CutPiece, ...] = ()

    def asks_as(self, other: Laying | None) -> bool:
        """Whether it is of the same surfaces, sheets and wishes as another one, whatever is cut by now."""
        return other is not None and replace(self, cut=()) == replace(other, cut=())

    @property
    def hanging(self) -> tuple[CutPiece, ...]:
        """Those of `cut` that have a place on the surfaces as they are called now, with that place. Where two would
        hang over each other, or have one name, it is the first that was cut.
        """
        surfaces = {name_of(each): each for each in self.surfaces}
        found: dict[SurfaceName, list[tuple[CutPiece, Hung]]] = {}
        for one in self.cut:
            surface = None if one.piece is None else surfaces.get(one.piece.surface)
            hung = None if surface is None or one.hung is None else one.hung.on(surface)
            if surface is None or hung is None or not hung.inside(surface):
                continue
            beside = found.setdefault(name_of(surface), [])
            if not any(one.piece == other.piece or hung.over(there) for other, there in beside):
                beside.append((one, hung))
        places = {one.board: hung for beside in found.values() for one, hung in beside}
        return tuple(replace(one, hung=places[one.board]) for one in self.cut if one.board in places)

    @property
    def begun(self) -> tuple[CutPiece, ...]:
        """Those of `cut` whose sheets are begun: all that are cut, and those that hang, or never had a place."""
        hanging = {one.board for one in self.hanging}
        return tuple(one for one in self.cut if one.settled or one.piece is None or one.board in hanging)

    def __hash__(self) -> int:
        """By what is quickly looked at: a house has thousands of lengths, and this is asked for many times a turn."""
        return hash((self.unit, self.sheets, self.wishes, len(self.surfaces), tuple(one.board for one in self.cut)))
