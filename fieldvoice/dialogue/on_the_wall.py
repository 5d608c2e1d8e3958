"""Where a thing is on its wall or ceiling: which board what was called at the wall lies on, and which other boards what
was called on one reaches onto.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from fieldvoice.cutting.tables import BOXES
from fieldvoice.dialogue.layouts import planned, span, standing_plan
from fieldvoice.dialogue.state import State
from fieldvoice.records.board import Surface
from fieldvoice.records.facts import Key, Of, Said
from fieldvoice.records.ledger import Call
from fieldvoice.records.length import ZERO, Length
from fieldvoice.records.meaning import Box, Coordinate, Distance, Edge, Opening, OpeningKind, Point, Thing
from fieldvoice.records.room import RoomSurface, height_at, name_of
from fieldvoice.records.room_plan import Piece

if TYPE_CHECKING:
    from fieldvoice.layout.boards import PlannedBoard

ACROSS_A_JOINT = Length(2)
"""How far beyond a board's edge the middle of a box may be that still reaches onto it (common practice, no source)."""


def is_on_its_piece(state: State, board: str, said: Said | None) -> bool | None:
    """Whether a thing that was called at the wall or ceiling of a board lies on the board, as the layout has it; None
    where its place isn't known on both axes.
    """
    known, surface = planned(state, board), _surface_of(state, board)
    if known is None or surface is None or not isinstance(said, Thing):
        return None
    across = _along(said.places, Edge.LEFT, Edge.RIGHT, surface.width)
    level = surface.top_line[0].height if len({point.height for point in surface.top_line}) == 1 else None
    inside = bool(across) and ZERO <= across[0] <= surface.width
    up = _along(said.places, Edge.BOTTOM, Edge.TOP, surface.top_at(across[0]) if inside else level)
    piece = known.piece
    spans = ((across, piece.x, piece.right), (up, piece.y, piece.top))
    if any(at and (max(at) < low - ACROSS_A_JOINT or min(at) > high + ACROSS_A_JOINT) for at, low, high in spans):
        return False
    return True if across and up else None


def _surface_of(state: State, board: str) -> RoomSurface | None:
    plan, name = standing_plan(state), state.pieces.get(board)
    surfaces = () if plan is None or name is None else plan.house.surfaces
    return next((one for one in surfaces if name is not None and name_of(one) == name.surface), None)


def _along(places: Iterable[Distance | Coordinate], near: Edge, far: Edge, extent: Length | None) -> list[Length]:
    """How far from the near end of its wall a thing is, by each distance that was called on one axis."""
    counted = [one.value for one in places if one.start is near]
    beyond = [one.value for one in places if one.start is far]
    return counted + ([] if extent is None else [extent - each for each in beyond])


def ends_where_measured(state: State, board: str, said: Said | None) -> bool:
    """Whether a board ends where its wall or ceiling does at each edge that a thing of it was measured from: from a
    joint or a jamb its place would be another. How high a course hangs is known, so that what is counted from the floor
    will do; under a slope the board's own top is the wall's.
    """
    known, surface = planned(state, board), _surface_of(state, board)
    if known is None or surface is None or not isinstance(said, Thing):
        return True
    piece = known.piece
    ends = {
        Edge.LEFT: piece.x == ZERO,
        Edge.RIGHT: piece.right == surface.width,
        Edge.BOTTOM: piece.y == ZERO or surface.kind is Surface.WALL,
        Edge.TOP: all(piece.y + one.height == surface.top_at(piece.x + one.across) for one in piece.top_corners),
    }
    return all(ends[each.start] for each in said.places if each.start is not None)


HALF_A_BOX = Length(4)
"""How far the middles of one hole may be apart as two boards have it, before it is two (half of a box for four
switches; common practice, no source); and half of what was called without its size."""
SAME_PLACE = Length("1/2")
"""How far one hole may be called apart on two boards, which are measured each from its own edges (our own rule)."""


@dataclass(frozen=True, slots=True)
class Hole:
    """A box or a hole called on a board, and its sides on the wall or ceiling, from the left and from below."""

    call: Call
    left: Length
    right: Length
    low: Length
    high: Length

    @property
    def middle(self) -> tuple[Length, Length]:
        """From the left and from below."""
        return (self.left + self.right) / 2, (self.low + self.high) / 2

    def meets(self, other: Hole) -> bool:
        """Whether both may be one, or one reaches into the other."""
        across = self.left < other.right and other.left < self.right
        return self.is_that(other) or (across and self.low < other.high and other.low < self.high)

    def is_that(self, other: Hole) -> bool:
        """Whether both may be one, as two boards have it."""
        return all(abs(a - b) <= HALF_A_BOX for a, b in zip(self.middle, other.middle, strict=True))


IN_THE_LAYOUT = frozenset({OpeningKind.WINDOW, OpeningKind.DOOR})
"""What a board has whether it is called there or not."""


def hole_of(known: PlannedBoard, call: Call) -> Hole | None:
    """What was called on a board as it lies on its wall, None for what is no hole in one."""
    thing, piece = call.fact, known.piece
    if isinstance(thing, Box):
        kind, far = BOXES.get(thing.kind), thing.far or ()
        wide, high = (HALF_A_BOX * 2, HALF_A_BOX * 2) if kind is None else (kind.width, kind.height)
        xs, ys = (thing.x, *far[:1]), (thing.y, *far[1:])
    elif isinstance(thing, Opening) and thing.kind is not OpeningKind.NOTCH:
        wide, high = (each or thing.diameter or HALF_A_BOX * 2 for each in (thing.width, thing.height))
        xs, ys = thing.xs, thing.ys
    else:
        return None
    left, width = span(xs, wide, piece.width, Edge.RIGHT)
    under = height_at(piece.top_corners, min(max(left + width / 2, ZERO), piece.width))
    low, height = span(ys, high, under + known.below, Edge.TOP)
    left, low = piece.x + left, piece.y - known.below + low
    return Hole(call, left, left + width, low, low + height)


def holes_of(state: State, board: str) -> tuple[Hole, ...]:
    """All that were called on a board of a layout."""
    known = planned(state, board)
    calls = () if known is None else state.known(board, doubtful=True).values()
    return tuple(hole for call in calls if known is not None and (hole := hole_of(known, call)) is not None)


def at_their_places(state: State, boxes: Iterable[tuple[str, str]]) -> tuple[tuple[str, str], ...]:
    """The boxes, each with its board, with every box of another board of the same wall or ceiling that lies where one
    of them does: that may be one box, which each board calls by a name of its own.
    """
    found = list(dict.fromkeys(boxes))
    there = {board: name.surface for board, name in state.pieces.items()}
    holes = {board: holes_of(state, board) for board in there}
    for board, box in found:
        for hole in holes.get(board, ()):
            if hole.call.key == Key(Of.BOX, name=box):
                others = (other for other in there if other != board and there[other] == there[board])
                met = ((other, one.call.key) for other in others for one in holes[other] if one.meets(hole))
                found += [
                    (other, key.name) for other, key in met if key.of is Of.BOX and (other, key.name) not in found
                ]
    return tuple(found)


def reaching(state: State, board: str) -> Iterator[Hole]:
    """The holes called on other boards of the same wall or ceiling that reach onto this one: what is called on one
    layer is behind the next, and what runs across a joint is on the board beside it. A light of the layout is its own.
    """
    here = planned(state, board)
    if here is None:
        return
    lights = any(one.kind.value == OpeningKind.LIGHT.value for one in here.openings)
    for other, name in state.pieces.items():
        if other == board or name.surface != here.piece.name.surface:
            continue
        for hole in holes_of(state, other):
            light = isinstance(hole.call.fact, Opening) and hole.call.fact.kind is OpeningKind.LIGHT
            if _reaches(hole, here.piece) and not (light and lights):
                yield hole


def _reaches(hole: Hole, piece: Piece) -> bool:
    across = hole.left < piece.right and piece.x < hole.right
    return across and hole.low < piece.top and piece.y < hole.high


def wanted(state: State, board: str) -> tuple[Call, ...]:
    """Those of them that nobody called on this board."""
    called = holes_of(state, board)
    others = (hole for hole in reaching(state, board) if not any(hole.is_that(one) for one in called))
    return tuple(hole.call for hole in others if getattr(hole.call.fact, "kind", None) not in IN_THE_LAYOUT)


@dataclass(frozen=True, slots=True)
class Otherwise:
    """What another board has otherwise of a hole that was called on this one: how far from an edge of this board, by
    the same side of it as it was called, None where that is beyond the edge; or another kind of thing (`start` None).
    """

    there: Call
    value: Length | None = None
    start: Edge | None = None


def otherwise(known: PlannedBoard, call: Call, others: Iterable[Hole]) -> Otherwise | None:
    """What is called on a board with what another board has at its place; None where both have the same."""
    here = hole_of(known, call)
    there = None if here is None else next((one for one in others if one.is_that(here)), None)
    if here is None or there is None or not isinstance(call.fact, Box | Opening):
        return None
    for place in call.fact.places:
        assert isinstance(place, Coordinate)
        off = _side(there, place) - _side(here, place)
        if abs(off) > SAME_PLACE:
            at = place.value + (-off if place.start in {Edge.RIGHT, Edge.TOP} else off)
            return Otherwise(there.call, at if at >= ZERO else None, place.start)
    kinds = {one.fact.kind for one in (call, there.call) if isinstance(one.fact, Box | Opening)}
    return Otherwise(there.call) if len(kinds) > 1 else None


def _side(hole: Hole, place: Coordinate) -> Length:
    """Where that is of a hole which a place was called of."""
    across = place.start in {Edge.LEFT, Edge.RIGHT}
    low, high = (hole.left, hole.right) if across else (hole.low, hole.high)
    if place.point is Point.CENTER:
        return (low + high) / 2
    return low if (place.point is Point.NEAR) == (place.start in {Edge.LEFT, Edge.BOTTOM}) else high
