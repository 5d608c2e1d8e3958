"""The plan checked again: from its rounded marks and its outline, against the readings, by another route than it was
made by. The solver works with lines under bounds; this takes cross-sections of the finished polygon, hangs it on its
factory edges in the measured room, and looks at what stays open.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise

from fieldvoice.cutting.axis import reading_at
from fieldvoice.cutting.hung import OPPOSITE, Hung, hang
from fieldvoice.cutting.lines import Polyline, value_at
from fieldvoice.cutting.proof_openings import opening_failures
from fieldvoice.cutting.tables import stand_off
from fieldvoice.records.board import Board
from fieldvoice.records.length import Length
from fieldvoice.records.plan import CutLine, CutPlan, Failure, Fault, Gap, Proof

ZERO = Fraction(0)


def prove(plan: CutPlan) -> Proof:
    """The gaps that stay open, and everything that is wrong with the plan."""
    across, down = hang(plan)
    gaps = (*_gaps(across), *_gaps(down))
    failures = (
        *_too_big(across),
        *_too_big(down),
        *_marks_astray(across),
        *_marks_astray(down),
        *(failure for cut in plan.cuts for failure in _origin(cut)),
        *_too_tight(plan.board, gaps),
        *_instead_astray(across),
        *_instead_astray(down),
        *opening_failures(plan, across, down),
    )
    return Proof(gaps, failures)


def _too_big(hung: Hung) -> Iterator[Failure]:
    most = max((mark.distance.inches for cut in hung.cuts for mark in cut.marks), default=ZERO)
    if max(hung.size(), most) > hung.sheet:
        yield Failure(Fault.SHEET, hung.axis.far)


def _origin(cut: CutLine) -> Iterator[Failure]:
    if cut.origin is not OPPOSITE[cut.edge] or len(cut.marks) < 2:
        yield Failure(Fault.ORIGIN, cut.edge)


def _marks_astray(hung: Hung) -> Iterator[Failure]:
    """Every piece of a cut, as its marks draw it, has to be a side of the finished board."""
    for cut, line in zip(hung.cuts, hung.edges(), strict=True):
        if len(line) != len(cut.marks) or not all(hung.has_side(a, b) for a, b in pairwise(line)):
            yield Failure(Fault.MARK, cut.edge)


def _gaps(hung: Hung) -> Iterator[Gap]:
    """What stays open at each reading, at the cut edge or edges, or at the far one where none is cut."""
    edge = hung.cuts[-1].edge if hung.cuts else hung.axis.far
    near_off = stand_off(hung.board, hung.axis.near).inches
    for one in hung.readings:
        rest = hung.open_at(edge, one.t)
        if hung.lean is not None:
            near = _near_gap(hung, hung.lean, one.t)
            yield Gap(hung.axis.near, one.at, Length(near))
            rest += near_off - near
        yield Gap(edge, one.at, Length(rest))


def _instead_astray(hung: Hung) -> Iterator[Failure]:
    """A cut that is offered instead has to fit too: on the sheet, and loose by the clearances at every reading."""
    for cut, line in hung.instead:
        tight = (
            _open_instead(hung, cut, line, one.t) < stand_off(hung.board, cut.edge).inches for one in hung.readings
        )
        if len(line) != len(cut.marks) or max(v for _, v in line) > hung.sheet or any(tight):
            yield Failure(Fault.INSTEAD, cut.edge)


def _open_instead(hung: Hung, cut: CutLine, line: Polyline, t: Fraction) -> Fraction:
    opposite = stand_off(hung.board, OPPOSITE[cut.edge]).inches
    kept = opposite if hung.lean is None else _near_gap(hung, hung.lean, t)
    return reading_at(hung.readings, t) - value_at(line, t) - kept


def _near_gap(hung: Hung, lean: Polyline, t: Fraction) -> Fraction:
    edge = value_at(hung.edges()[0], t)
    return stand_off(hung.board, hung.axis.near).inches + edge - value_at(lean, t)


def _too_tight(board: Board, gaps: tuple[Gap, ...]) -> Iterator[Failure]:
    for gap in gaps:
        if gap.gap < stand_off(board, gap.edge):
            yield Failure(Fault.TIGHT, gap.edge, at=gap.at)
