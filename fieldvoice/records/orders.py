"""What is said about calls rather than called: orders, answers, corrections, habits, and what is the same again."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from fieldvoice.records.board import EdgesTold
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import (
    Box,
    BoxKind,
    Course,
    Dimension,
    Distance,
    Edge,
    Incomplete,
    Neighbor,
    Opening,
    Place,
    Point,
    Reading,
    Slot,
    hold_whole_names,
)

NEXT_WALL = "next wall"
NEXT_ROOM = "next room"
THE_LAYOUT = "layout"
"""In a surface's place: the one at hand, and how it is laid out."""
PIECE = "piece"
"""In a board's name: a piece of the layout, "piece 2" or "north wall piece 2", whether it is a board yet or not."""


class Action(StrEnum):
    """What a command asks for."""

    UNDO = "undo"
    SAY_AGAIN = "say again"
    MISSING = "what's missing"
    FASTENING = "how many screws"
    WEIGHT = "how heavy"
    PIECES_LEFT = "how many boards left"
    SHEETS = "how many sheets"
    RACK = "what's on the rack"
    READ_BACK = "read it all back"
    DONE = "done"
    NEXT_BOARD = "next board"
    GO_TO_BOARD = "go to board"  # with the board's name as target
    GO_TO_SURFACE = "go to surface"  # with the wall's or the ceiling's name as target, or the next wall or room
    HOLD = "hold"
    RESUME = "resume"
    HELP = "help"
    TICK = "tick"  # with the step's number as target
    DISMISS = "dismiss"  # what was not taken
    TAKE_OUT = "take out"  # with the wall's or the ceiling's name as target, or an offcut's: "offcut K1"
    OFFCUT = "got an offcut"  # with an `OffcutTold` as target, as it is written
    SCRATCH = "scratch"  # with what to take out ("box 2", "top width") as target
    LOUDER = "louder"
    QUIETER = "quieter"
    SLOWER = "slower"
    FASTER = "faster"
    NEXT = "next"
    BACK = "back"
    ACKNOWLEDGE = "acknowledge"
    QUIT = "quit"
    PROMPT = "go one by one"  # the places are asked for one after another
    UNPROMPT = "stop one by one"


SHOWS = frozenset(
    {
        Action.SAY_AGAIN,
        Action.MISSING,
        Action.FASTENING,
        Action.WEIGHT,
        Action.PIECES_LEFT,
        Action.HELP,
        Action.LOUDER,
        Action.QUIETER,
        Action.SLOWER,
        Action.FASTER,
    }
)
"""Orders that show or say something, and nothing that a no would be about: it is about what was ordered before."""


HEARD = "heard"
"""What an acknowledgment is that says no more than that something was heard: "got it"."""

SAYS_DONE = frozenset({Action.ACKNOWLEDGE, Action.NEXT, Action.TICK})
"""What says that a caution was read, or a step is done."""


@dataclass(frozen=True, slots=True)
class Command:
    """An order to the assistant."""

    action: Action
    target: str | None = None


@dataclass(frozen=True, slots=True)
class OffcutTold:
    """An offcut from elsewhere by its two sides, in the order said, and what was said of its edges. As an order's
    target it is written in inches: "31 1/2 x 60, both".
    """

    one: Length
    other: Length
    edges: EdgesTold = EdgesTold.UNKNOWN

    def __str__(self) -> str:
        """As it is written."""
        return f"{self.one} x {self.other}, {self.edges.value}"

    @classmethod
    def of(cls, target: str) -> OffcutTold:
        """What is written so."""
        sides, _, edges = target.partition(", ")
        one, _, other = sides.partition(" x ")
        return cls(Length(one), Length(other), EdgesTold(edges))


OFFCUT = "offcut"
"""Before the name of one, in the target of an order that takes something out."""


@dataclass(frozen=True, slots=True)
class Answer:
    """Yes or no to what was read back; `agreed` where it was no yes but "that's right" or the like. `plain` is set of a
    full "yes" alone: what else means it means the same, and is heard more easily in noise. `was` is what was said not
    to be ("not 47 1/2, 47 3/8"). `of_doing` is set of "I did" and the like: it answers whether somebody did something,
    and no other question.
    """

    yes: bool
    agreed: bool = False
    plain: bool = field(default=False, compare=False)
    was: Length | None = field(default=None, compare=False)
    of_doing: bool = False


@dataclass(frozen=True, slots=True)
class Correction:
    """A new value for something said earlier ("change top to forty three"); `was` is what it was said not to be."""

    new: Reading | Box | Opening | Incomplete
    was: Length | None = field(default=None, compare=False)


class Ordinal(StrEnum):
    """Which of the things that a question named."""

    FIRST = "first"
    SECOND = "second"
    THIRD = "third"


class Basis(StrEnum):
    """What counts where the tape and the plan differ."""

    MEASURED = "measured"


@dataclass(frozen=True, slots=True)
class SameAgain:
    """The last reading's value at another place; `like` names the place whose value it is, where one was named."""

    dimension: Dimension | None
    at: Place | None
    like: Place | None = None


@dataclass(frozen=True, slots=True)
class SameHeight:
    """A box at the height of another one; `box` is None for the one called last."""

    box: str | None
    like: str

    def __post_init__(self) -> None:
        hold_whole_names(self, "box", "like")


@dataclass(frozen=True, slots=True)
class SameSurface:
    """A wall with the sides of another one of its room: "south wall same as north"."""

    name: str
    like: str


@dataclass(frozen=True, slots=True)
class Misplaced:
    """The value that was read back last belongs at another place; `was` is the one where it was said not to belong."""

    at: Slot
    was: Slot | None = None


class Slant(StrEnum):
    """Which way a diagonal runs, toward the right."""

    RISING = "rising"
    FALLING = "falling"


class Lean(StrEnum):
    """Which way what stands at an edge leans at its top: into the opening, or out of it."""

    IN = "in"
    OUT = "out"


@dataclass(frozen=True, slots=True)
class ThingName:
    """The name that a box or an opening is to have: "box 2", "pipe 3"."""

    name: str


ALL = 0
"""How many things a part is of where it is that of all of them."""


@dataclass(frozen=True, slots=True)
class Part:
    """A bare piece of a call, which answers a question about the missing piece: a length or a fraction of an inch, a
    point, an edge ("the left"), a place, a box's kind, what stands at an edge, a whole distance, a course, width or
    height, which of several, what the wall says, which way a diagonal runs or a wall leans, what it is called. `each`
    tells of how many things it is: of one, of two ("both"), or of `ALL` that lack it.
    """

    value: (
        Length
        | Point
        | Edge
        | Slot
        | BoxKind
        | Neighbor
        | Distance
        | Course
        | Dimension
        | Ordinal
        | Basis
        | Slant
        | Lean
        | ThingName
    )
    each: int = 1
