"""A sheet's fill laid out on the sheet: where each piece lies, and every rectangle that is left, with its edges."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from fieldvoice.records.board import Lies, Sheet
from fieldvoice.records.length import ZERO, Length
from fieldvoice.records.meaning import Edge
from fieldvoice.records.room_plan import Offcut, Pattern, PieceName, PlacedPiece
from fieldvoice.stock.needs import Band, Fill, PieceSize, RippedLength
from fieldvoice.stock.rack import as_hung

WHOLE = frozenset(Edge)


@dataclass(slots=True)
class _CutUp:
    """A sheet being cut up."""

    sheet: Sheet
    factory: frozenset[Edge]
    length: Callable[[int], Length]
    name: Callable[[PieceSize], PieceName]
    pieces: list[PlacedPiece] = field(default_factory=list)
    left_over: list[Offcut] = field(default_factory=list)

    def put(self, need: PieceSize, x: Length, y: Length) -> None:
        long, wide = self.length(need.length), self.length(need.width)
        self.pieces.append(PlacedPiece(self.name(need), x, y, long, wide, self.own(x, y, long, wide)))

    def own(self, x: Length, y: Length, long: Length, wide: Length) -> frozenset[Edge]:
        """Which edges of what lies there are factory edges: the sheet's own, where it has them."""
        at_edge = {
            Edge.LEFT: not x,
            Edge.RIGHT: x + long == self.sheet.length,
            Edge.TOP: not y,
            Edge.BOTTOM: y + wide == self.sheet.width,
        }
        return frozenset(edge for edge in self.factory if at_edge[edge])

    def leave(self, x: Length, y: Length, long: Length, wide: Length) -> None:
        """What is left there. It has no name: who cuts it gives it one."""
        if long > ZERO and wide > ZERO:
            sheet = self.sheet
            left = Offcut("", long, wide, self.own(x, y, long, wide), sheet.thickness, sheet.kind)
            self.left_over.append(left)

    def rip(self, part: RippedLength, x: Length) -> None:
        """Bands from the sheet's top edge down; the last at its bottom edge where it has to be."""
        long, y = self.length(part.length), ZERO
        for number, band in enumerate(part.bands):
            last = number == len(part.bands) - 1
            wide = self.length(band.width)
            if last and part.to_bottom:
                self.leave(x, y, long, self.sheet.width - wide - y)
                y = self.sheet.width - wide
            self._band(band, x, y, long, at_bottom=last and part.to_bottom)
            y += wide
        if not part.to_bottom:
            self.leave(x, y, long, self.sheet.width - y)

    def _band(self, band: Band, x: Length, y: Length, long: Length, *, at_bottom: bool) -> None:
        end, wide = x + long, self.length(band.width)
        for need in band.needs:
            mine, run = self.length(need.width), self.length(need.length)
            self.put(need, x, y + wide - mine if at_bottom else y)
            self.leave(x, y if at_bottom else y + mine, run, wide - mine)
            x += run
        self.leave(x, y, end - x, wide)


def pattern(
    fill: Fill,
    sheet: Sheet,
    offcut: Offcut | None,
    length: Callable[[int], Length],
    name: Callable[[PieceSize], PieceName],
) -> Pattern:
    """The sheet cut up. `length` turns steps of the grid into a length, `name` gives the next piece of a size."""
    factory = WHOLE if offcut is None else as_hung(offcut.factory, Lies.LYING, frozenset({Edge.TOP}))
    own = sheet if offcut is None else Sheet(offcut.width, offcut.length, offcut.thickness, offcut.board)
    laid = _CutUp(own, factory, length, name)
    x = ZERO
    for need in sorted(fill.whole, reverse=True):
        laid.put(need, x, ZERO)
        x += length(need.length)
    for part in fill.ripped:
        laid.rip(part, x)
        x += length(part.length)
    laid.leave(x, ZERO, own.length - x, own.width)
    return Pattern(own, tuple(laid.pieces), tuple(laid.left_over), offcut)
