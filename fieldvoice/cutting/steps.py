"""What to do at the sheets, in the order in which it works."""

from __future__ import annotations

from collections.abc import Iterator

from fieldvoice.cutting.frame import BoardOnSheet
from fieldvoice.cutting.geometry import value_at
from fieldvoice.cutting.hole import ACROSS, DOWN, axis_of, off
from fieldvoice.cutting.openings import PlacedOpening
from fieldvoice.cutting.sheets import across_and_down
from fieldvoice.cutting.tables import CUT_RANK, SLIVER, neighbor
from fieldvoice.records.board import Board
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Circuit, Edge, Neighbor
from fieldvoice.records.plan import CutLine, Does, Heed, Hook, Method, Reason, Shape, StandOff, Step, Tool, Where

_LEVEL = {Edge.TOP, Edge.BOTTOM}


def steps_for(board: Board, frame: BoardOnSheet, placed: tuple[PlacedOpening, ...]) -> tuple[Step, ...]:
    """Every step, from choosing the sheet to the openings that are cut in place."""
    wait = [one for one in placed if one.plan.held]
    ready = [one for one in placed if not one.plan.held]
    before = [one for one in ready if one.plan.method in {Method.BEFOREHAND, Method.SAW, Method.COMPASS}]
    after = [one for one in ready if one.plan.method in {Method.ROUT, Method.IN_PLACE}]
    return (
        _lean(board, frame),
        *(step for number in range(len(frame.cuts)) for step in _cut(board, frame, number)),
        *_rasp(frame),
        *_bevel(board, frame),
        *(_mark(one) for one in ready if one.marks is not None),
        *(_beforehand(board, one) for one in before),
        *(Step(Does.WAIT, opening=one.obstacle.name) for one in wait),
        _hang(board, frame, few=bool(after)),
        *(_in_place(one) for one in after),
        *((Step(Does.FASTEN),) if after else ()),
    )


def _lean(board: Board, frame: BoardOnSheet) -> Step:
    offcut = None if board.cut_from is None else board.cut_from.offcut
    edges = tuple(edge for edge in Edge if edge in board.cut_before)
    return Step(
        Does.LEAN,
        sheet=frame.sheet,
        lies=board.lies,
        surface=board.surface,
        offcut=offcut,
        edges=edges,
        why=Reason.CORNERS,
    )


def _cut(board: Board, frame: BoardOnSheet, number: int) -> tuple[Step, Step]:
    cut = frame.cuts[number]
    made = frozenset(one.edge for one in frame.cuts[:number])
    later = {one.edge for one in frame.cuts[number + 1 :]}
    why = None
    if cut.edge not in _LEVEL and made & _LEVEL and not later & _LEVEL:
        why = Reason.ENDS_FIRST
    elif cut.edge not in _LEVEL and later & _LEVEL:
        why = Reason.STILL_LONG
    mark = Step(Does.MARK, cut.edge, Hook.on(cut.origin, made | board.cut_before), cut.marks, cut.shape, why=why)
    return mark, _make_cut(cut, strip(board, frame, cut))


def strip(board: Board, frame: BoardOnSheet, cut: CutLine) -> Length:
    """How much a cut takes off at its widest: what is thinner than a sliver all along can't be snapped."""
    reach = across_and_down(frame.sheet, board.lies)[0 if cut.edge in ACROSS.edges else 1]
    taken = Length(reach) - min(mark.distance for mark in cut.marks)
    both = [one for one in frame.cuts if axis_of(one.edge) is axis_of(cut.edge)]
    if len(both) == 2 and cut is both[1]:
        taken = taken - (Length(reach) - max(mark.distance for mark in both[0].marks))
    return taken


def _make_cut(cut: CutLine, taken: Length) -> Step:
    if cut.shape is Shape.STRAIGHT:
        tool = Tool.SAW if taken < SLIVER else Tool.KNIFE
        return Step(Does.CUT, cut.edge, shape=cut.shape, tool=tool, why=Reason.CHALK)
    why = Reason.SAW_FIRST if cut.shape is Shape.BROKEN else Reason.FOLLOWS
    return Step(Does.CUT, cut.edge, shape=cut.shape, tool=Tool.SAW, why=why)


def _rasp(frame: BoardOnSheet) -> tuple[Step, ...]:
    if not frame.cuts:
        return ()
    edges = tuple(cut.edge for cut in frame.cuts)
    return (Step(Does.DRESS, edges=edges, tool=Tool.RASP, why=Reason.RAGGED),)


def _bevel(board: Board, frame: BoardOnSheet) -> tuple[Step, ...]:
    """The backs of the edges that were named, and of all ends that butt if the crew bevels those."""
    edges = tuple(edge for edge in Edge if edge in board.bevels or (board.beveled and edge in _butts(board, frame)))
    return (Step(Does.BEVEL, edges=edges, tool=Tool.RASP, why=Reason.BEVELED),) if edges else ()


def _butts(board: Board, frame: BoardOnSheet) -> tuple[Edge, ...]:
    """The ends that butt another board's: the short sides of the sheet, and whatever is cut at a joint."""
    short = (
        ACROSS if across_and_down(frame.sheet, board.lies)[0] >= across_and_down(frame.sheet, board.lies)[1] else DOWN
    )
    joints = [edge for edge in Edge if neighbor(board, edge) in {Neighbor.BOARD, Neighbor.OPEN}]
    return tuple(edge for edge in joints if edge in short.edges or edge in frame.cut_edges())


def _mark(one: PlacedOpening) -> Step:
    return Step(Does.MARK_OPENING, opening=one.obstacle.name, kind=one.plan.kind, hole=one.marks, why=Reason.HOOK)


def _beforehand(board: Board, one: PlacedOpening) -> Step:
    rounded = one.marks is not None and one.marks.radius is not None
    step = Step(
        Does.MAKE_OPENING,
        opening=one.obstacle.name,
        kind=one.plan.kind,
        tool=Tool.CIRCLE_CUTTER if rounded else Tool.SAW,
        why=None if rounded else Reason.INSIDE_CORNER,
    )
    if one.plan.method is not Method.BEFOREHAND:
        return step
    heed = Heed.DEVICE if board.circuit(one.obstacle.name) is Circuit.DEAD else Heed.TREAT_AS_LIVE
    return Step(
        Does.MAKE_OPENING,
        opening=one.obstacle.name,
        kind=one.plan.kind,
        tool=Tool.CIRCLE_CUTTER if rounded else Tool.KNIFE,
        why=Reason.RATHER_SMALL,
        heed=heed,
    )


def _hang(board: Board, frame: BoardOnSheet, *, few: bool) -> Step:
    put = tuple(
        StandOff(edge, Length(off(board, edge)), neighbor(board, edge))
        for edge in frame.by
        if frame.hole.lines[edge] is not None
    )
    return Step(
        Does.HANG, stand_offs=put, leaves=tuple(_leaves(board, frame)), few=few, why=Reason.PRESSED if few else None
    )


def _leaves(board: Board, frame: BoardOnSheet) -> Iterator[StandOff]:
    """What stays open at the edges that the board isn't put to, at the nearest place."""
    for edge in Edge:
        line, spots = frame.hole.lines[edge], frame.hole.spots(axis_of(edge))
        if edge in frame.by or line is None or not spots or CUT_RANK[neighbor(board, edge)] < CUT_RANK[Neighbor.WALL]:
            continue
        sign = 1 if edge in {Edge.RIGHT, Edge.BOTTOM} else -1
        least = min(sign * (value_at(line, one.t) - value_at(frame.edges[edge], one.t)) for one in spots)
        yield StandOff(edge, Length(least).rounded_down(Length("1/16")), neighbor(board, edge))


def _in_place(one: PlacedOpening) -> Step:
    if one.plan.method is Method.IN_PLACE:
        return Step(
            Does.MAKE_OPENING,
            opening=one.obstacle.name,
            kind=one.plan.kind,
            tool=Tool.SAW,
            where=Where.WALL,
            near=one.near,
            why=Reason.FRAMING_GUIDES,
        )
    return Step(
        Does.MAKE_OPENING,
        opening=one.obstacle.name,
        kind=one.plan.kind,
        tool=Tool.ROUTER,
        where=Where.WALL,
        near=one.near,
        heed=Heed.ONLY_WHILE_OFF,
    )
