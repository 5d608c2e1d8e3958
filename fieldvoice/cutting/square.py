"""Diagonals: whether the opening is square, and whether the readings close."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from fieldvoice.cutting.tables import BRIDGED
from fieldvoice.records.board import Board
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Edge, Plumb, Reading, Slot

CLOSES = Fraction(1, 4)
"""Tapes, hooks and corners together may leave this much open in a closure (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Corners:
    """An opening measured both ways and both diagonals, in inches."""

    top: Fraction
    bottom: Fraction
    left: Fraction
    right: Fraction
    rising: Fraction
    falling: Fraction

    def drop(self) -> Fraction:
        """How far the ceiling comes down from left to right against a square corner: with the sides `w` and `h` and a
        drop `s` the diagonals' squares are `w² + (h ± s)²`, and so differ by `4 h s`.
        """
        return (self.falling**2 - self.rising**2) / (2 * (self.left + self.right))

    def closure(self) -> Fraction:
        """By how much one diagonal is longer than the rest allows, about: where top and bottom run alike, the squares
        of
        the diagonals together are `left² + right² + 2 · top · bottom`.
        """
        excess = self.rising**2 + self.falling**2 - self.left**2 - self.right**2 - 2 * self.top * self.bottom
        return excess / (2 * max(self.rising, self.falling))


def corners(board: Board) -> Corners | None:
    """The opening, where top and bottom width, a height and both diagonals are known."""
    rising, falling = (
        next((one.value.inches for one in reversed(board.diagonals) if one.rising is way), None)
        for way in (True, False)
    )
    sides = _sides(board)
    return None if rising is None or falling is None or sides is None else Corners(*sides, rising, falling)


def drop_by(board: Board, diagonal: Fraction) -> tuple[Fraction, Fraction] | None:
    """What one diagonal alone says: how far the ceiling would run off level over the board, up or down, and by about
    how much the diagonal differs from that of a square corner.
    """
    sides = _sides(board)
    if sides is None:
        return None
    top, bottom, left, right = sides
    excess = abs(2 * diagonal**2 - left**2 - right**2 - 2 * top * bottom)
    return excess / (2 * (left + right)), excess / (4 * diagonal)


def _sides(board: Board) -> tuple[Fraction, Fraction, Fraction, Fraction] | None:
    """Top, bottom, left and right; one height stands for both."""
    top, bottom = _at(board.widths, Slot.TOP), _at(board.widths, Slot.BOTTOM)
    some = board.heights[-1].value.inches if board.heights else None
    left, right = _at(board.heights, Slot.LEFT) or some, _at(board.heights, Slot.RIGHT) or some
    return None if top is None or bottom is None or left is None or right is None else (top, bottom, left, right)


def _at(readings: tuple[Reading, ...], slot: Slot) -> Fraction | None:
    return next((one.value.inches for one in reversed(readings) if one.at is slot), None)


def squared(board: Board) -> Board:
    """The board with what the diagonals say of ceiling and floor written as plumb readings: both run off by the drop.
    A drop that joint treatment bridges is left to it, and plumb readings that were given are taken instead.
    """
    known = corners(board)
    given = {plumb.edge for plumb in board.plumbs}
    if known is None or given & {Edge.TOP, Edge.BOTTOM} or abs(known.closure()) > 2 * CLOSES:
        return board
    drop = known.drop()
    if abs(drop) <= BRIDGED.inches:
        return board
    return replace(board, plumbs=(*board.plumbs, Plumb(Edge.TOP, Length(drop)), Plumb(Edge.BOTTOM, Length(-drop))))
