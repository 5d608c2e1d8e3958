"""The plan proved by its own words: its step records are carried out on a sheet (`bench`), the piece is hung with the
stand-offs that the last of them says, in the hole that the readings make (`surroundings`), and every gap and box is
looked at. What the steps don't tell, this doesn't know.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from fieldvoice.cutting.bench import Workpiece, carry_out, put
from fieldvoice.cutting.proof_openings import opening_failures
from fieldvoice.cutting.surroundings import Surroundings, room_of
from fieldvoice.cutting.tables import base_covers, floor_least, neighbor, stand_off
from fieldvoice.records.board import Board
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Edge, Neighbor
from fieldvoice.records.plan import CutLine, CutPlan, Does, Failure, Flaw, Gap, Proof, Step

ZERO = Fraction(0)
HAIR = Fraction(1, 256)
"""What pushing a board with slanted edges to two neighbors at once leaves open: far below any graduation."""

SHOWN = Length("1/64")
_UPRIGHT = (Edge.LEFT, Edge.RIGHT)
_PAIRS = ((Edge.LEFT, Edge.RIGHT), (Edge.TOP, Edge.BOTTOM))


@dataclass(frozen=True, slots=True)
class HungPiece:
    """A piece in its hole: a point of the piece lies `dx`, `dy` farther in the hole's frame."""

    piece: Workpiece
    room: Surroundings
    dx: Fraction
    dy: Fraction

    def edge_at(self, edge: Edge, t: Fraction) -> Fraction:
        """Where an edge of the board is in the hole, at the height or place `t` there."""
        if edge in _UPRIGHT:
            return self.piece.x_at(edge, t - self.dy) + self.dx
        return self.piece.y_at(edge, t - self.dx) + self.dy

    def gap(self, edge: Edge, t: Fraction) -> Fraction | None:
        """What stays open at an edge at `t`; None where nothing stands."""
        wall = self.room.at(edge, t)
        if wall is None:
            return None
        between = wall - self.edge_at(edge, t)
        return between if edge in {Edge.RIGHT, Edge.BOTTOM} else -between

    def least(self, edge: Edge) -> Fraction | None:
        """The least gap along an edge."""
        wall = self.room.walls[edge]
        gaps = [self.gap(edge, t) for t, _ in wall] if wall is not None else []
        return min((gap for gap in gaps if gap is not None), default=None)


def prove(plan: CutPlan) -> Proof:
    """The gaps that stay open, and everything that is wrong with the plan."""
    piece, failures = carry_out(plan.steps)
    if piece is None or piece.hung is None:
        return Proof((), (*failures, Failure(Flaw.ORDER)))
    if failures:
        return Proof((), failures)
    hung = _hang(plan.board, piece)
    if isinstance(hung, Failure):
        return Proof((), (hung,))
    gaps = tuple(_gaps(hung))
    return Proof(
        gaps,
        (
            *_sheet(plan),
            *_edges(plan, piece),
            *_as_drawn(plan, piece),
            *_too_tight(plan.board, hung, gaps),
            *_not_as_said(plan.board, hung),
            *opening_failures(plan, hung.piece, hung.room, (hung.dx, hung.dy)),
            *_instead(plan),
        ),
    )


def _hang(board: Board, piece: Workpiece) -> HungPiece | Failure:
    """The piece put where the steps say: pushed to each edge named until it stands off as said at its nearest place."""
    said = put(piece)
    for pair in _PAIRS:
        named = [one for one in said if one.edge in pair]
        if len(named) > 1:
            return Failure(Flaw.ORDER, named[1].edge)
    hung = HungPiece(piece, room_of(board, piece), ZERO, ZERO)
    for pair in _PAIRS:
        named = [one for one in said if one.edge in pair]
        if not named and any(hung.room.walls[edge] is not None for edge in pair):
            return Failure(Flaw.ORDER, pair[0])
    for _ in range(4):
        before = (hung.dx, hung.dy)
        for one in said:
            least = hung.least(one.edge)
            if least is None:
                return Failure(Flaw.ORIGIN, one.edge)
            by = least - one.off.inches
            move = by if one.edge in {Edge.RIGHT, Edge.BOTTOM} else -by
            dx, dy = (hung.dx + move, hung.dy) if one.edge in _UPRIGHT else (hung.dx, hung.dy + move)
            hung = HungPiece(hung.piece, hung.room, dx, dy)
        if (hung.dx, hung.dy) == before:
            break
    return hung


def _gaps(hung: HungPiece) -> Iterator[Gap]:
    """What stays open at each reading: at the edge that the board isn't put to, and at the other where it isn't
    straight along what stands there.
    """
    by = {one.edge for one in put(hung.piece)}
    for pair, taken in zip(_PAIRS, (hung.room.widths, hung.room.heights), strict=True):
        for one in taken:
            for edge in pair:
                gap = hung.gap(edge, one.t)
                if gap is not None and (edge not in by or _slants(hung, edge)):
                    yield Gap(edge, one.at, Length(gap).rounded(SHOWN))


def _slants(hung: HungPiece, edge: Edge) -> bool:
    wall = hung.room.walls[edge]
    return edge in hung.piece.cut or (wall is not None and len({v for _, v in wall}) > 1)


def _sheet(plan: CutPlan) -> Iterator[Failure]:
    leaned = [step for step in plan.steps if step.does is Does.LEAN]
    cut_from = plan.board.cut_from
    offcut = None if cut_from is None else cut_from.offcut
    if [(step.sheet, step.lies, step.offcut) for step in leaned] != [(plan.sheet, plan.lies, offcut)]:
        yield Failure(Flaw.SHEET)
    if plan.lies is not plan.board.lies:
        yield Failure(Flaw.SHEET)


def _edges(plan: CutPlan, piece: Workpiece) -> Iterator[Failure]:
    """Which edges were cut before is said as it is, no joint that is taped on factory edges gets one of them, and what
    is left of the sheet is what the cuts leave in their order.
    """
    if piece.came_cut != plan.board.cut_before:
        yield Failure(Flaw.ORIGIN)
    for edge in sorted(plan.board.taped & piece.came_cut):
        yield Failure(Flaw.FACTORY, edge)
    if tuple(piece.left) != plan.left:
        yield Failure(Flaw.LEFT)


def _as_drawn(plan: CutPlan, piece: Workpiece) -> Iterator[Failure]:
    """What is drawn and listed is what the steps make."""
    marked = [
        (step.edge, step.origin.edge if step.origin is not None else None, step.marks, step.shape)
        for step in plan.steps
        if step.does is Does.MARK
    ]
    for cut in plan.cuts:
        if (cut.edge, cut.origin, cut.marks, cut.shape) not in marked:
            yield Failure(Flaw.MARK, cut.edge)
    if len(marked) != len(plan.cuts):
        yield Failure(Flaw.MARK)
    corners = piece.corners()
    left, top = min(x for x, _ in corners), min(y for _, y in corners)
    made = {(x - left, y - top) for x, y in corners}
    if made != {(one.x.inches, one.y.inches) for one in plan.outline}:
        yield Failure(Flaw.OUTLINE)


def _allowed(board: Board, edge: Edge) -> Fraction:
    if neighbor(board, edge) is Neighbor.FLOOR:
        return min(floor_least(board), stand_off(board, edge)).inches
    return stand_off(board, edge).inches


def _too_tight(board: Board, hung: HungPiece, gaps: tuple[Gap, ...]) -> Iterator[Failure]:
    for gap in gaps:
        if gap.gap.inches < _allowed(board, gap.edge) - HAIR - SHOWN.inches / 2:
            yield Failure(Flaw.TIGHT, gap.edge, at=gap.at, value=gap.gap)
    for edge in Edge:
        least = hung.least(edge)
        if least is not None and least < _allowed(board, edge) - HAIR:
            yield Failure(Flaw.TIGHT, edge, value=Length(least).rounded(SHOWN))
    bottom = [gap for gap in gaps if gap.edge is Edge.BOTTOM]
    level = len({y for _, y in hung.piece.edges[Edge.BOTTOM]}) == 1 and Edge.TOP not in hung.piece.cut
    base = level and neighbor(board, Edge.BOTTOM) is Neighbor.FLOOR and board.end is None
    if base and any(gap.gap.inches > base_covers(board).inches + Fraction(1, 16) + HAIR for gap in bottom):
        yield Failure(Flaw.WIDE, Edge.BOTTOM)


def _not_as_said(board: Board, hung: HungPiece) -> Iterator[Failure]:
    """The stand-offs are the ones that were asked for, and what is said to stay open stays open."""
    for one in put(hung.piece):
        if one.off != stand_off(board, one.edge) or one.neighbor is not neighbor(board, one.edge):
            yield Failure(Flaw.CLAIM, one.edge)
    for one in hung.piece.hung.leaves if hung.piece.hung is not None else ():
        taken = hung.room.widths if one.edge in _UPRIGHT else hung.room.heights
        gaps = [gap for gap in (hung.gap(one.edge, each.t) for each in taken) if gap is not None]
        if not gaps or not -HAIR <= min(gaps) - one.off.inches <= Fraction(1, 16) + HAIR:
            yield Failure(Flaw.CLAIM, one.edge)


def _instead(plan: CutPlan) -> Iterator[Failure]:
    """A cut that is offered in place of another is carried out too."""
    for cut in plan.broken:
        piece, failures = carry_out(_with(plan, cut))
        hung = _hang(plan.board, piece) if piece is not None and piece.hung is not None and not failures else None
        if not isinstance(hung, HungPiece):
            yield Failure(Flaw.INSTEAD, cut.edge)
            continue
        least = hung.least(cut.edge)
        if least is None or least < _allowed(plan.board, cut.edge) - HAIR:
            yield Failure(Flaw.INSTEAD, cut.edge)


def _with(plan: CutPlan, cut: CutLine) -> tuple[Step, ...]:
    return tuple(
        replace(step, marks=cut.marks, shape=cut.shape) if step.does is Does.MARK and step.edge is cut.edge else step
        for step in plan.steps
    )
