"""Which sheet a piece is cut from, and how to split one that no sheet holds."""

from __future__ import annotations

from fractions import Fraction

from fieldvoice.cutting.tables import sheets, stand_off
from fieldvoice.errors import CannotCut
from fieldvoice.records.board import Board, Lies, Sheet
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Edge


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
        size = f"{Length(width).text(board.unit)} by {Length(height).text(board.unit)} {board.unit.value}"
        raise CannotCut(
            f"The piece is {size} and does not come out of the sheet that was named, {board.lies.value}. Name a larger "
            "sheet, turn it, or measure again."
        )
    return board.sheet


def choose(board: Board, width: Fraction, height: Fraction) -> Sheet:
    """The smallest listed sheet that holds a piece of that size in inches, in the direction asked for."""
    for sheet in sheets(board.unit):
        wide, high = across_and_down(sheet, board.lies)
        if width <= wide and height <= high:
            return Sheet(sheet.width, sheet.length, board.thickness, board.kind)
    raise CannotCut(_too_big(board, width, height))


def _too_big(board: Board, width: Fraction, height: Fraction) -> str:
    sizes = [across_and_down(sheet, board.lies) for sheet in sheets(board.unit)]
    unit = board.unit
    size = f"{Length(width).text(unit)} by {Length(height).text(unit)} {unit.value}"
    most = max(wide for wide, high in sizes)
    if width <= most:
        return f"No listed sheet {board.lies.value} holds {size}. {_split_down(board, max(high for _, high in sizes))}"
    return f"No listed sheet {board.lies.value} holds {size}. {_split_across(board, most)}"


def _split_across(board: Board, most: Fraction) -> str:
    stud = _last_stud(board, most)
    if stud is None:
        return (
            "No stud lies within one sheet: say where the studs are, or turn the sheet, and measure each "
            "piece by itself."
        )
    at = stud.text(board.unit)
    return f"Split it on the stud centred {at} {board.unit.value} from the left, and measure each piece by itself."


def _last_stud(board: Board, most: Fraction) -> Length | None:
    """The last framing centre that one sheet reaches from the left; studs not called stand at the spacing."""
    framing = board.framing
    reach = most + stand_off(board, Edge.LEFT).inches
    spaced = Length((reach // framing.spacing.inches) * framing.spacing.inches)
    called = [stud for stud in framing.studs if stud.inches <= reach]
    best = max(called, default=None) if framing.studs else spaced
    return best or None


def _split_down(board: Board, most: Fraction) -> str:
    tallest = Length(most).text(board.unit)
    return (
        f"The tallest holds {tallest} {board.unit.value} that way: turn the sheet, or split the height with "
        f"the joint on "
        "blocking, and measure each piece by itself."
    )
