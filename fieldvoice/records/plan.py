"""The answer: how to cut one board, with its proof. Made by the cutting room, shown as it is."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from fieldvoice.records.board import Board, Lies, Sheet
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Circuit, Dimension, Edge, Place


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


@dataclass(frozen=True, slots=True)
class Mark:
    """Where to put the pencil: at `at` along the cut, `distance` from the edge that the cut names. `exact` is the value
    before rounding, so that the rounding can be shown when it is not zero.
    """

    at: Place
    distance: Length
    exact: Length


@dataclass(frozen=True, slots=True)
class CutLine:
    """One cut: the edge it makes, the edge its marks are measured from (`origin`), and two or more marks."""

    edge: Edge
    origin: Edge
    shape: Shape
    marks: tuple[Mark, ...]


class Method(StrEnum):
    """How an opening is made. `ROUT` puts a tool into the box and needs a circuit that is dead and tested."""

    ROUT = "rout"
    BEFOREHAND = "cut beforehand by hand"
    SAW = "saw"
    IN_PLACE = "cut in place"


@dataclass(frozen=True, slots=True)
class OpeningPlan:
    """An opening on the sheet. `left`, `right`, `top`, `bottom` are its sides' distances from the left and the top edge
    of the finished board at that height, as marked; `alternates` are further ways to the centre ("26 9/16 from right
    factory
    edge"). `corners` is the opening as a polygon on the outline.
    """

    name: str
    kind: str
    method: Method
    center: Point2
    left: Length
    right: Length
    top: Length
    bottom: Length
    x_from: str
    y_from: str
    state: Circuit | None
    alternates: tuple[str, ...] = ()
    corners: tuple[Point2, ...] = ()


@dataclass(frozen=True, slots=True)
class Step:
    """One thing to do, in order. `why` is given where the order or the way matters; `caution` belongs right here;
    `opening` names the opening it marks or makes and `cut` the edge that it marks or cuts, so that a surface can show
    those marks large.
    """

    text: str
    why: str | None = None
    caution: str | None = None
    opening: str | None = None
    cut: Edge | None = None


@dataclass(frozen=True, slots=True)
class Gap:
    """What stays open between the board and its neighbour once hung, at one place along an edge."""

    edge: Edge
    at: Place
    gap: Length


@dataclass(frozen=True, slots=True)
class Proof:
    """The plan checked again from its rounded marks by another route; `failures` says what is wrong, and where it says
    anything the plan is not shown.
    """

    gaps: tuple[Gap, ...]
    failures: tuple[str, ...] = ()

    @property
    def ok(self) -> bool:
        """Whether nothing was found wrong."""
        return not self.failures


@dataclass(frozen=True, slots=True)
class CutPlan:
    """Everything the partner needs at the sheets. `outline` is the finished board, `offcut` what is left of the sheet;
    `broken` is another cut offered where the straight one leaves too wide a gap.
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
    warnings: tuple[str, ...] = ()
    broken: tuple[CutLine, ...] = ()


@dataclass(frozen=True, slots=True)
class Missing:
    """Something the plan still needs: `what` names it in the trade's words, `why` says what for. There is no plan
    without what is `required`; the rest makes a plan that is there already safer.
    """

    what: str
    why: str
    required: bool = True


@dataclass(frozen=True, slots=True)
class Oddity:
    """Something that geometry finds hard to believe: `why`, and what to `ask`. It names the reading by `dimension` and
    `at`, or the box or opening by `box`.
    """

    why: str
    ask: str
    dimension: Dimension | None = None
    at: Place | None = None
    box: str | None = None
