"""The plan proved by its own words: its step records are carried out on a sheet (`bench`), the piece is hung with the
stand-offs that the last of them says, in the hole that the readings make (`surroundings`), and every gap and box is
looked at, each thing in the room against its own. What the steps don't tell, this doesn't know.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from fieldvoice.cutting.bench import Cutout, Spot, Workpiece, carry_out, crossing, put
from fieldvoice.cutting.surroundings import Surroundings, room_of
from fieldvoice.cutting.tables import (
    BOX_GAP,
    BOX_GAP_LIMIT,
    OPENING_GAPS,
    base_covers,
    floor_least,
    neighbor,
    size_of,
    stand_off,
    step_of,
)
from fieldvoice.records.board import Board
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Box, Circuit, Coordinate, Edge, Neighbor, Opening, OpeningKind, Point
from fieldvoice.records.plan import (
    Code,
    CutLine,
    CutPlan,
    Does,
    Failure,
    Flaw,
    Gap,
    Method,
    OpeningPlan,
    Proof,
    Step,
    Tool,
    Where,
)

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


NOTCH_KEEPS = Fraction(1, 2)
"""A notch runs out where less than this would stay between it and an edge."""


@dataclass(frozen=True, slots=True)
class _Seen:
    """A thing in the room as the piece sees it: its sides in the piece's frame, its middle, and its radius if round."""

    sides: dict[Edge, Fraction]
    middle: Spot
    round: bool


def opening_failures(plan: CutPlan, piece: Workpiece, room: Surroundings, by: Spot) -> Iterator[Failure]:
    """Everything that is wrong with the openings."""
    listed: tuple[Box | Opening, ...] = (*plan.board.boxes, *plan.board.openings)
    things = {one.name: one for one in listed}
    if sorted(things) != sorted(one.name for one in plan.openings) or len(things) != len(listed):
        yield Failure(Flaw.OPENINGS)
        return
    if set(piece.holes) & piece.waiting or set(piece.holes) | piece.waiting != set(things):
        yield Failure(Flaw.OPENINGS)
        return
    for one in plan.openings:
        what = things[one.name]
        seen = _seen(what, room, by)
        if seen is None:
            yield Failure(Flaw.PLACE, about=one.name)
            continue
        yield from _tool(plan.board, one, what, piece)
        yield from _listed(plan, piece, one, what, seen)
        if one.name in piece.waiting:
            yield from _waits(plan, one)
            continue
        yield from _cut_right(plan.board, piece, piece.holes[one.name], what, seen)


def _waits(plan: CutPlan, one: OpeningPlan) -> Iterator[Failure]:
    told = any(each.code is Code.HELD and each.about == one.name and each.holds_cut for each in plan.warnings)
    if not one.held or not told:
        yield Failure(Flaw.UNTOLD, about=one.name)


def _seen(what: Box | Opening, room: Surroundings, by: Spot) -> _Seen | None:
    """Where a thing is, from what it was called from, in the piece's own frame."""
    if isinstance(what, Box):
        far = what.far or ()
        xs: tuple[Coordinate, ...] = (what.x, *far[:1])
        ys: tuple[Coordinate, ...] = (what.y, *far[1:])
        size = size_of(what)
        wide, high = size.width.inches, size.height.inches
    else:
        xs, ys = what.xs, what.ys
        wide, high = _size(xs, what.width or what.diameter), _size(ys, what.height or what.diameter)
    side, level = room.walls[xs[0].start], room.below if ys[0].start is Edge.BOTTOM else room.walls[ys[0].start]
    if side is None or level is None:
        return None
    dx, dy = _to_middle(xs, wide), _to_middle(ys, high)
    middle = crossing(
        tuple((v, t) for t, v in side),
        level,
        dx if xs[0].start is Edge.LEFT else -dx,
        dy if ys[0].start is Edge.TOP else -dy,
    )
    if middle is None:
        return None
    x, y = middle[0] - by[0], middle[1] - by[1]
    sides = {Edge.LEFT: x - wide / 2, Edge.RIGHT: x + wide / 2, Edge.TOP: y - high / 2, Edge.BOTTOM: y + high / 2}
    return _Seen(sides, (x, y), wide == high)


def _size(said: tuple[Coordinate, ...], size: Length | None) -> Fraction:
    if len(said) == 2:
        return abs(said[0].value.inches - said[1].value.inches)
    return ZERO if size is None else size.inches


def _to_middle(said: tuple[Coordinate, ...], size: Fraction) -> Fraction:
    if len(said) == 2:
        return (said[0].value.inches + said[1].value.inches) / 2
    shift = {Point.CENTER: ZERO, Point.NEAR: size / 2, Point.FAR: -size / 2}
    return said[0].value.inches + shift[said[0].point]


def _tool(board: Board, one: OpeningPlan, what: Box | Opening, piece: Workpiece) -> Iterator[Failure]:
    """No tool goes into a box, or near one in place, unless it is dead and tested."""
    made = piece.holes.get(one.name)
    wired = {box.name for box in board.boxes}
    wired |= {opening.name for opening in board.openings if opening.kind is OpeningKind.LIGHT}
    live = {name for name in wired if board.circuit(name) is not Circuit.DEAD}
    if one.method is not Method.BEFOREHAND and what.name in live:
        yield Failure(Flaw.TOOL, about=one.name)
        return
    if made is None:
        return
    about = {one.name, *made.near}
    if (made.tool is Tool.ROUTER or made.where is Where.WALL) and about & live:
        yield Failure(Flaw.TOOL, about=one.name)
    routs = one.method is Method.ROUT
    if routs != (made.tool is Tool.ROUTER) or (one.method is Method.IN_PLACE) != (
        made.where is Where.WALL and not routs
    ):
        yield Failure(Flaw.TOOL, about=one.name)


def _gap_of(what: Box | Opening) -> Fraction:
    return BOX_GAP.inches if isinstance(what, Box) else OPENING_GAPS[what.kind].inches


def _listed(plan: CutPlan, piece: Workpiece, one: OpeningPlan, what: Box | Opening, seen: _Seen) -> Iterator[Failure]:
    """What the screens show of an opening is what it is: its sides, its middle, and the other ways to it."""
    step, (x, y), gap = step_of(plan.board).inches, seen.middle, _gap_of(what)
    ends = _ends(piece, seen.middle)
    shown = {Edge.LEFT: one.left, Edge.RIGHT: one.right, Edge.TOP: one.top, Edge.BOTTOM: one.bottom}
    for near, far in ((Edge.LEFT, Edge.RIGHT), (Edge.TOP, Edge.BOTTOM)):
        start, size = ends[near], ends[far] - ends[near]
        for edge, out in ((near, -gap), (far, gap)):
            mark = shown[edge].inches
            wanted = seen.sides[edge] + out - start
            if -step <= mark - wanted <= step:
                continue
            wanted = min(max(wanted, ZERO), size)
            if abs(mark - wanted) > step and not _notch_runs_out(what, mark, wanted, size):
                yield Failure(Flaw.GAP, edge, one.name)
    center = (x - ends[Edge.LEFT], y - ends[Edge.TOP])
    if max(abs(one.center.x.inches - center[0]), abs(one.center.y.inches - center[1])) > step:
        yield Failure(Flaw.CENTER, about=one.name)
    for way in one.alternates:
        edge = way.hook.edge
        there = abs((x if edge in {Edge.LEFT, Edge.RIGHT} else y) - ends[edge])
        if abs(there - way.distance.inches) > step or not piece.hooked(way.hook):
            yield Failure(Flaw.WAY, about=one.name)
    if one.method is not Method.ROUT and (one.radius is None) != (_drawn_radius(piece, one) is None):
        yield Failure(Flaw.GAP, about=one.name)


def _drawn_radius(piece: Workpiece, one: OpeningPlan) -> Fraction | None:
    made = piece.drawn.get(one.name)
    return one.radius.inches if made is None and one.radius is not None else None if made is None else made.radius


def _notch_runs_out(what: Box | Opening, mark: Fraction, wanted: Fraction, size: Fraction) -> bool:
    if not isinstance(what, Opening) or what.kind is not OpeningKind.NOTCH:
        return False
    return (mark <= 0 and wanted <= NOTCH_KEEPS) or (mark >= size and size - wanted <= NOTCH_KEEPS)


def _ends(piece: Workpiece, spot: Spot) -> dict[Edge, Fraction]:
    """The piece's edges at a point's height and place."""
    x, y = spot
    sides = {edge: piece.x_at(edge, y) for edge in (Edge.LEFT, Edge.RIGHT)}
    return sides | {edge: piece.y_at(edge, x) for edge in (Edge.TOP, Edge.BOTTOM)}


def _cut_right(board: Board, piece: Workpiece, hole: Cutout, what: Box | Opening, seen: _Seen) -> Iterator[Failure]:
    if hole.where is Where.WALL and hole.tool is Tool.SAW:
        return  # along the framing itself
    if hole.tool is Tool.ROUTER:
        x, y = hole.middle()
        inside = (
            seen.sides[Edge.LEFT] < x < seen.sides[Edge.RIGHT] and seen.sides[Edge.TOP] < y < seen.sides[Edge.BOTTOM]
        )
        whole = all(piece.holds((seen.sides[side], seen.sides[end])) for side, end in _CORNERS)
        if whole and not inside:
            yield Failure(Flaw.GAP, about=what.name)
        if not hole.sides and hole.radius is None:
            return
    if hole.radius is not None:
        yield from _circle(what, hole, seen, step_of(board).inches)
        return
    yield from _sides(board, piece, hole, what, seen)


_CORNERS = tuple((side, end) for side in (Edge.LEFT, Edge.RIGHT) for end in (Edge.TOP, Edge.BOTTOM))


def _circle(what: Box | Opening, hole: Cutout, seen: _Seen, step: Fraction) -> Iterator[Failure]:
    """A circle of radius r, off by e, round a thing of radius b: open everywhere, nowhere more than allowed; where it
    is called as it is to be, just that.
    """
    assert hole.radius is not None
    (x, y), (u, v) = hole.middle(), seen.middle
    off = (x - u) ** 2 + (y - v) ** 2
    inside = (seen.sides[Edge.RIGHT] - seen.sides[Edge.LEFT]) / 2
    room = hole.radius - inside
    most = BOX_GAP_LIMIT.inches if isinstance(what, Box) else 2 * _gap_of(what)
    open_all_round = ZERO < room < most and off < room**2 and off <= (most - room) ** 2
    as_called = not most and abs(room) <= step and off <= 2 * step**2
    if not seen.round or not (open_all_round or as_called):
        yield Failure(Flaw.GAP, about=what.name)


def _sides(board: Board, piece: Workpiece, hole: Cutout, what: Box | Opening, seen: _Seen) -> Iterator[Failure]:
    """Each side that was marked against the thing's; a side that runs out has to have a reason."""
    step, ends = step_of(board).inches, _ends(piece, seen.middle)
    notch = isinstance(what, Opening) and what.kind is OpeningKind.NOTCH
    for edge in Edge:
        out = -1 if edge in {Edge.LEFT, Edge.TOP} else 1
        if edge not in hole.sides:
            stays = (ends[edge] - seen.sides[edge]) * out
            if stays > (NOTCH_KEEPS if notch else ZERO) + _gap_of(what) + step:
                yield Failure(Flaw.EDGE, edge, what.name)
            continue
        gap = (hole.sides[edge] - seen.sides[edge]) * out
        right = ZERO < gap <= BOX_GAP_LIMIT.inches if isinstance(what, Box) else abs(gap - _gap_of(what)) <= step
        if not right:
            yield Failure(Flaw.GAP, edge, what.name, value=Length(gap).rounded(Length("1/64")))
    if hole.center is not None:
        for one, other, middle in ((Edge.LEFT, Edge.RIGHT, hole.center[0]), (Edge.TOP, Edge.BOTTOM, hole.center[1])):
            if (
                one in hole.sides
                and other in hole.sides
                and abs(hole.sides[one] + hole.sides[other] - 2 * middle) > 2 * step
            ):
                yield Failure(Flaw.CENTER, about=what.name)
    if isinstance(what, Box):
        yield from _plate(what, hole, seen)


def _plate(box: Box, hole: Cutout, seen: _Seen) -> Iterator[Failure]:
    plate = size_of(box).plate
    if plate is None:
        return
    for edge, mark in hole.sides.items():
        half = plate[0 if edge in {Edge.LEFT, Edge.RIGHT} else 1].inches / 2
        middle = seen.middle[0 if edge in {Edge.LEFT, Edge.RIGHT} else 1]
        if abs(mark - middle) > half:
            yield Failure(Flaw.PLATE, edge, box.name)
