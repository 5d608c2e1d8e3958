"""Ends on framing: where a free end may lie, and how far an end is from the nearest stud."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from fieldvoice.cutting.axis import is_open, off
from fieldvoice.cutting.tables import LAYERS_APART, OFF_STUD
from fieldvoice.records.board import Board, Surface
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Dimension, Edge, Reading, Slot

ZERO = Fraction(0)


def studs(board: Board, reach: Fraction) -> tuple[Fraction, ...]:
    """The centers of the framing as they were called, from the left neighbor on, up to `reach`; none where neither
    studs nor a spacing was called, and none on a ceiling, where joists may run either way.
    """
    framing = board.framing
    if framing.studs:
        return tuple(sorted(stud.inches for stud in framing.studs if stud.inches <= reach))
    if not framing.called or board.surface is Surface.CEILING or framing.spacing.inches <= 0:
        return ()
    count = int(reach // framing.spacing.inches)
    return tuple(framing.spacing.inches * number for number in range(1, count + 1))


def nearest(board: Board, end: Fraction) -> Fraction | None:
    """The center nearest to an end, None where no framing was called."""
    spacing = board.framing.spacing.inches
    return min(studs(board, end + spacing), key=lambda stud: abs(stud - end), default=None)


def bears(board: Board, end: Fraction) -> bool:
    """Whether an end lies on framing, as far as it is known."""
    stud = nearest(board, end)
    return stud is None or abs(stud - end) <= OFF_STUD.inches


def with_end_on_framing(board: Board, sheet: Fraction) -> Board:
    """The board with its free right end on the last stud that the sheet reaches, where the framing was called and no
    width was. A later layer ends a stud before, far enough from the joint under it.
    """
    if not is_open(board, Edge.RIGHT) or board.widths or is_open(board, Edge.LEFT):
        return board
    reach = off(board, Edge.LEFT) + sheet
    if board.layer == 1 and bears(board, reach):
        return board
    limit = reach if board.layer == 1 else reach - LAYERS_APART.inches
    ends = studs(board, limit)
    if not ends:
        return board
    width = Length(ends[-1])
    taken = tuple(Reading(width, Dimension.WIDTH, at) for at in (Slot.TOP, Slot.BOTTOM))
    return replace(board, widths=taken)
