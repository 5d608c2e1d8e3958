"""What is known of the job: a fold over events, and nothing that isn't in them; what somebody says a board is cut from
is read off it.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from functools import cached_property
from typing import TypeVar

from fieldvoice.dialogue.events import Awaited, Heard, Tick
from fieldvoice.records.board import CircuitWord
from fieldvoice.records.facts import Fact, Key, Of
from fieldvoice.records.laying import CutPiece, Laying
from fieldvoice.records.ledger import AnsweredBy, Call, Concern, Doubt, Notice, Standing
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import (
    Box,
    Circuit,
    Context,
    Dimension,
    Edge,
    Incomplete,
    Neighbor,
    Opening,
    OpeningKind,
    Reading,
    Topic,
)
from fieldvoice.records.room import House
from fieldvoice.records.room_plan import PieceName
from fieldvoice.records.said import Manner

UNDO_DEPTH = 64
"""How many changes can be taken back: a day's talk stays bounded in memory."""

WIRED = frozenset({OpeningKind.LIGHT})
"""Openings that have a circuit behind them, as every box has."""


def has_circuit(fact: Fact | Incomplete | None) -> bool:
    """Whether a circuit is behind the hole."""
    return isinstance(fact, Box) or (isinstance(fact, Opening) and fact.kind in WIRED)


class OnBoard(dict[int, Call]):
    """The calls of one board by their numbers, in order, never changed; what they come to is worked out once."""

    @cached_property
    def settled(self) -> Mapping[Key, Call]:
        """What is in force."""
        return {call.key: call for call in self.values() if call.in_force}

    @cached_property
    def known(self) -> Mapping[Key, Call]:
        """What is in force with what was just read back over it."""
        return self._with({Standing.READ_BACK})

    @cached_property
    def known_or_doubtful(self) -> Mapping[Key, Call]:
        """The same with what is doubted."""
        return self._with({Standing.READ_BACK, Standing.DOUBTFUL})

    def _with(self, wanted: set[Standing]) -> Mapping[Key, Call]:
        waiting = [call for call in self.values() if call.standing in wanted and is_whole(call)]
        values = {**self.settled, **{call.key: call for call in waiting}}
        gone = {number for call in waiting for number in call.displaces}
        return {key: call for key, call in values.items() if call.number not in gone} if gone else values

    @cached_property
    def source(self) -> Call | None:
        """The call that says what the board is cut from."""
        counts = {Standing.ACCEPTED, Standing.CONFIRMED, Standing.READ_BACK}
        return next((call for call in reversed(self.values()) if names_source(call) and call.standing in counts), None)

    @cached_property
    def like_others(self) -> tuple[Call, ...]:
        """The calls that were told by another one's value."""
        return tuple(call for call in self.values() if call.like is not None)

    @cached_property
    def heights(self) -> tuple[Length, ...]:
        """The heights that are known."""
        facts = facts_of(self.known.values())
        return tuple(fact.value for fact in facts if isinstance(fact, Reading) and fact.dimension is Dimension.HEIGHT)

    @cached_property
    def wall(self) -> tuple[object, ...]:
        """The room and the surface that the board is on."""
        keys = (Key(Of.CONTEXT, name=topic.value) for topic in (Topic.ROOM, Topic.SURFACE))
        return tuple(self.known[key].fact if key in self.known else None for key in keys)


_NONE_YET = OnBoard()


class Ledger(dict[int, Call]):
    """Every call by its number, in order, never changed: one with other calls is another ledger, which shares the
    boards that it leaves alone. So a turn costs what its own board holds, however long the job is.
    """

    def __init__(self, calls: Mapping[int, Call] | None = None, boards: Mapping[str, OnBoard] | None = None) -> None:
        super().__init__(calls or {})
        self.boards = dict(boards or {})

    def having(self, calls: Iterable[Call]) -> Ledger:
        """With those calls as they are now, each on the board that it was made on."""
        changed = {call.number: call for call in calls}
        if not changed:
            return self
        ledger = Ledger(self, self.boards)
        ledger.update(changed)
        for board in dict.fromkeys(call.board for call in changed.values()):
            own = {number: call for number, call in changed.items() if call.board == board}
            ledger.boards[board] = OnBoard({**self.on(board), **own})
        return ledger

    def on(self, board: str) -> OnBoard:
        """The calls of a board."""
        return self.boards.get(board, _NONE_YET)

    def changed_since(self, before: Ledger) -> list[str]:
        """The boards of which any call is otherwise than it was, or new."""
        return [board for board, calls in self.boards.items() if before.on(board) is not calls]


@dataclass(frozen=True, slots=True)
class Open:
    """What waits for one person: the calls, in order, and the questions about them, asked one at a time. Without any
    question the calls are taken as soon as their speaker goes on without objecting. `stood` are those that were called
    earlier and put in question since. `asked_at` is when the speaker was asked last whether circuits are dead,
    or all is right.
    """

    board: str = ""
    calls: tuple[int, ...] = ()
    doubts: tuple[Doubt, ...] = ()
    confirmed: frozenset[int] = frozenset()
    stood: frozenset[int] = frozenset()
    asked_at: datetime | None = None

    def __bool__(self) -> bool:
        """Whether anything is open."""
        return bool(self.calls or self.doubts)


NOTHING = Open()


@dataclass(frozen=True, slots=True)
class Past:
    """One change that can be taken back: the calls that came into force, those that were in question and said yes to
    (`stood`), those taken off, those that waited or weren't taken and went with them, as they were (`waited`), the
    boxes whose circuits it spoke of, the step that it ticked, and the offcut that it told, or took off the rack as it
    was there. `behind` is the last call before it.
    """

    by: str
    board: str
    calls: tuple[int, ...] = ()
    stood: tuple[int, ...] = ()
    off: tuple[int, ...] = ()
    waited: tuple[Call, ...] = ()
    circuits: tuple[str, ...] = ()
    tick: Tick | None = None
    behind: int = 0
    offcut: str = ""
    racked: CutPiece | None = None


@dataclass(frozen=True, slots=True)
class ReadLast:
    """What was read back last, which is what an objection is about: calls, or boxes said to be dead."""

    calls: tuple[int, ...] = ()
    boxes: tuple[str, ...] = ()
    board: str = ""


@dataclass(frozen=True, slots=True)
class Denied:
    """An order that a no takes back, in words, and the job before it."""

    words: str
    before: State


@dataclass(frozen=True, slots=True)
class State:
    """The job as its events have left it. `calls` is the ledger: every call by its number, in order, none ever gone.

    `let_go` is how often somebody spoke while holding, `know_held` who was told since then, in this session, that
    nothing is taken.
    `led_away` is the board that a person called on when somebody else went to another, until they say which they mean.
    `open` is what waits, by the person asked. `focus` is the dimension last spoken of, `edge` the edge; `awaited` is
    the place whose value comes next, by who is to say it. `assumed` is
    what was said aloud to stand at edges by default, by board. `ended` is what was said of dead circuits in the session
    before, which counts no more. `read` are the cautions that were read in this
    session, by board.
    `said` is the last answer, `told` whom it answered, `told_to` the last answer to each; what is only `shown` answers
    nobody.
    `manner` is how the read-back is spoken, `prompting` whether the places of a board are asked for one after another.
    `surfaces` are the walls and ceilings called as a whole, whose calls are kept as a board's are; `laying` is what
    was laid out last; `pieces` is the planned piece that a board is, by board; `cut`
    are those whose plan was settled, in that order, with what they leave.
    `house` is the planned house that was taken from a file.
    `ordered` is the order that this turn carried out, `last_order` that of the turn before.
    `losses` are the numbers of lost entries that the values were put in question for, `holed` the boards of then.
    """

    calls: Ledger = field(default_factory=Ledger)
    boards: tuple[str, ...] = ("1",)
    board: str = "1"
    led_away: Mapping[str, str] = field(default_factory=dict)
    open: Mapping[str, Open] = field(default_factory=dict)
    words: Mapping[str, Mapping[str, CircuitWord]] = field(default_factory=dict)
    ended: Mapping[str, Mapping[str, CircuitWord]] = field(default_factory=dict)
    ticks: Mapping[str, tuple[Tick, ...]] = field(default_factory=dict)
    assumed: Mapping[str, Mapping[Edge, Neighbor]] = field(default_factory=dict)
    past: tuple[Past, ...] = ()
    read_last: ReadLast = ReadLast()
    focus: Dimension | None = None
    edge: Edge | None = None
    awaited: Mapping[str, Awaited] = field(default_factory=dict)
    holding: bool = False
    let_go: int = 0
    know_held: frozenset[str] = frozenset()
    heard: Heard | None = None
    said: tuple[Notice, ...] = ()
    told: str = ""
    shown: bool = False
    told_to: Mapping[str, tuple[Notice, ...]] = field(default_factory=dict)
    asks: bool = False
    refused: bool = False
    read: Mapping[str, frozenset[str]] = field(default_factory=dict)
    manner: Manner = field(default_factory=Manner)
    prompting: bool = False
    losses: frozenset[str] = frozenset()
    holed: frozenset[str] = frozenset()
    surfaces: tuple[str, ...] = ()
    laying: Laying | None = None
    house: House | None = None
    pieces: Mapping[str, PieceName] = field(default_factory=dict)
    cut: Mapping[str, CutPiece] = field(default_factory=dict)
    ordered: Denied | None = None
    last_order: Denied | None = None

    @property
    def called_surfaces(self) -> tuple[str, ...]:
        """The surfaces that anything stands on or waits for, beside what went along from the last one: one that was
        taken out is among `surfaces` still.
        """
        there = (name for name in self.surfaces if any(not (call.carried or call.gone) for call in self.on(name)))
        return tuple(there)

    @property
    def called_last(self) -> tuple[Call, ...]:
        """The calls that were read back last."""
        return self.those(self.read_last.calls)

    def those(self, numbers: Iterable[int | None]) -> tuple[Call, ...]:
        """The calls of those numbers, as far as they are there."""
        return tuple(self.calls[each] for each in numbers if each is not None and each in self.calls)

    @property
    def cut_pieces(self) -> dict[PieceName, CutPiece]:
        """The pieces of the layout that are cut."""
        return {self.pieces[board]: one for board, one in self.cut.items() if board in self.pieces}

    @property
    def next_number(self) -> int:
        """The number of the next call."""
        return max(self.calls, default=0) + 1

    @property
    def called_on(self) -> tuple[str, ...]:
        """The boards that anything was called on, beside what went along from the last one."""
        return tuple(board for board in self.boards if any(not call.carried for call in self.on(board)))

    def led_by(self, who: str, name: str, places: Collection[str]) -> dict[str, str]:
        """Whom others led away from one of these boards, or walls, that isn't settled and on which they called last,
        once somebody went to that one; each with what was left.
        """
        left = {person: board for person, board in self.led_away.items() if person != who and board != name}
        if self.board in places and self.board not in {name, *self.cut}:
            last = {one.by: one.board for one in self.calls.values() if not one.carried and one.by != who}
            left = {**{person: board for person, board in last.items() if board == self.board}, **left}
        return left

    def on(self, board: str) -> Iterator[Call]:
        """The calls of a board, in order."""
        return iter(self.calls.on(board).values())

    def settled(self, board: str) -> Mapping[Key, Call]:
        """What is in force on a board."""
        return self.calls.on(board).settled

    def known(self, board: str, *, doubtful: bool = False) -> Mapping[Key, Call]:
        """What is in force with what was just read back over it, the doubted too if asked for."""
        calls = self.calls.on(board)
        return calls.known_or_doubtful if doubtful else calls.known

    @property
    def doubts(self) -> tuple[Doubt, ...]:
        """All that is asked, whoever it is put to."""
        return tuple(doubt for one in self.open.values() for doubt in one.doubts)

    def all_known(self, numbers: Iterable[int]) -> bool:
        """Whether these calls are what is known of their places, and none of them was taken back or replaced."""
        calls = self.those(numbers)
        return all(self.known(call.board).get(call.key) == call for call in calls)

    def circuits(self, board: str) -> dict[str, CircuitWord]:
        """What was said of the circuits of a board. "Dead and tested" was said of a box as it was settled: it says
        nothing of one that is gone, or that has been read back otherwise since.
        """
        settled = {call.key.name: call.fact for call in self.settled(board).values() if has_circuit(call.fact)}
        known = {call.key.name: call.fact for call in self.known(board, doubtful=True).values()}
        words = self.words.get(board, {}).items()
        return {
            box: word
            for box, word in words
            if word.state is not Circuit.DEAD or (box in settled and known.get(box) == settled[box])
        }

    def boxes(self, board: str) -> tuple[str, ...]:
        """The names of everything on a board that has a circuit, what is still in question too."""
        calls = self.known(board, doubtful=True).values()
        return tuple(call.key.name for call in calls if has_circuit(call.fact))

    def waiting(self, who: str) -> tuple[Call, ...]:
        """The calls that wait for that person."""
        return tuple(self.calls[number] for number in self.open_to(who).calls)

    def open_to(self, who: str) -> Open:
        """What is open for that person."""
        return self.open.get(who, NOTHING)

    def not_taken(self, board: str) -> tuple[Call, ...]:
        """What was called and not taken, and neither said again nor dismissed."""
        return tuple(call for call in self.on(board) if call.standing is Standing.NOT_TAKEN)

    def begun(self, board: str) -> tuple[Call, ...]:
        """What waits on a board, for whomever, and what lacks a part that is asked for later."""
        return (*(call for call in self.on(board) if call.waits), *self.put_off(board))

    def put_off(self, board: str) -> tuple[Call, ...]:
        """What lacks a part that is asked for again with "done"."""
        return tuple(call for call in self.not_taken(board) if call.put_off)

    def call_of(self, doubt: Doubt | None) -> Call | None:
        """The call that a question is about; None of a question about none, and of no question."""
        return None if doubt is None or doubt.call is None else self.calls.get(doubt.call)

    def asked_call(self, doubt: Doubt) -> Call:
        """The call that a question is about that is about one."""
        assert doubt.call is not None
        return self.calls[doubt.call]

    def asked_as_one(self, doubt: Doubt) -> tuple[Doubt, ...]:
        """The question with the others that one answer settles: of one figure that was called once for several places,
        and that is doubted at each for the same cause.
        """
        mine = next((one.doubts for one in self.open.values() if doubt in one.doubts), (doubt,))
        cause = self._cause(doubt)
        return (doubt,) if cause is None else tuple(each for each in mine if self._cause(each) == cause)

    def called_as_one(self, call: Call) -> tuple[Call, ...]:
        """The call with those of its figure at other places, where one breath called it once for all of them."""
        near = [each for each in self.on(call.board) if (each.waits and call.waits) or self._just_told(each, call)]
        return tuple(each for each in near if are_one_figure((each, call))) or (call,)

    def _just_told(self, *calls: Call) -> bool:
        return all(each.in_force and each.number in self.read_last.calls for each in calls)

    def _cause(self, doubt: Doubt) -> tuple[object, ...] | None:
        """All of a question of yes and no but the place of its reading; None where it is of anything else."""
        call = self.call_of(doubt)
        if call is None or not call.waits or doubt.answered_by is not AnsweredBy.YES_OR_NO:
            return None
        if not isinstance(call.fact, Reading) or doubt.concern is Concern.WHICH_OF:
            return None
        old = self.calls.get(call.replaces) if call.replaces is not None else None
        before = _anywhere(old.fact, call.fact) if old is not None else None
        ways = tuple(tuple(_anywhere(fact, call.fact) for fact in way) for way in doubt.ways)
        odd = (
            None if doubt.odd is None else replace(doubt.odd, at=None if doubt.odd.at == call.fact.at else doubt.odd.at)
        )
        value = replace(call.fact, at=None)
        return replace(doubt, call=None, ways=ways, odd=odd), value, before, call.words, call.by

    def in_question(self, board: str) -> tuple[Call, ...]:
        """The calls whose place in the plan is doubtful."""
        return tuple(call for call in self.on(board) if call.standing is Standing.DOUBTFUL)


_Said = TypeVar("_Said", bound=Fact | Incomplete | None)


def _anywhere(fact: _Said, like: Fact | Incomplete | None) -> _Said:
    """A reading of the same place without it."""
    if isinstance(fact, Reading) and isinstance(like, Reading) and fact.at == like.at:
        return replace(fact, at=None)
    return fact


def is_whole(call: Call) -> bool:
    """Whether a call is a whole fact."""
    return isinstance(call.fact, Fact)


def are_one_figure(calls: Iterable[Call]) -> bool:
    """Whether calls are all of one figure that was called once, for one place or for several."""
    found = tuple(calls)
    figures = {
        (replace(each.fact, at=None), each.words, each.by)
        if isinstance(each.fact, Reading) and each.fact.at is not None and (each.fact.shared or len(found) == 1)
        else None
        for each in found
    }
    return len(figures) == 1 and None not in figures


def facts_of(calls: Iterable[Call]) -> list[Fact]:
    """The whole facts of calls."""
    return [call.fact for call in calls if isinstance(call.fact, Fact)]


def habit(known: Mapping[Key, Call], topic: Topic) -> str | None:
    """How the crew always does it, as that was said or shown: a habit of boxes until one that has it is denied."""
    call = known.get(Key(Of.CONTEXT, name=topic.value))
    if call is None or not isinstance(call.fact, Context):
        return None
    denied = (one.fact for one in known.values() if one.denies and one.number > call.number)
    points = [{each.x.point, each.y.point} for each in denied if isinstance(each, Box)]
    off = topic is Topic.BOX_POINT and any(call.fact.value not in each for each in points)
    return None if off else str(call.fact.value)


NEW_SHEET = "new sheet"
"""What is said where no offcut is meant, whatever the layout has; no offcut has that name."""


def sources_called(state: State) -> dict[str, Call]:
    """The call that says what it is cut from, by board."""
    found = [calls.source for calls in state.calls.boards.values() if calls.source is not None]
    return {call.board: call for call in sorted(found, key=lambda call: call.number)}


def names_source(call: Call) -> bool:
    """Whether a call says what its board is cut from."""
    return isinstance(call.fact, Context) and call.fact.topic is Topic.CUT_FROM


def source_called(state: State, board: str) -> str | None:
    """The name of the offcut that the board is said to be cut from, or `NEW_SHEET`; None where nobody said."""
    call = state.calls.on(board).source
    return None if call is None or not isinstance(call.fact, Context) else str(call.fact.value)


def offcut_called(state: State, board: str) -> str | None:
    """The same, None for a new sheet as well."""
    name = source_called(state, board)
    return None if name == NEW_SHEET else name


def other_heights(state: State, board: str) -> tuple[Length, ...]:
    """The heights of the other boards of the same room and surface, the last board's first."""
    here = state.calls.on(board).wall
    others = (state.calls.on(name) for name in reversed(state.boards) if name != board)
    return tuple(height for calls in others if calls.wall == here for height in calls.heights)
