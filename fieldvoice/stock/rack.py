"""The rack of offcuts: what every cut left, each under a name written on it; the next piece asks here first. And a
sheet's fill laid out on the sheet: where each piece lies, and every rectangle that is left, with its edges.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from string import ascii_uppercase

from fieldvoice.records.board import EdgesTold, Lies, OddOffcut, Offcut, Sheet
from fieldvoice.records.length import ZERO, Length, Unit
from fieldvoice.records.meaning import Edge
from fieldvoice.records.room_plan import Pattern, Piece, PieceName, PlacedPiece
from fieldvoice.stock.needs import Band, Fill, PieceSize, RippedLength

LEAST = Length(6)
"""What is smaller either way isn't kept: no course is ripped narrower (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Rack:
    """Offcuts that are at hand, the oldest first; no two have one name, now or before."""

    offcuts: tuple[Offcut, ...] = ()
    names: frozenset[str] = frozenset()

    def with_offcuts(self, left: Iterable[Offcut]) -> Rack:
        """What a cut left put on the rack, each under a name that was never used; scraps are left out."""
        offcuts, names = list(self.offcuts), set(self.names)
        for one in left:
            if min(one.length, one.width) < LEAST:
                continue
            name = _unused(one.name, names)
            names.add(name)
            offcuts.append(one if name == one.name else replace(one, name=name))
        return Rack(tuple(offcuts), frozenset(names))

    def without(self, names: Collection[str]) -> Rack:
        """Offcuts taken off the rack; their names stay used."""
        return replace(self, offcuts=tuple(one for one in self.offcuts if one.name not in names))


def _unused(name: str, names: Collection[str]) -> str:
    if name not in names:
        return name
    number = 2
    while f"{name}{number}" in names:
        number += 1
    return f"{name}{number}"


LONG_EDGES = frozenset({Edge.TOP, Edge.BOTTOM})
_TOP = frozenset({Edge.TOP})

_TURNS: dict[Lies, tuple[dict[Edge, Edge], ...]] = {
    Lies.LYING: (
        {Edge.TOP: Edge.TOP, Edge.RIGHT: Edge.RIGHT, Edge.BOTTOM: Edge.BOTTOM, Edge.LEFT: Edge.LEFT},
        {Edge.TOP: Edge.BOTTOM, Edge.RIGHT: Edge.LEFT, Edge.BOTTOM: Edge.TOP, Edge.LEFT: Edge.RIGHT},
    ),
    Lies.STANDING: (
        {Edge.TOP: Edge.LEFT, Edge.RIGHT: Edge.TOP, Edge.BOTTOM: Edge.RIGHT, Edge.LEFT: Edge.BOTTOM},
        {Edge.TOP: Edge.RIGHT, Edge.RIGHT: Edge.BOTTOM, Edge.BOTTOM: Edge.LEFT, Edge.LEFT: Edge.TOP},
    ),
}
"""The two ways to hang what is cut from a sheet, face out: where each of its edges comes to be."""


def as_hung(
    factory: frozenset[Edge], lies: Lies, taped: frozenset[Edge], joined: frozenset[Edge] = frozenset()
) -> frozenset[Edge]:
    """The edges that are factory edges once it hangs: turned so that as many as can be are those that have to be
    (`taped`), then those where another board is (`joined`).
    """
    return ways_to_hang(factory, lies, taped, joined)[0]


def ways_to_hang(
    factory: frozenset[Edge], lies: Lies, taped: frozenset[Edge], joined: frozenset[Edge]
) -> list[frozenset[Edge]]:
    """The same, the best way first, and the other way if it has no fewer of those that have to be."""
    turned = [frozenset(turn[edge] for edge in factory) for turn in _TURNS[lies]]
    ordered = sorted(turned, key=lambda edges: (-len(edges & taped), -len(edges & joined)))
    return [one for one in dict.fromkeys(ordered) if len(one & taped) == len(ordered[0] & taped)]


def as_on_sheet(factory: frozenset[Edge], lies: Lies) -> frozenset[Edge]:
    """The factory edges of what hangs, as it lay on its sheet."""
    back = {hung: edge for edge, hung in _TURNS[lies][0].items()}
    return frozenset(back[edge] for edge in factory)


def uncut(sheet: Sheet) -> Offcut:
    """A sheet as what is cut from: every edge is a factory edge."""
    return Offcut("", sheet.length, sheet.width, frozenset(Edge), sheet.thickness, sheet.kind)


def gives(source: Offcut, piece: Piece) -> bool:
    """Whether a piece may be cut from it: it is as large, and turned some way it has a factory edge wherever the piece
    has to have one. What is ripped keeps one long edge.
    """
    if source.length < piece.run or source.width < piece.rise:
        return False
    ripped = source.width > piece.rise
    kept = min(source.tapered, 1) if ripped else source.tapered
    return len(piece.taped) <= kept


def named(board: str, left: Iterable[Offcut]) -> tuple[Offcut, ...]:
    """What a board's cuts left, named after the board: the one way to name an offcut. Scraps aren't kept."""
    kept = (one for one in left if min(one.length, one.width) >= LEAST)
    return tuple(replace(one, name=f"{board}{letter}") for letter, one in zip(ascii_uppercase, kept, strict=False))


TOLD = "K"
"""Before the number of an offcut from elsewhere. No board is called so, nor what one leaves."""
WIDTHS = (*map(Length, (48, 54)), *(Length.of(width, Unit.MM) for width in (600, 900, 1200, 1350)))
"""How wide sheets are: trade pages, and EN 520 and AS/NZS 2588 for millimeters."""
LONGEST = Length(192)
"""Sheets are 8 to 16 ft long: trade pages."""


def told_name(taken: Iterable[str]) -> str:
    """The next name for an offcut from elsewhere: no lower number than any that was given."""
    numbers = (one.removeprefix(TOLD) for one in taken if one.startswith(TOLD))
    return f"{TOLD}{1 + max((int(one) for one in numbers if one.isdigit()), default=0)}"


def told(
    name: str, sides: tuple[Length, Length], edges: EdgesTold, thickness: Length, board: str
) -> Offcut | OddOffcut:
    """An offcut from elsewhere as it lay on its sheet, of a board so thick and of that kind; why it is none. Both
    tapered edges are a sheet's width apart, and one runs along the sheet. Where nothing is known of the edges none
    counts as a factory edge, so that nothing comes from it whose seam needs one; a side that is as long as a sheet is
    wide lies across it then, else the longer one lies along.
    """
    short, long = sorted(sides)
    across = next((side for side in (short, long) if side in WIDTHS), None)
    if edges is EdgesTold.BOTH and across is None:
        return OddOffcut.NO_WIDTH
    width = {EdgesTold.LONG: short, EdgesTold.SHORT: long}.get(edges, across or short)
    length = long if width == short else short
    if short < LEAST:
        return OddOffcut.TOO_SMALL
    if short > max(WIDTHS) or long > LONGEST:
        return OddOffcut.NO_SHEET
    if width > max(WIDTHS):
        return OddOffcut.NO_EDGE
    factory = {EdgesTold.BOTH: LONG_EDGES, EdgesTold.LONG: _TOP, EdgesTold.SHORT: _TOP}.get(edges, frozenset[Edge]())
    return Offcut(name, length, width, factory, thickness, board)


def left_of(source: Offcut, piece: Piece, *, length_first: bool) -> tuple[Offcut, ...]:
    """What is left of it, unnamed, once a piece is cut as it is planned: to length first and then ripped, or ripped
    first, and turned so that the strip keeps a long factory edge where the piece has one to spare. Raises `ValueError`
    where the piece doesn't come out of it.
    """
    end, strip = source.length - piece.run, source.width - piece.rise
    if end < ZERO or strip < ZERO:
        raise ValueError(f"{piece.run} x {piece.rise} doesn't come out of {source.length} x {source.width}")
    one = frozenset({Edge.TOP})
    beside = one if source.tapered > len(piece.taped) else frozenset()
    along = one if source.tapered > len(beside) else frozenset()
    long_edges = source.factory & LONG_EDGES if length_first or not strip else along
    run, rise = (piece.run, source.width) if length_first else (source.length, piece.rise)
    ends = source.factory & ({Edge.LEFT} if length_first and end else {Edge.LEFT, Edge.RIGHT})
    found = (
        replace(source, name="", length=end, width=rise, factory=long_edges | (source.factory & {Edge.RIGHT})),
        replace(source, name="", length=run, width=strip, factory=beside | ends),
    )
    return tuple(each for each in found if each.length > ZERO and each.width > ZERO)


WHOLE = frozenset(Edge)


_Box = tuple[Length, Length, Length, Length]
"""On a sheet: from where along it and across it, and to where."""


def _left(box: _Box, pieces: Sequence[_Box]) -> Iterator[_Box]:
    """What cuts from edge to edge leave of a part of a sheet, in as few rectangles as they go: first comes off, at one
    cut, the most that lies beside all pieces; where nothing does, the part is cut through between them.
    """
    x0, y0, x1, y1 = box
    if not pieces:
        yield box
        return
    near, top = (min(piece[axis] for piece in pieces) for axis in (0, 1))
    far, low = (max(piece[axis] for piece in pieces) for axis in (2, 3))
    beside = [
        ((far, y0, x1, y1), (x0, y0, far, y1)),
        ((x0, low, x1, y1), (x0, y0, x1, low)),
        ((x0, y0, near, y1), (near, y0, x1, y1)),
        ((x0, y0, x1, top), (x0, top, x1, y1)),
    ]
    off, rest = max(beside, key=lambda cut: _area(cut[0]))
    if _area(off):
        yield off
        yield from _left(rest, pieces)
        return
    for axis in (0, 1):
        for at in sorted({piece[axis + 2] for piece in pieces}):
            before = [piece for piece in pieces if piece[axis + 2] <= at]
            after = [piece for piece in pieces if piece[axis] >= at]
            if after and len(before) + len(after) == len(pieces):
                yield from _left((x0, y0, at, y1) if axis == 0 else (x0, y0, x1, at), before)
                yield from _left((at, y0, x1, y1) if axis == 0 else (x0, at, x1, y1), after)
                return


def _area(box: _Box) -> Fraction:
    return (box[2] - box[0]).inches * (box[3] - box[1]).inches


@dataclass(slots=True)
class _CutUp:
    """A sheet being cut up."""

    sheet: Sheet
    factory: frozenset[Edge]
    length: Callable[[int], Length]
    name: Callable[[PieceSize], PieceName]
    pieces: list[PlacedPiece] = field(default_factory=list)

    def put(self, need: PieceSize, x: Length, y: Length) -> None:
        long, wide = self.length(need.length), self.length(need.width)
        self.pieces.append(PlacedPiece(self.name(need), x, y, long, wide, self.own((x, y, x + long, y + wide))))

    def own(self, box: _Box) -> frozenset[Edge]:
        """Which edges of what lies there are factory edges: the sheet's own, where it has them."""
        x0, y0, x1, y1 = box
        at_edge = {
            Edge.LEFT: not x0,
            Edge.RIGHT: x1 == self.sheet.length,
            Edge.TOP: not y0,
            Edge.BOTTOM: y1 == self.sheet.width,
        }
        return frozenset(edge for edge in self.factory if at_edge[edge])

    def left_over(self) -> Iterator[Offcut]:
        """What is left. It has no name: who cuts it gives it one."""
        sheet = self.sheet
        cut = [(one.x, one.y, one.x + one.length, one.y + one.width) for one in self.pieces]
        for box in _left((ZERO, ZERO, sheet.length, sheet.width), cut):
            x0, y0, x1, y1 = box
            yield Offcut("", x1 - x0, y1 - y0, self.own(box), sheet.thickness, sheet.kind)

    def rip(self, part: RippedLength, x: Length) -> None:
        """Bands from the sheet's top edge down; the last at its bottom edge where it has to be."""
        y = ZERO
        for number, band in enumerate(part.bands):
            at_bottom = number == len(part.bands) - 1 and part.to_bottom
            wide = self.length(band.width)
            self._band(band, x, self.sheet.width - wide if at_bottom else y, at_bottom=at_bottom)
            y += wide

    def _band(self, band: Band, x: Length, y: Length, *, at_bottom: bool) -> None:
        wide = self.length(band.width)
        for need in band.needs:
            self.put(need, x, y + wide - self.length(need.width) if at_bottom else y)
            x += self.length(need.length)


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
    return Pattern(own, tuple(laid.pieces), tuple(laid.left_over()), offcut)
