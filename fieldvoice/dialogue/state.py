"""What is known of the job: a fold over events, and nothing that isn't in them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from fieldvoice.dialogue.view import Exchange, Say, Standing
from fieldvoice.records.board import CircuitWord
from fieldvoice.records.meaning import (
    Box,
    Circuit,
    Context,
    Diagonal,
    Dimension,
    Edge,
    Opening,
    Place,
    Plumb,
    Reading,
    Topic,
)


@dataclass(frozen=True, slots=True)
class BoxState:
    """What was said of a box's circuit, or of every box on the board where `name` is None."""

    state: Circuit
    name: str | None = None


Fact = Reading | Diagonal | Plumb | Box | BoxState | Opening | Context
"""A meaning that can be kept; its place is settled, so a reading has its dimension and slot."""

UNDO_DEPTH = 64
"""How many changes can be taken back: a day's talk stays bounded in memory."""

_CARRIED = frozenset(
    topic.value
    for topic in (
        Topic.ROOM,
        Topic.SURFACE,
        Topic.LIES,
        Topic.THICKNESS,
        Topic.KIND,
        Topic.LAYERS,
        Topic.FRAMING,
        Topic.SPACING,
        Topic.UNIT,
    )
)
"""What the next board takes over from the one before: the room and the material, never a reading or an edge."""


@dataclass(frozen=True, slots=True)
class Value:
    """One fact under its key ("width top", "box 1", "neighbour right"), who said it and how it stands."""

    key: str
    fact: Fact
    by: str
    standing: Standing = Standing.ACCEPTED


@dataclass(frozen=True, slots=True)
class Doubt:
    """Why the value under `key` isn't taken yet, as the question that settles it, in figures and in words."""

    key: str
    question: str
    spoken: str


@dataclass(frozen=True, slots=True)
class Pending:
    """What was read back or asked and isn't settled. Doubts are asked one at a time, in order; without any it is
    taken as soon as its speaker goes on without objecting.
    """

    board: str
    values: tuple[Value, ...]
    doubts: tuple[Doubt, ...] = ()


@dataclass(frozen=True, slots=True)
class Tick:
    """A step done: what it said, the edge or opening it made, and the values it was made from (key to figures)."""

    text: str
    cut: Edge | None
    opening: str | None
    by: str
    used: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Facts:
    """What is settled about one board."""

    values: Mapping[str, Value] = field(default_factory=dict)
    circuits: Mapping[str, CircuitWord] = field(default_factory=dict)
    ticks: tuple[Tick, ...] = ()


@dataclass(frozen=True, slots=True)
class Past:
    """One change that can be taken back: the values it replaced (None where there was none), the circuits it spoke of
    and whether it ticked a step.
    """

    by: str
    board: str
    old: tuple[tuple[str, Value | None], ...] = ()
    new: tuple[Value, ...] = ()
    circuits: tuple[str, ...] = ()
    ticked: Tick | None = None


@dataclass(frozen=True, slots=True)
class State:
    """The job as its events have left it. `focus` is the dimension last spoken of, `edge` the edge; `awaited` is the
    place a question was about, by the person asked. `losses` are the numbers of lost entries that the values were put
    in question for, `holed` the boards that there were then.
    """

    boards: Mapping[str, Facts] = field(default_factory=lambda: {"1": Facts()})
    board: str = "1"
    pending: Mapping[str, Pending] = field(default_factory=dict)
    past: tuple[Past, ...] = ()
    focus: Dimension | None = None
    edge: Edge | None = None
    awaited: Mapping[str, tuple[Dimension | None, Place]] = field(default_factory=dict)
    holding: bool = False
    last: Exchange | None = None
    said: tuple[Say, ...] = ()
    losses: frozenset[str] = frozenset()
    holed: frozenset[str] = frozenset()

    @property
    def facts(self) -> Facts:
        """What is settled about the board at hand."""
        return self.facts_of(self.board)

    @property
    def circuits(self) -> dict[str, CircuitWord]:
        """What was said of the circuits of the board at hand. "Dead and tested" was said of a box as it was settled: it
        says nothing of one that has been read back otherwise since.
        """
        settled, known = self.facts.values, self.known(self.board)
        moved = {key for key, value in known.items() if key not in settled or settled[key].fact != value.fact}
        words = self.facts.circuits.items()
        return {box: word for box, word in words if word.state is not Circuit.DEAD or box not in moved}

    def facts_of(self, board: str) -> Facts:
        """What is settled about a board; nothing yet where it is new."""
        return self.boards.get(board) or Facts()

    def known(self, board: str, *, doubtful: bool = False) -> dict[str, Value]:
        """The settled values of a board with those just read back over them, the doubted ones too if asked for."""
        values = dict(self.facts_of(board).values)
        for pending in self.pending.values():
            if pending.board == board and (doubtful or not pending.doubts):
                standing = Standing.DOUBTFUL if pending.doubts else Standing.READ_BACK
                values.update((value.key, replace(value, standing=standing)) for value in kept(pending))
        return values


def kept(pending: Pending) -> tuple[Value, ...]:
    """The values that go on the board; what was said of a circuit is held apart."""
    return tuple(value for value in pending.values if not isinstance(value.fact, BoxState))


def shaken(values: Mapping[str, Value]) -> tuple[Value, ...]:
    """The values in question, those among them that lost entries put there."""
    return tuple(value for value in values.values() if value.standing is Standing.DOUBTFUL)


def carried(facts: Facts) -> Facts:
    """What a new board starts with."""
    return Facts({key: value for key, value in facts.values.items() if key in _CARRIED})


def without_dead(state: State) -> State:
    """The job as a new session finds it: whoever said "dead and tested" said so to an earlier one, and of questions
    about circuits none stays open.
    """
    boards = {name: replace(facts, circuits=_not_dead(facts.circuits)) for name, facts in state.boards.items()}
    pending = {
        who: each
        for who, each in state.pending.items()
        if not any(isinstance(value.fact, BoxState) for value in each.values)
    }
    return replace(state, boards=boards, pending=pending)


def _not_dead(circuits: Mapping[str, CircuitWord]) -> dict[str, CircuitWord]:
    return {box: word for box, word in circuits.items() if word.state is not Circuit.DEAD}
