"""Pieces that are wanted, whatever for, and the sheets to cut them from."""

from __future__ import annotations

from dataclasses import dataclass

from fieldvoice.records.board import Sheet
from fieldvoice.records.length import Length, Unit


@dataclass(frozen=True, slots=True)
class WantedPiece:
    """Pieces of one size: `length` along the sheet, `width` across; `tapered` long edges are to be factory edges."""

    name: str
    length: Length
    width: Length
    count: int
    tapered: int


@dataclass(frozen=True, slots=True)
class PieceList:
    """All that is wanted, and the sheets to be had."""

    unit: Unit
    sheets: tuple[Sheet, ...]
    pieces: tuple[WantedPiece, ...]
