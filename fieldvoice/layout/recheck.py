"""The plan counted again in exact numbers before anybody sees it: a solver computes in floats; a slip stops here. A
plain list of pieces is worked out and counted so, too.
"""

from __future__ import annotations

from collections import Counter, deque
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations

from fieldvoice.layout.frame import Grid
from fieldvoice.layout.pools import priced
from fieldvoice.records.board import Offcut
from fieldvoice.records.length import ZERO, Length
from fieldvoice.records.meaning import OPPOSITE, Edge
from fieldvoice.records.room import SurfaceName
from fieldvoice.records.room_plan import Pattern, Piece, PieceList, PieceName, PlacedPiece, RoomPlan, SurfacePlan
from fieldvoice.stock.buying import cover
from fieldvoice.stock.needs import PieceSize
from fieldvoice.stock.rack import pattern


def recheck(plan: RoomPlan, done: Sequence[Piece], rack: Sequence[Offcut]) -> None:
    """Raises `AssertionError` where the plan isn't what it says: a fault of our own, which no plan may survive."""
    hanging = {piece.name for piece in done}
    named = Counter(piece.name for piece in plan.pieces)
    _must(max(named.values(), default=1) == 1, "each name is one piece")
    recheck_sheets(
        plan.patterns, {piece.name: (piece.run, piece.rise) for piece in plan.pieces if piece.name not in hanging}
    )
    used = Counter(one.offcut.name for one in plan.patterns if one.offcut is not None)
    _must(all(count <= 1 for count in used.values()), "an offcut is used once")
    _must({*used} <= {offcut.name for offcut in rack}, "offcuts are on the rack")
    for surface in plan.surfaces:
        _surface(surface)
    _must(hanging.issubset(piece.name for piece in plan.pieces), "what hangs stays")
    for piece in plan.pieces:
        whole = all(piece.edges[edge].factory for edge in piece.taped)
        _must(piece.name in hanging or whole, "a tapered joint has factory edges")
    _must(plan.bound_feet <= plan.feet, "no plan is below its bound")
    _must(plan.least_butt_feet <= plan.butt_feet, "no plan has less butt joint than its bound")
    _must(plan.least_pieces is None or plan.least_pieces <= len(plan.pieces), "no plan has fewer pieces than its bound")


def recheck_sheets(patterns: Sequence[Pattern], sizes: Mapping[PieceName, tuple[Length, Length]]) -> None:
    """Each piece of the given lengths and widths is cut once, and every sheet comes out even. Raises as above."""
    cut = Counter(piece.name for one in patterns for piece in one.pieces)
    _must(cut == Counter(dict.fromkeys(sizes, 1)), "each piece is cut once")
    for one in patterns:
        _sheet(one, sizes)


def _sheet(pattern: Pattern, sizes: Mapping[PieceName, tuple[Length, Length]]) -> None:
    """Pieces and what is left lie on the sheet without overlap and make up the whole of it."""
    rectangles = [_rectangle(piece) for piece in pattern.pieces]
    for x0, y0, x1, y1 in rectangles:
        _must(ZERO <= x0 < x1 <= pattern.sheet.length, "a piece lies on its sheet")
        _must(ZERO <= y0 < y1 <= pattern.sheet.width, "a piece lies on its sheet")
    for one, other in combinations(rectangles, 2):
        _must(_apart(one, other), "no two pieces overlap on a sheet")
    for piece in pattern.pieces:
        run, rise = sizes[piece.name]
        _must(run <= piece.length, "a piece is cut as long as it is needed")
        _must(rise <= piece.width, "a piece is cut as wide as it is needed")
    for piece in pattern.pieces:
        _must(piece.factory <= _at_edges(pattern, piece), "a factory edge is the sheet's own")
    areas = [piece.length.inches * piece.width.inches for piece in pattern.pieces]
    areas += [left.length.inches * left.width.inches for left in pattern.left_over]
    _must(sum(areas) == pattern.sheet.length.inches * pattern.sheet.width.inches, "nothing of a sheet is lost or made")


def _at_edges(pattern: Pattern, piece: PlacedPiece) -> frozenset[Edge]:
    """The edges of a piece that are what it is cut from's own. An offcut is turned so that its factory edge is up."""
    x0, y0, x1, y1 = _rectangle(piece)
    sides = {Edge.LEFT: x0 == ZERO, Edge.TOP: y0 == ZERO}
    sides |= {Edge.RIGHT: x1 == pattern.sheet.length, Edge.BOTTOM: y1 == pattern.sheet.width}
    own = frozenset(Edge) if pattern.offcut is None else pattern.offcut.factory
    if pattern.offcut is not None and Edge.TOP not in own and Edge.BOTTOM in own:
        own = frozenset(OPPOSITE[edge] for edge in own)
    return frozenset(edge for edge in own if sides[edge])


def _rectangle(piece: PlacedPiece) -> tuple[Length, Length, Length, Length]:
    return piece.x, piece.y, piece.x + piece.length, piece.y + piece.width


def _apart(one: tuple[Length, ...], other: tuple[Length, ...]) -> bool:
    return one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]


def _surface(surface: SurfacePlan) -> None:
    """No two pieces of a layer overlap, and each lies on its surface."""
    whole = surface.surface
    for piece in surface.pieces:
        _must(ZERO <= piece.x < piece.right <= whole.width, "a piece lies on its surface")
        _must(ZERO <= piece.y < piece.top <= whole.highest, "a piece lies on its surface")
    for one, other in combinations(surface.pieces, 2):
        if one.layer == other.layer:
            boxes = [(p.x, p.y, p.right, p.top) for p in (one, other)]
            _must(_apart(boxes[0], boxes[1]), "no two pieces overlap")


def _must(holds: bool, what: str) -> None:  # noqa: FBT001 - a claim
    """Unlike an assert statement it can't be switched off."""
    if not holds:
        raise AssertionError(f"The plan is wrong: not {what}.")


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
