"""Boxes and other openings that the board is cut out around: their middle and size as called at the wall, and from
their place in the hole the marks on the finished board.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from fieldvoice.cutting.frame import BoardOnSheet
from fieldvoice.cutting.geometry import XY, Polyline, meet, value_at
from fieldvoice.cutting.hole import ACROSS, DOWN, Axis, MeasuredHole, axis_of
from fieldvoice.cutting.tables import BOX_GAP, LEG, OPENING_GAPS, SLIVER, WEB, size_of, step_of
from fieldvoice.errors import NotPlanned
from fieldvoice.records.board import Board, MarksBy
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import OPPOSITE, Box, BoxKind, Circuit, Coordinate, Edge, Opening, OpeningKind, Point
from fieldvoice.records.plan import HoleMarks, Hook, Method, Missing, Need, No, NoPlan, Offset, OpeningPlan, Point2, Way

ZERO = Fraction(0)
_SQUARE = frozenset({OpeningKind.WINDOW, OpeningKind.DOOR, OpeningKind.NOTCH})


@dataclass(frozen=True, slots=True)
class Obstacle:
    """A box or an opening in the hole: its middle, half its size each way, the gap round it, and the edges that it was
    called from. `radius` is there where it is round.
    """

    name: str
    what: Box | Opening
    x: Fraction
    y: Fraction
    half_width: Fraction
    half_height: Fraction
    gap: Fraction
    x_start: Edge
    y_start: Edge
    radius: Fraction | None = None


def called(what: Box | Opening) -> tuple[tuple[Coordinate, ...], tuple[Coordinate, ...]]:
    """What was called across and down: one coordinate each, or both sides."""
    if isinstance(what, Opening):
        return what.xs, what.ys
    if what.far is None:
        return (what.x,), (what.y,)
    return (what.x, what.far[0]), (what.y, what.far[1])


def obstacle_of(board: Board, hole: MeasuredHole, what: Box | Opening) -> Obstacle:
    """Where it is in the hole. Raises NotPlanned where its size or what it was called from isn't known."""
    xs, ys = called(what)
    width, height = (_size(board, what, axis, said) for axis, said in ((ACROSS, xs), (DOWN, ys)))
    dx, dy = _middle(board, what.name, xs, width), _middle(board, what.name, ys, height)
    side, level = (_reference(board, hole, what.name, said[0].start) for said in (xs, ys))
    x, y = meet(
        side,
        level,
        dx if xs[0].start is Edge.LEFT else -dx,
        dy if ys[0].start is Edge.TOP else -dy,
    )
    gap = BOX_GAP if isinstance(what, Box) else OPENING_GAPS[what.kind]
    radius = width / 2 if is_round(what) else None
    return Obstacle(what.name, what, x, y, width / 2, height / 2, gap.inches, xs[0].start, ys[0].start, radius)


def has_circuit(what: Box | Opening) -> bool:
    """Whether wires are behind it: behind every box, and behind a light."""
    return isinstance(what, Box) or what.kind is OpeningKind.LIGHT


def is_round(what: Box | Opening) -> bool:
    """Whether it is a circle: a round box by its kind, a pipe or a light by its diameter."""
    if isinstance(what, Box):
        return what.far is None and what.kind in {BoxKind.ROUND, BoxKind.OCTAGON}
    return what.diameter is not None and what.kind not in _SQUARE and len(what.xs) == len(what.ys) == 1


def _size(board: Board, what: Box | Opening, axis: Axis, said: tuple[Coordinate, ...]) -> Fraction:
    if isinstance(what, Box):
        size = size_of(what)
        return (size.width if axis is ACROSS else size.height).inches
    if len(said) == 2:
        return abs(said[1].value.inches - said[0].value.inches)
    given = (what.width if axis is ACROSS else what.height) or what.diameter
    if given is None:
        missing = Missing(Need.SIZE, about=what.name, dimension=axis.dimension)
        raise NotPlanned(NoPlan(No.NEEDS, missing=(missing,), unit=board.unit))
    return given.inches


def _middle(board: Board, name: str, said: tuple[Coordinate, ...], size: Fraction) -> Fraction:
    """How far its middle is from what it was called from."""
    first, value = said[0], said[0].value.inches
    if len(said) == 2:
        if said[1].start is not first.start:
            raise NotPlanned(NoPlan(No.OPPOSITE_EDGES, about=name, edge=first.start, unit=board.unit))
        return (value + said[1].value.inches) / 2
    if first.point is Point.CENTER:
        return value
    return value + (size / 2 if first.point is Point.NEAR else -size / 2)


def _reference(board: Board, hole: MeasuredHole, name: str, edge: Edge) -> Polyline:
    """The line that a distance was measured from."""
    line = hole.floor if edge is Edge.BOTTOM else hole.lines[edge]
    if line is None:
        need = Need.FLOOR_HEIGHT if edge is Edge.BOTTOM else Need.MEASURE_AGAIN
        missing = Missing(need, about=name, edge=OPPOSITE[edge])
        raise NotPlanned(NoPlan(No.NEEDS, missing=(missing,), unit=board.unit))
    return line


def in_doubt(hole: MeasuredHole, obstacle: Obstacle) -> tuple[Edge, Fraction] | None:
    """The edge that a box was called from and by how much the readings leave it open there, where that is more than the
    gap round it: between two readings a bowed wall may run otherwise than straight from one to the next.
    """
    if not isinstance(obstacle.what, Box):
        return None
    for edge, t in ((obstacle.x_start, obstacle.y), (obstacle.y_start, obstacle.x)):
        open_by = unsure(hole, edge, t)
        if open_by > obstacle.gap:
            return edge, open_by
    return None


def unsure(hole: MeasuredHole, edge: Edge, t: Fraction) -> Fraction:
    """By how much a line through the three nearest readings differs at `t` from one straight between two of them."""
    line = hole.lines[edge]
    if line is None or len(hole.spots(axis_of(edge))) < 3 or len(line) < 3:
        return ZERO
    near = sorted(line, key=lambda point: abs(point[0] - t))[:3]
    return abs(_through(near, t) - value_at(line, t))


def _through(points: list[tuple[Fraction, Fraction]], t: Fraction) -> Fraction:
    total = ZERO
    for i, (ti, vi) in enumerate(points):
        weight = Fraction(1)
        for j, (tj, _) in enumerate(points):
            if i != j:
                weight *= (t - tj) / (ti - tj)
        total += vi * weight
    return total


Sides = tuple[Fraction, Fraction, Fraction, Fraction]
"""Left, right, top, bottom."""

FOOT = Length(12)
EDGES = (Edge.LEFT, Edge.RIGHT, Edge.TOP, Edge.BOTTOM)


@dataclass(frozen=True, slots=True)
class PlacedOpening:
    """An opening with what the steps need beside its plan: its marks, and what stays of the board at its four sides
    (nothing or less where it runs out there).
    """

    obstacle: Obstacle
    plan: OpeningPlan
    marks: HoleMarks | None
    left_over: Sides
    out: tuple[Edge, ...]
    near: tuple[str, ...] = ()
    doubt: tuple[Edge, Fraction] | None = None


def place_openings(board: Board, frame: BoardOnSheet) -> tuple[PlacedOpening, ...]:
    """Every box and opening of the board. Raises NotPlanned where one has no place."""
    every: tuple[Box | Opening, ...] = (*board.boxes, *board.openings)
    obstacles = tuple(obstacle_of(board, frame.hole, what) for what in every)
    outline = frame.outline() if obstacles else ()
    corner = (min((x for x, _ in outline), default=ZERO), min((y for _, y in outline), default=ZERO))
    return tuple(_place(board, frame, obstacle, obstacles, corner) for obstacle in obstacles)


def _place(
    board: Board, frame: BoardOnSheet, obstacle: Obstacle, others: tuple[Obstacle, ...], corner: XY
) -> PlacedOpening:
    sides = _sides(obstacle)
    ends = _ends(frame, obstacle)
    over = (sides[0] - ends[0], ends[1] - sides[1], sides[2] - ends[2], ends[3] - sides[3])
    size = (ends[1] - ends[0], ends[3] - ends[2])
    if any(rest >= (size[0] if i < 2 else size[1]) for i, rest in enumerate(over)):
        raise NotPlanned(NoPlan(No.NOT_ON_BOARD, about=obstacle.name, unit=board.unit))
    out = tuple(edge for edge, rest in zip(EDGES, over, strict=True) if rest <= _runs_out(obstacle))
    by_edge = _is_framed(obstacle) or isinstance(obstacle.what, Box)
    near = tuple(one.name for one in others if by_edge and has_circuit(one.what) and _is_near(obstacle, one))
    method = _method(board, obstacle, over, out, near)
    doubt = None if method is Method.ROUT else in_doubt(frame.hole, obstacle)  # a bit finds the box by its edge
    marks = _marks(board, frame, obstacle, sides, out) if doubt is None and method is not Method.IN_PLACE else None
    plan = _plan(board, frame, obstacle, (sides, ends, corner), out, method, held=doubt is not None)
    in_place = method in {Method.IN_PLACE, Method.ROUT}
    return PlacedOpening(obstacle, plan, marks, over, out, near if in_place else (), doubt)


def _sides(obstacle: Obstacle) -> Sides:
    width, height = obstacle.half_width + obstacle.gap, obstacle.half_height + obstacle.gap
    return (obstacle.x - width, obstacle.x + width, obstacle.y - height, obstacle.y + height)


def _ends(frame: BoardOnSheet, obstacle: Obstacle) -> Sides:
    """The board's edges at the obstacle's height and place."""
    left, right = (value_at(frame.edges[edge], obstacle.y) for edge in (Edge.LEFT, Edge.RIGHT))
    top, bottom = (value_at(frame.edges[edge], obstacle.x) for edge in (Edge.TOP, Edge.BOTTOM))
    return (left, right, top, bottom)


def _runs_out(obstacle: Obstacle) -> Fraction:
    """A notch keeps its edge: where less than a snapped strip would stay between, it runs out. Anything else runs out
    only where nothing stays at all.
    """
    notch = isinstance(obstacle.what, Opening) and obstacle.what.kind is OpeningKind.NOTCH
    return SLIVER.inches if notch else ZERO


def _is_framed(obstacle: Obstacle) -> bool:
    """Whether it has framing of its own that is cut along."""
    return isinstance(obstacle.what, Opening) and obstacle.what.kind in {OpeningKind.WINDOW, OpeningKind.DOOR}


def _is_near(obstacle: Obstacle, box: Obstacle) -> bool:
    """Whether a box lies in an opening or nearer to its sides than a hand's breadth."""
    if box.name == obstacle.name:
        return False
    apart = LEG.inches
    return (
        abs(box.x - obstacle.x) <= obstacle.half_width + box.half_width + apart
        and abs(box.y - obstacle.y) <= obstacle.half_height + box.half_height + apart
    )


def _method(board: Board, obstacle: Obstacle, over: Sides, out: tuple[Edge, ...], near: tuple[str, ...]) -> Method:
    """A tool goes into a box only where its circuit was said to be dead and tested and no device sits in it. A window
    or a door is cut out in place, unless it takes a corner whose legs can be carried and nobody said to cut it there.
    Neither is where a box that may be live is near its sides.
    """
    what = obstacle.what
    dead = board.circuit(what.name) is Circuit.DEAD
    live = any(board.circuit(name) is not Circuit.DEAD for name in near)
    if isinstance(what, Box):
        return Method.ROUT if dead and not what.plugged_in and not live else Method.BEFOREHAND
    if has_circuit(what) and not dead:
        return Method.BEFOREHAND
    if _is_framed(obstacle):
        legs = [rest for rest, edge in zip(over, EDGES, strict=True) if edge not in out]
        corner = len(out) == 2 and OPPOSITE[out[0]] is not out[1] and min(legs) >= FOOT.inches
        return Method.SAW if live or (corner and not board.in_place) else Method.IN_PLACE
    return Method.COMPASS if is_round(what) and not out else Method.SAW


def _hook_edge(frame: BoardOnSheet, called: Edge) -> Edge:
    """The edge that marks count from: the one it was called from where that is kept, else the one across where that
    is, else the one it was called from.
    """
    cut = frame.cut_edges()
    if called not in cut or OPPOSITE[called] in cut:
        return called
    return OPPOSITE[called]


def _marks(board: Board, frame: BoardOnSheet, obstacle: Obstacle, sides: Sides, out: tuple[Edge, ...]) -> HoleMarks:
    step = step_of(board)
    hooks = tuple(_hook_edge(frame, start) for start in (obstacle.x_start, obstacle.y_start))
    cut = frame.cut_edges()

    def offset(hook: Edge, v: Fraction) -> Offset:
        t = obstacle.y if axis_of(hook) is ACROSS else obstacle.x
        distance = Length(abs(v - value_at(frame.edges[hook], t))).rounded(step)
        return Offset(Hook.on(hook, cut), distance)

    box = isinstance(obstacle.what, Box)
    center = (offset(hooks[0], obstacle.x), offset(hooks[1], obstacle.y))
    if obstacle.radius is not None and not out:
        return HoleMarks(center, radius=Length(obstacle.radius + obstacle.gap))
    by = board.marks_by if box else MarksBy.SIDES
    marked = tuple(
        (edge, offset(hooks[0] if edge in ACROSS.edges else hooks[1], side))
        for edge, side in zip(EDGES, sides, strict=True)
        if edge not in out
    )
    whole = len(marked) == 4
    if by is MarksBy.CENTER and whole:
        return HoleMarks(center, marked)
    inside = frame_holds(frame, obstacle)
    return HoleMarks(center if by is not MarksBy.SIDES and inside else None, marked)


def frame_holds(frame: BoardOnSheet, obstacle: Obstacle) -> bool:
    """Whether the obstacle's middle is on the board."""
    left, right, top, bottom = _ends(frame, obstacle)
    return left < obstacle.x < right and top < obstacle.y < bottom


def _plan(
    board: Board,
    frame: BoardOnSheet,
    obstacle: Obstacle,
    where: tuple[Sides, Sides, XY],
    out: tuple[Edge, ...],
    method: Method,
    *,
    held: bool,
) -> OpeningPlan:
    (sides, ends, corner), step, cut = where, step_of(board), frame.cut_edges()
    marks = []
    for i, edge in enumerate(EDGES):
        near, far = (ends[0], ends[1]) if i < 2 else (ends[2], ends[3])
        if edge in out:
            marks.append(Length(0) if edge in {Edge.LEFT, Edge.TOP} else Length(far - near).rounded_up(step))
        else:
            marks.append(Length(sides[i] - near).rounded(step))
    left, right, top, bottom = marks
    what = obstacle.what
    xs = [ends[0] + mark.inches - corner[0] for mark in (left, right)]
    ys = [ends[2] + mark.inches - corner[1] for mark in (top, bottom)]
    return OpeningPlan(
        obstacle.name,
        what.kind,
        method,
        Point2(Length(obstacle.x - ends[0]).rounded(step), Length(obstacle.y - ends[2]).rounded(step)),
        left,
        right,
        top,
        bottom,
        Hook.on(Edge.LEFT, cut),
        Hook.on(Edge.TOP, cut),
        board.circuit(what.name) if has_circuit(what) else None,
        _ways(board, frame, obstacle),
        tuple(
            Point2(Length(x), Length(y)) for x, y in ((xs[0], ys[0]), (xs[1], ys[0]), (xs[1], ys[1]), (xs[0], ys[1]))
        ),
        Length(obstacle.radius + obstacle.gap) if obstacle.radius is not None and not out else None,
        held,
    )


def _ways(board: Board, frame: BoardOnSheet, obstacle: Obstacle) -> tuple[Way, ...]:
    """The middle from the edges that the marks don't count from: across, and down where an end is cut."""
    cut, step = frame.cut_edges(), step_of(board)
    _, right, _, bottom = _ends(frame, obstacle)
    ways = []
    if Edge.LEFT in cut or obstacle.x_start is Edge.RIGHT:
        ways.append(Way(Length(right - obstacle.x).rounded(step), Hook.on(Edge.RIGHT, cut)))
    if Edge.TOP in cut:
        ways.append(Way(Length(bottom - obstacle.y).rounded(step), Hook.on(Edge.BOTTOM, cut)))
    return tuple(way for way in ways if way.distance.inches > 0)


def thin(placed: PlacedOpening) -> tuple[tuple[Edge, Fraction], ...]:
    """The edges that it leaves less board at than carries."""
    return tuple(
        (edge, rest)
        for edge, rest in zip(EDGES, placed.left_over, strict=True)
        if edge not in placed.out and rest < WEB.inches
    )
