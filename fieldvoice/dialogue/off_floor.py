"""How far the floor is from a board of a wall that doesn't stand on it: what is called from the bottom counts from
there. A board hangs from what is above it, so that this follows from how high its wall is and from what was measured,
and never from how high the layout has its lower edge. Where what was measured doesn't go together, it is left unknown
and asked.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from fieldvoice.records.length import ZERO, Length
from fieldvoice.records.meaning import Edge, Neighbor, Reading, Slot, Topic
from fieldvoice.records.room import height_at
from fieldvoice.records.room_plan import Piece, PieceName

if TYPE_CHECKING:
    from fieldvoice.layout.boards import PlannedBoard

SAYS_WHERE_THE_FLOOR_IS = frozenset({Topic.FLOOR_TO_CEILING, Topic.ABOVE_FLOOR})
"""What places the floor below a board that doesn't stand on it."""
NOT_TOGETHER = Length("1/4")
"""How far what was measured of the boards of a wall may be from its height (our own rule: a box's cover hides less)."""

Heights = Mapping[PieceName, Sequence[Reading]]
"""What was measured of the heights of the pieces that are boards of the job."""


def with_its_floor(known: PlannedBoard, pieces: Sequence[Piece], measured: Heights) -> PlannedBoard:
    """A board of the layout with where the floor is below it, as it was measured: from floor to ceiling where its
    wall's top is level and it hangs from there, else how high its lower edge is. Without either where its height
    differs from end to end below a slope or another board, or where the boards below it leave another height than
    its wall's.
    """
    if known.board.above_floor is None:
        return known
    hung = Hung(tuple(one for one in pieces if one.name.surface == known.piece.name.surface), measured)
    at_ceiling = known.ceiling is not None and known.board.edges[Edge.TOP].neighbor is Neighbor.CEILING
    higher = hung.lower_edge(known.piece)
    up = known.board.above_floor + next(iter(higher)) if len(higher) == 1 and hung.go_together(known.piece) else ZERO
    whole = known.ceiling if at_ceiling and hung.go_together(known.piece) else None
    board = replace(known.board, floor_to_ceiling=whole, above_floor=up if up > ZERO and not at_ceiling else None)
    return replace(known, board=board)


class Hung:
    """The pieces of a wall as they were measured: each hangs from what is above it."""

    def __init__(self, pieces: Sequence[Piece], measured: Heights) -> None:
        self._pieces, self._measured = pieces, measured

    def lower_edge(self, piece: Piece) -> set[Length]:
        """By how much a piece's lower edge is higher than laid out, at each place where that is known."""
        above = [one for one in self._pieces if one.y == piece.top and _share_an_edge(one, piece)]
        tops = set().union(*(self.lower_edge(one) for one in above)) or {ZERO}
        return {top + short for top in tops for short in self._short(piece) or {ZERO}}

    def go_together(self, piece: Piece) -> bool:
        """Whether the boards below a piece, as far as they were measured down to the floor, end where it does."""
        found = {short for one in self._below(piece) for short in self._down(one)}
        return all(min(abs(up + each) for up in self.lower_edge(piece)) <= NOT_TOGETHER for each in found)

    def _down(self, piece: Piece) -> set[Length]:
        """By how much less it is from a piece's upper edge down to the floor than laid out; none where not measured."""
        own = self._short(piece)
        if piece.edges[Edge.BOTTOM].neighbor is Neighbor.FLOOR:
            return own
        return {short + more for short in own for one in self._below(piece) for more in self._down(one)}

    def _below(self, piece: Piece) -> Iterator[Piece]:
        return (one for one in self._pieces if one.top == piece.y and _share_an_edge(one, piece))

    def _short(self, piece: Piece) -> set[Length]:
        """By how much less was measured of a piece than laid out, each time."""
        below = piece.y if piece.edges[Edge.BOTTOM].neighbor is Neighbor.FLOOR else ZERO
        return {_laid_out(piece, one) + below - one.value for one in self._measured.get(piece.name, ())}


def _share_an_edge(one: Piece, other: Piece) -> bool:
    return one.layer == other.layer and one.x < other.right and other.x < one.right


def _laid_out(piece: Piece, reading: Reading) -> Length:
    """How high a piece is laid out where a height of it was measured."""
    match reading.at:
        case Slot.LEFT:
            return piece.left_height
        case Slot.RIGHT:
            return piece.right_height
        case Length() as across:
            return height_at(piece.top_corners, min(max(across, ZERO), piece.width))
    return height_at(piece.top_corners, piece.width / 2)
