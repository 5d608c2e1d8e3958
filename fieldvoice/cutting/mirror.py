"""The board seen from behind: left and right change places."""

from __future__ import annotations

from dataclasses import replace

from fieldvoice.cutting.axis import ACROSS, largest_bound
from fieldvoice.cutting.solving import solve
from fieldvoice.cutting.tables import stand_off
from fieldvoice.records.board import Board
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Box, Coordinate, Edge, Opening, Place, Slot
from fieldvoice.records.plan import CutPlan

_SIDE = {Edge.LEFT: Edge.RIGHT, Edge.RIGHT: Edge.LEFT, Edge.TOP: Edge.TOP, Edge.BOTTOM: Edge.BOTTOM}


def seen_from_back(plan: CutPlan) -> CutPlan:
    """The same board marked on the back of the sheet, proved again; for a sheet that leans face in."""
    cut = [one.edge for one in plan.cuts if one.edge in {Edge.LEFT, Edge.RIGHT}]
    told = replace(plan.board, taper=cut[0]) if len(cut) == 1 else plan.board
    return solve(mirrored(replace(told, sheet=plan.sheet)))


def mirrored(board: Board) -> Board:
    """The board as a mirror shows it."""
    return replace(
        board,
        edges={edge: board.edges[_SIDE[edge]] for edge in board.edges},
        heights=tuple(replace(one, at=_place(board, one.place)) for one in board.heights),
        plumbs=tuple(
            replace(one, edge=_SIDE[one.edge], value=one.value if one.edge is not _SIDE[one.edge] else -one.value)
            for one in board.plumbs
        ),
        diagonals=tuple(replace(one, rising=None if one.rising is None else not one.rising) for one in board.diagonals),
        boxes=tuple(_box(box) for box in board.boxes),
        openings=tuple(_opening(opening) for opening in board.openings),
        taper=None if board.taper is None else _SIDE[board.taper],
    )


def _place(board: Board, at: Place) -> Place:
    if isinstance(at, Length):
        both = stand_off(board, Edge.LEFT) + stand_off(board, Edge.RIGHT)
        width = largest_bound(board, ACROSS)
        return at if width is None else Length(width) + both - at
    return {Slot.LEFT: Slot.RIGHT, Slot.RIGHT: Slot.LEFT}.get(at, at)


def _coordinate(one: Coordinate) -> Coordinate:
    return replace(one, start=_SIDE[one.start])


def _box(box: Box) -> Box:
    return replace(box, x=_coordinate(box.x))


def _opening(opening: Opening) -> Opening:
    return replace(opening, xs=tuple(_coordinate(one) for one in opening.xs))
