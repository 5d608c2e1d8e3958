"""What was called, and what became of it: the nouns of the dialogue. Nothing here is a sentence."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from fieldvoice.records.board import EdgesTold, OddOffcut, Offcut
from fieldvoice.records.facts import Fact, Key, Oddity, Of, key_of
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Coordinate, Edge, Incomplete, Lack
from fieldvoice.records.plan import Missing, NoPlan
from fieldvoice.records.room_plan import RoomWarning
from fieldvoice.records.trouble import Hindrance
from fieldvoice.records.utterance import Refusal


class Standing(StrEnum):
    """What became of a call. Each is at any moment in exactly one of these, and none is ever deleted."""

    READ_BACK = "read back"  # waits until its speaker goes on without objecting
    DOUBTFUL = "doubtful"  # waits for the answer to a question
    ACCEPTED = "accepted"  # in force
    CONFIRMED = "confirmed"  # in force, and said yes to against a doubt
    REPLACED = "replaced"  # by a later one, which names it
    TAKEN_BACK = "taken back"  # undone, scratched, objected to or dismissed, and that was said
    NOT_TAKEN = "not taken"  # kept until it is said again or dismissed


WAITING = frozenset({Standing.READ_BACK, Standing.DOUBTFUL})
IN_FORCE = frozenset({Standing.ACCEPTED, Standing.CONFIRMED})


@dataclass(frozen=True, slots=True)
class Call:
    """One thing called. `fact` is None where its words could not be understood; `words` are those of the utterance.

    `hearings` counts how often the value was heard or read the same: a typed one counts as two, since nobody mishears a
    keyboard. `replaces` is the call that it takes, or took, the place of. `carried` came over from the board before.
    `corrects` came with "no" or "change", `denies` with a no: what it takes the place of was wrong.
    `queued` is taken up again once the question that was open is answered.
    `put_off` lacks a part that is asked for again with "done": its speaker went on measuring.
    `again`: how often it was said once more, in short, once its speaker went on; an older journal has whether it was.
    `checked`: whether it was said yes to in a last read-back.
    `doubted`: whether it was in question when another one took its place.
    `displaces` are those at other places that it leaves, or left, no room for: "no boxes" for a box.
    `about` is what words that weren't understood were about, whichever of their meanings was meant.
    `prompted`: whether a figure that was heard without a place was put where the next one belongs.
    `like` is the call that its figure was told by: "the same as the top", "an eighth less".
    `unit` is what its board was spoken in when it was called; None where it wasn't called at the board, or waits for
    its unit.
    """

    number: int
    board: str
    by: str
    fact: Fact | Incomplete | None
    words: str
    standing: Standing
    hearings: int = 1
    replaces: int | None = None
    carried: bool = False
    queued: bool = False
    corrects: bool = False
    denies: bool = False
    again: int | bool = 0
    checked: bool = False
    about: Key | None = None
    doubted: bool = False
    prompted: bool = False
    displaces: tuple[int, ...] = ()
    like: int | None = None
    unit: Unit | None = None
    put_off: bool = False

    @property
    def key(self) -> Key:
        """What it is about; words of which that can't be told are about themselves."""
        return (self.about or Key(Of.WORDS, name=str(self.number))) if self.fact is None else key_of(self.fact)

    @property
    def waits(self) -> bool:
        """Whether it waits for an answer, or for its speaker to go on."""
        return self.standing in WAITING

    @property
    def in_force(self) -> bool:
        """Whether it counts."""
        return self.standing in IN_FORCE

    @property
    def gone(self) -> bool:
        """Whether it stands nowhere any more."""
        return self.standing in {Standing.REPLACED, Standing.TAKEN_BACK}


class Concern(StrEnum):
    """Why something is asked; what a doubt holds with it stands beside each."""

    UNSURE = "unsure"  # the ear's own doubt
    RIVAL = "rival"  # less likely heard: ways
    TWIN = "twin"  # value: the length that sounds alike
    FELLOWS = "fellows"  # value: the nearest fellow; other: a twin near it, if there is one
    OTHER_BOARDS = "other boards"  # value: the height there
    INSTEAD = "instead"  # other: what takes the place of value without a word of correction, far from it
    AT_ODDS = "at odds"  # told: a course, an edge, what was called there; else calls: what it can't be with, if any
    ODD = "odd"  # odd: what geometry finds hard to believe
    ALREADY_CUT = "already cut"  # told: the value then, who ticked
    LOST = "lost"  # entries of the job are lost
    SMALL = "small"  # other: what was rather meant, if that can be told
    UNLIKELY = "unlikely"  # value: a length that few things of its kind have
    SWAPPED = "swapped"  # less likely: ways, the box the other way round
    MISPLACED = "misplaced"  # what took a place, and what stood there: ways
    SAME_BOX = "same box"  # another place under the name of a box that is there; told: the next free name
    OBJECTED = "objected"  # somebody began with no
    CONTRADICTION = "contradiction"  # "no", and the same again
    WHICH_OF = "which of"  # ways: as likely
    LACKS = "lacks"  # lack
    TESTED = "tested"  # boxes
    LAST = "last"  # the last read-back; told: of one box or opening, whether only across or only up and down
    FAR_FROM_LAYOUT = "far from layout"  # value: what was planned; told: the side of an opening that is there
    NOT_IN_LAYOUT = "not in layout"  # ways: what the layout has instead; none where it has nothing there
    OFF_ANOTHER_BOARD = "off another board"  # told: the board, and the edge that value is from, if any
    LEAVE_OUT = "leave out"  # words that were not taken: whether they may be left out

    @property
    def kind(self) -> QuestionKind:
        """What holds of every question of it."""
        return _KINDS.get(self, _ANY)


class AnsweredBy(StrEnum):
    """What answers a question."""

    YES_OR_NO = "yes or no"
    ONE_OF = "one of them"
    PART = "the missing part"


@dataclass(frozen=True, slots=True)
class QuestionKind:
    """What holds of every question of one concern: what settles it; whether it can't be put without ways to ask of;
    whether "done" puts it, so that it is over once somebody goes on; whether other values brought it up, without which
    it may be none any more; whether a yes says that figures are right; whether a yes counts only while the question is
    in the ear.
    """

    answered_by: AnsweredBy = AnsweredBy.YES_OR_NO
    of_ways: bool = False
    by_done: bool = False
    beside_others: bool = False
    of_figures: bool = True
    in_the_ear: bool = False


_ANY = QuestionKind()
_KINDS = {
    Concern.WHICH_OF: QuestionKind(AnsweredBy.ONE_OF, of_ways=True),
    Concern.MISPLACED: QuestionKind(AnsweredBy.ONE_OF, of_ways=True),
    Concern.RIVAL: QuestionKind(of_ways=True),
    Concern.SWAPPED: QuestionKind(of_ways=True),
    Concern.ALREADY_CUT: QuestionKind(of_ways=True, of_figures=False),
    Concern.SAME_BOX: QuestionKind(of_figures=False),
    Concern.LACKS: QuestionKind(AnsweredBy.PART),
    **dict.fromkeys(
        (Concern.ODD, Concern.AT_ODDS, Concern.FELLOWS, Concern.OTHER_BOARDS), QuestionKind(beside_others=True)
    ),
    Concern.LAST: QuestionKind(by_done=True, in_the_ear=True),
    Concern.LEAVE_OUT: QuestionKind(by_done=True),
    Concern.TESTED: QuestionKind(in_the_ear=True),
}


@dataclass(frozen=True, slots=True)
class Doubt:
    """A question that a call waits for. `call` is None where it is about circuits. `ways` are what it may have been,
    each a group of facts; none of them is empty, and where the concern is which of them it is there is one at least:
    anything else raises `ValueError`. `calls` are those that the last read-back names, or by which the one in question
    was told: it stands only while they do.
    """

    concern: Concern
    call: int | None = None
    ways: tuple[tuple[Fact, ...], ...] = ()
    value: Length | None = None
    other: Length | None = None
    odd: Oddity | None = None
    told: tuple[str, ...] = ()
    lack: Lack | None = None
    boxes: tuple[str, ...] = ()
    calls: tuple[int, ...] = ()

    def __post_init__(self) -> None:
        """Refuses a question that nothing could answer."""
        if not all(self.ways) or (self.concern.kind.of_ways and not self.ways):
            raise ValueError(f"{self.concern.value} asks of nothing: {self.ways}")

    @property
    def answered_by(self) -> AnsweredBy:
        """What kind of answer settles it."""
        if self.concern is Concern.WHICH_OF and len(self.ways) == 1:
            return AnsweredBy.YES_OR_NO  # a guess at what was meant
        return self.concern.kind.answered_by


class OpenKind(StrEnum):
    """Why a plan is still a draft."""

    WAITING = "waiting"
    NOT_TAKEN = "not taken"
    MISSING = "missing"


@dataclass(frozen=True, slots=True)
class OpenItem:
    """One thing that keeps a plan a draft: a call that waits or wasn't taken with its question, or what is missing: an
    end of an edge that was never measured (`key`), an edge of which nobody said what stands there, or a need of the
    cutting room. `unread` are calls that the last read-back has still to name.
    """

    kind: OpenKind
    by: str | None = None
    call: Call | None = None
    doubt: Doubt | None = None
    need: Missing | None = None
    key: Key | None = None
    unread: tuple[Call, ...] = ()


class Tell(StrEnum):
    """What fieldvoice tells; the values that go with each stand beside it."""

    READ_BACK = "read back"  # Call; the Call that it takes the place of, if any
    TOGETHER = "together"  # Calls: those of a kind, once more, in short; behind a box AS_HIGH
    QUESTION = "question"  # Doubt, the Calls it is about
    TAKEN = "taken"
    CONFIRMED = "confirmed"  # Call
    NOT_TAKEN_WHAT_IS_IT = "not taken, what is it"  # Calls
    ANSWER_FIRST = "answer first"  # Doubt, its Calls
    ANSWER_UNCLEAR = "answer unclear"
    NAMES_ANOTHER = "names another"  # Doubt, its Calls
    PICK_ONE = "pick one"  # Doubt, its Calls: yes doesn't say which
    SAY_THE_PART = "say the part"  # Doubt, its Calls: yes says no part
    ASKED_ANOTHER = "asked another"  # who is asked, Doubt, its Calls
    NOTHING_OPEN = "nothing open"
    NOTHING_TO_UNDO = "nothing to undo"
    NOTHING_CAME = "nothing came"
    DANGER_STAYS = "danger stays"
    TAKEN_BACK = "taken back"  # board, Calls that went, then Calls that stand again
    DISMISSED = "dismissed"  # Call: one, or one figure at each of its places
    CHANGED_SINCE = "changed since"  # who, Calls
    CALLED_SINCE = "called since"  # Calls: what waited, and what was called behind it
    TAKEN_OUT = "taken out"  # Call
    NOT_THERE = "not there"  # what was named
    MORE_THAN_ONE = "more than one"  # what was named
    UTTERANCE_ASKED = "utterance asked"  # the question, worded from the utterance: Question and ways
    REFUSED = "refused"  # Refusal
    KEPT_NOT_TAKEN = "kept not taken"  # the words
    ELSEWHERE = "elsewhere"  # Call: of the wall, lies on another board of it
    FROM_THIS_BOARD = "from this board"  # Call: of the wall, lies on this board, measured from where it doesn't end
    STAYS_AT_WALL = "stays at wall"  # Call: measured from an edge that the wall has and the board hasn't
    PUT_OFF = "put off"  # Call: what it lacks is asked for again with "done"
    TOLD_BY_ANOTHER = "told by another"  # its Call, then the Call that it was told by as it is now
    WHICH_DIAGONAL = "which diagonal"
    WHICH_VALUE = "which value"
    SAME_AS_WHAT = "same as what"
    WHICH_PLACE = "which place"  # the place as said
    NO_PLACE_LEFT = "no place left"
    WHICH_EDGE = "which edge"
    TWO_VALUES = "two values"  # Key, two facts
    NO_BOX = "no box"  # its name
    ANSWER_ALONE = "answer alone"
    ORDER_UNSURE = "order unsure"  # the words, then, where it is one order alone, that, its target or "", who said it
    ORDER_RIGHT = "order right"  # the same, where a yes does it
    NOT_NEXT_YET = "not next yet"
    ORDER_OFF = "order off"
    ORDER_BACK = "order back"  # the order's words: what it did is taken back
    SAY_WHOLE = "say whole"
    NO_LEVEL = "no level"
    BOXES_THERE = "boxes there"  # their names
    WIDTHS_THERE = "widths there"  # their Calls: no full sheet
    NO_USE = "no use"  # the words: understood, and nothing comes of it
    NOT_DEAD = "not dead"  # the boxes; who; those revoked, as board and box
    MAYBE_LIVE = "maybe live"  # those revoked, as board and box: what was said of a circuit wasn't understood
    AFTER_DEAD = "after dead"  # those revoked, as board and box: what came right behind their word wasn't understood
    TEST_OVER = "test over"  # the box; who said it was dead, when, and when that ran out: none where the session ended
    MOVED_SINCE = "moved since"  # those tested elsewhere, as board and box
    MEASURED_SINCE = "measured since"  # the same, of which the board may be another since
    BOX_WAITS = "box waits"  # who called it, the boxes
    DEAD = "dead"  # the boxes; who; when, until when
    DEAD_RECORDED = "dead recorded"  # the boxes: a file's word doesn't count now
    TEST_ON_BOARD = "test on board"
    DEAD_ALONE = "dead alone"
    DEAD_TOGETHER = "dead together"
    WHICH_BOTH = "which both"
    ONLY_TESTER = "only tester"  # the boxes
    NO_BOX_HERE = "no box here"
    BOARD = "board"  # its name, whether new
    OF_BOARD = "of board"  # its name, whether it is a surface: what is told next is of that one
    SAY_BOARD = "say board"  # the same of what was read back last, and of the board at hand
    SURFACE = "surface"  # its name, whether new
    SURFACE_OUT = "surface out"  # its name: all that was called on it is off
    SURFACE_NOT_YET = "surface not yet"  # its name as said
    ROOMLESS = "roomless"  # a wall that was called in no room; where one of a room is called so too, that one
    WHICH_SURFACE = "which surface"  # its name as said, then the whole names of those that may be meant
    HOUSE = "house"  # its name, the number of its surfaces, its rooms
    HOUSE_GOES_ON = "house goes on"  # the file: nothing of it is otherwise
    HOUSE_CHANGED = "house changed"  # the file, then what of it is otherwise
    HOUSE_UNSAID = "house unsaid"  # the file, then the names of it that nobody can say
    HOUSE_SAID = "house said"  # each wall as it is written, then as it is said
    HOUSE_CLASHES = "house clashes"  # the file, the surface that is there twice
    ROOM = "room"  # its name, how many of its pieces are boards already, how many there are; its surfaces
    WHICH_ROOM = "which room"  # its name as said, then those that may be meant
    JOISTS_ASSUMED = "joists assumed"  # the spacing as it would be said if they spanned the longer side
    OF_A_CEILING = "of a ceiling"
    FRAMING_WANTED = "framing wanted"  # the surface's name: where its studs or joists are
    ONE_SURFACE = "one surface"
    NO_SURFACE = "no surface"
    NOT_OF_SURFACE = "not of surface"  # the surface's name: readings and boxes are a board's
    OUTSIDE = "outside"  # the surface's name, the opening's
    LAYOUT_OF_ALL = "layout of all"  # how many surfaces, then as LAYOUT
    LAYOUT = "layout"  # the number of pieces, then of each sheet: count, width, length; of two as large thickness, kind
    LAYOUT_WARNS = "layout warns"  # RoomWarnings that the layout before had not
    NO_LAYOUT = "no layout"  # why
    LAYOUT_OFF = "layout off"
    PIECE = "piece"  # the board; the surface's name, the piece's number; width, height; sheet's width, length; course
    # or ""; how it lies; what stands at each edge, as Context facts
    PIECE_RENEWED = (
        "piece renewed"  # the board; Context facts that are otherwise, Calls that are off: else its place is
    )
    PIECE_BACK = "piece back"  # the board; the surface that has its place again
    CUT_OUTSIDE = "cut outside"  # the board, which is cut; the surface that has no place for it any more
    OPENINGS_NOW = "openings now"  # the board, whether it is cut, the kinds of openings that the layout has in it now
    NOT_CARRIED = "not carried"  # Calls
    CUT_OTHERWISE = "cut otherwise"  # the board, which is cut; what stands there otherwise now, as Context facts; Calls
    SAME_SHEET = "same sheet"  # the board that the sheet was opened for
    FROM_OFFCUT = "from offcut"  # the Offcut
    LEAVES = "leaves"  # the board, then each Offcut
    LEFT_OVER = "left over"  # the same of a board that no layout has: told to the eye alone
    PIECE_SLOPES = "piece slopes"  # how high its sides are, left and right; where the slope changes on it, and how high
    NO_PIECE = "no piece"  # as it was named
    RACK = "rack"  # its offcuts, each with the board that it is meant for, empty where none is
    OFFCUT_IN = "offcut in"  # an Offcut from elsewhere, what was said of its edges
    OFFCUT_OFF = "offcut off"  # the Offcut, which is off the rack
    OFFCUT_BACK = "offcut back"  # the Offcut, which is on it again
    OFFCUT_ODD = "offcut odd"  # why there is none like that; its sides as said
    OFFCUT_NOT_TOLD = "offcut not told"  # its name: of a job of before, when what a board left couldn't be taken off
    OFFCUT_NOT_THERE = "offcut not there"  # its name
    PIECES_LEFT = "pieces left"  # on the surface at hand; its name, empty where it isn't one; on all; boards begun
    NO_OFFCUT = "no offcut"  # why not that one
    OFFCUT_OTHERWISE = "offcut otherwise"  # the board that is cut from it, its name
    ALL_PIECES = "all pieces"  # how many: each is a board of the job; those that have no plan yet
    CARRIED = "carried"  # Calls
    STILL_HERE = "still here"  # Context facts of the board that work goes back to, otherwise than on the one left
    DEFAULTS = "defaults"  # edges with what stands there, as Context facts
    SHEET_OF_UNIT = "sheet of unit"  # how wide a sheet is that nobody called, by the unit since this turn
    FROM_FLOOR = "from floor"  # what was called from the bottom of a board that hangs above the floor
    DRAFT = "draft"  # OpenItems
    UNCALLED = "uncalled"  # an opening of the layout that isn't called: what it is, its sides from the board's left
    STEPS = "steps"  # their number
    NO_PLAN = "no plan"  # why
    HEED = "heed"  # a sentence of the safety room
    NEEDS = "needs"  # Missing items, required ones
    BETTER = "better"  # Missing items
    WAITING = "waiting"  # Doubt, its Calls
    NOTHING_MISSING = "nothing missing"  # board
    FASTENERS = "fasteners"  # how many, of which kind and grip; how long, how far apart at edges and elsewhere
    WEIGHT = "weight"  # pounds, how many people lift it, and the crew that does
    BY_BOARD = "by board"
    NOT_PLANNED_YET = "not planned yet"  # board
    NO_RULE = "no rule"  # why
    SURFACE_WHOLE = "surface whole"  # its name: nothing is missing
    READ_ALL = "read all"  # board
    NOTHING_YET = "nothing yet"  # board
    NO_BOARD = "no board"  # the name, then those that are there
    HOLDING = "holding"
    STILL_HOLDING = "still holding"
    LISTENING = "listening"
    LET_GO = "let go"  # how many calls were spoken while holding
    HELP = "help"
    NOTHING_SAID = "nothing said"
    NOT_SETTLED = "not settled"
    NO_STEP = "no step"  # the number as said, how many there are
    STEP_BEFORE = "step before"  # number
    TICKS_OFF = "ticks off"  # numbers of steps that were ticked and that the plan has otherwise now
    STEP_DONE = "step done"  # number
    ALL_STEPS_DONE = "all steps done"
    READ_CAUTIONS = "read cautions"
    CAUTIONS_READ = "cautions read"
    AS_LOUD = "as loud"
    AS_SLOW = "as slow"
    NEXT_PLACE = "next place"  # width or height, and the place that is asked for
    ONE_BY_ONE = "one by one"
    NO_ONE_BY_ONE = "no one by one"
    RIP = "rip"  # its Length
    ALREADY_CUT = "already cut"  # Key, the value then, who ticked, the step's number
    NOT_CUT_FROM = "not cut from"  # why
    ENTRIES_LOST = "entries lost"  # numbers


AS_NEAR = "as near"
"""Behind a reading that is said once more: its fellows are so near that none can be an inch off."""
AS_HIGH = "as high"
"""Behind a box that is said once more: another one is so near its height that none can be an inch off."""

ACROSS, DOWN = "across", "down"
"""Of a box or an opening that takes longer to say than an answer may, its distances across are a part of the last
read-back, and with the yes to them those up and down are the next.
"""

ENOUGH = 2
"""How often a value that was heard once is said once more before the last read-back leaves it to the screen (our own
rule, by what the simulator settles wrong)."""

Value = (
    Call
    | Doubt
    | Key
    | OpenItem
    | Fact
    | Coordinate
    | Missing
    | NoPlan
    | Offcut
    | EdgesTold
    | OddOffcut
    | Hindrance
    | Refusal
    | RoomWarning
    | Length
    | Edge
    | datetime
    | str
    | int
)
"""What a notice speaks of."""


AGAIN = "again"
"""With a question that is to be answered first: the answer before held it, too."""


@dataclass(frozen=True, slots=True)
class Notice:
    """One thing told, worded in `wording`; `asks` where an answer is waited for, `safety` goes first."""

    tell: Tell
    values: tuple[Value, ...] = ()
    safety: bool = False
