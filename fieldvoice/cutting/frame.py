"""The board's four edges in one frame, and the sheet round them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from fieldvoice.cutting.axis import ACROSS, DOWN, Axis, largest_bound
from fieldvoice.cutting.edges import Run, run
from fieldvoice.cutting.lines import Polyline
from fieldvoice.cutting.outline import Polygon, outline
from fieldvoice.cutting.sheets import across_and_down, chosen
from fieldvoice.cutting.tables import NARROW, neighbour, step_of
from fieldvoice.errors import NotPlanned
from fieldvoice.records.board import Board, Sheet
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Edge, Neighbour
from fieldvoice.records.plan import CutLine, Mark, Missing, Need, No, NoPlan

ZERO = Fraction(0)


@dataclass(frozen=True, slots=True)
class Frame:
    """A board laid out: both directions solved, its sheet, and the sheet's four edges as the board sees them.

    The frame's origin is the board's outermost left and top. `cuts` are in cutting order.
    """

    across: Run
    down: Run
    sheet: Sheet
    sheet_edges: dict[Edge, Polyline]
    cuts: tuple[CutLine, ...]

    def edge(self, edge: Edge) -> Polyline:
        """An edge of the board: x by y for left and right, y by x for top and bottom."""
        return {
            Edge.LEFT: self.across.near,
            Edge.RIGHT: self.across.far,
            Edge.TOP: self.down.near,
            Edge.BOTTOM: self.down.far,
        }[edge]

    def outline(self) -> Polygon:
        """The finished board."""
        return outline(self.across.near, self.across.far, self.down.near, self.down.far)

    def offcuts(self) -> tuple[Polygon, ...]:
        """What each cut takes off the sheet, in cutting order."""
        now = dict(self.sheet_edges)
        pieces = []
        for cut in self.cuts:
            kept = self.edge(cut.edge)
            other = {Edge.LEFT: Edge.RIGHT, Edge.RIGHT: Edge.LEFT, Edge.TOP: Edge.BOTTOM, Edge.BOTTOM: Edge.TOP}[
                cut.edge
            ]
            waste = now | {other: kept}
            pieces.append(outline(waste[Edge.LEFT], waste[Edge.RIGHT], waste[Edge.TOP], waste[Edge.BOTTOM]))
            now[cut.edge] = kept
        return tuple(piece for piece in pieces if len(piece) > 2)

    def cut_edges(self) -> frozenset[Edge]:
        """The edges that are no factory edges."""
        return frozenset(cut.edge for cut in self.cuts)


def lay_out(board: Board) -> Frame:
    """Solve both directions and choose the sheet. Raises NotPlanned."""
    width, height = _extents(board)
    down = _run(board, DOWN, width, height)
    across = _run(board, ACROSS, down.size, width)
    sheet = chosen(board, across.size, down.size)
    wide, high = across_and_down(sheet, board.lies)
    across, x0 = _on_sheet(across, wide, board)
    down, y0 = _on_sheet(down, high, board)
    ends = (x0, x0 + wide, y0, y0 + high)
    edges = dict(zip((Edge.LEFT, Edge.RIGHT, Edge.TOP, Edge.BOTTOM), map(_flat, ends), strict=True))
    cuts = _in_order(across.cuts, down.cuts)
    return Frame(across, down, sheet, edges, cuts)


def _flat(value: Fraction) -> Polyline:
    return ((ZERO, value), (Fraction(1), value))


def _extents(board: Board) -> tuple[Fraction, Fraction]:
    """The most that the board may measure each way; an open side without readings takes the whole sheet."""
    width, height = _most(board, ACROSS), _most(board, DOWN)
    if width is not None and height is not None:
        return width, height
    sheet = chosen(board, width or ZERO, ZERO)
    wide, high = across_and_down(sheet, board.lies)
    return (wide if width is None else width), (high if height is None else height)


def _most(board: Board, axis: Axis) -> Fraction | None:
    most = largest_bound(board, axis)
    if most is None and not _open(board, axis):
        need = Missing(Need.WIDTH if axis is ACROSS else Need.HEIGHT)
        raise NotPlanned(NoPlan(No.NEEDS, missing=(need,), unit=board.unit))
    if most is not None and most <= 0:
        raise NotPlanned(NoPlan(No.NOTHING_LEFT, dimension=axis.dimension, unit=board.unit))
    return most


def _open(board: Board, axis: Axis) -> bool:
    return Neighbour.OPEN in {neighbour(board, axis.near), neighbour(board, axis.far)}


def _run(board: Board, axis: Axis, extent: Fraction, size: Fraction) -> Run:
    if largest_bound(board, axis) is None:
        flat = (ZERO, extent)
        return Run(axis, extent, (), tuple((t, ZERO) for t in flat), tuple((t, size) for t in flat), size)
    return run(board, axis, extent)


def _on_sheet(solved: Run, sheet: Fraction, board: Board) -> tuple[Run, Fraction]:
    """The run with cuts that the sheet doesn't need left out, and where the sheet's near edge lies in the frame."""
    if len(solved.cuts) == 2:
        return _shifted(solved, sheet, board)
    if all(mark.distance.inches == sheet for cut in solved.cuts for mark in cut.marks):
        return replace(solved, cuts=(), broken=()), ZERO
    if solved.cuts and solved.cuts[0].edge is solved.axis.near:
        return solved, solved.far[0][1] - sheet
    return solved, ZERO


def _shifted(solved: Run, sheet: Fraction, board: Board) -> tuple[Run, Fraction]:
    """Both edges cut: leave a strip that snaps at the first cut, where the sheet has it to spare."""
    step = step_of(board)
    spare = min(NARROW.inches, (sheet - solved.size) / 2)
    base = Length(sheet - spare).rounded_down(step).inches
    first, second = solved.cuts
    moved = tuple(Mark(m.at, Length(base) + m.distance, Length(base) + m.exact) for m in first.marks)
    return replace(solved, cuts=(replace(first, marks=moved), second)), base - sheet


def _in_order(across: tuple[CutLine, ...], down: tuple[CutLine, ...]) -> tuple[CutLine, ...]:
    """Level cuts first, so that the taper's bottom mark goes on the finished end; a rake after the sides."""
    level = all(mark.distance == cut.marks[0].distance for cut in down for mark in cut.marks)
    return down + across if level else across + down
