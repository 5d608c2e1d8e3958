"""The whole spoken language of a job's unit as a deterministic word acceptor, for ears that listen within it.

Its states are worked out where a search comes there: an utterance visits some hundred of them, mostly the same ones as
the utterance before it. Fillers mean nothing; they may come before an utterance and nowhere else: within it "so" would
be heard for "four".
"""

from __future__ import annotations

from array import array
from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass
from functools import cache, lru_cache

from fieldvoice.language.acceptors import END, Net, Pieces, Ways
from fieldvoice.language.compiled import keep_ways, recall_ways, rules
from fieldvoice.language.rules import FILLER, START, Rules
from fieldvoice.records.hearing import Arcs
from fieldvoice.records.length import Unit

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
        self._row = lru_cache(ROWS_KEPT)(self._made)
        self.start = self._number({-1})

    def __getitem__(self, state: int) -> Mapping[str, int]:
        return self._row(state)

    @property
    def full(self) -> bool:
        """Whether it has seen enough states."""
        return len(self._states) > MOST_STATES

    def ends(self, state: int) -> bool:
        """Whether an utterance may end there."""
        return END in self._reached(state)

    def _number(self, led_to: set[int]) -> int:
        # Packed, since there are thousands, of some 250 each: as sets they took 13 times as much memory.
        packed = array("i", sorted(led_to)).tobytes()
        number = self._numbers.setdefault(packed, len(self._states))
        if number == len(self._states):
            self._states.append(packed)
        return number

    def _reached(self, state: int) -> set[int]:
        return set[int]().union(*map(self._net.closure, array("i", self._states[state])))

    def _made(self, state: int) -> Mapping[str, int]:
        ways: dict[int, set[int]] = {}
        for one in self._reached(state):
            for label, after in self._net.leads(one):
                ways.setdefault(label, set()).add(after)
        return {self._words[label]: self._number(led_to) for label, led_to in ways.items()}


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
