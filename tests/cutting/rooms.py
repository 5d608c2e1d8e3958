"""Short ways to write a room."""

from fieldvoice.records.board import Box, EdgeSetting, Taken
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import BoxKind, Circuit, Coordinate, Edge, Neighbour, Point, Slot


def sides(
    left: Neighbour, right: Neighbour, top: Neighbour = Neighbour.CEILING, bottom: Neighbour = Neighbour.FLOOR
) -> dict[Edge, EdgeSetting]:
    """What stands at the four edges."""
    stands = {Edge.LEFT: left, Edge.RIGHT: right, Edge.TOP: top, Edge.BOTTOM: bottom}
    return {edge: EdgeSetting(neighbour) for edge, neighbour in stands.items()}


SIDES_SWAPPED = sides(Neighbour.WALL, Neighbour.BOARD)
SIDES_JOINED = sides(Neighbour.BOARD, Neighbour.BOARD)
SIDES_WALLED = sides(Neighbour.WALL, Neighbour.WALL)


def widths(top: str | None, middle: str | None, bottom: str | None) -> tuple[Taken, ...]:
    """Widths at the three named places; None was not taken."""
    return _taken((Slot.TOP, top), (Slot.MIDDLE, middle), (Slot.BOTTOM, bottom))


def heights(left: str, middle: str | None = None, right: str | None = None) -> tuple[Taken, ...]:
    """Heights at the three named places; None was not taken."""
    return _taken((Slot.LEFT, left), (Slot.MIDDLE, middle), (Slot.RIGHT, right))


def _taken(*readings: tuple[Slot, str | None]) -> tuple[Taken, ...]:
    return tuple(Taken(at, Length(value)) for at, value in readings if value is not None)


def box(
    name: str,
    x: str,
    y: str,
    *,
    x_from: Edge = Edge.LEFT,
    y_from: Edge = Edge.TOP,
    kind: BoxKind = BoxKind.SINGLE,
    state: Circuit = Circuit.UNKNOWN,
) -> Box:
    """A box by its centre."""
    return Box(
        name,
        kind,
        Coordinate(Point.CENTER, Length(x), x_from),
        Coordinate(Point.CENTER, Length(y), y_from),
        state,
    )
