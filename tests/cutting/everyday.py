"""Kinds of boards as crews meet them, each a room drawn at random with what the tape reads in it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from fractions import Fraction
from random import Random

from fieldvoice.records.board import Board, EdgeSetting, Framing, Lies, MarksBy, Sheet, Surface
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import (
    Box,
    BoxKind,
    Circuit,
    Coordinate,
    Course,
    Dimension,
    Edge,
    Neighbor,
    Opening,
    OpeningKind,
    Plumb,
    Reading,
    Slot,
)
from fieldvoice.records.meaning import Point as At
from tests.cutting.true_rooms import Line, TrueRoom, TrueThing, at, place_of, sixteenth

SIZES = {
    BoxKind.SINGLE: (2.125, 3.625),
    BoxKind.DOUBLE: (3.9375, 3.625),
    BoxKind.ROUND: (4.0, 4.0),
    BoxKind.SQUARE: (4.0, 4.0),
}


@dataclass
class Case:
    """A board as called, and the room it was measured in; whether its readings tell all there is to know."""

    board: Board
    room: TrueRoom
    things: list[TrueThing] = field(default_factory=list)
    told: bool = True


Kind = Callable[[Random], Case]
KINDS: dict[str, Kind] = {}
ODD: dict[str, Kind] = {}


def everyday(kind: Kind) -> Kind:
    """A kind that crews hang every day."""
    KINDS[kind.__name__] = kind
    return kind


def odd(kind: Kind) -> Kind:
    """A kind that comes seldom."""
    ODD[kind.__name__] = kind
    return kind


def on_tape(draw: Random, low: float, high: float, parts: int = 16) -> float:
    """A length that the tape shows."""
    return draw.randint(round(low * parts), round(high * parts)) / parts


def edges(left: Neighbor, right: Neighbor, top: Neighbor, bottom: Neighbor) -> dict[Edge, EdgeSetting]:
    """What stands round it."""
    stands = zip(Edge, (left, right, top, bottom), strict=True)
    return {edge: EdgeSetting(neighbor) for edge, neighbor in stands}


WALL, BOARD, OPEN = Neighbor.WALL, Neighbor.BOARD, Neighbor.OPEN
CEILING, FLOOR = Neighbor.CEILING, Neighbor.FLOOR


def read(room: TrueRoom, dimension: Dimension, *slots: Slot, parts: int = 16) -> tuple[Reading, ...]:
    """The tape held where hangers hold it."""
    near, far = (Edge.LEFT, Edge.RIGHT) if dimension is Dimension.WIDTH else (Edge.TOP, Edge.BOTTOM)
    found = []
    for slot in slots:
        t = place_of(room, near, slot)
        one, other = room.line(near), room.line(far)
        assert one is not None
        assert other is not None
        found.append(Reading(sixteenth(at(other, t) - at(one, t), parts), dimension, slot))
    return tuple(found)


TOP, MIDDLE, BOTTOM, LEFT, RIGHT = Slot.TOP, Slot.MIDDLE, Slot.BOTTOM, Slot.LEFT, Slot.RIGHT
WIDTH, HEIGHT = Dimension.WIDTH, Dimension.HEIGHT


def upright(x: float, high: float, lean: float = 0.0, bow: float = 0.0) -> Line:
    """A side: `x` at the bottom, `lean` farther right at the top, `bow` farther right in the middle."""
    return [(0.0, x + lean), (high / 2, x + lean / 2 + bow), (high, x)]


def level(y: float, x0: float, x1: float, drop: float = 0.0) -> Line:
    """A ceiling or floor: `y` at the left, `drop` lower at the right."""
    return [(x0, y), (x1, y + drop)]


def with_boxes(
    draw: Random,
    case: Case,
    *,
    starts: tuple[Edge, ...] = (Edge.LEFT, Edge.RIGHT),
    floor: bool = False,
    tall: float | None = None,
) -> Case:
    """Some boxes, called from what stands there."""
    board, room = case.board, case.room
    boxes, circuits = [], {}
    things: list[TrueThing] = []
    wide = min(x for _, x in room.right) - max(x for _, x in room.left or [(0, 0)]) if room.right else 40.0
    assert room.top is not None
    ends_at = room.bottom[0][1] - room.top[0][1] if room.bottom else 90.0
    high = ends_at if tall is None else tall
    for number in range(draw.randint(1, 3)):
        kind = draw.choice(list(SIZES))
        half_w, half_h = (side / 2 for side in SIZES[kind])
        x0 = max(x for _, x in room.left) if room.left else 0.0
        x, y = x0 + draw.uniform(5, max(6, wide - 5)), room.top[0][1] + draw.uniform(6, max(7, high - 6))
        start = draw.choice([edge for edge in starts if room.line(edge) is not None])
        y_start = Edge.BOTTOM if floor and room.bottom else Edge.TOP
        line, ends = room.line(start), room.line(y_start)
        assert line is not None
        assert ends is not None
        for _ in range(30):  # on the tape's marks from where it is called
            y = at(ends, x) + (1 if y_start is Edge.TOP else -1) * float(sixteenth(abs(y - at(ends, x))).inches)
            x = at(line, y) + (1 if start is Edge.LEFT else -1) * float(sixteenth(abs(x - at(line, y))).inches)
        name = f"box {number + 1}"
        if any(abs(x - one.x) < 7 and abs(y - one.y) < 7 for one in things):
            continue
        boxes.append(
            Box(
                kind,
                Coordinate(At.CENTER, sixteenth(abs(x - at(line, y))), start),
                Coordinate(At.CENTER, sixteenth(abs(y - at(ends, x))), y_start),
                name,
            )
        )
        circuits[name] = draw.choice(list(Circuit))
        things.append(TrueThing(name, x, y, half_w, half_h, round=kind is BoxKind.ROUND))
    by = draw.choice(list(MarksBy))
    board = replace(board, boxes=tuple(boxes), circuits=circuits, marks_by=by)
    return Case(board, room, things, case.told)


def standing(
    draw: Random, sides: tuple[Neighbor, Neighbor], *, lean: float = 0.0, bow: float = 0.0, near: bool = False
) -> Case:
    """A board under a level ceiling; the far side leans and bows, or the near one."""
    high, wide = on_tape(draw, 90, 97, 16), on_tape(draw, 20, 46.5)
    if near:
        room = TrueRoom(upright(0, high, lean, bow), upright(wide, high), level(0, 0, wide), level(high, 0, wide))
    else:
        room = TrueRoom(upright(0, high), upright(wide, high, lean, bow), level(0, 0, wide), level(high, 0, wide))
    board = Board("1", edges=edges(*sides, CEILING, FLOOR))
    return Case(measured(board, room, (TOP, MIDDLE, BOTTOM), (LEFT,)), room)


def measured(board: Board, room: TrueRoom, widths: tuple[Slot, ...], heights: tuple[Slot, ...]) -> Board:
    """The board with what the tape reads."""
    return replace(board, widths=read(room, WIDTH, *widths), heights=read(room, HEIGHT, *heights))


def eighths(draw: Random, most: int) -> float:
    """A lean of so many eighths at most, either way."""
    return draw.randint(-most, most) / 8


@everyday
def last_board_to_a_plumb_wall(draw: Random) -> Case:
    """The usual one."""
    return with_boxes(draw, standing(draw, (BOARD, WALL)))


@everyday
def last_board_to_a_wall_that_leans(draw: Random) -> Case:
    """Right wall out of plumb, maybe bowed."""
    return with_boxes(draw, standing(draw, (BOARD, WALL), lean=eighths(draw, 7), bow=eighths(draw, 2) / 2))


@everyday
def first_board_from_a_wall_that_leans(draw: Random) -> Case:
    """The same on the left."""
    return with_boxes(draw, standing(draw, (WALL, BOARD), lean=eighths(draw, 7), bow=eighths(draw, 2) / 2, near=True))


@everyday
def between_two_boards(draw: Random) -> Case:
    """A gap between hung boards."""
    return with_boxes(draw, standing(draw, (BOARD, BOARD)))


@everyday
def two_walls(draw: Random) -> Case:
    """A closet as wide as a board, square or out by no more than the clearances."""
    lean = draw.choice((0.0, 0.0, 0.125, 0.25, -0.125))
    return with_boxes(draw, standing(draw, (WALL, WALL), lean=lean), starts=(Edge.LEFT,))


@everyday
def two_walls_with_the_side_said(draw: Random) -> Case:
    """Out by more: "cut the right"."""
    case = standing(draw, (WALL, WALL), lean=draw.choice((-1, 1)) * draw.randint(3, 8) / 8)
    return with_boxes(draw, Case(replace(case.board, taper=Edge.RIGHT), case.room))


@everyday
def whole_sheet_from_a_wall(draw: Random) -> Case:
    """Nothing stands at the right yet."""
    return _whole_sheet(draw, WALL)


@everyday
def whole_sheet_after_a_board(draw: Random) -> Case:
    """The next one in a row."""
    return _whole_sheet(draw, BOARD)


def _whole_sheet(draw: Random, left: Neighbor) -> Case:
    """As wide as it comes, with nothing at its right yet."""
    high = on_tape(draw, 94, 97)
    room = TrueRoom(upright(0, high), None, level(0, 0, 48), level(high, 0, 48))
    board = Board("1", edges=edges(left, OPEN, CEILING, FLOOR), heights=read(room, HEIGHT, LEFT))
    return with_boxes(draw, Case(board, room), starts=(Edge.LEFT,))


@everyday
def eight_foot_wall(draw: Random) -> Case:
    """96 1/4 to 97 high: a sheet as it is, the base covers the rest."""
    high, wide = on_tape(draw, 96.25, 97), on_tape(draw, 30, 47)
    room = TrueRoom(upright(0, high), upright(wide, high), level(0, 0, wide), level(high, 0, wide))
    board = measured(Board("1", edges=edges(BOARD, WALL, CEILING, FLOOR)), room, (TOP, MIDDLE, BOTTOM), (LEFT,))
    return with_boxes(draw, Case(board, room), floor=draw.random() < 0.5)


@everyday
def floor_out_of_level(draw: Random) -> Case:
    """Three heights, the floor falls a little."""
    high, wide, drop = on_tape(draw, 92, 95), on_tape(draw, 30, 46), draw.randint(-4, 4) / 8
    room = TrueRoom(upright(0, high), upright(wide, high), level(0, 0, wide), level(high, 0, wide, drop))
    board = measured(Board("1", edges=edges(BOARD, WALL, CEILING, FLOOR)), room, (TOP, BOTTOM), (LEFT, MIDDLE, RIGHT))
    return with_boxes(draw, Case(board, room))


@everyday
def sloped_ceiling(draw: Random) -> Case:
    """A shed roof: higher at one side."""
    wide, low = on_tape(draw, 30, 46), on_tape(draw, 50, 70)
    rise = on_tape(draw, 6, 24)
    up = draw.random() < 0.5
    top = [(0.0, rise if up else 0.0), (wide, 0.0 if up else rise)]
    high = low + rise
    room = TrueRoom([(0.0, 0.0), (high, 0.0)], [(0.0, wide), (high, wide)], top, level(high, 0, wide))
    board = measured(Board("1", edges=edges(BOARD, WALL, CEILING, FLOOR)), room, (TOP, BOTTOM), (LEFT, RIGHT))
    return with_boxes(draw, Case(board, room), floor=draw.random() < 0.5)


@everyday
def ceiling_drop_said(draw: Random) -> Case:
    """Left height 95 1/2, ceiling drops 1 to the right."""
    wide, high, drop = on_tape(draw, 30, 46), on_tape(draw, 88, 95), draw.choice((0.25, 0.5, 0.75, 1.0, 1.5))
    room = TrueRoom(upright(0, high), upright(wide, high), level(0, 0, wide, drop), level(high, 0, wide))
    board = Board("1", edges=edges(BOARD, WALL, CEILING, FLOOR), plumbs=(Plumb(Edge.TOP, Length(Fraction(drop))),))
    widths = read(room, WIDTH, TOP, BOTTOM)
    return with_boxes(draw, Case(replace(board, widths=widths, heights=read(room, HEIGHT, LEFT)), room))


@everyday
def wall_lean_said_with_an_open_side(draw: Random) -> Case:
    """Left wall leans in 1/2, nothing at the right."""
    high, lean = on_tape(draw, 92, 96.5), draw.randint(2, 8) / 8
    room = TrueRoom([(0.0, lean), (high, 0.0)], None, level(0, 0, 48), level(high, 0, 48))
    plumb = Plumb(Edge.LEFT, Length(Fraction(lean)))
    board = Board("1", edges=edges(WALL, OPEN, CEILING, FLOOR), plumbs=(plumb,), heights=read(room, HEIGHT, LEFT))
    return with_boxes(draw, Case(board, room), starts=(Edge.LEFT,))


@everyday
def wall_lean_said_with_widths(draw: Random) -> Case:
    """The left wall's lean is said; the right wall follows from the widths."""
    return _between_leaning_walls(draw, said=(Edge.LEFT,))


@everyday
def both_leans_said(draw: Random) -> Case:
    """Both walls, and the widths agree."""
    return _between_leaning_walls(draw, said=(Edge.LEFT, Edge.RIGHT))


def _between_leaning_walls(draw: Random, said: tuple[Edge, ...]) -> Case:
    """Two walls out of plumb, two widths, and how far those that are `said` lean."""
    high, wide = on_tape(draw, 92, 95), on_tape(draw, 30, 44)
    one, other = draw.randint(-6, 6) / 8, draw.randint(-6, 6) / 8
    room = TrueRoom(
        [(0.0, one), (high, 0.0)],
        [(0.0, wide - other), (high, wide)],
        level(0, -2, wide + 2),
        level(high, -2, wide + 2),
    )
    plumbs = tuple(Plumb(edge, Length(Fraction({Edge.LEFT: one, Edge.RIGHT: other}[edge]))) for edge in said)
    board = measured(Board("1", edges=edges(WALL, WALL, CEILING, FLOOR), plumbs=plumbs), room, (TOP, BOTTOM), (LEFT,))
    return with_boxes(draw, Case(board, room))


@everyday
def upper_course(draw: Random) -> Case:
    """A lying sheet under the ceiling, its lower edge free."""
    wide = on_tape(draw, 60, 143)
    room = TrueRoom(upright(0, 48), upright(wide, 48), level(0, 0, wide), None)
    sides = draw.choice(((BOARD, WALL), (WALL, BOARD), (BOARD, BOARD)))
    board = Board("1", lies=Lies.LYING, course=Course.UPPER, edges=edges(*sides, CEILING, FLOOR))
    room_for_tape = replace(room, bottom=level(48, 0, wide))
    board = replace(board, widths=read(room_for_tape, WIDTH, TOP, BOTTOM))
    return with_boxes(draw, Case(board, room), tall=48)


@everyday
def lower_course(draw: Random) -> Case:
    """The course under it, over the floor, with boxes measured from the floor."""
    wide, high = on_tape(draw, 60, 143), on_tape(draw, 48.25, 49)
    room = TrueRoom(upright(0, high), upright(wide, high), level(0, 0, wide), level(high, 0, wide))
    sides = draw.choice(((BOARD, WALL), (WALL, BOARD), (BOARD, BOARD)))
    board = Board("1", lies=Lies.LYING, course=Course.LOWER, edges=edges(*sides, CEILING, FLOOR))
    board = measured(board, room, (TOP, BOTTOM), (LEFT,))
    return with_boxes(draw, Case(board, room), floor=True)


@everyday
def upper_course_with_switches_from_the_floor(draw: Random) -> Case:
    """The wall's height is called, and boxes up from the floor."""
    wide, high = on_tape(draw, 60, 143), on_tape(draw, 95, 98)
    room = TrueRoom(upright(0, high), upright(wide, high), level(0, 0, wide), level(high, 0, wide))
    board = Board("1", lies=Lies.LYING, course=Course.UPPER, edges=edges(BOARD, WALL, CEILING, FLOOR))
    short = replace(room, bottom=level(48, 0, wide))
    board = replace(board, widths=read(short, WIDTH, TOP, BOTTOM), heights=read(room, HEIGHT, LEFT))
    case = with_boxes(draw, Case(board, short), floor=False)
    boxes = tuple(
        replace(one, y=Coordinate(At.CENTER, sixteenth(high - float(one.y.value.inches)), Edge.BOTTOM))
        for one in case.board.boxes
    )
    return Case(replace(case.board, boxes=boxes), replace(room, bottom=None), case.things)


@everyday
def ceiling_board(draw: Random) -> Case:
    """Overhead, from a board to a wall, between two walls lengthwise."""
    wide, long = on_tape(draw, 20, 46), on_tape(draw, 70, 140)
    room = TrueRoom(upright(0, long), upright(wide, long, eighths(draw, 4)), level(0, 0, wide), level(long, 0, wide))
    board = Board("1", surface=Surface.CEILING, edges=edges(BOARD, WALL, WALL, BOARD))
    board = measured(board, room, (TOP, MIDDLE, BOTTOM), (LEFT, RIGHT))
    return with_boxes(draw, Case(board, room))


def _opening(
    draw: Random, case: Case, kind: OpeningKind, size: tuple[float, float], where: tuple[float, float]
) -> Case:
    """An opening by its near sides and size, from the left and the top."""
    room = case.room
    assert room.left is not None
    assert room.top is not None
    x, y = where
    half_w, half_h = size[0] / 2, size[1] / 2
    cx, cy = at(room.left, 0) + x, at(room.top, 0) + y
    round_ = kind is OpeningKind.PIPE
    one = Opening(
        kind,
        (Coordinate(At.CENTER, sixteenth(x, 32), Edge.LEFT),),
        (Coordinate(At.CENTER, sixteenth(y, 32), Edge.TOP),),
        None if round_ else sixteenth(size[0]),
        None if round_ else sixteenth(size[1]),
        sixteenth(size[0]) if round_ else None,
        f"{kind.value} 1",
    )
    thing = TrueThing(one.name, cx, cy, half_w, half_h, round=round_, is_box=False)
    return Case(replace(case.board, openings=(one,)), room, [*case.things, thing])


@everyday
def window(draw: Random) -> Case:
    """In the board or over its edge."""
    case = standing(draw, (BOARD, WALL))
    size = (on_tape(draw, 20, 36), on_tape(draw, 24, 48))
    return _opening(draw, case, OpeningKind.WINDOW, size, (on_tape(draw, 4, 40), on_tape(draw, 30, 50)))


@everyday
def pipe(draw: Random) -> Case:
    """A pipe or two."""
    case = standing(draw, (BOARD, WALL), lean=eighths(draw, 4))
    size = on_tape(draw, 0.75, 4)
    where = (on_tape(draw, 5, 15), on_tape(draw, 10, 80))
    return _opening(draw, case, OpeningKind.PIPE, (size, size), where)


@everyday
def notch(draw: Random) -> Case:
    """A beam in the upper left corner."""
    case = standing(draw, (BOARD, WALL))
    wide, high = on_tape(draw, 3, 10, 8), on_tape(draw, 3, 12, 8)
    return _opening(draw, case, OpeningKind.NOTCH, (wide, high), (wide / 2, high / 2))


@everyday
def duct(draw: Random) -> Case:
    """A register low in the wall."""
    case = standing(draw, (WALL, BOARD))
    size = (on_tape(draw, 6, 14, 8), on_tape(draw, 6, 10, 8))
    return _opening(draw, case, OpeningKind.DUCT, size, (on_tape(draw, 9, 12), on_tape(draw, 20, 80)))


@everyday
def thirty_seconds(draw: Random) -> Case:
    """Marks as fine as asked for."""
    case = standing(draw, (BOARD, WALL), lean=eighths(draw, 4))
    return with_boxes(draw, Case(replace(case.board, step=Length("1/32")), case.room))


@odd
def trim_and_masonry(draw: Random) -> Case:
    """Other things to stand off from."""
    right = draw.choice((Neighbor.TRIM, Neighbor.JAMB, Neighbor.MASONRY, Neighbor.OUTSIDE_CORNER))
    return with_boxes(draw, standing(draw, (BOARD, right), lean=eighths(draw, 4)))


@odd
def clearance_said(draw: Random) -> Case:
    """The hanger's own figure."""
    case = standing(draw, (WALL, BOARD), lean=eighths(draw, 4), near=True)
    setting = EdgeSetting(WALL, Length(Fraction(draw.randint(0, 4), 16)))
    return with_boxes(draw, Case(replace(case.board, edges={**case.board.edges, Edge.LEFT: setting}), case.room))


@odd
def gable(draw: Random) -> Case:
    """A peak in the middle."""
    wide, low, rise = on_tape(draw, 30, 46, 8), on_tape(draw, 50, 65), on_tape(draw, 4, 14)
    high = low + rise
    top = [(0.0, rise), (wide / 2, 0.0), (wide, rise)]
    room = TrueRoom([(0.0, 0.0), (high, 0.0)], [(0.0, wide), (high, wide)], top, level(high, 0, wide))
    board = measured(Board("1", edges=edges(BOARD, WALL, CEILING, FLOOR)), room, (TOP, BOTTOM), (LEFT, MIDDLE, RIGHT))
    return Case(board, room)


@odd
def under_the_stairs(draw: Random) -> Case:
    """A slope as steep as a flight."""
    wide, low = on_tape(draw, 30, 46), on_tape(draw, 10, 30)
    rise = round(wide * draw.uniform(0.5, 0.9) * 16) / 16
    high = low + rise
    room = TrueRoom(
        [(0.0, 0.0), (high, 0.0)], [(0.0, wide), (high, wide)], [(0.0, rise), (wide, 0.0)], level(high, 0, wide)
    )
    board = measured(Board("1", edges=edges(WALL, WALL, CEILING, FLOOR)), room, (TOP, BOTTOM), (LEFT, RIGHT))
    return with_boxes(draw, Case(board, room), floor=draw.random() < 0.5)


@odd
def bowed_like_an_arc(draw: Random) -> Case:
    """Between the readings the wall is rounder than the tape knows."""
    high, wide, bow = on_tape(draw, 92, 95), on_tape(draw, 30, 44), draw.randint(-12, 12) / 16
    arc = [(high * i / 16, wide + bow * (1 - ((i - 8) / 8) ** 2)) for i in range(17)]
    room = TrueRoom(upright(0, high), arc, level(0, 0, wide), level(high, 0, wide))
    board = measured(Board("1", edges=edges(BOARD, WALL, CEILING, FLOOR)), room, (TOP, MIDDLE, BOTTOM), (LEFT,))
    return with_boxes(draw, Case(board, room, told=False))


@odd
def free_end_on_a_stud(draw: Random) -> Case:
    """Studs were called; the end of a lying sheet goes on one of them."""
    first = on_tape(draw, 8, 16)
    studs = tuple(sixteenth(first + 16 * i) for i in range(9))
    room = TrueRoom(upright(0, 48), None, level(0, 0, 96), None)
    board = Board(
        "1",
        lies=Lies.LYING,
        course=Course.UPPER,
        edges=edges(BOARD, OPEN, CEILING, FLOOR),
        framing=Framing(studs=studs),
        sheet=Sheet(Length(48), Length(draw.choice((96, 120, 144)))),
    )
    return with_boxes(draw, Case(board, room), starts=(Edge.LEFT,), tall=48)


@odd
def ceiling_that_slopes_both_ends_cut(draw: Random) -> Case:
    """The ceiling's drop and the floor's rise are both said."""
    wide, high = on_tape(draw, 30, 46), on_tape(draw, 85, 93)
    drop, rise = draw.randint(3, 12) / 8, draw.randint(5, 12) / 8
    room = TrueRoom(upright(0, high), upright(wide, high), level(0, 0, wide, drop), level(high, 0, wide, -rise))
    plumbs = (Plumb(Edge.TOP, Length(Fraction(drop))), Plumb(Edge.BOTTOM, Length(Fraction(rise))))
    board = measured(
        Board("1", edges=edges(BOARD, WALL, CEILING, FLOOR), plumbs=plumbs), room, (TOP, BOTTOM), (LEFT, RIGHT)
    )
    return with_boxes(draw, Case(board, room))


@everyday
def between_two_boards_that_taper(draw: Random) -> Case:
    """The next board hangs crooked: the right edge is cut."""
    return with_boxes(draw, standing(draw, (BOARD, BOARD), lean=eighths(draw, 5)))


@everyday
def one_width_between_boards(draw: Random) -> Case:
    """A lying sheet to a joint wants one width."""
    wide, high = on_tape(draw, 60, 143), on_tape(draw, 48.25, 49)
    room = TrueRoom(upright(0, high), upright(wide, high), level(0, 0, wide), level(high, 0, wide))
    board = Board("1", lies=Lies.LYING, course=Course.LOWER, edges=edges(BOARD, BOARD, CEILING, FLOOR))
    return with_boxes(draw, Case(measured(board, room, (TOP,), (LEFT,)), room))


@everyday
def box_by_its_four_sides(draw: Random) -> Case:
    """Left and right, upper and lower, whatever the kind."""
    case = standing(draw, (BOARD, WALL), lean=eighths(draw, 4))
    wide, high = on_tape(draw, 2, 5), on_tape(draw, 3, 5)
    x, y = on_tape(draw, 5, 12), on_tape(draw, 10, 70)
    near = (Coordinate(At.NEAR, sixteenth(x), Edge.LEFT), Coordinate(At.NEAR, sixteenth(y), Edge.TOP))
    far = (Coordinate(At.FAR, sixteenth(x + wide), Edge.LEFT), Coordinate(At.FAR, sixteenth(y + high), Edge.TOP))
    one = Box(BoxKind.CALLED, *near, "box 1", far=far)
    thing = TrueThing("box 1", x + wide / 2, y + high / 2, wide / 2, high / 2)
    return Case(replace(case.board, boxes=(one,)), case.room, [thing])


@everyday
def in_millimeters(draw: Random) -> Case:
    """A job kept in millimeters."""
    mm = 1 / 25.4
    wide, high, lean = draw.randint(500, 1180) * mm, draw.randint(2300, 2420) * mm, draw.randint(-15, 15) * mm
    room = TrueRoom(upright(0, high), [(0.0, wide + lean), (high, wide)], level(0, 0, wide), level(high, 0, wide))

    def tape(value: float) -> Length:
        return Length.of(round(value / mm), Unit.MM)

    board = Board(
        "1",
        unit=Unit.MM,
        edges=edges(BOARD, WALL, CEILING, FLOOR),
        widths=(Reading(tape(wide + lean), WIDTH, TOP), Reading(tape(wide), WIDTH, BOTTOM)),
        heights=(Reading(tape(high), HEIGHT, LEFT),),
    )
    x, y = draw.randint(100, 350) * mm, draw.randint(150, 2000) * mm
    one = Box(
        BoxKind.SINGLE, Coordinate(At.CENTER, tape(x), Edge.LEFT), Coordinate(At.CENTER, tape(y), Edge.TOP), "box 1"
    )
    thing = TrueThing("box 1", x, y, 2.125 / 2, 3.625 / 2)
    return Case(replace(board, boxes=(one,)), room, [thing])


@everyday
def widths_at_heights_that_were_said(draw: Random) -> Case:
    """Width at 6, at 48, at 90."""
    case = standing(draw, (BOARD, WALL), lean=eighths(draw, 6))
    right = case.room.right
    assert right is not None
    places = (6.0, 44.0, 86.0)
    taken = [(y, float(sixteenth(at(right, y)).inches)) for y in places]
    board = replace(case.board, widths=tuple(Reading(sixteenth(w), WIDTH, Length(Fraction(y))) for y, w in taken))
    return with_boxes(draw, Case(board, replace(case.room, right=taken)))


@everyday
def floor_far_out_of_level(draw: Random) -> Case:
    """The lower course over a floor that falls more than the base covers: cut along it."""
    wide, high, drop = on_tape(draw, 60, 140), on_tape(draw, 44, 46), draw.choice((-1, 1)) * draw.randint(6, 12) / 8
    top = max(0.0, -drop)
    room = TrueRoom(upright(0, 60), upright(wide, 60), level(0, 0, wide), level(high + top, 0, wide, drop))
    board = Board("1", lies=Lies.LYING, course=Course.LOWER, edges=edges(BOARD, WALL, CEILING, FLOOR))
    short = measured(board, room, (), (LEFT, MIDDLE, RIGHT))
    return with_boxes(
        draw, Case(replace(short, widths=read(room, WIDTH, TOP, BOTTOM)), room), floor=draw.random() < 0.5
    )


@everyday
def ceiling_between_four_walls(draw: Random) -> Case:
    """A hall's ceiling: side and end are both said."""
    wide, long = on_tape(draw, 30, 46), on_tape(draw, 80, 140)
    lean, drop = draw.choice((-1, 1)) * draw.randint(3, 6) / 8, draw.choice((-1, 1)) * draw.randint(3, 6) / 8
    room = TrueRoom(
        [(0.0, 0.0), (long, 0.0)], [(0.0, wide + lean), (long, wide)], level(0, 0, wide), level(long, 0, wide, drop)
    )
    board = Board("1", surface=Surface.CEILING, edges=edges(WALL, WALL, WALL, WALL), taper=Edge.RIGHT, end=Edge.BOTTOM)
    return with_boxes(draw, Case(measured(board, room, (TOP, BOTTOM), (LEFT, RIGHT)), room))


@everyday
def door_at_the_edge(draw: Random) -> Case:
    """Hung over the door and cut in place."""
    case = standing(draw, (BOARD, WALL))
    wide, high = on_tape(draw, 12, 30), on_tape(draw, 40, 80)
    assert case.room.bottom is not None
    y = case.room.bottom[0][1] - high / 2
    return _opening(draw, case, OpeningKind.DOOR, (wide, high), (wide / 2, round(y * 32) / 32))


@everyday
def window_in_the_corner(draw: Random) -> Case:
    """An L, sawn before where its legs carry."""
    case = standing(draw, (BOARD, WALL))
    wide, high = on_tape(draw, 6, 30, 8), on_tape(draw, 10, 60, 8)
    return _opening(draw, case, OpeningKind.WINDOW, (wide, high), (wide / 2, high / 2))


@odd
def next_layer_ends_elsewhere(draw: Random) -> Case:
    """The second layer's free end isn't over the first one's."""
    case = free_end_on_a_stud(draw)
    return Case(replace(case.board, layers=2, layer=2, boxes=()), case.room, [])


@odd
def three_things_from_the_right(draw: Random) -> Case:
    """Boxes called from the wall that is cut to, which bows between readings as the tape says."""
    case = standing(draw, (WALL, BOARD), lean=eighths(draw, 4), bow=draw.randint(-6, 6) / 16, near=True)
    return with_boxes(draw, case, starts=(Edge.LEFT,))
