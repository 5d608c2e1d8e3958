"""Which sheet a piece is cut from, how to split one that no sheet holds, and where its ends meet the framing."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from fieldvoice.cutting.hole import is_open, off
from fieldvoice.cutting.tables import LAYERS_APART, OFF_STUD, sheets, stand_off
from fieldvoice.errors import NotPlanned
from fieldvoice.records.board import Board, Lies, Sheet, Surface
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Dimension, Edge, Reading, Slot
from fieldvoice.records.plan import No, NoPlan


def across_and_down(sheet: Sheet, lies: Lies) -> tuple[Fraction, Fraction]:
    """A sheet's width and height in inches as it hangs."""
    sides = (sheet.width.inches, sheet.length.inches)
    return sides if lies is Lies.STANDING else (sides[1], sides[0])


def candidates(board: Board) -> tuple[Sheet, ...]:
    """The sheets to try: the one that was named, else the listed ones of the width or the length that was said,
    smallest first.
    """
    if board.sheet is not None:
        return (board.sheet,)
    listed = tuple(Sheet(one.width, one.length, board.thickness, board.kind) for one in sheets(board.unit))
    width, length = board.sheet_width, board.sheet_length
    fits = tuple(one for one in listed if width in {None, one.width} and length in {None, one.length})
    if fits:
        return fits
    sizes = ((width or one.width, length or one.length) for one in listed)
    return tuple(Sheet(*size, board.thickness, board.kind) for size in dict.fromkeys(sizes))


def refused(board: Board, width: Fraction, height: Fraction) -> NotPlanned:
    """Why a piece of that size in inches comes out of no sheet, and where to split it."""
    if board.cut_from is not None and board.sheet is not None:
        sides = (Length(side) for side in across_and_down(board.sheet, board.lies))
        found = _no(board, No.TOO_BIG_FOR_OFFCUT, width, height, *sides)
        return NotPlanned(replace(found.why, about=board.cut_from.offcut))
    if board.sheet is not None:
        return _no(board, No.TOO_BIG_FOR_NAMED, width, height)
    return _too_big(board, width, height)


def _no(board: Board, no: No, width: Fraction, height: Fraction, *more: Length) -> NotPlanned:
    values = (Length(width), Length(height), *more)
    return NotPlanned(NoPlan(no, values=values, lies=board.lies, unit=board.unit))


def _too_big(board: Board, width: Fraction, height: Fraction) -> NotPlanned:
    sizes = [across_and_down(sheet, board.lies) for sheet in sheets(board.unit)]
    most = max(wide for wide, _ in sizes)
    if width <= most:
        return _no(board, No.TOO_HIGH, width, height, Length(max(high for _, high in sizes)))
    stud = _last_stud(board, most)
    return _no(board, No.TOO_WIDE, width, height, *((stud,) if stud is not None else ()))


def _last_stud(board: Board, most: Fraction) -> Length | None:
    """The last framing center that one sheet reaches from the left, None where nobody said where the framing is."""
    framing = board.framing
    if not framing.studs and not framing.called:
        return None
    reach = most + stand_off(board, Edge.LEFT).inches
    spaced = Length((reach // framing.spacing.inches) * framing.spacing.inches)
    called = [stud for stud in framing.studs if stud.inches <= reach]
    best = max(called, default=None) if framing.studs else spaced
    return best or None


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
    if board.on_framing and bears(board, reach):
        return board
    limit = reach if board.on_framing else reach - LAYERS_APART.inches
    ends = studs(board, limit)
    if not ends:
        return board
    width = Length(ends[-1])
    taken = tuple(Reading(width, Dimension.WIDTH, at) for at in (Slot.TOP, Slot.BOTTOM))
    return replace(board, widths=taken)
