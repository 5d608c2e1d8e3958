"""From a board's readings to a plan that has been checked, or to what it still needs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from typing import Any

from fieldvoice.cutting.edges import for_size
from fieldvoice.cutting.frame import BoardOnSheet, lay_out
from fieldvoice.cutting.geometry import XY, Polygon
from fieldvoice.cutting.hole import (
    ACROSS,
    DOWN,
    Axis,
    floor_budget,
    in_course,
    is_hard,
    is_open,
    lean_of,
    leans,
    off_the_floor,
    readings_of,
    sides_are_short,
    straight_edge,
    unbounded,
    wall_heights,
)
from fieldvoice.cutting.oddities import squared
from fieldvoice.cutting.openings import PlacedOpening, called, has_circuit, place_openings
from fieldvoice.cutting.proof import prove
from fieldvoice.cutting.steps import steps_for
from fieldvoice.cutting.tables import ENDS_KNOWN, TAPE, neighbor
from fieldvoice.cutting.warnings import warnings_for
from fieldvoice.errors import NotPlanned
from fieldvoice.records.board import Board, Known, Lies, Surface
from fieldvoice.records.facts import Fact
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Box, BoxKind, Circuit, Dimension, Edge, Neighbor, Opening, Place, Slot
from fieldvoice.records.plan import CutPlan, Flaw, Missing, Need, No, NoPlan, Point2, Proof

ZERO = Fraction(0)


def missing(board: Board) -> tuple[Missing, ...]:
    """What is still needed, what is required first.

    A cut edge at something that was built by others needs a reading at both its ends (one shows no taper); at a joint
    one will do, and at the floor, where the gap takes up what a floor is out and the base covers the rest. An open
    side needs none, nor does a course beside another one, unless a layout has the board smaller than its sheet there.
    The middle width, which shows a bow, the other end's height above a floor, which shows a slope, and what is known
    of each circuit make a plan safer and are asked for beside it.
    """
    return (
        *_course(board),
        *_widths(board),
        *_heights(board),
        *_side_or_end(board),
        *_contradictions(board),
        *(one for opening in board.openings for one in _sizes(opening)),
        *(Missing(Need.KIND, about=box.name) for box in board.boxes if box.kind is BoxKind.CALLED and box.far is None),
        *_references(board),
        *_middle(board),
        *_circuits(board),
    )


def _course(board: Board) -> Iterator[Missing]:
    """A lying sheet on a wall, with nothing said of where: it may be the upper course or the lower one."""
    if board.lies is not Lies.LYING or board.surface is not Surface.WALL or board.course is not None:
        return
    top, bottom = board.edges[Edge.TOP], board.edges[Edge.BOTTOM]
    usual = top.neighbor is Neighbor.CEILING and bottom.neighbor is Neighbor.FLOOR
    if usual and Known.CALLED not in {top.known, bottom.known}:
        yield Missing(Need.COURSE)


def _widths(board: Board) -> Iterator[Missing]:
    taken = {reading.place for reading in board.widths}
    if not taken:
        if Dimension.WIDTH in board.ripped or not any(is_open(board, edge) for edge in ACROSS.edges):
            yield from (Missing(Need.WIDTH, at=slot) for slot in (Slot.TOP, Slot.BOTTOM))
        return
    if any(is_hard(board, edge) for edge in ACROSS.edges):
        yield from (Missing(Need.WIDTH, at=slot) for slot in _ends_open(board, ACROSS, taken))


def _heights(board: Board) -> Iterator[Missing]:
    taken = {reading.place for reading in readings_of(board, DOWN)}
    if board.breaks:
        yield from _line_of_top(board, taken)
        return
    if not taken:
        if Dimension.HEIGHT in board.ripped or not any(unbounded(board, edge) for edge in DOWN.edges):
            above = Edge.TOP if wall_heights(board) or in_course(board) else None
            yield Missing(Need.HEIGHT, edge=above, values=tuple(one.value for one in wall_heights(board)[:1]))
        elif in_course(board) and neighbor(board, Edge.BOTTOM) is Neighbor.FLOOR:
            yield Missing(Need.HEIGHT, edge=Edge.TOP)
        return
    floor = neighbor(board, Edge.BOTTOM) is Neighbor.FLOOR
    if any(is_hard(board, edge) for edge in DOWN.edges):
        yield from (Missing(Need.HEIGHT, at=slot, required=not floor) for slot in _ends_open(board, DOWN, taken))


def _line_of_top(board: Board, taken: set[Place]) -> Iterator[Missing]:
    """Where the top breaks a height is needed at both sides and near each of the breaks."""
    places: tuple[Place, ...] = (Slot.LEFT, *board.breaks, Slot.RIGHT)
    for place in places:
        there = place in taken if isinstance(place, Slot) else any(_at_break(board, place, at) for at in taken)
        if not there:
            yield Missing(Need.HEIGHT, at=place)


def _at_break(board: Board, there: Length, at: Place) -> bool:
    """Whether a height was measured at a break of the top, and at no other one."""
    if at is Slot.MIDDLE and len(board.breaks) == 1:
        wide = min((one.value for one in readings_of(board, ACROSS)), default=None)
        return wide is not None and abs(wide / 2 - there) <= ENDS_KNOWN
    if not isinstance(at, Length) or abs(at - there) > ENDS_KNOWN:
        return False
    return all(abs(at - there) <= abs(at - other) for other in board.breaks)


def _ends_open(board: Board, axis: Axis, taken: set[Place]) -> tuple[Slot, ...]:
    """The ends near which no reading was taken. A lean that was said shows both ends of an edge by one reading."""
    if any(lean_of(board, edge) is not None for edge in axis.edges):
        return ()
    other = DOWN if axis is ACROSS else ACROSS
    length = max((one.value.inches for one in readings_of(board, other)), default=None)
    found = []
    for end in (axis.start, axis.end):
        slot = Slot(end.value)
        near = any(isinstance(at, Length) and _near(at, end is axis.start, length) for at in taken)
        if slot not in taken and not near:
            found.append(slot)
    return tuple(found)


def _near(at: Length, start: bool, length: Fraction | None) -> bool:  # noqa: FBT001 - which end, not a switch
    if start:
        return at <= ENDS_KNOWN
    return length is not None and length - at.inches <= ENDS_KNOWN.inches


def _side_or_end(board: Board) -> Iterator[Missing]:
    for axis, need in ((ACROSS, Need.SIDE), (DOWN, Need.END)):
        if not leans(board, axis) and straight_edge(board, axis) is None:
            yield Missing(need, neighbors=(neighbor(board, axis.near), neighbor(board, axis.far)))


def _contradictions(board: Board) -> Iterator[Missing]:
    """Two leans that the readings deny: one of them was misheard, or a reading was."""
    for axis in (ACROSS, DOWN):
        near, far = (lean_of(board, edge) for edge in axis.edges)
        values = {one.place: one.value.inches for one in readings_of(board, axis)}
        start, end = (values.get(Slot(edge.value)) for edge in (axis.start, axis.end))
        if near is None or far is None or start is None or end is None:
            continue
        narrows = end - start if axis is ACROSS else start - end
        differ = abs(narrows - (near + far))
        floor = floor_budget(board) if axis is DOWN and neighbor(board, Edge.BOTTOM) is Neighbor.FLOOR else ZERO
        if differ > max(TAPE.inches, floor):
            yield Missing(Need.PLUMBS, dimension=axis.dimension, values=(Length(differ),))


def _sizes(opening: Opening) -> Iterator[Missing]:
    for said, size, dimension in (
        (opening.xs, opening.width, Dimension.WIDTH),
        (opening.ys, opening.height, Dimension.HEIGHT),
    ):
        if len(said) < 2 and size is None and opening.diameter is None:
            yield Missing(Need.SIZE, about=opening.name, dimension=dimension)


def _references(board: Board) -> Iterator[Missing]:
    """What was measured from an edge where nothing stands, or from a floor whose place isn't known."""
    things: tuple[Box | Opening, ...] = (*board.boxes, *board.openings)
    for what in things:
        xs, ys = called(what)
        if any(_nothing_at(board, each.start, ACROSS) for each in xs):
            start = xs[0].start
            yield Missing(Need.MEASURE_AGAIN, about=what.name, edge=Edge.LEFT if start is Edge.RIGHT else Edge.RIGHT)
        if any(each.start is Edge.BOTTOM for each in ys) and not _floor_known(board):
            yield Missing(Need.FLOOR_HEIGHT, about=what.name)


def _nothing_at(board: Board, edge: Edge, axis: Axis) -> bool:
    return is_open(board, edge) and not readings_of(board, axis) and lean_of(board, edge) is None


def _floor_known(board: Board) -> bool:
    if not off_the_floor(board) and (readings_of(board, DOWN) or not is_open(board, Edge.BOTTOM)):
        return True
    by_ceiling = board.floor_to_ceiling is not None and neighbor(board, Edge.TOP) is Neighbor.CEILING
    return bool(wall_heights(board)) or board.above_floor is not None or by_ceiling


def _middle(board: Board) -> Iterator[Missing]:
    """A bow shows in the middle: of use where a side is cut to something that may bow."""
    places = {reading.place for reading in board.widths}
    hard = is_hard(board, for_size(board, ACROSS)) and not sides_are_short(board)
    wanted = hard and board.middle_width
    if wanted and places and Slot.MIDDLE not in places and not any(isinstance(at, Length) for at in places):
        yield Missing(Need.MIDDLE, required=False)


def _circuits(board: Board) -> Iterator[Missing]:
    things: tuple[Box | Opening, ...] = (*board.boxes, *board.openings)
    for what in things:
        if has_circuit(what) and board.circuit(what.name) is Circuit.UNKNOWN:
            yield Missing(Need.CIRCUIT, required=False, about=what.name)


def solve(board: Board) -> CutPlan:
    """The proved plan for a board. Raises NotPlanned where the readings don't make one, or where the proof fails."""
    needed = tuple(one for one in missing(board) if one.required)
    if needed:
        raise NotPlanned(NoPlan(No.NEEDS, missing=needed, unit=board.unit))
    found = _proved(board)
    if isinstance(found, CutPlan):
        return found
    raise NotPlanned(NoPlan(No.PROOF, failures=found.failures, rests_on=_rests_on(board), unit=board.unit))


def _proved(board: Board) -> CutPlan | Proof:
    """The plan, or what is wrong with it."""
    board = squared(board)
    frame = lay_out(board)
    plan = _unproved(board, frame, place_openings(frame.board, frame))
    proof = prove(plan)
    spoilt = {one.edge for one in proof.failures if one.flaw is Flaw.INSTEAD}
    if spoilt:  # what is only offered is not worth the plan
        plan = replace(plan, broken=tuple(cut for cut in plan.broken if cut.edge not in spoilt))
        proof = prove(plan)
    return replace(plan, proof=proof) if proof.ok else proof


_CALLED = ("widths", "heights", "diagonals", "plumbs", "boxes", "openings")


def _rests_on(board: Board) -> tuple[Fact, ...]:
    """What was called without which, one at a time, there is a plan; where that is nothing, all of it is to be measured
    again.
    """
    every = [(each, fact) for each in _CALLED for fact in getattr(board, each)]
    alone = [fact for each, fact in every if _is_planned_without(board, each, fact)]
    return tuple(alone or [fact for _, fact in every])


def _is_planned_without(board: Board, of: str, fact: Fact) -> bool:
    rest: dict[str, Any] = {of: tuple(each for each in getattr(board, of) if each is not fact)}
    less = replace(board, **rest)
    if any(one.required for one in missing(less)):
        return False
    try:
        return isinstance(_proved(less), CutPlan)
    except NotPlanned:
        return False


def _unproved(board: Board, frame: BoardOnSheet, placed: tuple[PlacedOpening, ...]) -> CutPlan:
    outline = frame.outline()
    corner = (min(x for x, _ in outline), min(y for _, y in outline))
    return CutPlan(
        board=board,
        sheet=frame.sheet,
        lies=board.lies,
        cuts=frame.cuts,
        openings=tuple(one.plan for one in placed),
        steps=steps_for(frame.board, frame, placed),
        outline=_points(outline, corner),
        offcut=tuple(_points(piece, corner) for piece in frame.offcuts()),
        proof=Proof(()),
        left=frame.left(),
        warnings=warnings_for(frame.board, frame, placed),
        broken=frame.instead,
    )


def _points(polygon: Polygon, corner: XY) -> tuple[Point2, ...]:
    return tuple(Point2(Length(x - corner[0]), Length(y - corner[1])) for x, y in polygon)
