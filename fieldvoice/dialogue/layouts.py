"""What the layout makes of the surfaces of a job: worked out from what it was made from whenever it is asked for, and
kept while the program runs. The room of the layout is imported only once there is one.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING

from fieldvoice.dialogue.state import State
from fieldvoice.errors import CannotCut
from fieldvoice.records.laying import CutPiece, Laying
from fieldvoice.records.length import Length
from fieldvoice.records.room import House, name_of
from fieldvoice.records.room_plan import Piece, PieceName, RoomPlan

if TYPE_CHECKING:
    from fieldvoice.layout.boards import PlannedBoard
    from fieldvoice.stock.rack import Rack


def laid(laying: Laying | None) -> RoomPlan | None:
    """The plan of what was laid out, None where nothing is. Raises `CannotCut` where no layout keeps the rules."""
    return None if laying is None or not laying.surfaces else _made(laying)


@lru_cache(maxsize=32)
def _made(laying: Laying) -> RoomPlan:
    """What is cut stays where the plan had it, and what it left is used first."""
    from fieldvoice.layout.planning import plan
    from fieldvoice.layout.rules import LIMITS

    house = House(None, laying.unit, laying.sheets, laying.surfaces)
    names = {name_of(surface) for surface in laying.surfaces}
    done = tuple(one.hung.piece(one.piece) for one in laying.cut if one.hung is not None and one.piece.surface in names)
    least = LIMITS[laying.unit].gap_least
    rack = tuple(
        replace(one, length=_whole(one.length, least), width=_whole(one.width, least))
        for one in rack_of(laying.cut).offcuts
    )
    return plan(house, laying.wishes, done, rack)


def _whole(length: Length, step: Length) -> Length:
    """As a whole number of steps, so that an offcut of odd sixteenths makes no finer plan of the house."""
    return step * (length.inches // step.inches)


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
        return laid(state.laying)
    except CannotCut:
        return None


def next_piece(state: State, plan: RoomPlan) -> Piece | None:
    """The next piece that isn't a board of the job yet: on the surface at hand first, then in its room, then as they
    are to be hung.
    """
    opened = set(state.pieces.values())
    left = [piece for piece in plan.pieces if piece.name not in opened]
    here = surface_at_hand(state)
    room = next((name_of(one).room for one in plan.house.surfaces if str(name_of(one)) == here), None)
    return min(left, key=lambda one: (str(one.name.surface) != here, one.name.surface.room != room), default=None)


def surface_at_hand(state: State) -> str:
    """The surface that is worked at: that of the board at hand where it is one of the layout's pieces."""
    piece = state.pieces.get(state.board)
    return state.board if piece is None else str(piece.surface)


def planned_piece(state: State, name: PieceName) -> Piece | None:
    """A piece as the plan that stands has it."""
    plan = standing_plan(state)
    return None if plan is None else next((each for each in plan.pieces if each.name == name), None)


def planned(state: State, board: str) -> PlannedBoard | None:
    """What the layout knows of a board that is one of its pieces."""
    name = state.pieces.get(board)
    plan = standing_plan(state) if name is not None else None
    if name is None or plan is None:
        return None
    from fieldvoice.layout.boards import planned_board

    pieces = ((piece, one.surface) for one in plan.surfaces for piece in one.pieces)
    return next((planned_board(piece, its, plan.unit) for piece, its in pieces if piece.name == name), None)
