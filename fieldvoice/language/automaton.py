"""The whole spoken language of a job's unit as a deterministic, minimal word acceptor, for ears that listen within it.

Fillers are left out: they mean nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import TYPE_CHECKING

from fieldvoice.language.compiled import load_network, rules
from fieldvoice.language.rules import FILLER, START
from fieldvoice.records.length import Unit

if TYPE_CHECKING:
    from fieldvoice.language.acceptors import Columns

ROWS_KEPT = 1024
"""An utterance visits some hundred states, mostly the same ones as the utterance before it."""


class Arcs:
    """By state, the words that may follow, each with the next state: seen through columns of numbers, and made only
    where it is looked at.
    """

    def __init__(self, columns: Columns) -> None:
        self._columns = columns
        self._row = lru_cache(ROWS_KEPT)(self._made)

    def __len__(self) -> int:
        return len(self._columns.first) - 1

    def __getitem__(self, state: int) -> Mapping[str, int]:
        return self._row(state)

    def _made(self, state: int) -> Mapping[str, int]:
        first, end = int(self._columns.first[state]), int(self._columns.first[state + 1])
        words = map(self._columns.words.__getitem__, self._columns.labels[first:end].tolist())
        return dict(zip(words, self._columns.targets[first:end].tolist(), strict=True))


@dataclass(frozen=True, slots=True)
class Automaton:
    """`arcs[state]` leads from a word to the next state, an index too; utterances end in `finals`."""

    start: int
    finals: frozenset[int]
    arcs: Arcs

    @classmethod
    def of(cls, columns: Columns) -> Automaton:
        """The acceptor in those columns."""
        return cls(0, frozenset(columns.finals.tolist()), Arcs(columns))

    def accepts(self, words: Iterable[str]) -> bool:
        """Whether the words are an utterance of the language."""
        state: int | None = self.start
        for word in words:
            state = self.arcs[state].get(word) if state is not None else None
        return state in self.finals


def automaton(unit: Unit = Unit.INCH) -> Automaton:
    """The acceptor of this installation's language, for a job that is kept in that unit."""
    return _automaton(unit)


@cache
def _automaton(unit: Unit) -> Automaton:
    grammar = rules().kept_in(unit)
    columns = load_network(unit, grammar.said())
    if columns is None:
        from fieldvoice.language.acceptors import compile_rules

        columns = compile_rules(grammar)
    return Automaton.of(columns)


@cache
def vocabulary() -> tuple[str, ...]:
    """Every word of the spoken language, fillers with it, sorted: the same in every unit."""
    return tuple(sorted(rules().words(START) | rules().words(FILLER)))
