"""What a layout was made from: the surfaces called, the sheets to be had, the wishes, and what was cut already."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Self

from fieldvoice.records.board import Lies, Sheet
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Course, Edge
from fieldvoice.records.room import RoomSurface, SurfaceName
from fieldvoice.records.room_plan import Offcut, Piece, PieceName


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

    @classmethod
    def of(cls, piece: Piece) -> Self:
        """A piece of the plan, as it stays."""
        return cls(*(getattr(piece, each.name) for each in fields(cls)))

    def piece(self, name: PieceName) -> Piece:
        """As a piece, with nothing known of its edges."""
        return Piece(name, edges={}, **{each.name: getattr(self, each.name) for each in fields(self)})


@dataclass(frozen=True, slots=True)
class CutPiece:
    """A planned piece that is a board of the job and keeps its place, `hung`, where a layout ever had it. `offcut` is
    the name of what it is cut from, None for a whole sheet; `left` is what that leaves. `settled`: by its readings,
    else as planned, for want of them. `left` goes by the order of its cuts, `sides_first`, and by how the offcut was
    turned: `cut_before` are the board's edges that were cut on it.
    """

    board: str
    piece: PieceName
    offcut: str | None
    left: tuple[Offcut, ...]
    settled: bool
    hung: Hung | None = None
    sides_first: bool = False
    cut_before: frozenset[Edge] = frozenset()


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

    def __hash__(self) -> int:
        """By what is quickly looked at: a house has thousands of lengths, and this is asked for many times a turn."""
        return hash((self.unit, self.sheets, self.wishes, len(self.surfaces), tuple(one.board for one in self.cut)))
