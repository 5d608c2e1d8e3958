"""What a plan still needs, in the trade's words."""

from __future__ import annotations

from collections.abc import Iterator

from fieldvoice.cutting.axis import ACROSS, DOWN, Axis, readings_of
from fieldvoice.cutting.tables import CUT_RANK, neighbour
from fieldvoice.records.board import Board
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Circuit, Edge, Neighbour, Opening, Slot
from fieldvoice.records.plan import Missing


def missing(board: Board) -> tuple[Missing, ...]:
    """What is still needed, what is required first.

    A plan needs two widths (one shows no taper) and one height; an open side needs none. The middle width, which shows
    a bow, and what is known of each circuit make a plan safer and are asked for beside it.
    """
    return (
        *_widths(board),
        *_height(board),
        *_side_to_cut(board),
        *(one for opening in board.openings for one in _sizes(opening)),
        *_middle(board),
        *_circuits(board),
    )


def _open(board: Board, near: Edge, far: Edge) -> bool:
    return Neighbour.OPEN in {neighbour(board, near), neighbour(board, far)}


def _widths(board: Board) -> Iterator[Missing]:
    places = {reading.at for reading in board.widths}
    if not places and _open(board, Edge.LEFT, Edge.RIGHT):
        return
    wanted = [slot for slot in (Slot.TOP, Slot.BOTTOM) if slot not in places]
    for slot in wanted[: max(0, 2 - len(places))]:
        yield Missing(f"the width at the {slot.value}", "one width alone does not show how the board tapers")


def _height(board: Board) -> Iterator[Missing]:
    if not board.heights and not _open(board, Edge.TOP, Edge.BOTTOM):
        yield Missing("a height", "the board is cut to it")


def _side_to_cut(board: Board) -> Iterator[Missing]:
    if _ambiguous(board, ACROSS):
        yield Missing(
            "which side to cut, or how far each side is out of plumb",
            "the width tapers between two fixed sides, and cut on the wrong one the board would lean",
        )
    if _ambiguous(board, DOWN):
        yield Missing(
            "which end to cut, top or bottom",
            "the height tapers between two fixed ends, and cut on the wrong one the board would lean",
        )


def _ambiguous(board: Board, axis: Axis) -> bool:
    near, far = (CUT_RANK[neighbour(board, edge)] for edge in (axis.near, axis.far))
    fixed = near == far and far >= CUT_RANK[Neighbour.WALL]
    tapers = len({reading.value for reading in readings_of(board, axis)}) > 1
    told = board.taper in {axis.near, axis.far} or any(plumb.edge in {axis.near, axis.far} for plumb in board.plumbs)
    return fixed and tapers and not told


def _sizes(opening: Opening) -> Iterator[Missing]:
    for called, size, name in ((opening.xs, opening.width, "width"), (opening.ys, opening.height, "height")):
        if len(called) < 2 and size is None and opening.diameter is None:
            yield Missing(f"the {name} of {opening.name}", "its hole can't be marked without")


def _middle(board: Board) -> Iterator[Missing]:
    places = {reading.at for reading in board.widths}
    if places and Slot.MIDDLE not in places and not any(isinstance(at, Length) for at in places):
        yield Missing("the width at the middle", "two places miss a bow", required=False)


def _circuits(board: Board) -> Iterator[Missing]:
    for box in board.boxes:
        if board.circuit(box.name) is Circuit.UNKNOWN:
            yield Missing(
                f"whether {box.name} is dead and tested",
                "until it is, the hole is cut beforehand by hand and no tool goes into the box",
                required=False,
            )
