"""What a plan still needs."""

from __future__ import annotations

from collections.abc import Iterator

from fieldvoice.cutting.axis import ACROSS, DOWN, Axis, readings_of
from fieldvoice.cutting.tables import CUT_RANK, neighbour
from fieldvoice.records.board import Board
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Circuit, Dimension, Edge, Neighbour, Opening, Slot
from fieldvoice.records.plan import Missing, Need


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
        yield Missing(Need.WIDTH, at=slot)


def _height(board: Board) -> Iterator[Missing]:
    if not board.heights and not _open(board, Edge.TOP, Edge.BOTTOM):
        yield Missing(Need.HEIGHT)


def _side_to_cut(board: Board) -> Iterator[Missing]:
    for axis, need in ((ACROSS, Need.SIDE), (DOWN, Need.END)):
        if _ambiguous(board, axis):
            yield Missing(need, neighbours=(neighbour(board, axis.near), neighbour(board, axis.far)))


def _ambiguous(board: Board, axis: Axis) -> bool:
    near, far = (CUT_RANK[neighbour(board, edge)] for edge in (axis.near, axis.far))
    fixed = near == far and far >= CUT_RANK[Neighbour.WALL]
    tapers = len({reading.value for reading in readings_of(board, axis)}) > 1
    told = board.taper in {axis.near, axis.far} or any(plumb.edge in {axis.near, axis.far} for plumb in board.plumbs)
    return fixed and tapers and not told


def _sizes(opening: Opening) -> Iterator[Missing]:
    for called, size, dimension in (
        (opening.xs, opening.width, Dimension.WIDTH),
        (opening.ys, opening.height, Dimension.HEIGHT),
    ):
        if len(called) < 2 and size is None and opening.diameter is None:
            yield Missing(Need.SIZE, about=opening.name, dimension=dimension)


def _middle(board: Board) -> Iterator[Missing]:
    places = {reading.at for reading in board.widths}
    if places and Slot.MIDDLE not in places and not any(isinstance(at, Length) for at in places):
        yield Missing(Need.MIDDLE, required=False)


def _circuits(board: Board) -> Iterator[Missing]:
    for box in board.boxes:
        if board.circuit(box.name) is Circuit.UNKNOWN:
            yield Missing(Need.CIRCUIT, required=False, about=box.name)
