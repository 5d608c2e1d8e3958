"""A job half hung: what hangs and what is on the rack, and the rest of the house planned anew."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from fieldvoice.records.meaning import Edge
from fieldvoice.records.room_plan import Offcut, Pattern, Piece, PieceName, PlacedPiece, RoomPlan
from fieldvoice.stock.patterns import turned
from fieldvoice.stock.rack import Rack, cut_patterns

EMPTY = Rack()
"""A rack with nothing on it."""


@dataclass(frozen=True, slots=True)
class HalfHung:
    """Pieces that hang, and the rack as it then is. Pieces that are cut and don't hang yet lie among the offcuts."""

    done: tuple[Piece, ...]
    rack: Rack


def half_hung(made: RoomPlan, hung: Collection[PieceName], rack: Rack = EMPTY) -> HalfHung:
    """Where a job stands once these pieces of a plan hang: sheets of which one hangs are cut up, the others whole."""
    for pattern in cut_patterns(made.patterns, hung):
        rack = rack.after(pattern)
        rack = rack.with_offcuts(_loose(pattern, piece) for piece in pattern.pieces if piece.name not in hung)
    return HalfHung(tuple(piece for piece in made.pieces if piece.name in hung), rack)


def _loose(pattern: Pattern, piece: PlacedPiece) -> Offcut:
    """A piece that is cut and doesn't hang yet, as an offcut under its own name."""
    sheet = pattern.sheet
    own = {
        Edge.LEFT: not piece.x,
        Edge.RIGHT: piece.x + piece.length == sheet.length,
        Edge.TOP: not piece.y,
        Edge.BOTTOM: piece.y + piece.width == sheet.width,
    }
    whole = frozenset(Edge) if pattern.offcut is None else turned(pattern.offcut)
    factory = frozenset(edge for edge in whole if own[edge])
    return Offcut(str(piece.name), piece.length, piece.width, factory, sheet.thickness, sheet.kind)
