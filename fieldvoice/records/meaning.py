"""What an utterance means: the values that language hands to the dialogue."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from fieldvoice.records.length import Length


class Edge(StrEnum):
    """A side of the board, seen from the room, facing the board."""

    LEFT = "left"
    RIGHT = "right"
    TOP = "top"
    BOTTOM = "bottom"


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
    """One tape reading. `dimension` and `at` are None where the words leave them to the dialogue."""

    value: Length
    dimension: Dimension | None = None
    at: Place | None = None
    qualifier: Qualifier | None = None


@dataclass(frozen=True, slots=True)
class Diagonal:
    """A corner-to-corner reading; `rising` goes from bottom left to top right, None where it wasn't said."""

    value: Length
    rising: bool | None = None


@dataclass(frozen=True, slots=True)
class Plumb:
    """How far the neighbour at `edge` is out of plumb (or of level) over the board's length.

    `value` is positive where the opening narrows towards the top (for left and right) or towards the right (for top and
    bottom), negative where it widens.
    """

    edge: Edge
    value: Length


class Point(StrEnum):
    """Which point of a box a coordinate names: its centre, or its side nearer to or farther from the start."""

    CENTER = "center"
    NEAR = "near"
    FAR = "far"


@dataclass(frozen=True, slots=True)
class Coordinate:
    """A distance of a point of a box from what stands at an edge of the board (a wall, the last board, the ceiling)."""

    point: Point
    value: Length
    start: Edge


class BoxKind(StrEnum):
    """Electrical boxes by their shape; sizes are in the cutting room's table."""

    SINGLE = "single gang"
    DOUBLE = "double gang"
    TRIPLE = "three gang"
    FOUR = "four gang"
    ROUND = "round"
    OCTAGON = "octagon"
    SQUARE = "square"
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


class Circuit(StrEnum):
    """What people said of a box's circuit. Only `DEAD` (dead and tested) lets a tool near the box."""

    UNKNOWN = "unknown"
    LIVE = "live"
    DEAD = "dead"


@dataclass(frozen=True, slots=True)
class BoxMark:
    """A box placed by two coordinates; `name` is None where the dialogue numbers it. Where all four sides were called,
    `x` and `y` are the near ones and `far` holds the far ones.
    """

    kind: BoxKind
    x: Coordinate
    y: Coordinate
    name: str | None = None
    plugged_in: bool = False
    far: tuple[Coordinate, Coordinate] | None = None


@dataclass(frozen=True, slots=True)
class BoxState:
    """What was said of a box's circuit, or of every box on the board where `name` is None."""

    state: Circuit
    name: str | None = None


@dataclass(frozen=True, slots=True)
class OpeningMark:
    """An opening placed by one coordinate each way with its size, or by two each way (both sides called).

    `xs` and `ys` hold one or two coordinates. A pipe has a `diameter`; a rectangle has `width` and `height` unless both
    sides were called.
    """

    kind: OpeningKind
    xs: tuple[Coordinate, ...]
    ys: tuple[Coordinate, ...]
    width: Length | None = None
    height: Length | None = None
    diameter: Length | None = None
    name: str | None = None


class Neighbour(StrEnum):
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
    SPACING = "spacing"  # Length, centre to centre
    STUDS = "studs"  # tuple of Length, centres from the left
    NEIGHBOUR = "neighbour"  # Neighbour, with an edge
    CLEARANCE = "clearance"  # Length, with an edge, or None for the edge last spoken of
    TAPER = "taper"  # the edge to cut (value None), with an edge
    FLOOR_TO_CEILING = "floor to ceiling"  # Length: what a reading from the floor is converted with
    UNIT = "unit"  # Unit


@dataclass(frozen=True, slots=True)
class Context:
    """One fact about the room, the board, its framing or an edge's neighbour."""

    topic: Topic
    value: str | int | Length | tuple[Length, ...] | None
    edge: Edge | None = None


class Action(StrEnum):
    """What a command asks for."""

    UNDO = "undo"
    SAY_AGAIN = "say again"
    MISSING = "what's missing"
    READ_BACK = "read it all back"
    DONE = "done"
    NEXT_BOARD = "next board"
    GO_TO_BOARD = "go to board"  # with the board's name as target
    HOLD = "hold"
    RESUME = "resume"
    HELP = "help"
    TICK = "tick"  # with the step's number as target
    SCRATCH = "scratch"  # with what to take out ("box 2", "top width") as target


@dataclass(frozen=True, slots=True)
class Command:
    """An order to the assistant."""

    action: Action
    target: str | None = None


@dataclass(frozen=True, slots=True)
class Answer:
    """Yes or no to what was read back."""

    yes: bool


@dataclass(frozen=True, slots=True)
class Correction:
    """A new value for something said earlier ("change top to forty three")."""

    new: Reading | BoxMark | OpeningMark


Meaning = Reading | Diagonal | Plumb | BoxMark | BoxState | OpeningMark | Context | Command | Answer | Correction


class Status(StrEnum):
    """How far an utterance was understood."""

    UNDERSTOOD = "understood"
    UNCLEAR = "unclear"
    REFUSED = "refused"


@dataclass(frozen=True, slots=True)
class Utterance:
    """An utterance after language has looked at it.

    understood: `meanings` holds its one meaning, in the order spoken. unclear: `alternatives` holds two or more
    meanings and `ask` the question that settles it (`ask` alone where what was said is cut short and no value is safe).
    refused: `why` says what is wrong and what to do.
    """

    status: Status
    heard: str
    meanings: tuple[Meaning, ...] = ()
    alternatives: tuple[tuple[Meaning, ...], ...] = ()
    ask: str | None = None
    why: str | None = None
