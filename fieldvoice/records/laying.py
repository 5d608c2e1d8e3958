"""What a layout was made from: the surfaces called, the sheets to be had, the wishes, and what was opened as boards."""

from __future__ import annotations

from dataclasses import dataclass

from fieldvoice.records.board import Sheet
from fieldvoice.records.length import Unit
from fieldvoice.records.room import RoomSurface
from fieldvoice.records.room_plan import PieceName
from fieldvoice.records.wish import LayoutWish


@dataclass(frozen=True, slots=True)
class Laying:
    """One time that the surfaces of a job were laid out. `opened` are the pieces that were boards of the job by then:
    they stay as they are, and what their sheets left is used before a sheet is bought.
    """

    unit: Unit
    sheets: tuple[Sheet, ...]
    surfaces: tuple[RoomSurface, ...]
    wishes: tuple[LayoutWish, ...] = ()
    opened: tuple[PieceName, ...] = ()
