"""The holes of a hung piece against the boxes and other things in the room."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from fieldvoice.cutting.bench import Cutout, Spot, Workpiece, crossing
from fieldvoice.cutting.surroundings import Surroundings
from fieldvoice.cutting.tables import BOX_GAP, BOX_GAP_LIMIT, OPENING_GAPS, size_of, step_of
from fieldvoice.records.board import Board
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Box, Circuit, Coordinate, Edge, Opening, OpeningKind, Point
from fieldvoice.records.plan import Code, CutPlan, Failure, Flaw, Method, OpeningPlan, Tool, Where

ZERO = Fraction(0)
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
