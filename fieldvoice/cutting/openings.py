"""Boxes and other openings: from what was called at the wall to sides marked on the sheet."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from fieldvoice.cutting.axis import DOWN, measured, reading_at
from fieldvoice.cutting.frame import Frame
from fieldvoice.cutting.lines import Polyline, value_at
from fieldvoice.cutting.outline import meet
from fieldvoice.cutting.tables import BOX_GAP, OPENING_GAPS, neighbour, size_of, stand_off, step_of
from fieldvoice.errors import NotPlanned
from fieldvoice.records.board import Board
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Box, Circuit, Coordinate, Dimension, Edge, Neighbour, Opening, OpeningKind, Point
from fieldvoice.records.plan import Hook, Method, Missing, Need, No, NoPlan, OpeningPlan, Point2, Way

ZERO = Fraction(0)
SLIVER = Length("1/32")


@dataclass(frozen=True, slots=True)
class Thing:
    """What comes through the board: the middle and half the size of it each way. `x` counts from `x_start`'s edge of
    the
    board (already less its clearance), `y` from `y_start`'s.
    """

    name: str
    x: Fraction
    x_start: Edge
    y: Fraction
    y_start: Edge
    half_width: Fraction
    half_height: Fraction
    gap: Fraction


def thing_of(board: Board, what: Box | Opening) -> Thing:
    """The thing itself. Raises NotPlanned where its size or a reference is not known."""
    if isinstance(what, Box):
        size = size_of(what)
        width, height, gap = size.width.inches, size.height.inches, BOX_GAP.inches
        xs: tuple[Coordinate, ...] = (what.x,)
        ys: tuple[Coordinate, ...] = (what.y,)
    else:
        width = _size(what, what.xs, what.width or what.diameter, "width")
        height = _size(what, what.ys, what.height or what.diameter, "height")
        gap = OPENING_GAPS[what.kind].value.inches
        xs, ys = what.xs, what.ys
    x, y = _middle(what.name, xs, width), _middle(what.name, ys, height)
    x_start, y_start = xs[0].start, ys[0].start
    return Thing(
        what.name,
        x - stand_off(board, x_start).inches,
        x_start,
        y - (stand_off(board, y_start).inches if y_start is Edge.TOP else ZERO),
        y_start,
        width / 2,
        height / 2,
        gap,
    )


def _size(what: Opening, called: tuple[Coordinate, ...], size: Length | None, name: str) -> Fraction:
    if len(called) == 2:
        return abs(called[1].value.inches - called[0].value.inches)
    if size is None:
        dimension = Dimension.WIDTH if name == "width" else Dimension.HEIGHT
        raise NotPlanned(NoPlan(No.NEEDS, missing=(Missing(Need.SIZE, about=what.name, dimension=dimension),)))
    return size.inches


def _middle(name: str, called: tuple[Coordinate, ...], size: Fraction) -> Fraction:
    first, value = called[0], called[0].value.inches
    if len(called) == 2:
        if called[1].start is not first.start:
            raise NotPlanned(NoPlan(No.OPPOSITE_EDGES, about=name, edge=first.start))
        return (value + called[1].value.inches) / 2
    if first.point is Point.CENTER:
        return value
    return value + (size / 2 if first.point is Point.NEAR else -size / 2)


def settle(board: Board, frame: Frame, thing: Thing) -> tuple[Fraction, Fraction]:
    """The thing's middle as distances from the board's left and top edges, each measured at that height or place."""
    left, right, top = frame.edge(Edge.LEFT), frame.edge(Edge.RIGHT), frame.edge(Edge.TOP)
    side, dx = (left, thing.x) if thing.x_start is Edge.LEFT else (right, -thing.x)
    if thing.y_start is Edge.BOTTOM:
        x, y = meet(side, _level_from_floor(board, frame, thing), dx)
    else:
        x, y = meet(side, top, dx, thing.y)
    return x - value_at(left, y), y - value_at(top, x)


def _level_from_floor(board: Board, frame: Frame, thing: Thing) -> Polyline:
    """Where a reading from the floor lies, as a line across the board: only where the height is known."""
    top, off = frame.edge(Edge.TOP), stand_off(board, Edge.TOP).inches
    if board.floor_to_ceiling is not None and neighbour(board, Edge.TOP) is Neighbour.CEILING:
        down = board.floor_to_ceiling.inches - thing.y - off
        return tuple((x, y + down) for x, y in top)
    readings = measured(board, DOWN, frame.down.extent)
    if not readings or neighbour(board, Edge.BOTTOM) is Neighbour.OPEN:
        raise NotPlanned(NoPlan(No.NEEDS, missing=(Missing(Need.FLOOR_HEIGHT, about=thing.name),), unit=board.unit))
    places = sorted({x for x, _ in top} | {one.t for one in readings})
    return tuple((x, value_at(top, x) + reading_at(readings, x) - thing.y - off) for x in places)


def plan_opening(board: Board, frame: Frame, what: Box | Opening) -> OpeningPlan:
    """An opening with its marks."""
    thing = thing_of(board, what)
    circuit = board.circuit(what.name) if isinstance(what, Box) else None
    step = step_of(board)
    x, y = settle(board, frame, thing)
    sides = (
        x - thing.half_width - thing.gap,
        x + thing.half_width + thing.gap,
        y - thing.half_height - thing.gap,
        y + thing.half_height + thing.gap,
    )
    middle = meet(frame.edge(Edge.LEFT), frame.edge(Edge.TOP), x, y)
    width, height = _board_at(frame, middle)
    if sides[1] <= 0 or sides[0] >= width or sides[3] <= 0 or sides[2] >= height:
        raise NotPlanned(NoPlan(No.NOT_ON_BOARD, about=thing.name, unit=board.unit))
    left, right = (_between(side, width, step) for side in sides[:2])
    top, bottom = (_between(side, height, step) for side in sides[2:])
    cut = frame.cut_edges()
    return OpeningPlan(
        what.name,
        what.kind.value,
        _method(what, circuit, (left, right, top, bottom), (width, height)),
        Point2(Length(x).rounded(step), Length(y).rounded(step)),
        left,
        right,
        top,
        bottom,
        _edge_name(Edge.LEFT, cut),
        _edge_name(Edge.TOP, cut),
        circuit,
        _alternates(board, thing, (width - x, height - y), cut),
        _corners(middle, (x, y), (left, right, top, bottom)),
    )


def _board_at(frame: Frame, middle: tuple[Fraction, Fraction]) -> tuple[Fraction, Fraction]:
    """The board's width at that height and its height at that place."""
    x, y = middle
    return (
        value_at(frame.edge(Edge.RIGHT), y) - value_at(frame.edge(Edge.LEFT), y),
        value_at(frame.edge(Edge.BOTTOM), x) - value_at(frame.edge(Edge.TOP), x),
    )


def _between(side: Fraction, size: Fraction, step: Length) -> Length:
    """A side to the nearest mark; a side beyond the board's edge ends at the first mark that is not on the board."""
    if side <= 0:
        return Length(0)
    return Length(size).rounded_up(step) if side >= size else Length(side).rounded(step)


def _edge_name(edge: Edge, cut: frozenset[Edge]) -> Hook:
    return Hook.on(edge, cut)


def _alternates(board: Board, thing: Thing, rest: tuple[Fraction, Fraction], cut: frozenset[Edge]) -> tuple[Way, ...]:
    """Further ways to the center: from the far factory edge, which is there before the cut, or the edge it was called
    from.
    """
    step = step_of(board)
    ways = []
    if Edge.LEFT in cut or thing.x_start is Edge.RIGHT:
        ways.append(Way(Length(rest[0]).rounded(step), _edge_name(Edge.RIGHT, cut)))
    if Edge.TOP in cut:
        ways.append(Way(Length(rest[1]).rounded(step), _edge_name(Edge.BOTTOM, cut)))
    return tuple(ways)


def _corners(
    middle: tuple[Fraction, Fraction], marked: tuple[Fraction, Fraction], sides: tuple[Length, Length, Length, Length]
) -> tuple[Point2, ...]:
    dx, dy = middle[0] - marked[0], middle[1] - marked[1]
    left, right, top, bottom = (side.inches for side in sides)
    around = ((left, top), (right, top), (right, bottom), (left, bottom))
    return tuple(Point2(Length(x + dx), Length(y + dy)) for x, y in around)


def _method(
    what: Box | Opening,
    circuit: Circuit | None,
    sides: tuple[Length, Length, Length, Length],
    size: tuple[Fraction, Fraction],
) -> Method:
    """A tool goes into a box only where its circuit was said to be dead and tested and no device sits in it. An
    opening at the board's edge is
    sawn before hanging; a window or a door inside the board is cut out in place.
    """
    if isinstance(what, Box):
        return Method.ROUT if circuit is Circuit.DEAD and not what.plugged_in else Method.BEFOREHAND
    if what.kind in {OpeningKind.WINDOW, OpeningKind.DOOR} and not at_edge(sides, size):
        return Method.IN_PLACE
    return Method.SAW


def place(opening: OpeningPlan) -> tuple[Fraction, Fraction]:
    """Where an opening's marked centre is on the outline."""
    left, top = min(p.x.inches for p in opening.corners), min(p.y.inches for p in opening.corners)
    return left - (opening.left - opening.center.x).inches, top - (opening.top - opening.center.y).inches


def at_edge(sides: tuple[Length, Length, Length, Length], size: tuple[Fraction, Fraction]) -> tuple[Edge, ...]:
    """The edges of the board that an opening runs out at, to the finest graduation: no thinner strip stays."""
    left, right, top, bottom = (side.inches for side in sides)
    runs_out = {
        Edge.LEFT: left <= 0,
        Edge.RIGHT: right >= size[0] - SLIVER.inches,
        Edge.TOP: top <= 0,
        Edge.BOTTOM: bottom >= size[1] - SLIVER.inches,
    }
    return tuple(edge for edge, out in runs_out.items() if out)
