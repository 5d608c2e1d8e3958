"""The room as a mirror shows it: left and right change places, and so must every plan."""

from __future__ import annotations

from dataclasses import replace

from fieldvoice.records.board import Board
from fieldvoice.records.meaning import Box, Coordinate, Edge, Opening, Slot

_SIDE = {Edge.LEFT: Edge.RIGHT, Edge.RIGHT: Edge.LEFT, Edge.TOP: Edge.TOP, Edge.BOTTOM: Edge.BOTTOM}
_PLACE: dict[object, Slot] = {Slot.LEFT: Slot.RIGHT, Slot.RIGHT: Slot.LEFT}


def mirrored(board: Board) -> Board:
    """The board as a mirror shows it. Heights have to be taken at named places."""
    return replace(
        board,
        edges={edge: board.edges[_SIDE[edge]] for edge in board.edges},
        heights=tuple(replace(one, at=_PLACE.get(one.place, one.place)) for one in board.heights),
        plumbs=tuple(
            replace(one, edge=_SIDE[one.edge], value=one.value if one.edge is not _SIDE[one.edge] else -one.value)
            for one in board.plumbs
        ),
        boxes=tuple(_box(box) for box in board.boxes),
        openings=tuple(_opening(opening) for opening in board.openings),
        taper=None if board.taper is None else _SIDE[board.taper],
    )


def _coordinate(one: Coordinate) -> Coordinate:
    return replace(one, start=_SIDE[one.start])


def _box(box: Box) -> Box:
    return replace(box, x=_coordinate(box.x))


def _opening(opening: Opening) -> Opening:
    return replace(opening, xs=tuple(_coordinate(one) for one in opening.xs))
