"""What is called of a board, a room or a layout: readings, boxes, openings, context, and the words they are made of."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from enum import StrEnum
from fractions import Fraction

from fieldvoice.records.length import ZERO, Length


class Edge(StrEnum):
    """A side of the board, seen from the room, facing the board."""

    LEFT = "left"
    RIGHT = "right"
    TOP = "top"
    BOTTOM = "bottom"


OPPOSITE = {Edge.LEFT: Edge.RIGHT, Edge.RIGHT: Edge.LEFT, Edge.TOP: Edge.BOTTOM, Edge.BOTTOM: Edge.TOP}
"""The edge across the board from each."""


class Dimension(StrEnum):
    """Width runs along the wall and height up it, whichever way the sheet lies."""

    WIDTH = "width"
    HEIGHT = "height"


class Slot(StrEnum):
    """A named place to measure at: widths at top, middle, bottom; heights at left, middle, right."""

    TOP = "top"
    MIDDLE = "middle"
    BOTTOM = "bottom"
    LEFT = "left"
    RIGHT = "right"


class Qualifier(StrEnum):
    """A reading said to be a hair over or under: 1/32 in, already in the value (common practice, no source)."""

    STRONG = "strong"
    LIGHT = "light"


Place = Slot | Length
"""Where a reading was taken: a named slot, or a called distance (a width's height from the top, a height's distance
from the left)."""


@dataclass(frozen=True, slots=True)
class Reading:
    """One tape reading: a width at top, middle, bottom or a distance from the top; a height at left, middle, right or a
    distance from the left. `dimension` and `at` are None where the words leave them to the dialogue; on a board both
    are settled. `shared`: its figure was said once for several places, which doesn't make it another reading;
    `of_it`: it was called as "it" or "that", and may be that of what was read back last.
    """

    value: Length
    dimension: Dimension | None = None
    at: Place | None = None
    qualifier: Qualifier | None = None
    shared: bool = field(default=False, compare=False)
    of_it: bool = field(default=False, compare=False)

    @property
    def place(self) -> Place:
        """Where it was taken, once that is settled. Raises `ValueError` before."""
        if self.at is None:
            raise ValueError("a reading without its place is on no board")
        return self.at


@dataclass(frozen=True, slots=True)
class PlacedReading:
    """A reading in its place: `at` as said, `t` and `value` in inches: along the edges, and from one to the other."""

    at: Place
    t: Fraction
    value: Fraction


@dataclass(frozen=True, slots=True)
class Diagonal:
    """A corner-to-corner reading; `rising` goes from bottom left to top right, None where it wasn't said."""

    value: Length
    rising: bool | None = None


@dataclass(frozen=True, slots=True)
class Plumb:
    """How far the neighbor at `edge` is out of plumb (or of level) over the board's length.

    `value` is positive where the opening narrows toward the top (for left and right) or toward the right (for top and
    bottom), negative where it widens.
    """

    edge: Edge
    value: Length


class Point(StrEnum):
    """Which point of a box a coordinate names: its center, or its side nearer to or farther from the start."""

    CENTER = "center"
    NEAR = "near"
    FAR = "far"


@dataclass(frozen=True, slots=True)
class Coordinate:
    """A distance of a point of a box from what stands at an edge of the board (a wall, the last board, the ceiling):
    `off` where that was named. It is from there whether it was or not.
    """

    point: Point
    value: Length
    start: Edge
    off: Neighbor | None = field(default=None, compare=False)


class BoxKind(StrEnum):
    """Electrical boxes by their shape; sizes are in the cutting room's table."""

    SINGLE = "single gang"
    DOUBLE = "double gang"
    TRIPLE = "three gang"
    FOUR = "four gang"
    ROUND = "round"
    OCTAGON = "octagon"
    SQUARE = "square"
    PANCAKE = "pancake"
    HANDY = "handy box"
    OLD_WORK = "old work box"
    MUD_RING = "mud ring"
    LOW_VOLTAGE = "low voltage ring"
    CALLED = "box"
    """Of no kind that was said, but with all four sides called."""


class OpeningKind(StrEnum):
    """Openings other than electrical boxes."""

    PIPE = "pipe"
    DUCT = "duct"
    WINDOW = "window"
    DOOR = "door"
    NOTCH = "notch"
    LIGHT = "light"
    """A light in a ceiling, round: a circuit is behind it as behind a box."""
    HOLE = "hole"
    OPENING = "opening"
    """A framed opening of any other use, such as an access panel."""


FRAMED = frozenset({OpeningKind.WINDOW, OpeningKind.DOOR, OpeningKind.OPENING})
"""Openings that are called from their sides where no point is said."""


class Circuit(StrEnum):
    """What people said of a box's circuit. Only `DEAD` (dead and tested) lets a tool near the box."""

    UNKNOWN = "unknown"
    LIVE = "live"
    DEAD = "dead"


def box_name(name: str) -> str:
    """The whole name of a box: "box 2" for "2", as a job of before may have it. Records of boxes hold no other."""
    return f"box {name}" if name.isdecimal() else name


def hold_whole_names(record: object, *fields: str) -> None:
    """Makes the names of boxes whole in a record that is being made."""
    for each in fields:
        name = getattr(record, each)
        if name:
            object.__setattr__(record, each, box_name(name))


@dataclass(frozen=True, slots=True)
class Box:
    """An electrical box placed by two coordinates; `name` is empty until the dialogue numbers it. Where all four sides
    were called, `x` and `y` are the near ones and `far` holds the far ones. What was said of its circuit is held apart.
    """

    kind: BoxKind
    x: Coordinate
    y: Coordinate
    name: str = ""
    plugged_in: bool = False
    far: tuple[Coordinate, Coordinate] | None = None

    def __post_init__(self) -> None:
        hold_whole_names(self, "name")

    @property
    def places(self) -> tuple[Coordinate, ...]:
        """Where it is: each distance with the edge that it is from."""
        return (self.x, self.y, *(self.far or ()))


@dataclass(frozen=True, slots=True)
class Danger:
    """Somebody's word that a circuit isn't known to be dead: `live` where it was said to be live, hot or the like.
    `box` is None where all boxes were named, or none. It counts however unclear the rest of the utterance is.
    """

    box: str | None = None
    live: bool = True

    def __post_init__(self) -> None:
        hold_whole_names(self, "box")


@dataclass(frozen=True, slots=True)
class DeadAndTested:
    """Somebody's word that a box's circuit is dead, `tested` where that was said too; `box` is None for every box on
    the board, `count` the number of boxes where one was said with it ("both").
    """

    box: str | None = None
    tested: bool = True
    count: int | None = None

    def __post_init__(self) -> None:
        hold_whole_names(self, "box")


@dataclass(frozen=True, slots=True)
class Opening:
    """An opening placed by one coordinate each way with its size, or by two each way (both sides called).

    `xs` and `ys` hold one or two coordinates. A pipe has a `diameter`; a rectangle has `width` and `height` unless both
    sides were called. `name` is empty until the dialogue numbers it.
    """

    kind: OpeningKind
    xs: tuple[Coordinate, ...]
    ys: tuple[Coordinate, ...]
    width: Length | None = None
    height: Length | None = None
    diameter: Length | None = None
    name: str = ""

    def __post_init__(self) -> None:
        hold_whole_names(self, "name")

    @property
    def places(self) -> tuple[Coordinate, ...]:
        """Where it is: each distance with the edge that it is from."""
        return (*self.xs, *self.ys)


@dataclass(frozen=True, slots=True)
class Distance:
    """A distance as far as it was said: None where its point or its start is still to be asked, and where what it is
    `off` wasn't named.
    """

    value: Length
    point: Point | None = None
    start: Edge | None = None
    off: Neighbor | None = field(default=None, compare=False)

    @property
    def whole(self) -> Coordinate | None:
        """As a coordinate, once nothing is missing."""
        if self.point is None or self.start is None:
            return None
        return Coordinate(self.point, self.value, self.start, self.off)


ON_THE_FLOOR = Distance(ZERO, Point.NEAR, Edge.BOTTOM)
"""Where a door stands."""


FIVE_IN_EIGHT_FEET = Length(96) / 5
"""Center to center, five spaces in eight feet: called 19.2, which no fraction of a tape is."""


class Lack(StrEnum):
    """What an incomplete call still needs, in the order in which it is asked for."""

    KIND = "kind"
    DISTANCE = "distance"
    START = "start"
    POINT = "point"
    SIZE = "size"


@dataclass(frozen=True, slots=True)
class Incomplete:
    """A box or an opening of which a part wasn't said. It is kept, and that part alone is asked for.

    `kind` is None where not even that was said of a box. `distances` are in the order spoken, at most one across and
    one down; `point` and `start` were said of the next one, before its figure. What stands in a `Box`, an `Opening` or
    a `Coordinate` is always whole, so that none of this can reach a plan.
    """

    kind: BoxKind | OpeningKind | None
    distances: tuple[Distance, ...] = ()
    width: Length | None = None
    height: Length | None = None
    diameter: Length | None = None
    name: str = ""
    plugged_in: bool = False
    point: Point | None = None
    start: Edge | None = None

    def __post_init__(self) -> None:
        hold_whole_names(self, "name")

    @property
    def places(self) -> tuple[Distance, ...]:
        """Where it is, as far as that was called."""
        return self.distances

    @property
    def is_only_named(self) -> bool:
        """Whether nothing was said of it but what it is, or its name."""
        return self == Incomplete(self.kind, name=self.name)

    @property
    def lacks(self) -> tuple[Lack, ...]:
        """Everything that is still to be said."""
        sized = self.diameter is not None or (self.width is not None and self.height is not None)
        wanted = {
            Lack.KIND: self.kind is None,
            Lack.DISTANCE: len(self.distances) < 2,
            Lack.START: any(each.start is None for each in self.distances),
            Lack.POINT: any(each.point is None for each in self.distances),
            Lack.SIZE: isinstance(self.kind, OpeningKind) and not sized,
        }
        return tuple(lack for lack, missing in wanted.items() if missing)

    @property
    def whole(self) -> Box | Opening | None:
        """The call, once nothing is missing and one distance runs across and the other down."""
        across = [each.whole for each in self.distances if each.start in {Edge.LEFT, Edge.RIGHT}]
        down = [each.whole for each in self.distances if each.start in {Edge.TOP, Edge.BOTTOM}]
        if self.lacks or len(across) != 1 or across[0] is None or down[0] is None:
            return None
        if isinstance(self.kind, BoxKind):
            return Box(self.kind, across[0], down[0], self.name, self.plugged_in)
        assert self.kind is not None
        return Opening(self.kind, (across[0],), (down[0],), self.width, self.height, self.diameter, self.name)


WholeThing = Box | Opening
"""What is cut out of a board, called whole."""
Thing = Box | Opening | Incomplete
"""The same, or with a part still missing."""


class Neighbor(StrEnum):
    """What stands at an edge of the board."""

    WALL = "wall"
    CEILING = "ceiling"
    FLOOR = "floor"
    BOARD = "board"
    TRIM = "trim"
    JAMB = "jamb"
    MASONRY = "masonry"
    OUTSIDE_CORNER = "outside corner"
    OPEN = "open"


class Topic(StrEnum):
    """What a piece of context is about; the value that goes with each stands beside it."""

    ROOM = "room"  # str
    SURFACE = "surface"  # "wall" or "ceiling"
    BOARD = "board"  # str, the board's name
    LIES = "lies"  # "standing" or "lying"
    SHEET = "sheet"  # (width, length)
    THICKNESS = "thickness"  # Length
    KIND = "kind"  # str: "regular", "lightweight", "type x", "moisture resistant", "sag resistant"
    LAYERS = "layers"  # int
    FRAMING = "framing"  # "wood" or "steel"
    SPACING = "spacing"  # Length, center to center
    STUDS = "studs"  # tuple of Length, centers from the left
    NEIGHBOR = "neighbor"  # Neighbor, with an edge
    CLEARANCE = "clearance"  # Length, with an edge, or None for the edge last spoken of
    TAPER = "taper"  # the edge to cut (value None), with an edge
    FLOOR_TO_CEILING = "floor to ceiling"  # Length: what a reading from the floor is converted with
    UNIT = "unit"  # Unit
    COURSE = "course"  # "upper", "middle", "lower" or "only": the row of a lying board
    ABOVE_FLOOR = "above floor"  # Length: the lower edge of the hole above the floor
    BASE = "base"  # Length: the widest gap at the floor that the base covers
    LAYER = "layer"  # int, from the framing
    MARKS_BY = "marks by"  # how boxes are marked: "center and sides", "center" or "sides"
    ORDER = "order"  # "first", "last" or a number as text: which board of its row this is
    SHEET_WIDTH = "sheet width"  # Length
    SHEET_LENGTH = "sheet length"  # Length
    FULL = "full"  # "full": a full sheet's width, not to be measured
    FACTORY_EDGE = "factory edge"  # an edge that keeps its tapered factory edge (value None)
    BACK_BEVEL = "back bevel"  # an edge whose back is beveled (value None)
    IN_PLACE = "in place"  # "in place": hung over the opening and cut there
    BOXES = "boxes"  # "none", or "no more"
    RIP = "rip"  # Length: cut along the sheet's length to this width
    BOX_POINT = "box point"  # "center", "near" or "far": which point of a box is meant where none is said
    OVER = "over"  # "left" or "right": which side "over" is from
    MIDDLE_WIDTH = "middle width"  # "yes" or "no": whether the crew measures one
    CUT_FROM = "cut from"  # the name of an offcut, or "new sheet"
    MEASURING = "order of measuring"  # the places in that order: "top bottom left right"


HABITS = frozenset({Topic.BOX_POINT, Topic.OVER, Topic.MIDDLE_WIDTH, Topic.MEASURING})
"""What a crew always does in the same way: kept for the whole job."""


class Course(StrEnum):
    """Which row of lying boards, where a wall has more than one: the upper one hangs under the ceiling, the lower one
    stands over the floor. `ONLY` is worked out, and never called.
    """

    UPPER = "upper"
    MIDDLE = "middle"
    LOWER = "lower"
    ONLY = "only"


@dataclass(frozen=True, slots=True)
class Context:
    """One fact about the room, the board, its framing or an edge's neighbor."""

    topic: Topic
    value: str | int | Length | tuple[Length, ...] | None
    edge: Edge | None = None


@dataclass(frozen=True, slots=True)
class TopPoint:
    """A place where the top of a wall changes its slope, as at a peak: how far from its left end, and how high."""

    across: Length
    height: Length


@dataclass(frozen=True, slots=True)
class SurfaceCall:
    """A wall or a ceiling by its two sides: a wall's width and height, a ceiling's two sides in the order called. Where
    a wall's top slopes `height` is that of its left side and `right_height` that of its right; `breaks` are the places
    in between where the slope changes.
    """

    surface: str
    name: str
    width: Length
    height: Length
    right_height: Length | None = None
    breaks: tuple[TopPoint, ...] = ()

    @property
    def slopes(self) -> bool:
        """Whether its top does, or may, as it was called."""
        return self.right_height is not None or bool(self.breaks)

    def peaked(self, high: Length, place: tuple[Length, Edge] | None) -> SurfaceCall | None:
        """The wall with a peak so high, in the middle or so far from one of its ends; None where that is no peak of
        it.
        """
        far, end = place or (self.width / 2, Edge.LEFT)
        across = self.width - far if end is Edge.RIGHT else far
        if not ZERO < across < self.width or high <= max(self.height, self.right_height or ZERO):
            return None
        return replace(self, breaks=(TopPoint(across, high),))

    @property
    def highest(self) -> Length:
        """How high it is where it is highest."""
        return max(self.height, self.right_height or self.height, *(point.height for point in self.breaks))


class Wish(StrEnum):
    """What is wanted of a layout."""

    START = "start"  # with an edge
    STANDING = "standing"
    LYING = "lying"
    LENGTH = "length"  # with a length: of these sheets only


@dataclass(frozen=True, slots=True)
class LayoutWish:
    """One wish for the layout of a wall or a ceiling."""

    wish: Wish
    edge: Edge | None = None
    length: Length | None = None
