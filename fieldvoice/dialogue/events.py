"""The closed list of what can be recorded of a turn."""

from __future__ import annotations

from dataclasses import dataclass

from fieldvoice.records.facts import Fact, Key
from fieldvoice.records.hearing import Source
from fieldvoice.records.laying import CutPiece, Laying
from fieldvoice.records.ledger import Call, Doubt, Notice
from fieldvoice.records.meaning import Dimension, Edge, Neighbor, Place
from fieldvoice.records.room import House
from fieldvoice.records.room_plan import PieceName


@dataclass(frozen=True, slots=True)
class Heard:
    """Something was said or typed: the words taken, by which recognizer, what else they may have been, the file beside
    the journal that the sound is kept in, if it is, and who said it.
    """

    words: str
    recognizer: str
    source: Source = Source.SPOKEN
    others: tuple[str, ...] = ()
    sound: str | None = None
    by: str = ""


@dataclass(frozen=True, slots=True)
class Opened:
    """A session began: what an earlier one was told of dead circuits counts no more."""


@dataclass(frozen=True, slots=True)
class Ordered:
    """What comes next was ordered in these words: a no in the next turn takes it back."""

    words: str


@dataclass(frozen=True, slots=True)
class OrderStands:
    """No more than something is shown in this turn: a no in the next one is of what was ordered or told before it."""


@dataclass(frozen=True, slots=True)
class OrderDenied:
    """What the last turn was ordered to do is taken back."""


@dataclass(frozen=True, slots=True)
class Called:
    """Calls read back to their speaker, with the questions that have to be answered first. `kept` of what waited for
    them waits on, with the questions among `doubts` that are about it. What a call replaces is replaced at once if it
    only waited, else when the call comes into force.
    """

    board: str
    calls: tuple[Call, ...]
    doubts: tuple[Doubt, ...] = ()
    kept: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Asked:
    """A question about what stands already, or about circuits, put to the speaker beside what waits for them."""

    board: str
    doubt: Doubt


@dataclass(frozen=True, slots=True)
class Questioned:
    """Calls that were read back, or in force, are in question: `whose` is asked."""

    whose: str
    calls: tuple[int, ...]
    doubts: tuple[Doubt, ...]


@dataclass(frozen=True, slots=True)
class Confirmed:
    """The first question put to `whose` was said yes to, and with it the same one about those other calls."""

    whose: str
    also: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Closed:
    """The first question put to `whose` is asked no more."""

    whose: str


@dataclass(frozen=True, slots=True)
class Accepted:
    """What was read back to `whose` was not objected to, or was said yes to."""

    whose: str


@dataclass(frozen=True, slots=True)
class TakenBack:
    """Calls that waited, or were not taken, are taken back."""

    calls: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Restored:
    """Calls that were replaced while they waited wait again, for `whose` to go on; those that were in question only
    beside what is gone now are in force.
    """

    whose: str
    calls: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class NotTaken:
    """Calls that were not taken, kept until they are said again or dismissed."""

    calls: tuple[Call, ...]


@dataclass(frozen=True, slots=True)
class SaidAgain:
    """Calls that were not taken before, or whose meaning was open, were said again."""

    calls: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Struck:
    """Calls are taken off their board, what waits or was not taken as well."""

    board: str
    calls: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Undone:
    """The speaker's last change was taken back."""


@dataclass(frozen=True, slots=True)
class Awaited:
    """A question about what belongs at one place; the next bare value is its answer, also instead of those calls, of
    which the words named the place and no value was taken. Where the place wasn't `sure`, or isn't known at all, that
    is asked. `whose` value it is, where not that of who speaks.
    """

    dimension: Dimension | None
    at: Place | None
    instead: tuple[int, ...] = ()
    sure: bool = True
    whose: str = ""


@dataclass(frozen=True, slots=True)
class Endangered:
    """Somebody said that circuits aren't known to be dead, or are live: of these boxes, each with its board. Every
    question whether any of them is dead is off. Not `said`: the word that they are dead counts no more, for good, since
    a box was called elsewhere or is in question.
    """

    boxes: tuple[tuple[str, str], ...]
    live: bool
    said: bool = True


@dataclass(frozen=True, slots=True)
class DeadSaid:
    """The one who tested said yes: these boxes of the board are dead and tested."""

    board: str
    boxes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class BoardOpened:
    """Work went to a board; a new one begins with what it takes over."""

    name: str
    carried: tuple[Call, ...] = ()


@dataclass(frozen=True, slots=True)
class SurfaceOpened:
    """Work went to a wall or a ceiling as a whole; a new one begins with what it takes over."""

    name: str
    carried: tuple[Call, ...] = ()


@dataclass(frozen=True, slots=True)
class HouseTaken:
    """A planned house was taken from a file of that name. Its surfaces and what is called of each come as events of
    their own; the house is kept to tell a changed file by.
    """

    file: str
    house: House


@dataclass(frozen=True, slots=True)
class LaidOut:
    """The surfaces that are settled were laid out, and that was told."""

    laying: Laying


@dataclass(frozen=True, slots=True)
class PieceOpened:
    """A planned piece is that board of the job from now on."""

    board: str
    piece: PieceName


@dataclass(frozen=True, slots=True)
class PieceRenewed:
    """What the layout has of a board in hand is other than it was: each of `calls` takes the place of one."""

    board: str
    calls: tuple[Call, ...]


@dataclass(frozen=True, slots=True)
class PieceCut:
    """The plan of a board of the layout is settled, and this is what its cut leaves; None where it is open again."""

    board: str
    cut: CutPiece | None


@dataclass(frozen=True, slots=True)
class Assumed:
    """What stands at these edges by default was said aloud: `neighbors`, in their order."""

    board: str
    edges: tuple[Edge, ...]
    neighbors: tuple[Neighbor, ...] = ()


@dataclass(frozen=True, slots=True)
class Checked:
    """These values were read back once more together, in another form, and said yes to."""

    calls: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class CautionsRead:
    """Somebody read these cautions of a board, each by its key."""

    board: str
    cautions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Tick:
    """A step done: its fingerprint, its number then, and the facts that it was made from; `off` once the plan had it
    otherwise, whatever comes after.
    """

    step: str
    number: int
    by: str
    used: tuple[tuple[Key, Fact], ...] = ()
    off: bool = False


@dataclass(frozen=True, slots=True)
class Ticked:
    """A step was done."""

    board: str
    tick: Tick


@dataclass(frozen=True, slots=True)
class Unticked:
    """The plan of a board has these steps no more, by their fingerprints: they are to be done anew, even where it has
    them again.
    """

    board: str
    steps: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Spoken:
    """The read-back is to be so loud and so slow from now on, in steps from how it is by default."""

    loudness: int
    slowness: int


@dataclass(frozen=True, slots=True)
class Prompting:
    """The places of a board are asked for one after another from now on, or no more."""

    on: bool


@dataclass(frozen=True, slots=True)
class EntriesLost:
    """The journal had lost these entries when it was opened. One of them may have been a correction or an undo, so
    that an older value stands again: every value is to be said yes to, or called again.
    """

    numbers: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Held:
    """Listening pauses."""


@dataclass(frozen=True, slots=True)
class LetGo:
    """What was spoken while listening pauses wasn't taken, and is counted."""


@dataclass(frozen=True, slots=True)
class Resumed:
    """Listening goes on."""


@dataclass(frozen=True, slots=True)
class Answered:
    """What fieldvoice told; `asks` while it waits for an answer, `refused` where it took nothing."""

    notices: tuple[Notice, ...]
    asks: bool = False
    refused: bool = False


Event = (
    Heard
    | Opened
    | Ordered
    | OrderStands
    | OrderDenied
    | Called
    | Asked
    | Questioned
    | Confirmed
    | Closed
    | Accepted
    | TakenBack
    | Restored
    | NotTaken
    | SaidAgain
    | Struck
    | Undone
    | Awaited
    | Endangered
    | DeadSaid
    | BoardOpened
    | SurfaceOpened
    | HouseTaken
    | LaidOut
    | PieceOpened
    | PieceRenewed
    | PieceCut
    | Assumed
    | Checked
    | CautionsRead
    | Ticked
    | Unticked
    | Spoken
    | Prompting
    | EntriesLost
    | Held
    | LetGo
    | Resumed
    | Answered
)
