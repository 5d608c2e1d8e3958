"""What the layout makes of the surfaces of a job: worked out from what it was made from whenever it is asked for, and
kept while the program runs. The room of the layout is imported only once there is one.
"""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from fieldvoice.dialogue.state import State
from fieldvoice.errors import CannotCut
from fieldvoice.records.laying import Laying
from fieldvoice.records.room import House, name_of
from fieldvoice.records.room_plan import Piece, RoomPlan

if TYPE_CHECKING:
    from fieldvoice.layout.boards import PlannedBoard
    from fieldvoice.stock.rack import Rack


def laid(layings: tuple[Laying, ...]) -> RoomPlan | None:
    """The plan that stands after the last of these, None where nothing is laid out. Raises `CannotCut` where no layout
    keeps the rules.
    """
    if not layings or not layings[-1].surfaces:
        return None
    return _made(tuple(each for each in layings if each.surfaces))[0]


@lru_cache(maxsize=32)
def _made(layings: tuple[Laying, ...]) -> tuple[RoomPlan, Rack]:
    """The plan, and the rack that it was made with: what opened pieces left of their sheets is used first."""
    from fieldvoice.layout.planning import plan
    from fieldvoice.layout.progress import half_hung
    from fieldvoice.stock.rack import Rack

    last, rack = layings[-1], Rack()
    done: tuple[Piece, ...] = ()
    house = House(None, last.unit, last.sheets, last.surfaces)
    if last.opened and len(layings) > 1:
        before, rack = _made(layings[:-1])
        half = half_hung(before, last.opened, rack)
        names = {name_of(surface) for surface in last.surfaces}
        rack, done = half.rack, tuple(piece for piece in half.done if piece.name.surface in names)
    return plan(house, last.wishes, done, rack.offcuts), rack


def standing_plan(state: State) -> RoomPlan | None:
    """The plan that stands, None where there is none."""
    try:
        return laid(state.layings)
    except CannotCut:
        return None


def next_piece(state: State, plan: RoomPlan) -> Piece | None:
    """The next piece that isn't a board of the job yet: on the surface at hand first, then as they are to be hung."""
    opened = set(state.pieces.values())
    left = [piece for piece in plan.pieces if piece.name not in opened]
    at_hand = state.pieces.get(state.board)
    here = state.board if at_hand is None else at_hand.surface.name
    return min(left, key=lambda piece: piece.name.surface.name != here, default=None)


def planned(state: State, board: str) -> PlannedBoard | None:
    """What the layout knows of a board that is one of its pieces."""
    name = state.pieces.get(board)
    plan = standing_plan(state) if name is not None else None
    if name is None or plan is None:
        return None
    from fieldvoice.layout.boards import planned_board

    pieces = ((piece, one.surface) for one in plan.surfaces for piece in one.pieces)
    return next((planned_board(piece, its, plan.unit) for piece, its in pieces if piece.name == name), None)
