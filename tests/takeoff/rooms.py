"""A planned room, put together by hand."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from fieldvoice.records.board import Lies, Sheet
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Course, Edge, Neighbor
from fieldvoice.records.room import Ceiling, House, Members, RoomSurface, RoughOpening, RoughOpeningKind, Wall, name_of
from fieldvoice.records.room_plan import (
    Joint,
    JointKind,
    Piece,
    PieceEdge,
    PieceName,
    RoomPlan,
    SheetCount,
    SurfacePlan,
)

Box = tuple[Length, Length, Length, Length]
"""Left, bottom, right, top."""

SHEET = Sheet(Length(48), Length(144))
STUDS = Members(Length(16))
WINDOW = RoughOpening(RoughOpeningKind.WINDOW, Length(40), Length(36), Length(36), Length(48))


def box(left: str | int, bottom: str | int, right: str | int, top: str | int) -> Box:
    """A piece by its corners."""
    return Length(left), Length(bottom), Length(right), Length(top)


def wall(name: str = "north", width: int = 144, height: str = "96 1/2", *openings: RoughOpening, **more: int) -> Wall:
    """A wall of the kitchen on studs 16 in apart."""
    return Wall("kitchen", name, Length(width), Length(height), STUDS, openings, **more)  # type: ignore[arg-type]


def ceiling(width: int = 144, length: int = 180) -> Ceiling:
    """The kitchen's ceiling on joists 16 in apart."""
    return Ceiling("kitchen", "ceiling", Length(width), Length(length), STUDS)


def surface(what: RoomSurface, boxes: Sequence[Box], layers: Sequence[int] = ()) -> SurfacePlan:
    """A surface with those pieces in that order; joints are found from the boxes, openings left out."""
    all_layers = layers or [1] * len(boxes)
    pieces = tuple(
        _piece(what, number, one, layer, boxes, all_layers)
        for number, (one, layer) in enumerate(zip(boxes, all_layers, strict=True), 1)
    )
    joints = tuple(
        joint
        for number, one in enumerate(pieces)
        for other in pieces[number + 1 :]
        if one.layer == other.layer
        for joint in _joints(what, one, other)
    )
    return SurfacePlan(what, pieces, joints)


def room(*surfaces: SurfacePlan, sheets: int = 2) -> RoomPlan:
    """A room's plan."""
    house = House(None, Unit.INCH, (SHEET,), tuple(one.surface for one in surfaces))
    return RoomPlan(house, surfaces, (), (SheetCount(SHEET, sheets),), Fraction(24), Fraction(24), ())


def two_courses(what: Wall) -> SurfacePlan:
    """A wall of two full courses over the gap at the floor, each in one piece."""
    return surface(what, [box(0, "48 1/2", str(what.width), "96 1/2"), box(0, "1/2", str(what.width), "48 1/2")])


def _piece(what: RoomSurface, number: int, one: Box, layer: int, boxes: Sequence[Box], layers: Sequence[int]) -> Piece:
    left, bottom, right, top = one
    fellows = [box for box, at in zip(boxes, layers, strict=True) if at == layer and box != one]
    wall_side = Neighbor.WALL
    high = Neighbor.CEILING if isinstance(what, Wall) else wall_side
    low = Neighbor.FLOOR if isinstance(what, Wall) else wall_side
    stands = {
        Edge.LEFT: Neighbor.BOARD if any(box[2] == left for box in fellows) else wall_side,
        Edge.RIGHT: Neighbor.BOARD if any(box[0] == right for box in fellows) else wall_side,
        Edge.TOP: Neighbor.BOARD if any(box[1] == top for box in fellows) else high,
        Edge.BOTTOM: Neighbor.BOARD if any(box[3] == bottom for box in fellows) else low,
    }
    course = Course.UPPER if stands[Edge.TOP] is not Neighbor.BOARD else Course.LOWER
    return Piece(
        PieceName(name_of(what), number),
        layer,
        left,
        bottom,
        right - left,
        top - bottom,
        Lies.LYING,
        course if isinstance(what, Wall) else number,
        SHEET,
        {edge: PieceEdge(neighbor, factory=True) for edge, neighbor in stands.items()},
        top - bottom,
        top - bottom,
    )


def _joints(what: RoomSurface, one: Piece, other: Piece) -> list[Joint]:
    """Where two pieces touch, less what openings take."""
    found = []
    for first, second in ((one, other), (other, one)):
        if first.right == second.x:
            low, high = max(first.y, second.y), min(first.top, second.top)
            found += [
                Joint(JointKind.BUTT, one.layer, (one.name, other.name), (second.x, a), (second.x, b))
                for a, b in _clear(low, high, [(o.bottom, o.top) for o in what.openings if o.left < second.x < o.right])
            ]
        if first.top == second.y:
            low, high = max(first.x, second.x), min(first.right, second.right)
            found += [
                Joint(JointKind.TAPERED, one.layer, (one.name, other.name), (a, second.y), (b, second.y))
                for a, b in _clear(low, high, [(o.left, o.right) for o in what.openings if o.bottom < second.y < o.top])
            ]
    return found


def _clear(low: Length, high: Length, taken: Sequence[tuple[Length, Length]]) -> list[tuple[Length, Length]]:
    left = [(low, high)] if low < high else []
    for start, end in taken:
        left = [
            piece
            for a, b in left
            for piece in ((a, min(b, start)), (max(a, end), b))
            if piece[0] < piece[1] and not (start <= piece[0] and piece[1] <= end)
        ]
    return left
