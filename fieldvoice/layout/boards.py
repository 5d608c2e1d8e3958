"""A planned piece as a board of the job: what is known of it before the tape comes, and which reading is odd."""

from __future__ import annotations

from dataclasses import dataclass, replace

from fieldvoice.records.board import SPACING, Board, EdgeSetting, Framing, Known, Lies, Sheet, Surface
from fieldvoice.records.length import ZERO, Length, Unit
from fieldvoice.records.meaning import Course, Dimension, Edge, Neighbor, Reading, Slot
from fieldvoice.records.room import RoomSurface, RoughOpening, height_at, level_top
from fieldvoice.records.room_plan import Piece

FAR = {Unit.INCH: Length(1), Unit.MM: Length.of(25, Unit.MM)}
"""A reading this far from the layout is asked about: walls are out by less, and a misheard figure is out by more
(common practice, no source)."""


@dataclass(frozen=True, slots=True)
class PlannedBoard:
    """A board without a reading yet, and what its hole should read: `width` from side to side, `height` from what is
    above to what is below, the floor among it. `openings` are those of its surface that lie on it, from its lower left
    corner; `beside` those that it ends at, each with its edge there. `ceiling` is how high its wall goes, None where
    that is not one height.
    """

    piece: Piece
    board: Board
    width: Length
    height: Length
    openings: tuple[RoughOpening, ...] = ()
    beside: tuple[tuple[Edge, RoughOpening], ...] = ()
    ceiling: Length | None = None

    @property
    def below(self) -> Length:
        """How far below its lower edge what is called from the bottom is counted from: on a wall the floor."""
        return self.piece.y if self.board.surface is Surface.WALL else ZERO


@dataclass(frozen=True, slots=True)
class FarFromLayout:
    """A reading that isn't near what was planned: ask before it is taken."""

    dimension: Dimension
    planned: Length
    read: Length


def planned_board(piece: Piece, surface: RoomSurface, unit: Unit) -> PlannedBoard:
    """What the layout knows of a piece: how it lies, its course and layer, its sheet, what stands at each edge, and the
    framing behind it. Readings and boxes are the hanger's to call.
    """
    wall = surface.kind is Surface.WALL
    at_floor = piece.edges[Edge.BOTTOM].neighbor is Neighbor.FLOOR
    board = Board(
        name=str(piece.name),
        surface=surface.kind,
        room=surface.room,
        unit=unit,
        lies=piece.lies,
        edges={edge: EdgeSetting(stands.neighbor, None, Known.CARRIED) for edge, stands in piece.edges.items()},
        sheet=Sheet(piece.sheet.width, piece.sheet.length, surface.thickness, surface.board),
        thickness=surface.thickness,
        kind=surface.board,
        layers=surface.layers,
        layer=piece.layer,
        framing=_framing(piece, surface, unit),
        course=_course(piece) if wall else None,
        above_floor=None if at_floor or not wall else piece.y,
    )
    height = piece.top if at_floor else piece.height
    level = [
        replace(each, left=each.left - piece.x, bottom=each.bottom - piece.y)
        for each in surface.openings
        if piece.y < each.top and each.bottom < piece.top
    ]
    openings = tuple(each for each in level if each.right > ZERO and each.left < piece.width)
    left = [(Edge.LEFT, each) for each in level if each.right == ZERO]
    right = [(Edge.RIGHT, each) for each in level if each.left == piece.width]
    ceiling = surface.height if wall and level_top(surface) else None
    return PlannedBoard(piece, board, piece.width, height, openings, (*left, *right), ceiling)


def beside(planned: PlannedBoard, opening: RoughOpening) -> Edge | None:
    """The edge of the board that an opening called on it begins at, as one of the layout does; None where none does."""
    limit = FAR[planned.board.unit]
    for edge, there in planned.beside:
        sides = ((opening.left, there.left), (opening.right, there.right))
        if opening.kind is there.kind and all(abs(one - other) <= limit for one, other in sides):
            return edge
    return None


def far_from_layout(planned: PlannedBoard, reading: Reading) -> FarFromLayout | None:
    """Whether a reading has to be asked about, None where it is as near as walls are true. Under a slope a height that
    is at neither side may be anything from the lower side's to the higher one's, but where its place is told.
    """
    piece, limit, read = planned.piece, FAR[planned.board.unit], reading.value
    if reading.dimension is Dimension.WIDTH:
        least = most = planned.width
    else:
        sides = {Slot.LEFT: piece.left_height, Slot.RIGHT: piece.right_height}
        here = [sides[reading.at]] if reading.at in sides else [point.height for point in piece.top_corners]
        if isinstance(reading.at, Length) and reading.at <= piece.width:
            here = [height_at(piece.top_corners, reading.at)]
        least, most = (each(here) + planned.height - piece.height for each in (min, max))
    return (
        None if least - limit < read < most + limit else FarFromLayout(reading.dimension or Dimension.WIDTH, most, read)
    )


def ceiling_off(planned: PlannedBoard, said: Length) -> Length | None:
    """How high its wall is laid out, where that is far from what was said to be from floor to ceiling."""
    there = planned.ceiling
    return None if there is None or abs(said - there) < FAR[planned.board.unit] else there


def sides_off(planned: PlannedBoard, opening: RoughOpening, there: RoughOpening) -> dict[Edge, Length]:
    """The sides of an opening on the board that are farther from those of one that the layout has there than tapes
    differ, each with where that has it; both as far as they lie on the board, from its lower left corner. No slope says
    how high its top is. A frame is no wall, and is measured as well from one end as from another.
    """
    limit = FAR[planned.board.unit] / 2
    called, laid_out = (_on_board(planned.piece, one) for one in (opening, there))
    return {edge: at for edge, at in laid_out.items() if abs(called[edge] - at) > limit}


def _on_board(piece: Piece, one: RoughOpening) -> dict[Edge, Length]:
    across = {Edge.LEFT: one.left, Edge.RIGHT: one.right}
    down = {Edge.BOTTOM: one.bottom, Edge.TOP: one.top} if not piece.slopes else {}
    sides = {edge: min(max(at, ZERO), piece.width) for edge, at in across.items()}
    return sides | {edge: min(max(at, ZERO), piece.height) for edge, at in down.items()}


def _course(piece: Piece) -> Course | None:
    """Lying boards have a course; what stands above and below says which."""
    if piece.lies is Lies.STANDING:
        return None
    above, below = (piece.edges[edge].neighbor for edge in (Edge.TOP, Edge.BOTTOM))
    if above is Neighbor.BOARD:
        return Course.MIDDLE if below is Neighbor.BOARD else Course.LOWER
    return Course.UPPER if below is Neighbor.BOARD else Course.ONLY


def _framing(piece: Piece, surface: RoomSurface, unit: Unit) -> Framing:
    """Studs from the piece's left, or the joists that run across it from its top."""
    members, spacing = surface.members, SPACING[unit]
    if members.along is not Dimension.WIDTH:
        from_top = (piece.top - center for center in reversed(members.centers(surface.height)))
        across = tuple(down for down in from_top if ZERO <= down <= piece.height)
        return Framing(members.material.value, members.spacing or spacing, across=across)
    studs = tuple(
        center - piece.x for center in members.centers(surface.width) if ZERO <= center - piece.x <= piece.width
    )
    return Framing(members.material.value, members.spacing or spacing, studs, called=True)
