"""The holes of a plan against the boxes and other things in the room, with the board hung."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from fieldvoice.cutting.axis import ACROSS, Axis, reading_at, stand_offs
from fieldvoice.cutting.hung import Hung
from fieldvoice.cutting.tables import BOX_GAP_LIMIT, OPENING_GAPS, neighbour, size_of, stand_off, step_of
from fieldvoice.records.board import Board
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Box, Circuit, Coordinate, Edge, Neighbour, Opening, Point
from fieldvoice.records.plan import Code, CutPlan, Failure, Fault, Method, OpeningPlan

ZERO = Fraction(0)


def opening_failures(plan: CutPlan, across: Hung, down: Hung) -> Iterator[Failure]:
    """Everything that is wrong with the openings."""
    listed: tuple[Box | Opening, ...] = (*plan.board.boxes, *plan.board.openings)
    things = {one.name: one for one in listed}
    if sorted(things) != sorted(opening.name for opening in plan.openings):
        yield Failure(Fault.OPENINGS)
        return
    for opening in plan.openings:
        what = things[opening.name]
        x, y = _middle(opening)
        yield from _tool(plan.board, opening, what)
        wide = across.measure(y)
        x += _rounded_off(opening, what, across, y, wide)
        high = down.measure(x)
        yield from _one_way(plan, opening, what, across, y, wide)
        yield from _one_way(plan, opening, what, down, x, high)
        yield from _other_ways(plan.board, opening, wide, high)


def _middle(opening: OpeningPlan) -> tuple[Fraction, Fraction]:
    """The marked centre on the outline."""
    left, top = min(p.x.inches for p in opening.corners), min(p.y.inches for p in opening.corners)
    x = left - opening.left.inches + opening.center.x.inches
    return x, top - opening.top.inches + opening.center.y.inches


def _rounded_off(opening: OpeningPlan, what: Box | Opening, across: Hung, y: Fraction, wide: Fraction) -> Fraction:
    """How far the thing's middle is from its marked centre: under a slope the height counts where the thing is."""
    low, high = _thing(what, across, y, _called(what, ACROSS), wide)
    return (low + high) / 2 - opening.center.x.inches


def _tool(board: Board, opening: OpeningPlan, what: Box | Opening) -> Iterator[Failure]:
    open_box = isinstance(what, Box) and board.circuit(what.name) is not Circuit.DEAD
    if open_box and opening.method is not Method.BEFOREHAND:
        yield Failure(Fault.TOOL, about=opening.name)


def _one_way(
    plan: CutPlan, opening: OpeningPlan, what: Box | Opening, hung: Hung, t: Fraction, wide: Fraction
) -> Iterator[Failure]:
    """The hole against the thing in one direction, both as distances from the board's near edge."""
    is_across = hung.axis is ACROSS
    marks = (opening.left, opening.right) if is_across else (opening.top, opening.bottom)
    low_side, high_side = (mark.inches for mark in marks)
    if not ZERO <= low_side < high_side <= wide + step_of(plan.board).inches:
        yield Failure(Fault.PLACE, about=opening.name)
        return
    called = _called(what, hung.axis)
    low, high = _thing(what, hung, t, called, wide)
    edge = wide - step_of(plan.board).inches
    reach = BOX_GAP_LIMIT.inches + step_of(plan.board).inches
    if (low_side <= 0 and low > reach) or (high_side > edge and high < edge - reach):
        yield Failure(Fault.EDGE, about=opening.name)
    if low_side > 0 and not _gap_is_right(plan.board, what, low - low_side):
        yield Failure(Fault.GAP, hung.axis.near, opening.name, value=Length(low - low_side))
    if high_side <= edge and not _gap_is_right(plan.board, what, high_side - high):
        yield Failure(Fault.GAP, hung.axis.far, opening.name, value=Length(high_side - high))
    whole = low_side > 0 and high_side <= edge
    center = (opening.center.x if is_across else opening.center.y).inches
    if whole and abs((low_side + high_side) / 2 - center) > step_of(plan.board).inches:
        yield Failure(Fault.CENTER, about=opening.name)
    if whole and isinstance(what, Box):
        yield from _plate(opening, what, hung.axis, (low + high) / 2, (low_side, high_side))
    yield from _unsaid_bow(plan, opening, hung, (t, wide), called)


def _called(what: Box | Opening, axis: Axis) -> tuple[Coordinate, ...]:
    if isinstance(what, Box):
        sides = zip((what.x, what.y), what.far or (), strict=False)
        both = tuple(sides) or ((what.x,), (what.y,))
        return both[0 if axis is ACROSS else 1]
    return what.xs if axis is ACROSS else what.ys


def _thing(
    what: Box | Opening, hung: Hung, t: Fraction, called: tuple[Coordinate, ...], wide: Fraction
) -> tuple[Fraction, Fraction]:
    """The thing's sides. The neighbour that it was called from is taken to stand off by its clearance; what it bows
    beyond that has to be told in a warning.
    """
    ends = sorted(_from_near(hung, t, one, wide) for one in called)
    if len(ends) == 2:
        return ends[0], ends[1]
    half = _size(what, hung.axis) / 2
    sign = -1 if called[0].start is hung.axis.far else 1
    center = ends[0] + sign * {Point.CENTER: ZERO, Point.NEAR: half, Point.FAR: -half}[called[0].point]
    return center - half, center + half


def _from_near(hung: Hung, t: Fraction, called: Coordinate, wide: Fraction) -> Fraction:
    near, far = hung.axis.near, hung.axis.far
    if called.start is near:
        return called.value.inches - stand_off(hung.board, near).inches
    if hung.axis is ACROSS:
        return wide + stand_off(hung.board, far).inches - called.value.inches
    return _height(hung, t) - stand_off(hung.board, near).inches - called.value.inches


def _height(hung: Hung, x: Fraction) -> Fraction:
    known = hung.board.floor_to_ceiling
    if known is not None and neighbour(hung.board, Edge.TOP) is Neighbour.CEILING:
        return known.inches
    return reading_at(hung.readings, x)


def _size(what: Box | Opening, axis: Axis) -> Fraction:
    if isinstance(what, Box):
        size = size_of(what)
        return (size.width if axis is ACROSS else size.height).inches
    said = (what.width if axis is ACROSS else what.height) or what.diameter
    return ZERO if said is None else said.inches


def _gap_is_right(board: Board, what: Box | Opening, gap: Fraction) -> bool:
    if isinstance(what, Box):
        return 0 < gap <= BOX_GAP_LIMIT.inches
    return abs(gap - OPENING_GAPS[what.kind].value.inches) <= step_of(board).inches


def _plate(
    opening: OpeningPlan, box: Box, axis: Axis, center: Fraction, sides: tuple[Fraction, Fraction]
) -> Iterator[Failure]:
    plate = size_of(box).plate
    if plate is None:
        return
    half = plate[0 if axis is ACROSS else 1].inches / 2
    if sides[0] < center - half or sides[1] > center + half:
        yield Failure(Fault.PLATE, about=opening.name)


def _unsaid_bow(
    plan: CutPlan, opening: OpeningPlan, hung: Hung, at: tuple[Fraction, Fraction], called: tuple[Coordinate, ...]
) -> Iterator[Failure]:
    """Where the neighbour bows away from the cut farther than a box's gap forgives, that must have been said."""
    if len(hung.cuts) != 1:
        return
    t, wide = at
    for one in called:
        if one.start is not hung.cuts[0].edge or one.start is Edge.BOTTOM:
            continue
        bow = reading_at(hung.readings, t) - wide - stand_offs(plan.board, hung.axis)
        said = any(w.code is Code.BOWED_REFERENCE and w.about == opening.name for w in plan.warnings)
        if bow > BOX_GAP_LIMIT.inches and not said:
            yield Failure(Fault.UNTOLD, one.start, opening.name, value=Length(bow))


def _other_ways(board: Board, opening: OpeningPlan, wide: Fraction, high: Fraction) -> Iterator[Failure]:
    for way in opening.alternates:
        upwards = way.hook.edge is Edge.BOTTOM
        measure, center = (high, opening.center.y) if upwards else (wide, opening.center.x)
        if abs(measure - center.inches - way.distance.inches) > step_of(board).inches:
            yield Failure(Fault.WAY, about=opening.name)
