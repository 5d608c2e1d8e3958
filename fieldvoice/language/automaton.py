"""The whole spoken language of a job's unit as a deterministic word acceptor, for ears that listen within it.

Its states are worked out where a search comes there: an utterance visits some hundred of them, mostly the same ones as
the utterance before it. Fillers mean nothing; they may come before an utterance and nowhere else: within it "so" would
be heard for "four".
"""

from __future__ import annotations

from array import array
from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, cached_property, lru_cache, partial
from itertools import pairwise
from typing import TYPE_CHECKING
from weakref import ReferenceType, ref

from fieldvoice.language.acceptors import END, Acceptor, Net, Pieces, Ways
from fieldvoice.language.compiled import keep_ways, recall_ways, rules
from fieldvoice.language.rules import FILLER, START, Rules
from fieldvoice.records.hearing import Arcs
from fieldvoice.records.length import Unit

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

ROWS_KEPT = 1024
MOST_STATES = 8_192
"""With more states than this the language is begun anew at the next utterance, so that hours of listening don't grow:
they would be some 8 MB. An hour's calls visit a few thousand.
"""


class LazyArcs:
    """By state, the words that may follow, each with the next state: made where it is looked at. A state is known by
    the states of the net that its words lead to.
    """

    def __init__(self, net: Ways, words: tuple[str, ...]) -> None:
        self._net = net
        self._words = words
        self._states: list[bytes] = []
        self._numbers: dict[bytes, int] = {}
        # Were its rows kept by a method of its own, it would hold itself: one begun anew, and 10 MB with it, would stay
        # until garbage is searched for, which is seldom.
        self._row = lru_cache(ROWS_KEPT)(partial(_row_of, ref(self)))
        self.start = self._number(array("i", [-1]).tobytes())

    def __getitem__(self, state: int) -> Mapping[str, int]:
        return self._row(state)

    @property
    def full(self) -> bool:
        """Whether it has seen enough states."""
        return len(self._states) > MOST_STATES

    def ends(self, state: int) -> bool:
        """Whether an utterance may end there."""
        return END in self._walked.reached(self._states[state])

    def _number(self, led_to: bytes) -> int:
        # Packed, since there are thousands, of some 250 each: as sets they took 13 times as much memory.
        number = self._numbers.setdefault(led_to, len(self._states))
        if number == len(self._states):
            self._states.append(led_to)
        return number

    @cached_property
    def _walked(self) -> _Walked:
        return _Walked(self._net)

    def made(self, state: int) -> Mapping[str, int]:
        """The words that may follow a state, worked out now."""
        ways = self._walked.leads(self._walked.reached(self._states[state]))
        return {self._words[label]: self._number(led_to) for label, led_to in ways}


def _row_of(arcs: ReferenceType[LazyArcs], state: int) -> Mapping[str, int]:
    alive = arcs()
    assert alive is not None, "whoever asks holds it"
    return alive.made(state)


class _Walked:
    """A net as numpy walks it, from many states at once: behind "box two" some 5,000 lead on by 180,000 ways. Its
    pieces stand one after another as rows of one table; the net's own states have a table of their own.
    """

    def __init__(self, net: Ways) -> None:
        import numpy as np

        self._free_first, self._free = np.asarray(net.free_first), np.asarray(net.free)
        self._bases, self._after = np.asarray(net.bases), np.asarray(net.after)
        rows = np.cumsum([0, *(piece.size for piece in net.pieces)])
        self._rows_less_base = rows[np.asarray(net.which, np.int64)] - self._bases
        self._finals = np.zeros(rows[-1], np.bool_)
        self._finals[[row + one for row, piece in zip(rows, net.pieces, strict=False) for one in piece.finals]] = True
        self._own, self._pieces = _Columns.of((net.own,)), _Columns.of(net.pieces)

    def reached(self, packed: bytes) -> NDArray[np.int32]:
        """The states that are reached from packed ones for nothing, each once, these among them."""
        import numpy as np

        new = found = np.frombuffer(packed, np.int32)
        while len(new):
            own, within = ~new[new < 0], new[new >= 0]
            place = self._place(within)
            ending = place[self._finals[within + self._rows_less_base[place]]]
            free = self._free[_spans(self._free_first[own], self._free_first[own + 1])]
            new = np.setdiff1d(np.concatenate([free, self._after[ending]]), found)
            found = np.concatenate([found, new])
        return found

    def leads(self, states: NDArray[np.int32]) -> Iterator[tuple[int, bytes]]:
        """The labels that lead on from these states, sorted, each with the states it leads to, sorted and packed."""
        import numpy as np

        own, within = (one.astype(np.int64) for one in (~states[states < 0], states[states >= 0]))
        moved = self._rows_less_base[self._place(within)]
        labels, targets = (
            np.concatenate(both)
            for both in zip(self._own.ways(own, 0 * own), self._pieces.ways(within + moved, -moved), strict=True)
        )
        # A label and the state that it leads to as one number, which sorts by both.
        ways = np.sort((labels << _BITS) + (targets + _OWN))
        ways = ways[np.flatnonzero(np.diff(ways, prepend=-1))]
        labels, targets = ways >> _BITS, (ways & _STATE) - _OWN
        first = np.flatnonzero(np.diff(labels, prepend=-1)).tolist()
        packed = targets.astype(np.int32)
        for start, end in pairwise([*first, len(ways)]):
            yield int(labels[start]), packed[start:end].tobytes()

    def _place(self, states: NDArray[np.integer]) -> NDArray[np.int64]:
        """Which parts of the net these states are of."""
        import numpy as np

        return np.searchsorted(self._bases, states, "right") - 1


_BITS, _OWN = 32, 1 << 31
_STATE = (1 << _BITS) - 1
"""How a state is put beside a label in one number: the net's own states are below 0."""


@dataclass(frozen=True, slots=True)
class _Columns:
    """Acceptors as one: the ways of a row lie from `first[row]` up to `end[row]`, and lead to rows of its acceptor."""

    first: NDArray[np.int64]
    end: NDArray[np.int64]
    labels: NDArray[np.uint16]
    targets: NDArray[np.int32]

    @classmethod
    def of(cls, pieces: Sequence[Acceptor]) -> _Columns:
        """The table of these, with the targets as rows of it where a piece is not the first."""
        import numpy as np

        rows = np.cumsum([0, *(piece.size for piece in pieces)])
        ways = np.cumsum([0, *(len(piece.labels) for piece in pieces)])
        first = [np.asarray(piece.first, np.int64) + way for piece, way in zip(pieces, ways, strict=False)]
        targets = [np.asarray(piece.targets) + np.int32(row) for piece, row in zip(pieces, rows, strict=False)]
        return cls(
            np.concatenate([one[:-1] for one in first]),
            np.concatenate([one[1:] for one in first]),
            np.concatenate([np.asarray(piece.labels) for piece in pieces]),
            np.concatenate(targets),
        )

    def ways(self, rows: NDArray[np.int64], moved: NDArray[np.int64]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
        """The labels of all ways from these rows, and the states that they lead to: the rows of the targets, each
        moved as far as its row says.
        """
        import numpy as np

        first, end = self.first[rows], self.end[rows]
        which = _spans(first, end)
        return self.labels[which].astype(np.int64), self.targets[which].astype(np.int64) + np.repeat(moved, end - first)


def _spans(first: NDArray[np.integer], end: NDArray[np.integer]) -> NDArray[np.int64]:
    """Every number from each first up to its end, one after another."""
    import numpy as np

    sizes = (end - first).astype(np.int64)
    return np.arange(sizes.sum()) + np.repeat(first - np.cumsum(sizes) + sizes, sizes)


class Finals(Container[int]):
    """The states in which an utterance may end."""

    def __init__(self, arcs: LazyArcs) -> None:
        self._ends = lru_cache(ROWS_KEPT)(arcs.ends)

    def __contains__(self, state: object) -> bool:
        return isinstance(state, int) and self._ends(state)


@dataclass(frozen=True, slots=True)
class Automaton:
    """`arcs[state]` leads from a word to the next state, a number too; utterances end in `finals`."""

    start: int
    finals: Container[int]
    arcs: LazyArcs

    @classmethod
    def of(cls, grammar: Rules, start: str = START) -> Automaton:
        """The acceptor of a rule."""
        words = tuple(sorted(grammar.spoken(start)))
        return cls.around(Net.around(Pieces(grammar, words).piece(start)).packed(), words)

    @classmethod
    def around(cls, net: Ways, words: tuple[str, ...]) -> Automaton:
        """The acceptor of a net whose labels stand for these words, no state of it worked out."""
        arcs = LazyArcs(net, words)
        return cls(arcs.start, Finals(arcs), arcs)


_now: dict[Unit, Automaton] = {}


def automaton(unit: Unit = Unit.INCH) -> Automaton:
    """The acceptor of this installation's language, for a job that is kept in that unit. To be asked for at each
    utterance: one that has grown large is begun anew.
    """
    if unit not in _now or _now[unit].arcs.full:
        _now[unit] = Automaton.around(*_net(unit))
    return _now[unit]


@cache
def _net(unit: Unit) -> tuple[Ways, tuple[str, ...]]:
    grammar = rules().kept_in(unit)
    words, source = tuple(sorted(grammar.spoken(START))), grammar.said()
    net = recall_ways(source)
    if net is None:
        net = Net.around(Pieces(grammar, words).piece(START)).packed()
        keep_ways(source, net)
    return net, words


class _ArcsBehindFillers:
    """The arcs of a network, and those of a state before its first: a filler leads back there, all else goes on."""

    def __init__(self, arcs: Arcs, start: int, fillers: Iterable[str]) -> None:
        self._arcs = arcs
        self._first = {**dict.fromkeys(fillers, BEFORE), **arcs[start]}

    def __getitem__(self, state: int) -> Mapping[str, int]:
        return self._first if state == BEFORE else self._arcs[state]


@dataclass(frozen=True, slots=True)
class Introduced:
    """A language in which an utterance may begin with fillers."""

    start: int
    finals: Container[int]
    arcs: Arcs


BEFORE = -1
"""The state before anything but fillers was said; no state of an `Automaton` is negative."""


def open_talk(unit: Unit = Unit.INCH) -> Introduced:
    """What an open microphone may bring in a job of that unit: the language, with fillers before it. To be asked for at
    each utterance, as `automaton` is.
    """
    return _introduced(automaton(unit))


@lru_cache(maxsize=len(Unit))
def _introduced(language: Automaton) -> Introduced:
    return Introduced(BEFORE, language.finals, _ArcsBehindFillers(language.arcs, language.start, rules().words(FILLER)))


@cache
def vocabulary() -> tuple[str, ...]:
    """Every word of the spoken language, fillers with it, sorted: the same in every unit."""
    return tuple(sorted(rules().spoken(START) | rules().spoken(FILLER)))
