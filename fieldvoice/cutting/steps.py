"""What to do at the sheets, in the order in which it works."""

from __future__ import annotations

from fieldvoice.cutting.frame import Frame
from fieldvoice.cutting.tables import neighbour, stand_off
from fieldvoice.records.board import Board
from fieldvoice.records.meaning import Circuit, Edge
from fieldvoice.records.plan import (
    CutLine,
    Does,
    Heed,
    HoleMarks,
    Hook,
    Method,
    Offset,
    OpeningPlan,
    Reason,
    Shape,
    StandOff,
    Step,
    Tool,
    Where,
)

_LEVEL = {Edge.TOP, Edge.BOTTOM}


def steps_for(board: Board, frame: Frame, openings: tuple[OpeningPlan, ...]) -> tuple[Step, ...]:
    """Every step, from choosing the sheet to the openings that are cut in place."""
    before = [opening for opening in openings if opening.method in {Method.BEFOREHAND, Method.SAW}]
    after = [opening for opening in openings if opening.method in {Method.ROUT, Method.IN_PLACE}]
    return (
        Step(Does.LEAN, sheet=frame.sheet, lies=board.lies, surface=board.surface, why=Reason.CORNERS),
        *(step for number, cut in enumerate(frame.cuts) for step in _cut(cut, number, frame)),
        *_rasp(frame),
        *(_mark(opening) for opening in openings),
        *(_beforehand(opening) for opening in before),
        _hang(board, frame, after),
        *(_in_place(opening) for opening in after),
    )


def _cut(cut: CutLine, number: int, frame: Frame) -> tuple[Step, Step]:
    made = frozenset(one.edge for one in frame.cuts[:number])
    return _mark_cut(cut, Hook.on(cut.origin, made), frame), _make_cut(cut)


def _mark_cut(cut: CutLine, origin: Hook, frame: Frame) -> Step:
    why = None
    if cut is not frame.cuts[0] and cut.edge not in _LEVEL:
        why = Reason.ENDS_FIRST
    elif cut.edge not in _LEVEL and any(one.edge in _LEVEL for one in frame.cuts):
        why = Reason.STILL_LONG
    return Step(Does.MARK, cut.edge, origin, cut.marks, cut.shape, why=why)


def _make_cut(cut: CutLine) -> Step:
    tool = Tool.KNIFE if cut.shape is Shape.STRAIGHT else Tool.SAW
    why = {Shape.STRAIGHT: Reason.CHALK, Shape.BROKEN: Reason.SAW_FIRST, Shape.SCRIBE: Reason.FOLLOWS}[cut.shape]
    return Step(Does.CUT, cut.edge, shape=cut.shape, tool=tool, why=why)


def _rasp(frame: Frame) -> tuple[Step, ...]:
    if not frame.cuts:
        return ()
    return (Step(Does.DRESS, edges=tuple(cut.edge for cut in frame.cuts), tool=Tool.RASP, why=Reason.RAGGED),)


def _mark(opening: OpeningPlan) -> Step:
    x, y = opening.x_from, opening.y_from
    hole = HoleMarks(
        (Offset(x, opening.center.x), Offset(y, opening.center.y)),
        (
            (Edge.LEFT, Offset(x, opening.left)),
            (Edge.RIGHT, Offset(x, opening.right)),
            (Edge.TOP, Offset(y, opening.top)),
            (Edge.BOTTOM, Offset(y, opening.bottom)),
        ),
    )
    return Step(Does.MARK_OPENING, opening=opening.name, kind=opening.kind, hole=hole, why=Reason.HOOK)


def _beforehand(opening: OpeningPlan) -> Step:
    if opening.state is None:
        return Step(Does.MAKE_OPENING, opening=opening.name, kind=opening.kind, tool=Tool.SAW, why=Reason.INSIDE_CORNER)
    heed = Heed.DEVICE if opening.state is Circuit.DEAD else Heed.TREAT_AS_LIVE
    return Step(
        Does.MAKE_OPENING,
        opening=opening.name,
        kind=opening.kind,
        tool=Tool.KNIFE,
        why=Reason.RATHER_SMALL,
        heed=heed,
    )


def _hang(board: Board, frame: Frame, after: list[OpeningPlan]) -> Step:
    kept = [edge for edge in (Edge.LEFT, Edge.RIGHT, Edge.TOP, Edge.BOTTOM) if edge not in frame.cut_edges()]
    put = tuple(StandOff(edge, stand_off(board, edge), neighbour(board, edge)) for edge in kept)
    return Step(Does.HANG, stand_offs=put, few=bool(after), why=Reason.PRESSED if after else None)


def _in_place(opening: OpeningPlan) -> Step:
    if opening.method is Method.IN_PLACE:
        return Step(Does.MAKE_OPENING, opening=opening.name, kind=opening.kind, tool=Tool.SAW, where=Where.WALL)
    return Step(
        Does.MAKE_OPENING,
        opening=opening.name,
        kind=opening.kind,
        tool=Tool.ROUTER,
        where=Where.WALL,
        heed=Heed.ONLY_WHILE_OFF,
    )
