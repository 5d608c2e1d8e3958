"""From a board's readings to a plan that has been checked."""

from __future__ import annotations

from dataclasses import replace

from fieldvoice.cutting.frame import BoardOnSheet, lay_out
from fieldvoice.cutting.lines import Point
from fieldvoice.cutting.needs import missing
from fieldvoice.cutting.openings import PlacedOpening, place_openings
from fieldvoice.cutting.outline import Polygon
from fieldvoice.cutting.proof import prove
from fieldvoice.cutting.square import squared
from fieldvoice.cutting.steps import steps_for
from fieldvoice.cutting.warnings import warnings_for
from fieldvoice.errors import NotPlanned
from fieldvoice.records.board import Board
from fieldvoice.records.length import Length
from fieldvoice.records.plan import CutPlan, Flaw, No, NoPlan, Point2, Proof


def solve(board: Board) -> CutPlan:
    """The proved plan for a board. Raises NotPlanned where the readings don't make one, or where the proof fails."""
    needed = tuple(one for one in missing(board) if one.required)
    if needed:
        raise NotPlanned(NoPlan(No.NEEDS, missing=needed, unit=board.unit))
    board = squared(board)
    frame = lay_out(board)
    plan = _unproved(board, frame, place_openings(frame.board, frame))
    proof = prove(plan)
    spoilt = {one.edge for one in proof.failures if one.flaw is Flaw.INSTEAD}
    if spoilt:  # what is only offered is not worth the plan
        plan = replace(plan, broken=tuple(cut for cut in plan.broken if cut.edge not in spoilt))
        proof = prove(plan)
    if not proof.ok:
        raise NotPlanned(NoPlan(No.PROOF, failures=proof.failures, unit=board.unit))
    return replace(plan, proof=proof)


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


def _points(polygon: Polygon, corner: Point) -> tuple[Point2, ...]:
    return tuple(Point2(Length(x - corner[0]), Length(y - corner[1])) for x, y in polygon)
