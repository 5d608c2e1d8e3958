"""What was chosen, as pieces with their names in the order of hanging, what stands at their edges, and their joints:
where boards of a layer meet, openings left out, exact, on the surface's own coordinates.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, pairwise

from fieldvoice.layout.choosing import Chosen
from fieldvoice.layout.frame import Frame
from fieldvoice.layout.rows import Arc, Row, meets
from fieldvoice.records.board import Lies, Sheet, Surface
from fieldvoice.records.length import ZERO, Length
from fieldvoice.records.meaning import OPPOSITE, Course, Edge, Neighbor, TopPoint
from fieldvoice.records.room import RoomSurface, name_of, reaches, top_between
from fieldvoice.records.room_plan import Joint, JointKind, Piece, PieceEdge, PieceName
from fieldvoice.stock.needs import PieceSize
from fieldvoice.stock.rack import as_hung


@dataclass(frozen=True, slots=True)
class BoardAt:
    """A board as a rectangle on its surface; `factory` holds its long edges that are to be factory edges."""

    name: PieceName
    layer: int
    x0: Length
    y0: Length
    x1: Length
    y1: Length
    lies: Lies
    factory: frozenset[Edge]


def sides(board: BoardAt) -> dict[Edge, Length]:
    """Where its four sides are."""
    return {Edge.LEFT: board.x0, Edge.RIGHT: board.x1, Edge.BOTTOM: board.y0, Edge.TOP: board.y1}


def joints(surface: RoomSurface, boards: Sequence[BoardAt]) -> tuple[Joint, ...]:
    """Every stretch of joint between two boards of a layer."""
    found = []
    for one, other in combinations(boards, 2):
        if one.layer == other.layer:
            found += _between(surface, one, other)
    return tuple(found)


def _between(surface: RoomSurface, one: BoardAt, other: BoardAt) -> list[Joint]:
    for first, second in ((one, other), (other, one)):
        if first.x1 == second.x0:
            return _plumb(surface, first, second)
        if first.y1 == second.y0:
            return _level(surface, first, second)
    return []


def _kind(first: BoardAt, second: BoardAt, edge: Edge) -> JointKind:
    """Tapered where a factory long edge meets another."""
    both = edge in first.factory and OPPOSITE[edge] in second.factory
    return JointKind.TAPERED if both else JointKind.BUTT


def _plumb(surface: RoomSurface, first: BoardAt, second: BoardAt) -> list[Joint]:
    x = first.x1
    low, high = max(first.y0, second.y0), min(first.y1, second.y1, surface.top_at(x))
    holes = [(hole.bottom, hole.top) for hole in surface.openings if hole.left <= x <= hole.right]
    kind = _kind(first, second, Edge.RIGHT)
    return [
        Joint(kind, first.layer, (first.name, second.name), (x, start), (x, end))
        for start, end in _less(low, high, holes)
    ]


def _level(surface: RoomSurface, first: BoardAt, second: BoardAt) -> list[Joint]:
    y = first.y1
    left, right = _under_top(surface, y, max(first.x0, second.x0), min(first.x1, second.x1))
    holes = [(hole.left, hole.right) for hole in surface.openings if hole.bottom <= y <= hole.top]
    kind = _kind(first, second, Edge.TOP)
    return [
        Joint(kind, first.layer, (first.name, second.name), (start, y), (end, y))
        for start, end in _less(left, right, holes)
    ]


def _under_top(surface: RoomSurface, y: Length, left: Length, right: Length) -> tuple[Length, Length]:
    """The part of a level line that lies under a sloping top."""
    if min(surface.top_at(left), surface.top_at(right)) >= y:
        return left, right
    under = reaches(surface, y) or (right, right)
    return max(left, under[0]), min(right, under[1])


def _less(low: Length, high: Length, holes: Iterable[tuple[Length, Length]]) -> list[tuple[Length, Length]]:
    """What is left of a stretch once the holes are out of it."""
    left, at = [], low
    for start, end in sorted(holes):
        if start > at:
            left.append((at, min(start, high)))
        at = max(at, end)
    left.append((at, high))
    return [(start, end) for start, end in left if start < end]


ENDS = {Lies.LYING: (Edge.LEFT, Edge.RIGHT), Lies.STANDING: (Edge.TOP, Edge.BOTTOM)}
"""The ends of a sheet as it hangs; its other two edges are the long, tapered ones."""


@dataclass(frozen=True, slots=True)
class Laid:
    """A piece without its sheet yet: what it needs of one (None where it hangs already), and which long edges are to be
    factory edges.
    """

    name: PieceName
    layer: int
    x: Length
    y: Length
    width: Length
    height: Length
    course: Course | int
    need: PieceSize | None
    factory: frozenset[Edge]


def lay(frame: Frame, chosen: Chosen, done: Sequence[Piece]) -> tuple[Laid, ...]:
    """Every piece of a surface, row by row from the framing out. What hangs keeps its number."""
    surface = name_of(frame.surface)
    taken = {(piece.layer, piece.x, piece.y): piece.name.number for piece in done}
    free = iter(number for number in range(1, 10**6) if number not in taken.values())
    laid = []
    for row_number, (row, spans) in enumerate(zip(chosen.arrangement.rows, chosen.pieces, strict=True)):
        for number, arc in enumerate(arc for span in spans for arc in span):
            x, y, width, height = _box(frame, arc)
            known = taken.get((row.layer, x, y)) if arc.need is None else None
            name = PieceName(surface, known if known is not None else next(free))
            course = _course(frame, chosen, row_number, number)
            laid.append(Laid(name, row.layer, x, y, width, height, course, arc.need, _factory(frame, row, arc)))
    return tuple(laid)


def _box(frame: Frame, arc: Arc) -> tuple[Length, Length, Length, Length]:
    """Its highest corner under a slope lies between two steps of the grid."""
    x, y, width, height = frame.box(arc.start, arc.end, arc.near, arc.far)
    top = max(point.height for point in top_between(frame.surface, x, x + width))
    return x, y, width, min(height, top - y)


def _course(frame: Frame, chosen: Chosen, row_number: int, number: int) -> Course | int:
    rows = chosen.arrangement.rows
    here = [index for index, row in enumerate(rows) if row.layer == rows[row_number].layer]
    if frame.lies is Lies.STANDING:
        count = sum(len(span) for span in chosen.pieces[row_number])
        return count - number if frame.flip_u else number + 1
    place = here.index(row_number)
    if frame.flip_v:
        place = len(here) - 1 - place
    if frame.wall and len(here) == 2:
        return (Course.UPPER, Course.LOWER)[place]
    return place + 1


def _factory(frame: Frame, row: Row, arc: Arc) -> frozenset[Edge]:
    """The long edges that have to be factory edges: those that meet another course."""
    near, far = (Edge.TOP, Edge.BOTTOM) if frame.lies is Lies.LYING else (Edge.LEFT, Edge.RIGHT)
    if frame.flip_v:
        near, far = far, near
    if frame.courses_slope:
        return _under_slope(frame, row, arc)
    before, after = meets(row.band, arc.near, arc.far)
    return frozenset([near] * before + [far] * after)


def _under_slope(frame: Frame, row: Row, arc: Arc) -> frozenset[Edge]:
    top = frame.highest_in(arc.start, arc.end)
    above = top > frame.depth - row.band.near and row.band.near == arc.near > 0
    below = arc.need is not None and arc.need.tapered - above > 0
    return frozenset([Edge.TOP] * above + [Edge.BOTTOM] * below)


def boards(laid: Sequence[Laid], lies: Lies) -> tuple[BoardAt, ...]:
    """The pieces as rectangles for finding joints."""
    return tuple(_at(one, lies) for one in laid)


def finish(
    surface: RoomSurface,
    laid: Laid,
    lies: Lies,
    cut_from: tuple[Sheet, frozenset[Edge] | None],
    beside: Sequence[BoardAt],
) -> Piece:
    """A piece with its sheet, and with what stands at each edge. Beside the sheet are its factory edges as it lies on
    it; of what hangs already (None) they go by its size.
    """
    sheet, own = cut_from
    joined = frozenset(edge for edge in Edge if _touching(laid, lies, edge, beside))
    factory = as_hung(own, lies, laid.factory, joined) if own is not None else _by_size(laid, lies, sheet)
    edges = {edge: _edge(surface, laid, lies, edge, factory, beside) for edge in Edge}
    left, right = (min(laid.height, max(ZERO, surface.top_at(x) - laid.y)) for x in (laid.x, laid.x + laid.width))
    for edge in (edge for edge, high in ((Edge.LEFT, left), (Edge.RIGHT, right)) if high == ZERO):
        edges[edge] = replace(edges[edge], neighbor=Neighbor.CEILING)  # it runs out to a point there
    return Piece(
        laid.name,
        laid.layer,
        laid.x,
        laid.y,
        laid.width,
        laid.height,
        lies,
        laid.course,
        sheet,
        edges,
        left,
        right,
        _bends(surface, laid),
    )


def _bends(surface: RoomSurface, laid: Laid) -> tuple[TopPoint, ...]:
    """Where the line of a piece's top breaks: at a break of the surface's top, and where that crosses the level top of
    what is cut from a sheet.
    """
    line = top_between(surface, laid.x, laid.x + laid.width)
    level = laid.y + laid.height
    places = {point.across for point in line[1:-1]}
    for left, right in pairwise(line):
        if min(left.height, right.height) < level < max(left.height, right.height):
            part = (level - left.height) / (right.height - left.height)
            places.add(left.across + (right.across - left.across) * part)
    corners = [laid.x, *sorted(places), laid.x + laid.width]
    high = {x: min(laid.height, max(ZERO, surface.top_at(x) - laid.y)) for x in corners}
    return tuple(
        TopPoint(x - laid.x, high[x])
        for before, x, after in zip(corners, corners[1:], corners[2:], strict=False)
        if (high[x] - high[before]) * ((after - x).inches) != (high[after] - high[x]) * ((x - before).inches)
    )


def _by_size(laid: Laid, lies: Lies, sheet: Sheet) -> frozenset[Edge]:
    run, rise = (laid.width, laid.height) if lies is Lies.LYING else (laid.height, laid.width)
    ends = frozenset(ENDS[lies]) if run == sheet.length else frozenset()
    return laid.factory | ends | (frozenset(Edge) - frozenset(ENDS[lies]) if rise == sheet.width else frozenset())


def _edge(
    surface: RoomSurface, laid: Laid, lies: Lies, edge: Edge, factory: frozenset[Edge], beside: Sequence[BoardAt]
) -> PieceEdge:
    touching = _touching(laid, lies, edge, beside)
    if touching:
        return PieceEdge(Neighbor.BOARD, edge in factory, touching, edge in laid.factory)
    return PieceEdge(_stands(surface, _at(laid, lies), edge), edge in factory)


def _at(laid: Laid, lies: Lies) -> BoardAt:
    x1, y1 = laid.x + laid.width, laid.y + laid.height
    return BoardAt(laid.name, laid.layer, laid.x, laid.y, x1, y1, lies, laid.factory)


def _touching(laid: Laid, lies: Lies, edge: Edge, beside: Sequence[BoardAt]) -> tuple[PieceName, ...]:
    mine = _at(laid, lies)
    return tuple(other.name for other in beside if other.layer == laid.layer and _touch(mine, other, edge))


def _touch(one: BoardAt, other: BoardAt, edge: Edge) -> bool:
    """Whether the other board lies along that edge of the one."""
    if sides(one)[edge] != sides(other)[OPPOSITE[edge]]:
        return False
    if edge in (Edge.LEFT, Edge.RIGHT):
        return one.y0 < other.y1 and other.y0 < one.y1
    return one.x0 < other.x1 and other.x0 < one.x1


def _stands(surface: RoomSurface, board: BoardAt, edge: Edge) -> Neighbor:
    at = sides(board)[edge]
    if surface.kind is Surface.CEILING or edge in (Edge.LEFT, Edge.RIGHT):
        at_end = at in (ZERO, surface.width if edge in (Edge.LEFT, Edge.RIGHT) else surface.height)
        return Neighbor.WALL if at_end else Neighbor.JAMB
    if _along_opening(surface, board, edge):
        return Neighbor.JAMB
    return Neighbor.CEILING if edge is Edge.TOP else Neighbor.FLOOR


def _along_opening(surface: RoomSurface, board: BoardAt, edge: Edge) -> bool:
    """Whether an opening lies along the lower or the upper edge of a board on a wall."""
    at = sides(board)[edge]
    ends = ((hole.bottom if edge is Edge.TOP else hole.top, hole) for hole in surface.openings)
    return any(end == at and hole.left < board.x1 and board.x0 < hole.right for end, hole in ends)
