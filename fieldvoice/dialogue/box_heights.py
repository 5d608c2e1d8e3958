"""At which heights boxes are set, a box heard at another one where what sounds like it is as it should be, and what
heights are counted from.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from fieldvoice.dialogue.assembly import board_of
from fieldvoice.dialogue.rivals import twins_of
from fieldvoice.dialogue.state import State
from fieldvoice.dialogue.turn import Turn
from fieldvoice.records.board import Board, Surface
from fieldvoice.records.facts import Key
from fieldvoice.records.ledger import Call, Concern, Doubt, Tell
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Box, Coordinate, Dimension, Edge, Neighbor, Opening, Reading

COMMON = ((8, 24), (36, 54))
"""Inches above the floor at which outlets and switches are set (common practice, no source)."""
SAME_HEIGHT = Length(1)
"""How far boxes of one height may differ where they were measured from floor and ceiling (our own rule)."""
ONE_HEIGHT = Length("3/8")
"""The same where both were measured from one side (our own rule: twice what a wall is off over the way between)."""
HIGHER = Length(6)
"""What is nearer than this to another box's height and not the same is unlike it: nobody sets boxes so (our own
rule)."""


def by_height_above_floor(call: Call, board: Board, values: Mapping[Key, Call]) -> tuple[Doubt, ...]:
    """A box at no common height, or unlike the others among the `values` of its board, where what sounds like it is as
    it should be: up for down, sixty for sixteen, seventy five for seventy nine.
    """
    box = call.fact
    if not isinstance(box, Box) or box.far is not None:
        return ()
    heights = [
        one.fact.value
        for one in values.values()
        if isinstance(one.fact, Reading) and one.fact.dimension is Dimension.HEIGHT
    ]
    stands = {edge: setting.neighbor for edge, setting in board.edges.items()}
    at_floor = stands[Edge.BOTTOM] is Neighbor.FLOOR and stands[Edge.TOP] is Neighbor.CEILING
    if not heights or not at_floor or box.y.start not in {Edge.TOP, Edge.BOTTOM}:
        return ()
    beside = [
        one.fact.y
        for one in values.values()
        if isinstance(one.fact, Box) and one.key != call.key and one.fact.y.point is box.y.point
    ]
    others = [_up(one, heights[0]) for one in beside]
    near = [] if any(_at_one(box.y, one) for one in beside) else [one for one in beside if nearly(box.y, one)]
    if not near and _is_expected(_up(box.y, heights[0]), others):
        return ()
    start = Edge.TOP if box.y.start is Edge.BOTTOM else Edge.BOTTOM
    alike = [replace(box.y, start=start), *(replace(box.y, value=one) for one in twins_of(box.y.value, board.unit))]
    alike += near
    rather = [place for place in alike if _is_expected(_up(place, heights[0]), others)]
    if not rather:
        return ()
    best = min(rather, key=lambda place: min((abs(_up(place, heights[0]) - one) for one in others), default=Length(0)))
    return (Doubt(Concern.SWAPPED, call.number, ((replace(box, y=best),),)),)


def _at_one(place: Coordinate, other: Coordinate) -> bool:
    return place.start is other.start and abs(place.value - other.value) <= ONE_HEIGHT


def nearly(place: Coordinate, other: Coordinate) -> bool:
    """Whether two boxes are measured down, or up, to almost one height: nobody sets them so, and one was misheard."""
    return place.start is other.start and ONE_HEIGHT < abs(place.value - other.value) <= SAME_HEIGHT


def _up(place: Coordinate, height: Length) -> Length:
    """How high above the floor, with one height of the board for all of it."""
    return place.value if place.start is Edge.BOTTOM else height - place.value


def _is_expected(up: Length, others: Sequence[Length]) -> bool:
    """Whether boxes are set there: at the height of another one of the board, else at a common one."""
    if others and any(abs(up - other) <= SAME_HEIGHT for other in others):
        return True
    common = any(low <= up.inches <= high for low, high in COMMON)
    return common and not any(abs(up - other) <= HIGHER for other in others)


def say_from_floor(turn: Turn, before: State) -> Turn:
    """Behind what was just called from the bottom of a wall's board that hangs above the floor, or stands on the board
    that does so since: that it counts from there. "Bottom" may have been meant as the board's own edge.
    """
    name = turn.state.board
    ups = {call.number for call in turn.state.known(name, doubtful=True).values() if _is_up(call)}
    if name in turn.state.surfaces or not ups or not _hangs_above_floor(turn.state, name):
        return turn
    old = {call.number for call in before.known(name, doubtful=True).values()}
    return turn.tell(Tell.FROM_FLOOR) if ups - old or not _hangs_above_floor(before, name) else turn


def _is_up(call: Call) -> bool:
    match call.fact:
        case Box(y=down):
            return down.start is Edge.BOTTOM
        case Opening(ys=downs):
            return any(each.start is Edge.BOTTOM for each in downs)
    return False


def _hangs_above_floor(state: State, name: str) -> bool:
    board = board_of(name, state.known(name, doubtful=True), {}, state.assumed.get(name, {}))
    return board.surface is Surface.WALL and board.edges[Edge.BOTTOM].neighbor is not Neighbor.FLOOR
