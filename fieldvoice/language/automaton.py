"""The whole spoken language as a deterministic, minimal word acceptor, for ears that listen within it.

Typed figures and fillers are left out: they are not said, or mean nothing. Each rule becomes an acceptor of its own,
made minimal, and stands in whole wherever another rule names it. No rule holds itself, so that this ends.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from fieldvoice.language.compiled import load, rules
from fieldvoice.language.rules import FILLER, START, Expansion, Rules, part_of


@dataclass(frozen=True, slots=True)
class Automaton:
    """`arcs[state]` leads from a word to the next state, an index too; utterances end in `finals`."""

    start: int
    finals: frozenset[int]
    arcs: tuple[Mapping[str, int], ...]

    def accepts(self, words: Iterable[str]) -> bool:
        """Whether the words are an utterance of the language."""
        state: int | None = self.start
        for word in words:
            state = self.arcs[state].get(word) if state is not None else None
        return state in self.finals


class _Net:
    """Arcs between states, some of them for nothing (the word None)."""

    def __init__(self) -> None:
        self.arcs: list[dict[str | None, list[int]]] = []

    def state(self) -> int:
        """A new state."""
        self.arcs.append({})
        return len(self.arcs) - 1

    def arc(self, start: int, word: str | None, end: int) -> None:
        """A way from one state to another."""
        self.arcs[start].setdefault(word, []).append(end)

    def insert(self, start: int, end: int, part: Automaton) -> None:
        """A whole acceptor between two states."""
        base = len(self.arcs)
        self.arcs += [{word: [base + after] for word, after in ways.items()} for ways in part.arcs]
        self.arc(start, None, base + part.start)
        for final in part.finals:
            self.arc(base + final, None, end)


def compile_rules(grammar: Rules, start: str = START) -> Automaton:
    """The acceptor of a rule."""
    made: dict[str, Automaton] = {}

    def acceptor(rule: str) -> Automaton:
        if rule not in made:
            made[rule] = _minimal(*_deterministic(*_network(rule, grammar.expansions[rule], acceptor)))
        return made[rule]

    return acceptor(start)


def _network(
    rule: str, expansions: tuple[Expansion, ...], acceptor: Callable[[str], Automaton]
) -> tuple[_Net, int, int]:
    """The rule's ways to be said as a net: they share their tails, and so stay few when made deterministic."""
    net = _Net()
    start, end = net.state(), net.state()
    tails: dict[tuple[str, ...], int] = {(): end}

    def tail(symbols: tuple[str, ...]) -> int:
        if symbols not in tails:
            here, after, part = net.state(), tail(symbols[1:]), part_of(symbols[0])
            tails[symbols] = here
            if part is None:
                net.arc(here, symbols[0], after)
            else:
                net.insert(here, after, acceptor(part))
        return tails[symbols]

    for expansion in expansions:
        loop = expansion.symbols[0] == f"<{rule}>"
        symbols = expansion.symbols[1:] if loop else expansion.symbols
        if not any(symbol[0] == "#" for symbol in symbols):
            net.arc(end if loop else start, None, tail(symbols))
    return net, start, end


def _closure(net: _Net, states: Iterable[int], end: int) -> frozenset[int]:
    """The states reached for nothing, those without a word left out: they tell nothing more."""
    found = set(states)
    waiting = list(found)
    while waiting:
        for after in net.arcs[waiting.pop()].get(None, ()):
            if after not in found:
                found.add(after)
                waiting.append(after)
    return frozenset(state for state in found if state == end or len(net.arcs[state]) > (None in net.arcs[state]))


def _deterministic(net: _Net, start: int, end: int) -> tuple[list[dict[str, int]], set[int]]:
    """The net with one way on for each word."""
    first = _closure(net, [start], end)
    numbers = {first: 0}
    waiting, arcs = [first], list[dict[str, int]]()
    for states in waiting:
        ways: dict[str, set[int]] = defaultdict(set)
        for state in states:
            for word, ends in net.arcs[state].items():
                if word is not None:
                    ways[word].update(ends)
        row: dict[str, int] = {}
        for word, reached in ways.items():
            after = _closure(net, reached, end)
            if after not in numbers:
                numbers[after] = len(numbers)
                waiting.append(after)
            row[word] = numbers[after]
        arcs.append(row)
    return arcs, {number for states, number in numbers.items() if end in states}


def _minimal(arcs: list[dict[str, int]], finals: set[int]) -> Automaton:
    """The fewest states: those that can't be told apart are split from the rest until none splits."""
    block = [int(state in finals) for state in range(len(arcs))]
    count = 0
    while True:
        keys: dict[object, int] = {}
        split = [
            keys.setdefault((block[state], frozenset((word, block[after]) for word, after in row.items())), len(keys))
            for state, row in enumerate(arcs)
        ]
        if len(keys) == count:
            break
        block, count = split, len(keys)
    merged: list[dict[str, int]] = [{} for _ in range(count)]
    for state, row in enumerate(arcs):
        merged[block[state]] = {word: block[after] for word, after in sorted(row.items())}
    return Automaton(block[0], frozenset(block[state] for state in finals), tuple(merged))


def packed(made: Automaton) -> dict[str, Any]:
    """An acceptor as JSON: words by number, and for each state word, next state, word, next state and so on."""
    words = sorted({word for ways in made.arcs for word in ways})
    numbers = {word: number for number, word in enumerate(words)}
    arcs = [[part for word, after in ways.items() for part in (numbers[word], after)] for ways in made.arcs]
    return {"start": made.start, "finals": sorted(made.finals), "words": words, "arcs": arcs}


def unpacked(found: dict[str, Any]) -> Automaton:
    """An acceptor from its JSON."""
    words = found["words"]
    arcs = tuple(
        {words[word]: after for word, after in zip(flat[::2], flat[1::2], strict=True)} for flat in found["arcs"]
    )
    return Automaton(found["start"], frozenset(found["finals"]), arcs)


@cache
def automaton() -> Automaton:
    """The acceptor of this installation's language."""
    found = load("automaton", rules().said())
    return compile_rules(rules()) if found is None else unpacked(found)


@cache
def vocabulary() -> tuple[str, ...]:
    """Every word of the spoken language, fillers with it, sorted."""
    return tuple(sorted(rules().words(START) | rules().words(FILLER)))
