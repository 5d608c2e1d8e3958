"""A fact that was called, and its key: what it is about; and what geometry finds hard to believe of it, asked about
before it is cut to.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from fieldvoice.records.board import Lies
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import (
    Box,
    Context,
    Diagonal,
    Dimension,
    Edge,
    Incomplete,
    LayoutWish,
    Opening,
    OpeningKind,
    Place,
    Plumb,
    Reading,
    SurfaceCall,
    Topic,
    Wish,
)

Fact = Reading | Diagonal | Plumb | Box | Opening | Context | SurfaceCall | LayoutWish
"""A whole meaning that can be kept; once it is called its place and name are settled."""
Said = Fact | Incomplete
"""What can be called: whole, or with a part still missing."""


class Of(StrEnum):
    """What kind of thing a key names."""

    WIDTH = "width"
    HEIGHT = "height"
    DIAGONAL = "diagonal"
    PLUMB = "plumb"
    BOX = "box"
    OPENING = "opening"
    NEIGHBOR = "neighbor"
    CLEARANCE = "clearance"
    CONTEXT = "context"
    SURFACE = "surface"
    WISH = "wish"
    WORDS = "words"


@dataclass(frozen=True, slots=True)
class Key:
    """What a fact is about: of two facts with one key only one can be in force on a board.

    A width or a height has `at`, a diagonal its way in `at`'s stead (`rising`), a box or an opening its `name`, an edge
    its `edge`; any other context has its topic as `name`, a surface what it is called, a wish what it is about.
    """

    of: Of
    at: Place | None = None
    edge: Edge | None = None
    name: str = ""
    rising: bool | None = None


def key_of(fact: Fact | Incomplete) -> Key:
    """The key of a fact whose place and name are settled."""
    match fact:
        case Reading():
            return Key(Of.HEIGHT if fact.dimension is Dimension.HEIGHT else Of.WIDTH, at=fact.at)
        case Diagonal():
            return Key(Of.DIAGONAL, rising=fact.rising)
        case Plumb():
            return Key(Of.PLUMB, edge=fact.edge)
        case Opening() | Incomplete(kind=OpeningKind()):
            return Key(Of.OPENING, name=fact.name)
        case Box() | Incomplete():
            return Key(Of.BOX, name=fact.name)
        case SurfaceCall() | LayoutWish():
            return _key_of_surface(fact)
        case Context(topic=Topic.NEIGHBOR | Topic.CLEARANCE):
            return Key(Of.NEIGHBOR if fact.topic is Topic.NEIGHBOR else Of.CLEARANCE, edge=fact.edge)
        case Context(topic=Topic.TAPER, edge=Edge.TOP | Edge.BOTTOM):
            return Key(Of.CONTEXT, name=f"{fact.topic.value} end")  # which side to cut is another question
        case Context():
            own = fact.edge if fact.topic is Topic.BACK_BEVEL else None  # each edge by itself
            return Key(Of.CONTEXT, edge=own, name=fact.topic.value)


_WISHED = {Wish.START: "start", Wish.STANDING: "lies", Wish.LYING: "lies", Wish.LENGTH: "length"}


def _key_of_surface(fact: SurfaceCall | LayoutWish) -> Key:
    if isinstance(fact, SurfaceCall):
        return Key(Of.SURFACE, name=surface_name(fact))
    return Key(Of.WISH, name=_WISHED[fact.wish])


def surface_name(call: SurfaceCall) -> str:
    """What a surface is called: "north wall", "wall 2", "ceiling"."""
    if call.surface == call.name:
        return call.name
    return f"{call.surface} {call.name}" if call.name.isdigit() else f"{call.name} {call.surface}"


_MEASURED = frozenset({Topic.CLEARANCE, Topic.FLOOR_TO_CEILING, Topic.ABOVE_FLOOR, Topic.BASE})
"""Context that a tape tells; all other is chosen, or counted."""


def measured(fact: Fact) -> tuple[Length, ...]:
    """The lengths of it that a tape tells, in an order of its own: what is farther from what it was than a tape is
    misread wasn't measured anew. None of a box or an opening, whose name is asked about wherever it goes.
    """
    match fact:
        case Reading() | Diagonal() | Plumb():
            return (fact.value,)
        case SurfaceCall():
            line = (length for point in fact.breaks for length in (point.across, point.height))
            return (fact.highest, fact.width, fact.height, fact.right_height or fact.height, *line)
        case Context(value=Length() as value) if fact.topic in _MEASURED:
            return (value,)
    return ()


def unshared(ways: Sequence[tuple[Fact, ...]]) -> list[tuple[Fact, ...]]:
    """Each of several ways without what all of them share."""
    shared = set.intersection(*map(set, ways)) if ways else set[Fact]()
    return [tuple(fact for fact in way if fact not in shared) for way in ways]


class Odd(StrEnum):
    """What geometry finds hard to believe. What `values` hold stands beside each."""

    STAND_OFF = "stand off"  # at an edge: the clearance
    OPEN_JOINT = "open joint"  # at an edge, where the next board stands: the clearance
    OUT_OF_PLUMB = "out of plumb"  # at an edge: how far its neighbor is said to lean or slope
    JOINT_LEANS = "joint leans"  # at an edge: how far the other one, a joint, would lean by it and the readings
    OTHER_LEANS = "other leans"  # the same of a wall, a ceiling or a floor across, which nobody said to lean
    OUT_OF_SQUARE = "out of square"  # by one diagonal alone: how far ceiling and floor run off over the board
    BEYOND_SHEETS = "beyond sheets"  # a reading: its value
    TURNED = "turned"  # the same, where a sheet the other way would reach
    FAR_FROM_FELLOWS = "far from fellows"  # a reading: its value, then its fellows'
    SWAPPED = "swapped"  # two readings: their values
    NOT_CLOSING = "not closing"  # by how much; `rising` names the diagonal, None where it is a side
    OFF_BOARD = "off board"  # a box or an opening: what was called
    ACROSS_EDGE = "across edge"  # a box or a round hole: what was called
    TO_EDGE = "to edge"  # the same, which reaches it: what was called
    LARGE_ROUND = "large round"  # a round hole: how wide it is
    PAST_EDGE = "past edge"  # an opening, at the edge: what stands there
    WHOLE_SIDE = "whole side"  # an opening, in a dimension: it leaves no board beside it
    ON_ANOTHER = "on another"  # two boxes or openings
    UNLIKE_HEIGHT = "unlike height"  # a box: how far down the others are, and what was called
    FLOOR_TO_CEILING = "floor to ceiling"  # what was said, and the height that was measured


@dataclass(frozen=True, slots=True)
class Oddity:
    """Something worth a question. It names the reading by `dimension` and `at`, or the box or opening by `box`."""

    odd: Odd
    dimension: Dimension | None = None
    at: Place | None = None
    box: str | None = None
    values: tuple[Length, ...] = ()
    edge: Edge | None = None
    other_at: Place | None = None
    other: str | None = None
    rising: bool | None = None
    lies: Lies | None = None
