"""A plain list of pieces cut from sheets: fewest feet, with the bound, checked again in exact numbers."""

from __future__ import annotations

from collections import Counter, deque
from dataclasses import dataclass
from fractions import Fraction

from fieldvoice.layout.frame import Grid
from fieldvoice.layout.pools import priced
from fieldvoice.layout.recheck import recheck_sheets
from fieldvoice.records.length import Length
from fieldvoice.records.room import SurfaceName
from fieldvoice.records.room_plan import Pattern, PieceList, PieceName
from fieldvoice.stock.buying import cover
from fieldvoice.stock.needs import PieceSize
from fieldvoice.stock.rack import pattern


@dataclass(frozen=True, slots=True)
class CutList:
    """The sheets with what each gives; `feet` and `bound_feet` as in a room's plan. A piece's name is its name in the
    list and its number among those of its size.
    """

    wanted: PieceList
    patterns: tuple[Pattern, ...]
    feet: Fraction
    bound_feet: Fraction


def cut_list(wanted: PieceList) -> CutList:
    """Fewest feet of sheet for all pieces of the list."""
    sizes = [size for piece in wanted.pieces for size in (piece.length, piece.width)]
    sizes += [size for sheet in wanted.sheets for size in (sheet.length, sheet.width)]
    grid = Grid.of(sizes)
    module, stocks = priced(wanted.sheets, (), grid, wanted.unit)
    needs: Counter[PieceSize] = Counter()
    waiting: dict[PieceSize, deque[PieceName]] = {}
    asked: dict[PieceName, tuple[Length, Length]] = {}
    for piece in wanted.pieces:
        need = PieceSize(grid.count(piece.length), grid.count(piece.width), piece.tapered)
        for number in range(1, piece.count + 1):
            name = PieceName(SurfaceName(piece.name, ""), number)
            needs[need] += 1
            waiting.setdefault(need, deque()).append(name)
            asked[name] = (piece.length, piece.width)
    bought = cover(needs, stocks)
    patterns = tuple(
        pattern(fill, wanted.sheets[index], None, grid.length, lambda need: waiting[need].popleft())
        for number, (index, fill) in enumerate(bought.fills, 1)
    )
    recheck_sheets(patterns, asked)
    return CutList(wanted, patterns, bought.cost * module, bought.bound * module)
