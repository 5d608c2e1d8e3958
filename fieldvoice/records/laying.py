"""What a layout was made from: the surfaces called, the sheets to be had, the wishes, and what was cut already."""

from __future__ import annotations

from dataclasses import dataclass

from fieldvoice.records.board import Sheet
from fieldvoice.records.length import Unit
from fieldvoice.records.room import RoomSurface
from fieldvoice.records.room_plan import Offcut, PieceName
from fieldvoice.records.wish import LayoutWish


@dataclass(frozen=True, slots=True)
class CutPiece:
    """A planned piece that is a board of the job and keeps its place. `offcut` is the name of what it is cut from, None
    for a whole sheet; `left` is what that leaves. `settled`: by its readings, else as planned, for want of them.
    """

    board: str
    piece: PieceName
    offcut: str | None
    left: tuple[Offcut, ...]
    settled: bool


@dataclass(frozen=True, slots=True)
class Laying:
    """One time that the surfaces of a job were laid out. `cut` are the pieces that had readings or a settled plan by
    then, in the order of cutting: they stay where they are, and what they left is used before a sheet is bought.
    """

    unit: Unit
    sheets: tuple[Sheet, ...]
    surfaces: tuple[RoomSurface, ...]
    wishes: tuple[LayoutWish, ...] = ()
    cut: tuple[CutPiece, ...] = ()
