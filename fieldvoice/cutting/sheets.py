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


def chosen(board: Board, width: Fraction, height: Fraction) -> Sheet:
    """The sheet that was named, if the piece comes out of it; else the smallest listed one that holds it."""
    if board.sheet is None:
        return choose(board, width, height)
    wide, high = across_and_down(board.sheet, board.lies)
    if width > wide or height > high:
        raise _no(board, No.TOO_BIG_FOR_NAMED, width, height)
    return board.sheet


def choose(board: Board, width: Fraction, height: Fraction) -> Sheet:
    """The smallest listed sheet that holds a piece of that size in inches, in the direction asked for."""
    for sheet in sheets(board.unit):
        wide, high = across_and_down(sheet, board.lies)
        if width <= wide and height <= high:
            return Sheet(sheet.width, sheet.length, board.thickness, board.kind)
    raise _too_big(board, width, height)


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
