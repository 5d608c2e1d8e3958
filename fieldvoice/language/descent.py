"""Every parse of an utterance, as values.

The parser goes down the rules from the start and keeps, for each rule at each word, all values that the rule can have
there and where each ends. Equal values are one: two parses that mean the same are no ambiguity. Work is bounded, so
that no utterance blows up: one that would take more is unclear.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from fieldvoice.language.found import Several, Trouble
from fieldvoice.language.rules import Expansion, Rules, part_of
from fieldvoice.records.utterance import Ask, Question

Value = Hashable
Action = Callable[..., Any]
MOST_VALUES = 24
"""More values than this for one stretch of words say no more than that it is unclear."""
MOST_STEPS = 2500
"""More work than this is left off, and the utterance is unclear: doubtful values that follow one another multiply."""
NUMBERS = frozenset({"length", "plain", "small", "part_inches", "row_length", "called", "name"})
"""The rules of whole numbers, as other rules use them. A number takes all the words that it can: where an utterance
holds together only if one stops short, nobody can hear where ("top forty | half inch board", "top forty half | ...").
"""
GOES_ON = {"called": "loose"}
"""A number that another rule may take farther: "at thirty two two" is rather 32 and some part than 2 at 32."""
JOINTS = frozenset({"link", "placed_link"})
"""The rules of what follows in the same breath."""
NUMERALS = ("digit", "teen", "tens", "zero", "part", "parts", "hundred", "thousand")
"""The rules of the words that numbers are made of."""
FIGURES = frozenset({"#INTEGER", "#FRACTION", "#DECIMAL"})


@dataclass(frozen=True, slots=True)
class Token:
    """The words at one place: usually one, more where it may be another. `text` is what stood there, and `figure` a
    typed figure's value.
    """

    words: tuple[str, ...]
    text: str
    figure: Value = None


class _Node:
    """A place within a rule: what may come next, and the meanings that may end here."""

    __slots__ = ("edges", "first", "names", "table")

    def __init__(self) -> None:
        self.names: list[str] = []
        self.edges: list[tuple[str, _Node]] = []
        self.table: dict[tuple[str, ...], list[tuple[str, str | None, _Node]]] = {}


Way = tuple[int, Iterable[Value], _Node]
"""Values of a rule, the word after their end, and the place within the rule that holds it to go on from."""


class Parser:
    """All parses of the rules, with the meanings' names turned to values by `actions`."""

    def __init__(self, rules: Rules, actions: Mapping[str, Action]) -> None:
        self.actions = actions
        self.expansions = rules.expansions
        self.roots: dict[str, _Node] = {}
        self.firsts = _firsts(rules)
        self.numerals = FIGURES.union(*(rules.words(rule) for rule in NUMERALS)) - {"a"}

    def root(self, rule: str) -> _Node:
        """Where a rule begins, made when it is first needed: an utterance needs few of the rules."""
        found = self.roots.get(rule)
        if found is None:
            found = self.roots[rule] = _root(rule, self.expansions[rule])
        return found

    def step(self, node: _Node, words: tuple[str, ...]) -> list[tuple[str, str | None, _Node]]:
        """The ways on from a node by the next words: (word taken, rule or None, node after)."""
        found = node.table.get(words)
        if found is None:
            found = node.table[words] = [
                (symbol, part, after)
                for symbol, after in node.edges
                for part in (part_of(symbol),)
                if (symbol in words if part is None else not self.firsts[part].isdisjoint(words))
            ]
        return found

    def parse(self, heard: Sequence[Token], start: str) -> Parses:
        """Every value of the whole utterance."""
        run = _Run(self, heard)
        values = run.values(start, 0).get(len(heard), {})
        return Parses(tuple(values), run.furthest, cut_off=run.cut_off, crowded=run.crowded, steps=run.steps)

    def found_within(self, heard: Sequence[Token], rule: str) -> list[Any]:
        """The values of a rule wherever its words stand in an utterance, the longest ones at each word."""
        run, found, at = _Run(self, heard), list[Any](), 0
        while at < len(heard):
            ends = {} if self.firsts[rule].isdisjoint(heard[at].words) else run.values(rule, at)
            end = max(ends, default=at)
            found += ends.get(end, ())
            at = max(end, at + 1)
        return found

    def holds(self, heard: Sequence[Token], rule: str) -> bool:
        """Whether the words of a rule stand anywhere in an utterance."""
        run = _Run(self, heard)
        starts = (at for at, one in enumerate(heard) if not self.firsts[rule].isdisjoint(one.words))
        return any(run.values(rule, at) for at in starts)

    def ends_of(self, heard: Sequence[Token], rule: str, start: int) -> dict[int, tuple[Any, ...]]:
        """The values of a rule from that word on, by the word after its end."""
        return {end: tuple(values) for end, values in _Run(self, heard).values(rule, start).items()}

    def begins_with(self, heard: Sequence[Token], rule: str) -> bool:
        """Whether the words begin with those of a rule."""
        return bool(_Run(self, heard).values(rule, 0))


@dataclass(frozen=True, slots=True)
class Parses:
    """The distinct values of an utterance. `furthest` is the index of the first word that nothing could go on with;
    `cut_off` says that the words begin something that could go on; `crowded` that there were too many values to keep.
    `steps` is the work it took: places of rules gone through.
    """

    values: tuple[Any, ...]
    furthest: int
    cut_off: bool
    crowded: bool
    steps: int


@dataclass(slots=True)
class _Run:
    parser: Parser
    heard: Sequence[Token]
    furthest: int = 0
    cut_off: bool = False
    crowded: bool = False
    steps: int = 0
    memo: dict[tuple[str, int], dict[int, dict[Value, None]]] = field(default_factory=dict)
    questions: dict[tuple[int, int], tuple[Question]] = field(default_factory=dict)

    def values(self, rule: str, at: int) -> dict[int, dict[Value, None]]:
        """The values of a rule from word `at` on, by the word after its end."""
        key = (rule, at)
        found = self.memo.get(key)
        if found is None:
            found = self.memo[key] = {}
            self._go(self.parser.root(rule), at, (), found)
        return found

    def _go(self, node: _Node, at: int, parts: tuple[Any, ...], found: dict[int, dict[Value, None]]) -> None:
        self.steps += 1
        if self.steps > MOST_STEPS:
            self.crowded = True
            return
        for name in node.names:
            self._end(name, parts, found.setdefault(at, {}))
        if not node.edges:
            return
        if at >= len(self.heard):
            self.cut_off = True
            self.furthest = at
            return
        if at > self.furthest:
            self.furthest = at
        here = self.heard[at]
        for _, part, after in self.parser.step(node, here.words):
            if part is None:
                self._go(after, at + 1, parts if here.figure is None else (*parts, here.figure), found)
                continue
            for end, values, on in self.number(part, at, after) if part in NUMBERS else self.whole(part, at, after):
                for value in values if self._leads_on(on, end) else ():
                    self._go(on, end, (*parts, *value) if part[0] == "_" else (*parts, value), found)  # type: ignore[misc]

    def _leads_on(self, node: _Node, at: int) -> bool:
        """Whether the rule may end at a node or the next word goes on from it."""
        if node.names or at >= len(self.heard) or self.parser.step(node, self.heard[at].words):
            return True
        self.furthest = max(self.furthest, at)
        return False

    def whole(self, rule: str, at: int, after: _Node) -> list[Way]:
        """The values of a rule, where each ends, and the place to go on from: a question where numbers stand side by
        side at its beginning.
        """
        found = self.values(rule, at)
        if found and rule in JOINTS and self._side_by_side(at):
            return [(end, (self._where_it_begins(at),), after) for end in found]
        return [(end, values, after) for end, values in found.items()]

    def number(self, rule: str, at: int, after: _Node) -> list[Way]:
        """The same of a number. One that stops short of the words it could take is a question, unless it is parted from
        what follows by a word that only might be a number ("to").
        """
        found = self.values(rule, at)
        longest = max((*found, *self._farther(rule, at)), default=at)
        ways: list[Way] = []
        for end, values in found.items():
            parted = None if end == longest else self._parted(after, end)
            if end == longest:
                ways.append((end, values, after))
            elif parted is not None:
                ways.append((end + 1, values, parted))
            elif self._leads_on(after, end):
                ways.append((end, self._where_it_ends(at, end, longest), after))
        return ways

    def _farther(self, rule: str, at: int) -> list[int]:
        """Where a number may end as another rule takes it, but for the "to" before another number."""
        ends = self.values(GOES_ON[rule], at) if rule in GOES_ON else ()
        return [end for end in ends if len(self.heard[end - 1].words) == 1 or not self._numeral(end)]

    def _numeral(self, at: int) -> bool:
        return at < len(self.heard) and not self.parser.numerals.isdisjoint(self.heard[at].words)

    def _side_by_side(self, at: int) -> bool:
        """Whether a number may end before a word and another begin with it."""
        near = self.heard[at - 1 : at + 1]
        return len(near) == 2 and all(not self.parser.numerals.isdisjoint(one.words) for one in near)

    def _where_it_begins(self, at: int) -> Question:
        return Question(Ask.NEW_NUMBER, (self.heard[at].text,))

    def _parted(self, after: _Node, end: int) -> _Node | None:
        here = self.heard[end]
        return next((on for symbol, on in after.edges if len(here.words) > 1 and symbol == here.words[0]), None)

    def _where_it_ends(self, at: int, end: int, longest: int) -> tuple[Question]:
        found = self.questions.get((at, end))
        if found is None:
            short, long = (" ".join(heard.text for heard in self.heard[at:last]) for last in (end, longest))
            found = self.questions[at, end] = (Question(Ask.NUMBER_ENDS, (short, long)),)
        return found

    def _end(self, name: str, parts: tuple[Any, ...], values: dict[Value, None]) -> None:
        value = meaning_of(name, parts, self.parser.actions)
        for one in value.values if isinstance(value, Several) else (value,):
            if len(values) >= MOST_VALUES and one not in values:
                self.crowded = True
                return
            values[one] = None


def meaning_of(name: str, parts: tuple[Any, ...], actions: Mapping[str, Action]) -> Any:
    """The value of a meaning's name with its parts. Trouble in a part is trouble of the whole."""
    if name[0] == "_":
        return parts
    for part in parts:
        if isinstance(part, Trouble):
            return part
    action = actions.get(name)
    if action is not None:
        return action(*parts)
    if parts:
        return parts[0] if len(parts) == 1 else parts
    return int(name[1:]) if name[1:].isdigit() else name.replace("_", " ")


def _root(rule: str, expansions: Sequence[Expansion]) -> _Node:
    """The places of a rule. lark turns `x*` into a rule that starts with itself: that is a loop here."""
    root, again = _Node(), f"<{rule}>"
    loops = [expansion for expansion in expansions if expansion.symbols[0] == again]
    if not loops:
        for expansion in expansions:
            _add(root, expansion.symbols, None).names.append(expansion.name)
        return root
    end = _Node()
    end.names.append(rule)
    for expansion in expansions:
        if expansion in loops:
            _add(end, expansion.symbols[1:], end)
        else:
            _add(root, expansion.symbols, end)
    return root


def _add(node: _Node, symbols: Sequence[str], end: _Node | None) -> _Node:
    for place, symbol in enumerate(symbols):
        last = end is not None and place == len(symbols) - 1
        if last and end is not None:
            node.edges.append((symbol, end))
            return end
        after = next((known for edge, known in node.edges if edge == symbol and known is not end), None)
        if after is None:
            after = _Node()
            node.edges.append((symbol, after))
        node = after
    return node


def _firsts(rules: Rules) -> dict[str, frozenset[str]]:
    """The words that each rule can start with. No rule is empty, so the first symbol tells."""
    firsts: dict[str, frozenset[str]] = {}

    def first(rule: str) -> frozenset[str]:
        if rule not in firsts:
            words: set[str] = set()
            for expansion in rules.expansions[rule]:
                part = part_of(expansion.symbols[0])
                if part != rule:
                    words |= {expansion.symbols[0]} if part is None else first(part)
            firsts[rule] = frozenset(words)
        return firsts[rule]

    for rule in rules.expansions:
        first(rule)
    return firsts
