"""From the grammar's rules to deterministic acceptors of words.

Typed figures and words that are only typed are left out: they are not said. Each rule becomes a piece of its own and
stands in whole wherever another rule names it. No rule holds itself, so that this ends. A piece of few states is made
deterministic and minimal; one of many (an utterance may be any chain of any items) stays a net, whose deterministic
states are worked out where somebody comes there. So a grammar is ready in seconds, and no table of it is needed.
"""

from __future__ import annotations

from array import array
from bisect import bisect_right
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from fieldvoice.language.rules import Expansion, Rules, part_of

MOST_STATES = 4000
"""A net of more states than this stays one: to make the largest of this grammar minimal takes half a minute."""


class Pieces:
    """The pieces of a grammar's rules, each made when it is first asked for."""

    def __init__(
        self,
        grammar: Rules,
        words: tuple[str, ...],
        most: int = MOST_STATES,
    ) -> None:
        self.words = words
        self.made: dict[str, Acceptor | Net] = {}
        self._grammar = grammar
        self._label_of = {word: label for label, word in enumerate(words)}
        self._most = most

    def piece(self, rule: str) -> Acceptor | Net:
        """The piece of a rule."""
        if rule not in self.made:
            net = _network(rule, self._grammar.sayable(rule), self._label_of, self.piece)
            self.made[rule] = net if net.size > self._most else _minimal(_deterministic(net))
        return self.made[rule]


@dataclass(frozen=True, slots=True)
class Acceptor:
    """The minimal acceptor of one rule, which starts in state 0 and ends in `finals`.

    The arcs of a state are those from `first[state]` up to `first[state + 1]`, sorted by label, to the states
    `targets`. States are numbered in the order in which they are reached from the start, nearest first, by label, so
    that one language has one such acceptor.
    """

    first: array[int]
    labels: array[int]
    targets: array[int]
    finals: frozenset[int]

    @property
    def size(self) -> int:
        """How many states it has."""
        return len(self.first) - 1

    def leads(self, state: int) -> Iterable[tuple[int, int]]:
        """The labels that lead on from a state, each with the next state."""
        arcs = slice(self.first[state], self.first[state + 1])
        return zip(self.labels[arcs], self.targets[arcs], strict=True)


_START, END = -1, -2


@dataclass(slots=True)
class Net:
    """Ways between states, some of them for nothing. States of its own are below 0: state -1 starts, state -2 ends.

    The states of a part follow its base; where it may be left it goes on to the state after it for nothing.
    """

    ways: list[dict[int, int]] = field(default_factory=lambda: [{}, {}])
    free: list[list[int]] = field(default_factory=lambda: [[], []])
    bases: list[int] = field(default_factory=list)
    parts: list[tuple[Acceptor, int, int]] = field(default_factory=list)
    size: int = 0

    @classmethod
    def around(cls, piece: Acceptor | Net) -> Net:
        """A net that holds a piece and nothing else."""
        net = cls()
        net.insert(_START, END, piece)
        return net

    def state(self) -> int:
        """A new state."""
        self.ways.append({})
        self.free.append([])
        return -len(self.ways)

    def insert(self, start: int, after: int, piece: Acceptor | Net) -> None:
        """A whole acceptor between two states: a net state by state, so that no net lies within another."""
        if isinstance(piece, Net):
            self._copy(start, after, piece)
            return
        self.free[~start].append(self.size)
        self.bases.append(self.size)
        self.parts.append((piece, start, after))
        self.size += piece.size

    def _copy(self, start: int, after: int, net: Net) -> None:
        own = [start, after, *(self.state() for _ in net.ways[2:])]
        if net.begins_again:
            own[0] = self.state()
            self.free[~start].append(own[0])
        if net.goes_on:
            own[1] = self.state()
            self.free[~own[1]].append(after)
        for old, ways in enumerate(net.ways):
            for label, target in ways.items():
                self.ways[~own[old]][label] = own[~target]
            self.free[~own[old]] += [own[~target] for target in net.free[old] if target < 0]
        for part, before, behind in net.parts:
            self.insert(own[~before], own[~behind], part)

    @property
    def begins_again(self) -> bool:
        """Whether something leads back to its start."""
        return any(_START in free for free in self.free) or any(behind == _START for _, _, behind in self.parts)

    @property
    def goes_on(self) -> bool:
        """Whether its end leads on within it."""
        return bool(self.ways[~END] or self.free[~END])

    def packed(self) -> Ways:
        """The same, to be walked."""
        own = Acceptor(array("i", [0]), array("H"), array("i"), frozenset())
        for ways in self.ways:
            own.labels.extend(ways.keys())
            own.targets.extend(ways.values())
            own.first.append(len(own.targets))
        first, free = array("i", [0]), array("i")
        for states in self.free:
            free.extend(states)
            first.append(len(free))
        numbers: dict[int, int] = {}
        pieces = {id(piece): piece for piece, _, _ in self.parts}
        which = array("H", [numbers.setdefault(id(piece), len(numbers)) for piece, _, _ in self.parts])
        after = array("i", [after for _, _, after in self.parts])
        return Ways(own, tuple(pieces.values()), first, free, array("i", self.bases), which, after)


@dataclass(frozen=True, slots=True)
class Ways:
    """A net that nothing is put into any more, in columns: the language's, of some 125,000 states of its own, takes
    4 MB so and 40 as dicts and lists.

    `own` has the ways by a word of the net's own states, state -1 in its first row; `free` those for nothing, from
    `free_first[row]` up to `free_first[row + 1]`. `bases`, `which` of the pieces, and `after` are of its parts.
    """

    own: Acceptor
    pieces: tuple[Acceptor, ...]
    free_first: array[int]
    free: array[int]
    bases: array[int]
    which: array[int]
    after: array[int]

    def leads(self, state: int) -> Iterable[tuple[int, int]]:
        """The labels that lead on from a state, each with the next state."""
        if state < 0:
            return self.own.leads(~state)
        _, base, part = self._part(state)
        arcs = slice(part.first[state - base], part.first[state - base + 1])
        return zip(part.labels[arcs], map(base.__add__, part.targets[arcs]), strict=True)

    def _part(self, state: int) -> tuple[int, int, Acceptor]:
        """The number of the part that a state belongs to, its first state and its piece."""
        place = bisect_right(self.bases, state) - 1
        return place, self.bases[place], self.pieces[self.which[place]]

    def _leads_on(self, state: int) -> bool:
        row, piece = ~state, self.own
        if state >= 0:
            _, base, piece = self._part(state)
            row = state - base
        return piece.first[row] < piece.first[row + 1]

    def _nothing(self, state: int) -> Iterable[int]:
        if state < 0:
            return self.free[self.free_first[~state] : self.free_first[~state + 1]]
        place, base, piece = self._part(state)
        return self.after[place : place + 1] if state - base in piece.finals else ()

    def closure(self, state: int) -> frozenset[int]:
        """The states reached for nothing, those without a word left out but for the end: they tell nothing more."""
        found = {state}
        waiting = [state]
        while waiting:
            for after in self._nothing(waiting.pop()):
                if after not in found:
                    found.add(after)
                    waiting.append(after)
        return frozenset(one for one in found if one == END or self._leads_on(one))


_ODD = 0x9E3779B97F4A7C15
"""Any large odd number: what parts the block of a state from the sum over its arcs."""


def _network(
    rule: str,
    expansions: tuple[Expansion, ...],
    label_of: Mapping[str, int],
    piece_for: Callable[[str], Acceptor | Net],
) -> Net:
    """The rule's ways to be said as a net: they share their tails, and so stay few when made deterministic."""
    net = Net()
    tails: dict[tuple[str, ...], int] = {(): END}

    def tail(symbols: tuple[str, ...]) -> int:
        if symbols not in tails:
            here, after, part = net.state(), tail(symbols[1:]), part_of(symbols[0])
            tails[symbols] = here
            if part is None:
                net.ways[~here][label_of[symbols[0]]] = after
            else:
                net.insert(here, after, piece_for(part))
        return tails[symbols]

    for expansion in expansions:
        loop = expansion.symbols[0] == f"<{rule}>"
        symbols = expansion.symbols[1:] if loop else expansion.symbols
        net.free[~(END if loop else _START)].append(tail(symbols))
    return net


class Subsets:
    """The sets of a net's states that some words lead to, by number."""

    def __init__(self, net: Ways) -> None:
        self._net = net
        self._numbers: dict[frozenset[int], int] = {}
        self._by_leads: dict[int | frozenset[int], int] = {}
        self.sets: list[frozenset[int]] = []

    def reached(self, leads: int | frozenset[int]) -> int:
        """The number of the set reached by an arc to a state, or by arcs to several."""
        number = self._by_leads.get(leads)
        if number is None:
            several = leads if isinstance(leads, frozenset) else (leads,)
            states = frozenset[int]().union(*map(self._net.closure, several))
            number = self._by_leads[leads] = self._numbers.setdefault(states, len(self._numbers))
            if number == len(self.sets):
                self.sets.append(states)
        return number

    def row(self, number: int) -> list[tuple[int, int]]:
        """The labels that lead on from a set, sorted, each with the number of the next set."""
        ways: dict[int, int | frozenset[int]] = {}
        for state in self.sets[number]:
            if not ways:
                ways.update(self._net.leads(state))
                continue
            for label, after in self._net.leads(state):
                known = ways.setdefault(label, after)
                if known != after:
                    ways[label] = frozenset((after,)).union(known if isinstance(known, frozenset) else (known,))
        return [(label, self.reached(ways[label])) for label in sorted(ways)]


def _deterministic(net: Net) -> Acceptor:
    """The net with one way on for each word."""
    subsets = Subsets(net.packed())
    subsets.reached(_START)
    first, labels, targets = array("i", [0]), array("H"), array("i")
    for number, _ in enumerate(subsets.sets):
        for label, after in subsets.row(number):
            labels.append(label)
            targets.append(after)
        first.append(len(labels))
    finals = frozenset(number for number, states in enumerate(subsets.sets) if END in states)
    return Acceptor(first, labels, targets, finals)


def _minimal(part: Acceptor) -> Acceptor:
    """The fewest states, numbered as they are reached: those that can't be told apart are one."""
    import numpy as np

    first, labels, targets = np.array(part.first), np.array(part.labels), np.array(part.targets)
    block = _blocks(first, labels, targets, part.finals)
    _, chosen = np.unique(block, return_index=True)
    ends = block[targets]
    rows: list[int] = []
    number_of = {int(block[0]): 0}
    reached = [int(block[0])]
    made_first, made_targets = array("i", [0]), array("i")
    for one in reached:
        state = chosen[one]
        arcs = range(first[state], first[state + 1])
        rows.extend(arcs)
        for end in ends[arcs.start : arcs.stop].tolist():
            if end not in number_of:
                number_of[end] = len(reached)
                reached.append(end)
            made_targets.append(number_of[end])
        made_first.append(len(made_targets))
    made_labels = array("H", labels[rows].tolist())
    finals = frozenset(number_of[end] for end in block[sorted(part.finals)].tolist())
    return Acceptor(made_first, made_labels, made_targets, finals)


def _blocks(first: Any, labels: Any, targets: Any, finals: frozenset[int]) -> Any:
    """The block of each state: those that can't be told apart are in one. They are split from the rest until none
    splits, told apart by sums of pseudo-random numbers; that the sums have mistaken none is proved afterward.
    """
    import numpy as np

    states = len(first) - 1
    dice = np.random.default_rng(0)
    of_label = dice.integers(1, 2**63, int(labels.max(initial=0)) + 1, dtype=np.uint64)[labels]
    of_block = dice.integers(1, 2**63, states + 2, dtype=np.uint64)
    block = np.zeros(states, np.int64)
    block[sorted(finals)] = 1
    count, sums = 0, np.zeros(len(labels) + 1, np.uint64)
    while True:
        np.take(of_block[block], targets, out=sums[1:], mode="clip")
        sums[1:] *= of_label
        np.cumsum(sums, out=sums)
        keys = sums[first[1:]] - sums[first[:-1]] + of_block[block] * np.uint64(_ODD)
        found, block = np.unique(keys, return_inverse=True)
        if len(found) == count:
            break
        count = len(found)
    _prove(first, labels, block[targets], block, finals)
    return block


def _prove(first: Any, labels: Any, ends: Any, block: Any, finals: frozenset[int]) -> None:
    """Raises AssertionError where two states of one block differ."""
    import numpy as np

    _, chosen = np.unique(block, return_index=True)
    like, size = chosen[block], np.diff(first)
    ending = np.zeros(len(block), np.bool_)
    ending[sorted(finals)] = True
    other = np.arange(len(labels)) + np.repeat(first[like] - first[:-1], size)
    same = np.array_equal(size, size[like]) and np.array_equal(ending, ending[like])
    if not (same and np.array_equal(labels, labels[other]) and np.array_equal(ends, ends[other])):
        raise AssertionError("two states of one block differ")
