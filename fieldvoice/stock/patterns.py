"""A sheet's fill laid out on the sheet: where each piece lies, and every rectangle that is left, with its edges."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from string import ascii_uppercase

from fieldvoice.records.board import Sheet
from fieldvoice.records.length import ZERO, Length
from fieldvoice.records.meaning import Edge
from fieldvoice.records.room_plan import Offcut, Pattern, PieceName, PlacedPiece
from fieldvoice.stock.needs import Band, Fill, PieceSize, RippedLength

WHOLE = frozenset(Edge)


@dataclass(slots=True)
class _CutUp:
    """A sheet being cut up."""

    number: int
    sheet: Sheet
    factory: frozenset[Edge]
    length: Callable[[int], Length]
    name: Callable[[PieceSize], PieceName]
    pieces: list[PlacedPiece] = field(default_factory=list)
    left_over: list[Offcut] = field(default_factory=list)

    def put(self, need: PieceSize, x: Length, y: Length) -> None:
        long, wide = self.length(need.length), self.length(need.width)
        self.pieces.append(PlacedPiece(self.name(need), x, y, long, wide))

    def leave(self, x: Length, y: Length, long: Length, wide: Length) -> None:
        """Register what is left; an edge is a factory edge where it is the sheet's own."""
        if long <= ZERO or wide <= ZERO:
            return
        own = {
            Edge.LEFT: not x,
            Edge.RIGHT: x + long == self.sheet.length,
            Edge.TOP: not y,
            Edge.BOTTOM: y + wide == self.sheet.width,
        }
        factory = frozenset(edge for edge in self.factory if own[edge])
        name = f"{self.number}{_letters(len(self.left_over))}"
        self.left_over.append(Offcut(name, long, wide, factory, self.sheet.thickness, self.sheet.kind))

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
    number: int,
    fill: Fill,
    sheet: Sheet,
    offcut: Offcut | None,
    length: Callable[[int], Length],
    name: Callable[[PieceSize], PieceName],
) -> Pattern:
    """The sheet cut up. `length` turns steps of the grid into a length, `name` gives the next piece of a size."""
    factory = WHOLE if offcut is None else turned(offcut)
    own = sheet if offcut is None else Sheet(offcut.width, offcut.length, offcut.thickness, offcut.board)
    laid = _CutUp(number, own, factory, length, name)
    x = ZERO
    for need in sorted(fill.whole, reverse=True):
        laid.put(need, x, ZERO)
        x += length(need.length)
    for part in fill.ripped:
        laid.rip(part, x)
        x += length(part.length)
    laid.leave(x, ZERO, own.length - x, own.width)
    return Pattern(own, tuple(laid.pieces), tuple(laid.left_over), offcut)


def turned(offcut: Offcut) -> frozenset[Edge]:
    """An offcut is laid with its factory edge at the top."""
    if offcut.tapered == 1 and Edge.BOTTOM in offcut.factory:
        over = {Edge.BOTTOM: Edge.TOP, Edge.LEFT: Edge.RIGHT, Edge.RIGHT: Edge.LEFT}
        return frozenset(over[edge] for edge in offcut.factory)
    return offcut.factory


def _letters(number: int) -> str:
    """A, B to Z, then AA, AB and so on."""
    text = ""
    number += 1
    while number:
        number, rest = divmod(number - 1, len(ascii_uppercase))
        text = ascii_uppercase[rest] + text
    return text
