"""What the layout makes of the surfaces of a job: worked out from what it was made from whenever it is asked for, and
kept while the program runs. The room of the layout is imported only once there is one.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from typing import TYPE_CHECKING

from fieldvoice.dialogue.state import State
from fieldvoice.errors import CannotCut
from fieldvoice.records.laying import CutPiece, Laying
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
    return _made(tuple(each for each in layings if each.surfaces))


@lru_cache(maxsize=32)
def _made(layings: tuple[Laying, ...]) -> RoomPlan:
    """What is cut stays where the plan before had it, and what it left is used first."""
    from fieldvoice.layout.planning import plan

    last = layings[-1]
    done: tuple[Piece, ...] = ()
    house = House(None, last.unit, last.sheets, last.surfaces)
    if last.cut and len(layings) > 1:
        names = {name_of(surface) for surface in last.surfaces}
        kept = {each.piece for each in last.cut if each.piece.surface in names}
        done = tuple(piece for piece in _made(layings[:-1]).pieces if piece.name in kept)
    return plan(house, last.wishes, done, rack_of(last.cut).offcuts)


def rack_of(cuts: Iterable[CutPiece]) -> Rack:
    """The rack after these cuts, one after the other."""
    from fieldvoice.stock.rack import Rack

    rack = Rack()
    for one in cuts:
        rack = (rack if one.offcut is None else rack.without(one.offcut)).with_offcuts(one.left)
    return rack


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
