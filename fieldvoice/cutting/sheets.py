"""Which sheet a piece is cut from, and how to split one that no sheet holds."""

from __future__ import annotations

from fractions import Fraction

from fieldvoice.cutting.tables import sheets, stand_off
from fieldvoice.errors import NotPlanned
from fieldvoice.records.board import Board, Lies, Sheet
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Edge
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
    """The last framing center that one sheet reaches from the left; studs not called stand at the spacing."""
    framing = board.framing
    reach = most + stand_off(board, Edge.LEFT).inches
    spaced = Length((reach // framing.spacing.inches) * framing.spacing.inches)
    called = [stud for stud in framing.studs if stud.inches <= reach]
    best = max(called, default=None) if framing.studs else spaced
    return best or None
