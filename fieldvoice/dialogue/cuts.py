"""What the boards of the layout are cut from, and what their cuts leave."""

from __future__ import annotations

from collections.abc import Iterable

from fieldvoice.dialogue.layouts import planned_piece, rack_of, standing_plan
from fieldvoice.dialogue.state import State
from fieldvoice.records.board import Lies
from fieldvoice.records.laying import CutPiece, Hung
from fieldvoice.records.ledger import Standing
from fieldvoice.records.length import Length
from fieldvoice.records.plan import CutPlan, Point2
from fieldvoice.records.room_plan import Offcut
from fieldvoice.stock.rack import Taken, left_of, whole

_GONE = frozenset({Standing.REPLACED, Standing.TAKEN_BACK, Standing.NOT_TAKEN})


def kept(state: State) -> tuple[CutPiece, ...]:
    """The pieces that keep their places when the rest is planned anew: those whose plan was settled, as they are cut,
    and those that anything was called on, as they were planned. One that was only opened is planned anew as well.
    """
    in_hand = (board for board in state.pieces if board not in state.cut and _called_on(state, board))
    return (*state.cut.values(), *(_as_planned(state, board) for board in in_hand))


def _called_on(state: State, board: str) -> bool:
    return any(not call.carried and call.standing not in _GONE for call in state.on(board))


def _as_planned(state: State, board: str) -> CutPiece:
    """As the layout has it, or had it last; nothing is on the rack of a board that comes out of nothing there is."""
    piece = planned_piece(state, state.pieces[board])
    made = None if piece is None else cut_piece(state, board, Taken(piece.run, piece.rise), settled=False)
    last = () if state.laying is None else state.laying.cut
    before = (one for one in last if one.board == board)
    return made or next(before, None) or CutPiece(board, state.pieces[board], None, (), settled=False)


def cut_piece(state: State, board: str, taken: Taken, *, settled: bool) -> CutPiece | None:
    """A piece with what it is cut from and what that leaves. None where it comes out of nothing that is there."""
    source = source_of(state, board)
    if source is None:
        return None
    try:
        left = left_of(source, taken, board)
    except ValueError:
        return None
    name = state.pieces[board]
    piece = planned_piece(state, name)
    return CutPiece(board, name, source.name or None, left, settled, None if piece is None else Hung.of(piece))


def source_of(state: State, board: str) -> Offcut | None:
    """What a board of the layout is cut from: what it was, else the offcut that the plan names, else what is left of
    its sheet, else a whole sheet, which has no name. None for any other board.
    """
    name = state.pieces.get(board)
    plan = standing_plan(state) if name is not None else None
    piece = None if name is None else planned_piece(state, name)
    if plan is None or piece is None:
        return None
    before = state.cut.get(board)
    if before is not None:
        return next((one for one in _all_left(state) if one.name == before.offcut), whole(piece.sheet))
    pattern = next((one for one in plan.patterns if any(each.name == name for each in one.pieces)), None)
    if pattern is None:
        return None
    beside = {each.name for each in pattern.pieces}
    at_hand = rack_of(state.cut.values()).offcuts
    if pattern.offcut is not None:  # the plan has it without its odd sixteenths
        return next((one for one in at_hand if one.name == pattern.offcut.name), pattern.offcut)
    theirs = [one for cut in state.cut.values() if cut.piece in beside for one in cut.left if one in at_hand]
    fitting = [one for one in theirs if one.length >= piece.run and one.width >= piece.rise]
    return min(fitting, key=lambda one: one.length.inches * one.width.inches, default=whole(piece.sheet))


def _all_left(state: State) -> Iterable[Offcut]:
    return (one for cut in state.cut.values() for one in cut.left)


def taken_by(plan: CutPlan) -> Taken:
    """What a board takes of its sheet: the rectangle round it. Where both sides are cut the smaller strip is lost."""
    across, down = _spans(plan, "x"), _spans(plan, "y")
    (along, lost), (wide, lost_wide) = (across, down) if plan.lies is Lies.LYING else (down, across)
    return Taken(along, wide, lost, lost_wide)


def _spans(plan: CutPlan, axis: str) -> tuple[Length, Length]:
    """How far the board reaches along an axis, and the smaller of what comes off before and after it."""
    board = _places(plan.outline, axis)
    sheet = [*board, *(place for piece in plan.offcut for place in _places(piece, axis))]
    return max(board) - min(board), min(min(board) - min(sheet), max(sheet) - max(board))


def _places(points: Iterable[Point2], axis: str) -> list[Length]:
    return [getattr(point, axis) for point in points]
