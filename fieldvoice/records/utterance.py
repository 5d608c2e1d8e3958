"""What is said about calls rather than called: orders, answers, corrections, and what is the same again; and an
utterance understood: its meanings, or what it is asked about, or why nothing of it is taken.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from fieldvoice.records.board import EdgesTold
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import (
    Box,
    BoxKind,
    Context,
    Course,
    Danger,
    DeadAndTested,
    Diagonal,
    Dimension,
    Distance,
    Edge,
    Incomplete,
    LayoutWish,
    Neighbor,
    Opening,
    Place,
    Plumb,
    Point,
    Reading,
    Slot,
    SurfaceCall,
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


Meaning = (
    Reading
    | Diagonal
    | Plumb
    | Box
    | Danger
    | DeadAndTested
    | Opening
    | Incomplete
    | Part
    | Context
    | SameAgain
    | SameHeight
    | SameSurface
    | Misplaced
    | SurfaceCall
    | LayoutWish
    | Command
    | Answer
    | Correction
)
"""What an utterance can mean: what language hands to the dialogue."""


class Ask(StrEnum):
    """What an unclear utterance is asked about; the values that go with each stand beside it."""

    WHICH_OF = "which of"  # no value: the alternatives of the utterance
    TOO_MANY = "too many"
    RUNS_ON = "runs on"  # the first and the second number, Length each
    BROKE_OFF = "broke off"  # the words of the piece that is not whole, str
    SQUARE = "square"
    NEW_NUMBER = "new number"  # the word that may begin it, str
    NUMBER_ENDS = "number ends"  # the shorter and the longer number, str each
    PLACES = "places"
    TWO_OF_THREE = "two of three"
    MIDDLE_FAR = "middle far"
    JOINED = "joined"  # the number and the fraction, Length each
    FRACTION_OF = "fraction of"  # the small number and the one before it, Length each
    WHICH_LEAN = "which lean"  # Edge
    HOW_SLOPED = "how sloped"
    WHICH_SLOPE = "which slope"  # Edge, top or bottom
    ONE_OF_TWO = "one of two"
    OTHER_EDGES = "other edges"
    BOX_KIND = "box kind"
    WHICH_BOX = "which box"
    TESTED = "tested"
    SAME_AS_WHAT = "same as what"
    WHOLE_OR_END = "whole or end"
    WHAT_IS_CORRECTED = "what is corrected"
    UNIT_ALONE = "unit alone"
    INCH_OR_MM = "inch or mm"
    MM_OR_METERS = "mm or meters"
    DASH = "dash"
    VAGUE = "vague"
    FRAMING_UNIT = "framing unit"
    WHAT_IS_APART = "what is apart"
    JOISTS_RUN = "joists run"  # "across width" or the like, str, and how far they are apart, Length
    TOO_THICK = "too thick"
    SHEET_WIDTH = "sheet width"
    NOT_SURE = "not sure"  # the words heard, str, and what the doubt is, Unsure
    NOTHING_MEANT = "nothing meant"
    NOT_KNOWN = "not known"
    DID_YOU_MEAN = "did you mean"  # the word as typed and the word guessed, str each; yes takes the one alternative
    IS_IT_SO = "is it so"  # written with a question mark; yes takes the one alternative
    SHORT_WIDTH = "short width"  # the value, Length: too little for a board
    RELATIVE = "relative"
    WALL_NAME = "wall name"
    WALL_UNIT = "wall unit"
    WALL_PEAK = "wall peak"  # how high, Length, and where it isn't the middle how far, Length, from which end, Edge
    WALL_KEEPS_NAME = "wall keeps name"
    HEIGHT_OF_WHAT = "height of what"
    NO_NEIGHBOR = "no neighbor"
    TURNED_BOX = "turned box"
    NOT_THEN = "not then"  # the first and the second number, Length each
    START_OVER = "start over"
    HOW_FAR_BACK = "how far back"
    OTHER_SIDE = "other side"
    WRONG_BOARD = "wrong board"
    UNSAID_FEET = "unsaid feet"  # the feet, int, and the inches, Length
    REDO = "redo"
    SKIP_WHAT = "skip what"
    STOP_WHAT = "stop what"
    PRINT_HOW = "print how"
    WHICH_OFFCUT = "which offcut"
    OFF_OPENING = "off opening"
    LIKE_WHICH = "like which"


class Why(StrEnum):
    """Why nothing of an utterance was taken; the values that go with each stand beside it."""

    NOTHING_SAID = "nothing said"
    NOTHING_HEARD = "nothing heard"
    NO_READING = "no reading"
    TOO_LONG = "too long"
    NO_WORD = "no word"  # the word, str
    ONE_OR_SEVERAL = "one or several"  # the figures, str
    NO_SENSE = "no sense"  # the word from which on, str
    ZERO = "zero"
    BELOW_ZERO = "below zero"
    OVER_ZERO = "over zero"
    NO_NUMBER = "no number"  # as written, str
    MORE_THAN_INCH = "more than an inch"  # count and part, int each
    NOT_ON_TAPE = "not on tape"  # count and part, int each
    FRACTION_TWICE = "fraction twice"
    MORE_THAN_FOOT = "more than a foot"  # the inches, as said
    NOTHING_LEFT = "nothing left"
    TOO_LARGE = "too large"  # the length as said, str
    FAR_APART = "far apart"
    SIDE_FROM_START = "side from start"  # the side, the start: str each
    WRONG_WAY_ROUND = "wrong way round"
    STUDS = "studs"


class Unsure(StrEnum):
    """Why what was heard is asked about."""

    SEVERAL_MEANINGS = "several meanings"
    TEEN_OR_TEN = "teen or ten"
    EARS_DIFFER = "ears differ"
    NOT_CLEAR = "not clear"


@dataclass(frozen=True, slots=True)
class Relative:
    """A reading that is told by another: so much longer, or shorter where `by` is below zero, than the one `like`. A
    place that wasn't named is None. `changes` is set where it is the reading itself that is to be so much longer,
    `swaps` where the readings at the two places are to change them.
    """

    by: Length
    dimension: Dimension | None = None
    at: Place | None = None
    like: Place | None = None
    changes: bool = False
    swaps: bool = False

    @property
    def of_the_last(self) -> bool:
        """Whether it is what was called last that is to be so much longer: "make it an eighth more"."""
        return self.changes and self.at is None and self.dimension is None


Told = str | int | Length | Edge
"""What a question or a refusal speaks of."""


@dataclass(frozen=True, slots=True)
class Question:
    """What settles an unclear utterance: worded in `wording`."""

    about: Ask
    values: tuple[Told, ...] = ()
    relative: Relative | None = None
    level: Incomplete | None = None
    """The box that is to be at the same height as another one that nobody named."""
    sides: tuple[Length, ...] = ()
    """Both sides of a wall that nobody named, or one of them."""


@dataclass(frozen=True, slots=True)
class Refusal:
    """Why nothing was taken: worded in `wording`."""

    why: Why
    values: tuple[Told, ...] = ()


class Status(StrEnum):
    """How far an utterance was understood."""

    UNDERSTOOD = "understood"
    UNCLEAR = "unclear"
    REFUSED = "refused"


@dataclass(frozen=True, slots=True)
class Spoilt:
    """What was named before a figure of which nothing was understood: a place, `guessed` where a slip was put right,
    or something that is no place as far as is known (`at` is None).
    """

    dimension: Dimension | None = None
    at: Place | None = None
    guessed: bool = False


@dataclass(frozen=True, slots=True)
class Utterance:
    """An utterance after language has looked at it.

    understood: `meanings` holds its one meaning, in the order spoken. unclear: `alternatives` holds two or more
    meanings and `ask` the question that settles it (`ask` alone where what was said is cut short and no value is safe).
    refused: `why` says what is wrong. Whatever the status: `danger` holds every word of a circuit that isn't known to
    be dead, and `beside` is set where a figure stands beside such words in what wasn't understood: a call may be in it.
    `suspect` is set where what was typed wasn't understood and may be about a circuit, and `objects` where it begins
    with no, wrong or wait; `begun` is the place whose value is still to come, or a box of which only the name was said;
    `spoilt` is what was named before a figure of which nothing was understood; `sides` are two lengths
    ("32 by 80") where nothing but a no was said beside: a size where one is asked for, or objected to.
    """

    status: Status
    heard: str
    meanings: tuple[Meaning, ...] = ()
    alternatives: tuple[tuple[Meaning, ...], ...] = ()
    ask: Question | None = None
    why: Refusal | None = None
    danger: tuple[Danger, ...] = ()
    beside: bool = False
    suspect: bool = False
    objects: bool = False
    begun: tuple[Dimension | None, Place] | Incomplete | None = None
    spoilt: Spoilt | None = None
    sides: tuple[Length, Length] | None = None
