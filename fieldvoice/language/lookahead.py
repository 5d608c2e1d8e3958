"""What may come next at a place within a rule: the ways on by a word, and the words that can follow them.

Places are made when they are first come to: of tens of thousands an utterance needs a few hundred.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from fieldvoice.language.rules import Expansion, Rules, either, part_of

MOST_WORDS = 1000
"""So many words are remembered at a place within a rule; what is heard in talk has no end of them."""
MOST_KEPT = 20000
"""So many beginnings of rules are remembered with what may follow: only known words come there, and all calls of eight
tables fill two thirds of it.
"""
NUMERALS = ("digit", "teen", "tens", "zero", "part", "parts", "hundred", "thousand")
"""The rules of the words that numbers are made of."""
FIGURES = frozenset({"#INTEGER", "#FRACTION", "#DECIMAL"})
END = frozenset({""})
"""Among the words that may come next: that a rule may end there."""


class Place:
    """A place within a rule: what may come next, and the meanings that may end here. The ways of the rule that go on
    from it wait until somebody does.
    """

    __slots__ = ("ahead", "depth", "edges", "names", "table", "waiting")

    def __init__(self, depth: int = 0) -> None:
        self.names: list[str] = []
        self.edges: list[tuple[str, Place]] = []
        self.ahead: frozenset[str] | None = None
        self.table: dict[tuple[str, ...], tuple[Branch, ...]] = {}
        self.depth = depth
        self.waiting: list[Expansion] = []

    def opened(self) -> Place:
        """Itself, with the places after it: all of them at once, since an ear asks in a thread of its own."""
        if self.waiting:
            after, depth = dict[str, Place](), self.depth
            for way in self.waiting:
                symbol = way.symbols[depth]
                place = after.get(symbol)
                if place is None:
                    place = after[symbol] = Place(depth + 1)
                if len(way.symbols) == depth + 1:
                    place.names.append(way.name)
                else:
                    place.waiting.append(way)
            self.edges = [*after.items()]
            self.waiting = []
        return self


class Branch(NamedTuple):
    """A way on from a place by some word: the rule that begins with it, None where the word itself is meant, and the
    place after. `second` has every word that may come behind that one, and `beyond` every one that may come behind all
    the numerals that begin there; None where the rule that holds the place may end before, so that any may. `needs` has
    words of which one must come later; None where that may be any, or one is there.
    """

    part: str | None
    after: Place
    second: frozenset[str] | None
    beyond: frozenset[str] | None
    needs: frozenset[str] | None


class Lookahead:
    """The places of all rules, and the words that may come at them."""

    def __init__(self, rules: Rules) -> None:
        self.expansions = rules.expansions
        self.roots: dict[str, Place] = {}
        self.firsts = _firsts(rules)
        self.needs = rules.needs()
        self.numerals = FIGURES.union(*(rules.words(rule) for rule in NUMERALS)) - {"a"}
        self.seconds: dict[tuple[str, tuple[str, ...]], frozenset[str]] = {}
        self.beyonds: dict[tuple[str, tuple[str, ...] | None], frozenset[str]] = {}
        self._sets: dict[frozenset[str], frozenset[str]] = {}

    def root(self, rule: str) -> Place:
        """Where a rule begins, made when it is first needed: an utterance needs few of the rules."""
        found = self.roots.get(rule)
        if found is None:
            found = self.roots[rule] = _root(rule, self.expansions[rule])
        return found

    def step(self, node: Place, words: tuple[str, ...]) -> tuple[Branch, ...]:
        """The ways on from a node by the next words."""
        found = node.table.get(words)
        if found is None:
            if len(node.table) >= MOST_WORDS:
                node.table.clear()
            found = node.table[words] = tuple(self._steps(node, words))
        return found

    def ahead(self, node: Place) -> frozenset[str]:
        """The words that may come next at a node."""
        found = node.ahead
        if found is None:
            node.opened()
            begun = (self.firsts[part] if (part := part_of(symbol)) else {symbol} for symbol, _ in node.edges)
            found = node.ahead = self._once(frozenset[str](END if node.names else ()).union(*begun))
        return found

    def _steps(self, node: Place, words: tuple[str, ...]) -> Iterator[Branch]:
        counted = self.numerals.issuperset(words)
        for symbol, after in node.edges:
            part = part_of(symbol)
            if part is None:
                if symbol in words:
                    yield Branch(None, after.opened(), None, None, self._needed_after(after))
            elif not self.firsts[part].isdisjoint(words):
                second = self._once(_followed(self._second(part, words), self.ahead(after)))
                past = _followed(self._beyond(part, words), self._past_numerals([after])) if counted else END
                beyond = self._once(past)
                yield Branch(
                    part,
                    after.opened(),
                    None if second >= END else second,
                    None if beyond >= END else beyond,
                    self._needed(part, after, words),
                )

    def _needed(self, part: str, after: Place, words: tuple[str, ...]) -> frozenset[str] | None:
        """The words of which one must come behind these for a rule that begins with them, and what follows it."""
        own, more = self.needs[part], self._needed_after(after)
        own = own if own is None or own.isdisjoint(words) else None
        return more if own is None or (more is not None and len(more) < len(own)) else own

    def _needed_after(self, place: Place) -> frozenset[str] | None:
        """The words of which one must come at a place or behind it."""
        if place.names:
            return None
        parts = ((symbol, part_of(symbol)) for symbol, _ in place.opened().edges)
        found = either([frozenset((symbol,)) if part is None else self.needs[part] for symbol, part in parts])
        return None if found is None else self._once(found)

    def _second(self, rule: str, words: tuple[str, ...]) -> frozenset[str]:
        """The words that may come second where a rule begins with one of these; `END` where it may be the last."""
        found = self.seconds.get((rule, words))
        if found is None:
            found = frozenset()
            for symbol, after in self.root(rule).edges:
                part = part_of(symbol)
                if part is None:
                    found |= self.ahead(after) if symbol in words else frozenset()
                elif not self.firsts[part].isdisjoint(words):
                    found |= _followed(self._second(part, words), self.ahead(after))
            found = self.seconds[rule, words] = self._once(found)
        return found

    def _beyond(self, rule: str, words: tuple[str, ...] | None = None) -> frozenset[str]:
        """The words that may come behind all the numerals that a rule begins with, the first of them one of these;
        `END` where it may end before.
        """
        found = self.beyonds.get((rule, words))
        if found is None:
            begin, starts, found = self.numerals if words is None else words, list[Place](), frozenset[str]()
            for symbol, after in self.root(rule).edges:
                part = part_of(symbol)
                if part is None:
                    starts += [after] if symbol in begin else []
                elif not self.firsts[part].isdisjoint(begin):
                    beyond = self._beyond(part, words)
                    found |= beyond - END
                    starts += [after] if beyond >= END else []
            found = self.beyonds[rule, words] = self._once(found | self._past_numerals(starts))
        return found

    def _once(self, words: frozenset[str]) -> frozenset[str]:
        """The one set of these words that is kept: most places share theirs with many others. Where too many are
        remembered, all are forgotten.
        """
        if len(self.seconds) + len(self.beyonds) >= MOST_KEPT:
            for kept in (self.seconds, self.beyonds, self._sets):
                kept.clear()
        return self._sets.setdefault(words, words)

    def _past_numerals(self, starts: list[Place]) -> frozenset[str]:
        """The words that may come at these nodes, or behind numerals that go on from there."""
        seen, found = set[int](), set[str]()
        while starts:
            node = starts.pop().opened()
            if id(node) in seen:
                continue
            seen.add(id(node))
            found |= self.ahead(node) - self.numerals
            for symbol, after in node.edges:
                part = part_of(symbol)
                if part is None:
                    starts += [after] if symbol in self.numerals else []
                elif not self.firsts[part].isdisjoint(self.numerals):
                    beyond = self._beyond(part)
                    found |= beyond - END
                    starts += [after] if beyond >= END else []
        return frozenset(found)

    def may_begin(self, rule: str, words: tuple[str, ...], after: tuple[str, ...]) -> bool:
        """Whether a rule may begin with the words at one place, where those at the next one follow."""
        if self.firsts[rule].isdisjoint(words):
            return False
        second = self._second(rule, words)
        return second >= END or not second.isdisjoint(after)


def _followed(found: frozenset[str], after: frozenset[str]) -> frozenset[str]:
    """The words that may come somewhere in a part, and in what follows where the part may end before."""
    return found - END | after if found >= END else found


def _root(rule: str, expansions: Sequence[Expansion]) -> Place:
    """Where a rule begins. lark turns `x*` into a rule that starts with itself: that is a loop here."""
    root, again = Place(), f"<{rule}>"
    if not any(expansion.symbols[0] == again for expansion in expansions):
        root.waiting = [*expansions]
        return root.opened()
    end = Place()
    end.names.append(rule)
    for expansion in expansions:
        if expansion.symbols[0] == again:
            _add(end, expansion.symbols[1:], end)
        else:
            _add(root, expansion.symbols, end)
    return root


def _add(place: Place, symbols: Sequence[str], end: Place) -> None:
    """A way to say a rule that ends where it may begin again; places that are there already are shared."""
    for symbol in symbols[:-1]:
        after = next((after for known, after in place.edges if known == symbol and after is not end), None)
        if after is None:
            after = Place()
            place.edges.append((symbol, after))
        place = after
    place.edges.append((symbols[-1], end))


def _firsts(rules: Rules) -> dict[str, frozenset[str]]:
    """The words that each rule can start with. No rule is empty, so the first symbol tells."""
    firsts: dict[str, frozenset[str]] = {}

    def first(rule: str) -> frozenset[str]:
        found = firsts.get(rule)
        if found is None:
            heads = rules.heads(rule)
            parts = [part for symbol in heads if (part := part_of(symbol)) and part != rule]
            words = (symbol for symbol in heads if symbol[0] != "<")
            found = firsts[rule] = frozenset(words).union(*map(first, parts))
        return found

    for rule in rules.expansions:
        first(rule)
    return firsts
