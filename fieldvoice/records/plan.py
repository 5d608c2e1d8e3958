"""The answer: how to cut one board, with its proof. Made by the cutting room, shown as it is.

Nothing in here is a sentence: what a step, a warning or a need says is written by `fieldvoice/wording/`.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from fieldvoice.records.board import Board, Lies, Sheet, Surface
from fieldvoice.records.facts import Fact, Key
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import BoxKind, Circuit, Dimension, Edge, Neighbor, OpeningKind, Place
from fieldvoice.records.said import Caution


@dataclass(frozen=True, slots=True)
class Point2:
    """A point on the finished board's face: `x` from its left, `y` down from its top."""

    x: Length
    y: Length


class Shape(StrEnum):
    """How a cut runs between its marks."""

    STRAIGHT = "straight"
    BROKEN = "broken"
    SCRIBE = "scribe"


class Hook(StrEnum):
    """An edge of the sheet that a tape is hooked on: as it came, or as it was cut."""

    LEFT_FACTORY = "left factory edge"
    LEFT_CUT = "left cut edge"
    RIGHT_FACTORY = "right factory edge"
    RIGHT_CUT = "right cut edge"
    TOP_FACTORY = "top factory edge"
    TOP_CUT = "top cut edge"
    BOTTOM_FACTORY = "bottom factory edge"
    BOTTOM_CUT = "bottom cut edge"

    @classmethod
    def on(cls, edge: Edge, cut: frozenset[Edge]) -> Hook:
        """The hook on an edge, where those in `cut` are cut."""
        return _HOOKS[edge, edge in cut]

    @property
    def edge(self) -> Edge:
        """The edge itself."""
        return _HOOKED[self]

    @property
    def is_cut(self) -> bool:
        """Whether it is called a cut edge."""
        return self is _HOOKS[self.edge, True]


_HOOKS = {
    (edge, cut): Hook(f"{edge.value} {'cut' if cut else 'factory'} edge") for edge in Edge for cut in (True, False)
}
_HOOKED = {hook: edge for (edge, _), hook in _HOOKS.items()}


@dataclass(frozen=True, slots=True)
class Mark:
    """Where to put the pencil: `distance` from the edge that the cut names, at a place along it. `at` is how the place
    is called; it lies `along` from the edge `start`, which is there then. `exact` is the value before rounding.
    """

    at: Place
    distance: Length
    exact: Length
    along: Length = Length(0)
    start: Edge | None = None


@dataclass(frozen=True, slots=True)
class CutLine:
    """One cut: the edge it makes, the edge its marks are measured from (`origin`), and two or more marks."""

    edge: Edge
    origin: Edge
    shape: Shape
    marks: tuple[Mark, ...]

    @property
    def same_all_along(self) -> bool:
        """Whether every mark of it is the same distance, so that one figure is enough."""
        return len({mark.distance for mark in self.marks}) == 1

    @property
    def distinct(self) -> tuple[Mark, ...]:
        """The marks that differ: one for a square cut, all of them for any other."""
        return self.marks[:1] if self.same_all_along else self.marks


@dataclass(frozen=True, slots=True)
class Remnant:
    """What a cut takes off, squared: the side of the board that it comes off, how wide and high it is as the board
    hangs, and which of its edges are cut.
    """

    off: Edge
    width: Length
    height: Length
    cut: frozenset[Edge]

    def on_tape(self, unit: Unit) -> tuple[Length, Length]:
        """Its width and height as a tape shows them, never more than there is."""
        step = Length("1/16") if unit is Unit.INCH else Length.of(1, unit)
        return self.width.rounded_down(step), self.height.rounded_down(step)


class Method(StrEnum):
    """How an opening is made. `ROUT` puts a tool into the box and needs a circuit that is dead and tested."""

    ROUT = "rout"
    BEFOREHAND = "cut beforehand by hand"
    SAW = "saw"
    COMPASS = "circle cutter"
    IN_PLACE = "cut in place"


@dataclass(frozen=True, slots=True)
class Way:
    """A further way to an opening's center: so far from that edge."""

    distance: Length
    hook: Hook


@dataclass(frozen=True, slots=True)
class OpeningPlan:
    """An opening on the sheet. `left`, `right`, `top`, `bottom` are its sides' distances from the left and the top edge
    of the finished board at that height, as marked; `alternates` are further ways to the center. `corners` is the
    opening as a polygon on the outline; `radius` is there where it is a circle. What is `held` is neither marked nor
    cut until it is measured again.
    """

    name: str
    kind: BoxKind | OpeningKind
    method: Method
    center: Point2
    left: Length
    right: Length
    top: Length
    bottom: Length
    x_from: Hook
    y_from: Hook
    state: Circuit | None
    alternates: tuple[Way, ...] = ()
    corners: tuple[Point2, ...] = ()
    radius: Length | None = None
    held: bool = False


class Does(StrEnum):
    """What a step does."""

    LEAN = "lean"  # the sheet, as it hangs, face out
    MARK = "mark"  # the marks of a cut
    CUT = "cut"  # along the marks: what lies at `edge` comes off
    DRESS = "dress"  # the cut edges
    BEVEL = "bevel"  # the back of the edges that butt
    MARK_OPENING = "mark opening"
    MAKE_OPENING = "make opening"
    WAIT = "wait"  # the opening isn't marked or cut before it is measured again
    HANG = "hang"
    FASTEN = "fasten"


class Tool(StrEnum):
    """What cuts."""

    KNIFE = "knife"
    SAW = "saw"
    CIRCLE_CUTTER = "circle cutter"
    ROUTER = "router"
    RASP = "rasp"


class Where(StrEnum):
    """Where the board is while a step is done."""

    STAND = "stand"
    WALL = "wall"


class Reason(StrEnum):
    """Reason a step is done so, or then."""

    CORNERS = "corners"
    ENDS_FIRST = "ends first"
    STILL_LONG = "still long"
    CHALK = "chalk"
    SAW_FIRST = "saw first"
    FOLLOWS = "follows"
    RAGGED = "ragged"
    HOOK = "hook"
    INSIDE_CORNER = "inside corner"
    RATHER_SMALL = "rather small"
    PRESSED = "pressed"
    FRAMING_GUIDES = "framing guides"
    BEVELED = "beveled"


class Heed(StrEnum):
    """What the cutting room asks to heed at a step."""

    TREAT_AS_LIVE = "treat as live"
    DEVICE = "device"
    ONLY_WHILE_OFF = "only while off"
    OPENING_BEHIND = "opening behind"


@dataclass(frozen=True, slots=True)
class StandOff:
    """How far an edge stays off what is at it (or will), once the board hangs."""

    edge: Edge
    off: Length
    neighbor: Neighbor


@dataclass(frozen=True, slots=True)
class Offset:
    """So far, square from that edge."""

    hook: Hook
    distance: Length


@dataclass(frozen=True, slots=True)
class HoleMarks:
    """The pencil marks of an opening: its center across and down, its sides, a circle's radius. A side that isn't in
    `sides` runs out over the board's edge there.
    """

    center: tuple[Offset, Offset] | None = None
    sides: tuple[tuple[Edge, Offset], ...] = ()
    radius: Length | None = None


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do, in order; which fields are there goes by `does`.

    lean: `sheet`, `lies`, `surface`, and where that is an `offcut` (its name) the `edges` that are cut already. mark:
    `edge` (the cut's), `origin` (where the tape is hooked), `marks`, `shape`. cut: `edge`, `shape`, `tool`. dress,
    bevel: `edges`. mark opening: `opening`, `kind`, `hole`. make opening: `opening`, `kind`, `tool`, `where`, `near`
    (boxes that the tool comes near). wait: `opening`. hang: `stand_offs` (at these edges the board is put, so far off),
    `leaves` (what then stays open at others), `few` where only few screws go in.

    `why` says why so, or now; `heed` and `caution` belong right here.
    """

    does: Does
    edge: Edge | None = None
    origin: Hook | None = None
    marks: tuple[Mark, ...] = ()
    shape: Shape | None = None
    opening: str | None = None
    kind: BoxKind | OpeningKind | None = None
    hole: HoleMarks | None = None
    tool: Tool | None = None
    where: Where = Where.STAND
    near: tuple[str, ...] = ()
    stand_offs: tuple[StandOff, ...] = ()
    leaves: tuple[StandOff, ...] = ()
    few: bool = False
    edges: tuple[Edge, ...] = ()
    sheet: Sheet | None = None
    lies: Lies | None = None
    surface: Surface | None = None
    why: Reason | None = None
    heed: Heed | None = None
    caution: Caution | None = None
    offcut: str | None = None

    @property
    def cut(self) -> Edge | None:
        """The edge that it marks or cuts."""
        return self.edge if self.does in {Does.MARK, Does.CUT} else None


@dataclass(frozen=True, slots=True)
class Gap:
    """What stays open between the board and its neighbor once hung, at one place along an edge."""

    edge: Edge
    at: Place
    gap: Length


class Flaw(StrEnum):
    """What can be wrong with a plan."""

    SHEET = "sheet"  # the piece is more than the sheet
    MARK = "mark"  # a mark isn't on the sheet, or not where the cut runs
    ORIGIN = "origin"  # a mark counts from an edge that isn't there, or isn't the one across
    TIGHT = "tight"  # less than the clearance stays open
    WIDE = "wide"  # the gap is wider than what was said
    CLAIM = "claim"  # a gap isn't what the plan says
    OPENINGS = "openings"  # the plan's openings are not the board's
    TOOL = "tool"  # a tool would go into a box that isn't dead and tested
    PLACE = "place"  # an opening has no place on the board
    EDGE = "edge"  # an opening is cut to the board's edge without need
    GAP = "gap"  # the gap at an opening is wrong
    CENTER = "center"  # the center isn't between the sides
    PLATE = "plate"  # the plate doesn't cover the hole
    UNTOLD = "untold"  # a bow moves an opening, and nobody was told
    WAY = "way"  # another way to an opening leads elsewhere
    INSTEAD = "instead"  # a cut that is offered instead doesn't fit
    ORDER = "order"  # a step can't be done there and then
    OUTLINE = "outline"  # what the steps make isn't the board that is drawn
    LEFT = "left"  # what the steps leave of the sheet isn't what is listed
    FACTORY = "factory"  # a joint that is taped on factory edges would get one that was cut before


@dataclass(frozen=True, slots=True)
class Failure:
    """Something wrong with a plan: at an edge, or an opening, by so much."""

    flaw: Flaw
    edge: Edge | None = None
    about: str | None = None
    at: Place | None = None
    value: Length | None = None


@dataclass(frozen=True, slots=True)
class Proof:
    """The plan checked again by another route than it was made by; `failures` says what is wrong, and where it says
    anything the plan is not shown.
    """

    gaps: tuple[Gap, ...]
    failures: tuple[Failure, ...] = ()

    @property
    def ok(self) -> bool:
        """Whether nothing was found wrong."""
        return not self.failures


class Code(StrEnum):
    """What a warning is about. What `values` hold stands beside each; the order is that in which they matter."""

    BOWED_REFERENCE = (
        "bowed reference"  # about an opening: how far the neighbor bows there, and its place from the other
    )
    HELD = "held"  # about an opening that waits: how far readings and tape may disagree
    CUT_SINCE = "cut since"  # before: what a step was done with
    MAYBE_LEFT_OUT = "maybe left out"
    UNCALLED = "uncalled"  # about an opening of the layout: its sides from the board's left
    FROM_OFFCUT = "from offcut"  # about the name on it: its length and width, squared
    WIDE_GAP = "wide gap"  # at an edge: how much over the clearance; the shape that comes closer
    UNMEASURED_MIDDLE = "unmeasured middle"
    SIDE_BY_DEFAULT = "side by default"  # at an edge: both are joints, this one is cut
    FROM_FLOOR = "from floor"  # about an opening: converted with the height there, or floor to ceiling
    OVER_EDGE = "over edge"  # about an opening, at an edge
    WEB = "web"  # about an opening and an edge, or another opening: how much stays
    STRIP = "strip"  # at an edge: how much comes off
    SHORT_SHEET = "short sheet"  # how much narrower a sheet may be
    CUT_JOINT = "cut joint"  # at an edge
    NO_ROOM = "no room"  # between an edge and the one across
    OFF_FRAMING = "off framing"  # at an edge: the nearest stud's center, and the mark for it where it can be cut
    CARRY = "carry"  # about an opening: how little stays beside it
    ACROSS_BOARDS = "across boards"  # about a window or a door, at an edge
    LAYERS = "layers"  # how far the joints of the next layer are shifted


@dataclass(frozen=True, slots=True)
class CutBefore:
    """A step done with a value that has changed since: its number, what that was of, the value then, who ticked it."""

    step: int
    key: Key
    value: Fact
    by: str


@dataclass(frozen=True, slots=True)
class Warning:
    """What hanger and partner should know beside the steps. `about` is the name of an opening or of an offcut, `other`
    the other one's; where `holds_cut`, the step it is about is withheld until it is settled.
    """

    code: Code
    about: str | None = None
    edge: Edge | None = None
    values: tuple[Length, ...] = ()
    holds_cut: bool = False
    other: str | None = None
    neighbor: Neighbor | None = None
    shape: Shape | None = None
    before: CutBefore | None = None


@dataclass(frozen=True, slots=True)
class CutPlan:
    """Everything the partner needs at the sheets. `outline` is the finished board, `offcut` what each cut takes off the
    sheet and `left` what of that is of use, squared; `broken` is another cut offered where the straight one leaves too
    wide a gap.
    """

    board: Board
    sheet: Sheet
    lies: Lies
    cuts: tuple[CutLine, ...]
    openings: tuple[OpeningPlan, ...]
    steps: tuple[Step, ...]
    outline: tuple[Point2, ...]
    offcut: tuple[tuple[Point2, ...], ...]
    proof: Proof
    warnings: tuple[Warning, ...] = ()
    broken: tuple[CutLine, ...] = ()
    left: tuple[Remnant, ...] = ()

    @property
    def from_offcut(self) -> str | None:
        """The name of the offcut that it is cut from; None where that is a sheet."""
        return None if self.board.cut_from is None else self.board.cut_from.offcut


class Need(StrEnum):
    """What a plan still needs. What goes with each stands beside it."""

    WIDTH = "width"  # at
    HEIGHT = "height"  # at, or anywhere
    SIDE = "side"  # which side to cut
    END = "end"  # which end to cut
    SIZE = "size"  # about an opening, in a dimension
    MIDDLE = "middle"  # the width at the middle
    CIRCUIT = "circuit"  # about a box
    COURSE = "course"  # upper or lower
    FLOOR_HEIGHT = "floor height"  # about an opening: how high the course's lower edge is above the floor
    PLUMBS = "plumbs"  # the slopes said and the readings disagree, by that much
    MEASURE_AGAIN = "measure again"  # about an opening, from an edge
    KIND = "kind"  # about a box: what box it is


@dataclass(frozen=True, slots=True)
class Missing:
    """Something the plan still needs. There is no plan without what is `required`; the rest makes a plan that is there
    already safer.
    """

    need: Need
    required: bool = True
    about: str | None = None
    at: Place | None = None
    dimension: Dimension | None = None
    edge: Edge | None = None
    neighbors: tuple[Neighbor, ...] = ()
    values: tuple[Length, ...] = ()


class No(StrEnum):
    """Reason there is no plan. What goes with each stands beside it."""

    NEEDS = "needs"  # missing
    PROOF = "proof"  # failures; what was called that none of them would be without
    NO_SUCH_PLACE = "no such place"  # dimension, at
    PLACE_BEYOND = "place beyond"  # dimension; the place and how far the board reaches
    NOTHING_LEFT = "nothing left"  # dimension
    TOO_BIG_FOR_NAMED = "too big for named"  # the piece's width and height
    TOO_WIDE = "too wide"  # the piece's width and height; the stud to split on, where one is known
    TOO_HIGH = "too high"  # the piece's width and height, what the tallest sheet holds
    OPPOSITE_EDGES = "opposite edges"  # about an opening, the edge of its first side
    NOT_ON_BOARD = "not on board"  # about an opening
    TOO_BIG_FOR_OFFCUT = "too big for offcut"  # about the offcut: the piece's width and height, the offcut's
    NO_OFFCUT = "no offcut"  # about the name as said: the others are the names that are there
    OFFCUT_TAKEN = "offcut taken"  # about the offcut: the other is the board that is cut from it
    OFFCUT_OF_ITS_OWN = "offcut of its own"  # about the offcut, which comes from this very board
    OFFCUT_UNLIKE = "offcut unlike"  # about the offcut: its thickness and the board's; the others are the two kinds


@dataclass(frozen=True, slots=True)
class NoPlan:
    """Reason the readings don't make a plan, as a value."""

    no: No
    about: str | None = None
    dimension: Dimension | None = None
    edge: Edge | None = None
    at: Place | None = None
    values: tuple[Length, ...] = ()
    missing: tuple[Missing, ...] = ()
    failures: tuple[Failure, ...] = ()
    rests_on: tuple[Fact, ...] = ()
    lies: Lies | None = None
    unit: Unit = Unit.INCH
    others: tuple[str, ...] = ()
