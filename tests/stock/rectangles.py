"""A sheet's fill held to what it says, by nothing but the rectangles."""

from __future__ import annotations

from collections import Counter
from itertools import combinations

from fieldvoice.files.planning_files import SheetProblem
from fieldvoice.stock.guillotine import BestFill, Placed


def faults(problem: SheetProblem, fill: BestFill, *, turn: bool) -> list[str]:
    """Everything that is wrong with a fill."""
    found = []
    for one in fill.pieces:
        piece = problem.pieces[one.number]
        sizes = {(piece.width, piece.height)} | ({(piece.height, piece.width)} if turn else set())
        if (one.width, one.height) not in sizes:
            found.append(f"piece {one.number} has another size")
        if min(one.x, one.y) < 0 or one.x + one.width > problem.width or one.y + one.height > problem.height:
            found.append(f"piece {one.number} lies outside")
    if any(overlap(one, other) for one, other in combinations(fill.pieces, 2)):
        found.append("pieces overlap")
    for number, count in Counter(one.number for one in fill.pieces).items():
        most = problem.pieces[number].most
        if most is not None and count > most:
            found.append(f"piece {number} too often")
    if sum(problem.pieces[one.number].value for one in fill.pieces) != fill.value:
        found.append("another value")
    if not snaps(list(fill.pieces)):
        found.append("no cuts from edge to edge")
    return found


def overlap(one: Placed, other: Placed) -> bool:
    """Whether two pieces share a place."""
    across = one.x < other.x + other.width and other.x < one.x + one.width
    return across and one.y < other.y + other.height and other.y < one.y + one.height


def snaps(pieces: list[Placed]) -> bool:
    """Whether cuts from edge to edge free every piece."""
    if len(pieces) <= 1:
        return True
    for at in {one.x + one.width for one in pieces}:
        near = [one for one in pieces if one.x + one.width <= at]
        far = [one for one in pieces if one.x >= at]
        if far and len(near) + len(far) == len(pieces):
            return snaps(near) and snaps(far)
    for at in {one.y + one.height for one in pieces}:
        near = [one for one in pieces if one.y + one.height <= at]
        far = [one for one in pieces if one.y >= at]
        if far and len(near) + len(far) == len(pieces):
            return snaps(near) and snaps(far)
    return False
