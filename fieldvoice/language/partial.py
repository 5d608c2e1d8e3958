"""What parts of an utterance come to, on the way from words to a meaning."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Any, TypeAlias

from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Context, Danger, DeadAndTested, Dimension, Distance, Place, Qualifier
from fieldvoice.records.utterance import Question, Refusal

if TYPE_CHECKING:
    from fieldvoice.records.meaning import BoxKind, OpeningKind, Reading
    from fieldvoice.records.utterance import Meaning

Number = int | Fraction
"""A number as said, or inches where a length is meant: exact either way."""


Trouble = Question | Refusal
"""What keeps the whole utterance from being taken."""


@dataclass(frozen=True, slots=True)
class Several:
    """All the values that the words may have."""

    values: tuple[Any, ...]


@dataclass(frozen=True, slots=True)
class Measured:
    """A length as called, the qualifier already in it."""

    value: Length
    qualifier: Qualifier | None = None


@dataclass(frozen=True, slots=True)
class ReadingPlace:
    """A place of a reading."""

    dimension: Dimension | None
    at: Place | None


@dataclass(frozen=True, slots=True)
class Same:
    """The last value said, at another place; `like` is the place whose value it is, where that was said."""

    where: ReadingPlace
    like: Place | None = None


@dataclass(frozen=True, slots=True)
class Alone:
    """What words mean where they are all that is said, whatever they may be else: "next board to the right" is an
    order, and behind "wall on the left" what stands there.
    """

    meanings: tuple[Meaning, ...]


@dataclass(frozen=True, slots=True)
class Sloped:
    """That a wall or its top slopes: told where both its heights are, and asked about else."""


@dataclass(frozen=True, slots=True)
class RoomAlone:
    """A room without a word that leads there: before a box it may be part of the box's name."""

    room: Context


@dataclass(frozen=True, slots=True)
class SlopeSide:
    """A height said to be that of the high or the low side of a wall whose top slopes."""

    reading: Reading
    high: bool


@dataclass(frozen=True, slots=True)
class Unnamed:
    """What was said of a circuit without the name of its box."""

    word: Danger | DeadAndTested


@dataclass(frozen=True, slots=True)
class Named:
    """The whole name of a box; None for every box, and how many those are where that was said ("both")."""

    name: str | None
    count: int | None = None

    @property
    def said(self) -> str:
        """The name, empty where there is none."""
        return self.name or ""


@dataclass(frozen=True, slots=True)
class ToItsSide(Distance):
    """A distance to a side of the thing that was named: it tells nothing of where its other distance goes."""


def as_distance(said: Distance) -> Distance:
    """The distance however its point was named."""
    return Distance(said.value, said.point, said.start, said.off)


@dataclass(frozen=True, slots=True)
class ThingCall:
    """A box or an opening as far as it was called, and the box whose height it has."""

    distances: tuple[Distance, ...]
    kind: BoxKind | OpeningKind | None = None
    name: str = ""
    width: Length | None = None
    height: Length | None = None
    diameter: Length | None = None
    plugged_in: bool = False
    like: str | None = None

    def __post_init__(self) -> None:
        object.__setattr__(self, "distances", tuple(map(as_distance, self.distances)))

    def with_more(self, more: ThingCall) -> ThingCall:
        """With what was said of it beside this."""
        return ThingCall(
            self.distances + more.distances,
            more.kind or self.kind,
            more.name or self.name,
            diameter=more.diameter or self.diameter,
            plugged_in=more.plugged_in or self.plugged_in,
            like=more.like or self.like,
        )


@dataclass(frozen=True, slots=True)
class Size:
    """Width by height, None where it wasn't said."""

    width: Length | None
    height: Length | None


@dataclass(frozen=True, slots=True)
class SizedPlace:
    """An opening's distances and size."""

    distances: tuple[Distance, ...]
    size: Size | None


@dataclass(frozen=True, slots=True)
class Sides:
    """Two sides said as "four by eight"; `in_feet` where no unit was said and both are small."""

    one: Length
    other: Length
    in_feet: bool


Item: TypeAlias = "Meaning | Same | Unnamed | Sloped | RoomAlone"
"""What an item of an utterance comes to: a meaning, or what takes its value or its box from before, or that something
slopes.
"""


@dataclass(frozen=True, slots=True)
class Link:
    """What follows in the same breath: more, or (`instead`) a correction of what came before; `bare` has no place,
    `fraction` is the fraction alone.
    """

    meanings: tuple[Item, ...]
    instead: bool = False
    bare: bool = False
    fraction: bool = False
