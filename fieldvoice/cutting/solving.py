"""From a board's readings to a plan that has been checked."""

from __future__ import annotations

from dataclasses import replace

from fieldvoice.cutting.frame import Frame, lay_out
from fieldvoice.cutting.needs import missing
from fieldvoice.cutting.openings import plan_opening
from fieldvoice.cutting.outline import Polygon
from fieldvoice.cutting.proof import prove
from fieldvoice.cutting.square import squared
from fieldvoice.cutting.steps import steps_for
from fieldvoice.cutting.warnings import warnings_for
from fieldvoice.errors import NotPlanned
from fieldvoice.records.board import Board
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Box, Opening
from fieldvoice.records.plan import CutPlan, No, NoPlan, Point2, Proof


def solve(board: Board) -> CutPlan:
    """The proved plan for a board. Raises NotPlanned where the readings don't make one, or where the proof fails."""
    needed = [one for one in missing(board) if one.required]
    if needed:
        raise NotPlanned(NoPlan(No.NEEDS, missing=tuple(needed), unit=board.unit))
    board = squared(board)
    plan = _unproved(board, lay_out(board))
    proved = replace(plan, proof=prove(plan))
    if not proved.proof.ok:
        raise NotPlanned(NoPlan(No.PROOF, failures=proved.proof.failures, unit=board.unit))
    return proved


def _unproved(board: Board, frame: Frame) -> CutPlan:
    things: tuple[Box | Opening, ...] = (*board.boxes, *board.openings)
    openings = tuple(plan_opening(board, frame, what) for what in things)
    return CutPlan(
        board=board,
        sheet=frame.sheet,
        lies=board.lies,
        cuts=frame.cuts,
        openings=openings,
        steps=steps_for(board, frame, openings),
        outline=_points(frame.outline()),
        offcut=tuple(_points(piece) for piece in frame.offcuts()),
        proof=Proof(()),
        warnings=warnings_for(board, frame, openings),
        broken=frame.across.broken + frame.down.broken,
    )


def _points(polygon: Polygon) -> tuple[Point2, ...]:
    return tuple(Point2(Length(x), Length(y)) for x, y in polygon)
