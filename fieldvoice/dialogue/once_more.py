"""How what was heard once is told once more: in which order, and what goes with it so that it is short."""

from __future__ import annotations

from fractions import Fraction

from fieldvoice.dialogue.assembly import unit_of
from fieldvoice.dialogue.state import State
from fieldvoice.records.facts import Of
from fieldvoice.records.ledger import AS_HIGH, AS_NEAR, Call, Value
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import (
    Box,
    Coordinate,
    Dimension,
    Edge,
    Place,
    Point,
    Reading,
    Slot,
)

_ORDER = {Of.WIDTH: 0, Of.HEIGHT: 1}
_SLOTS = (Slot.TOP, Slot.LEFT, Slot.MIDDLE, Slot.BOTTOM, Slot.RIGHT)


def in_order(call: Call) -> tuple[int, int, Length]:
    """Widths from the top down, heights from the left, then the rest."""
    at = call.key.at
    slot = _SLOTS.index(at) if isinstance(at, Slot) else len(_SLOTS)
    return _ORDER.get(call.key.of, 2), slot, at if isinstance(at, Length) else Length(0)


def read_last(state: State, calls: tuple[Call, ...]) -> tuple[Value, ...]:
    """The calls of the last read-back; behind a reading that none of its kind can be an inch off; behind a box its
    center from the side it wasn't measured from, as a tape shows it, and that another one is so near its height that
    none can be an inch off.
    """
    told: list[Value] = []
    for call in calls:
        told.append(call)
        if isinstance(call.fact, Reading) and _near_fellows(state, call):
            told.append(AS_NEAR)
        if isinstance(call.fact, Box) and (other := _from_other_side(state, call)) is not None:
            told.append(other)
        if isinstance(call.fact, Box) and _as_high(state, call, call.fact):
            told.append(AS_HIGH)
    return tuple(told)


def _as_high(state: State, call: Call, box: Box) -> bool:
    """Whether another box of the board, that was heard apart, was called at almost the same height."""
    others = (one.fact for one in state.known(call.board).values() if one.key != call.key)
    return unit_of(state.known(call.board)) is Unit.INCH and any(
        isinstance(one, Box) and one.y.start is box.y.start and abs(one.y.value - box.y.value) <= NEAR for one in others
    )


NEAR = Length("3/4")
"""How far apart readings of a kind may be to be said once more without their inches: one that was an inch off would lie
farther from the others (our own rule)."""


def _near_fellows(state: State, call: Call) -> bool:
    known = state.known(call.board)
    values = [one.fact.value for key, one in known.items() if isinstance(one.fact, Reading) and key.of is call.key.of]
    return len(values) > 1 and unit_of(known) is Unit.INCH and max(values) - min(values) <= NEAR


def _from_other_side(state: State, call: Call) -> Coordinate | None:
    box = call.fact
    if not isinstance(box, Box) or box.x.start not in {Edge.LEFT, Edge.RIGHT}:
        return None
    width = _width_at(state, call.board, box)
    if width is None or width <= box.x.value:
        return None
    other = Edge.RIGHT if box.x.start is Edge.LEFT else Edge.LEFT
    point = {Point.NEAR: Point.FAR, Point.FAR: Point.NEAR}.get(box.x.point, box.x.point)
    tape = Length("1/8") if unit_of(state.known(call.board)) is Unit.INCH else Length.of(1, Unit.MM)
    return Coordinate(point, (width - box.x.value).rounded(tape), other)


def _width_at(state: State, board: str, box: Box) -> Length | None:
    """The width as read at the box: between the readings above and below it."""
    values = state.known(board)
    readings = [call.fact for call in values.values() if isinstance(call.fact, Reading)]
    heights = (one.value.inches for one in readings if one.dimension is Dimension.HEIGHT)
    high = next(heights, Fraction(96))
    read = [(_down(one.at, high), one.value) for one in readings if one.dimension is Dimension.WIDTH]
    places = sorted((place, width) for place, width in read if place is not None)
    if not places:
        return None
    y = box.y.value.inches
    if box.y.start is Edge.BOTTOM:
        y = high - y
    return _between(places, y)


def _between(places: list[tuple[Fraction, Length]], y: Fraction) -> Length:
    before = [one for one in places if one[0] <= y]
    after = [one for one in places if one[0] >= y]
    if not before or not after:
        return (before or after)[-1 if before else 0][1]
    (above, first), (below, last) = before[-1], after[0]
    if above == below:
        return first
    return first + (last - first) * ((y - above) / (below - above))


def _down(at: Place | None, high: Fraction) -> Fraction | None:
    if isinstance(at, Length):
        return at.inches
    return {Slot.TOP: Fraction(0), Slot.MIDDLE: high / 2, Slot.BOTTOM: high}.get(at) if at is not None else None
