"""The grammar as lark reads it: rules with their words, parts and meanings' names; and the tables beside it: what may
be heard or typed in a word's place, and how often what is said.

lark loads `grammar/*.lark` as one text, expands its shorthand (`x?`, `x*`, groups) and hands over plain rules. The
parser, the word acceptor and the sampler all work on these, so that they can't disagree about the language.

lark refuses to build LALR(1) tables for this language: "and" after a number stands before a fraction or before the next
reading, and one word of look-ahead doesn't tell. Earley would take it and keep every ambiguity; the parser here does
that over values in place of trees, so that equal meanings are one.
"""

from __future__ import annotations

import hashlib
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from itertools import chain
from typing import Any, NamedTuple

from fieldvoice import data_folder
from fieldvoice.records.length import Unit


def _lines(name: str) -> list[list[str]]:
    text = (data_folder("grammar") / name).read_text(encoding="utf-8")
    return [line.split("\t") for line in text.splitlines() if line and not line.startswith("#")]


@cache
def rows(name: str) -> dict[str, tuple[str, str]]:
    """A table by its first column: what stands for it, and why."""
    return {first: (second, reason) for first, second, reason in _lines(name)}


@cache
def usage() -> dict[tuple[str, str], int]:
    """How often what is said, by rule and form."""
    return {(rule, form): int(share) for rule, form, share in _lines("usage.tsv")}


def heard_as(word: str, after: str) -> tuple[str, ...]:
    """The words that a heard word may be before another (none at the end), itself where the table has nothing."""
    table = rows("heard.tsv")
    found = table.get(f"{word} {after or '.'}") or table.get(word)
    return tuple(found[0].split()) if found else (word,)


def typed_as(word: str) -> str:
    """The word that a typed shorthand stands for, itself where the table has nothing."""
    found = rows("typed.tsv").get(word)
    return found[0] if found else word


@cache
def unheard() -> frozenset[str]:
    """The words that are understood where typed or spelled by a free recognizer, and that no ear listens for."""
    return frozenset(word for word, _ in _lines("unheard.tsv"))


START = "utterance"
FILLER, NO_FILLERS = "filler", ("_or_so", "_as_well__unheard")
"""What is said without meaning anything, and what means something for all that it ends in such a word."""
NO_ASIDE = "_of_its_way"
"""What tells where something is for all that it ends in a word said in passing."""
BETWEEN_SIDES = "_between_sides"
WIDE, HIGH = "_long", "_high"
INCH, FOOT, MILLIMETER, CENTIMETER, METER = "_inch", "_foot", "_millimeters", "_centimeters", "_meters"
"""The words for each unit."""
IN_PASSING = "in_passing"
AGREEING = "agreeing"
OPENING = "opening_words"
TAIL = "tail"
PASSED_OVER = (IN_PASSING, AGREEING, OPENING, TAIL)
BARE = "bare"
DANGER = "danger"
CIRCUIT = "circuit"
SUSPECT = "suspect"
MEASURED = "measured"
PLACE = "place"
SIZE = "size_alone"
SMALL = "small"
BOX_NAME = "box_name"
BEGUN = "begun"
OBJECTION = "objection"
DENIALS = {"denial": None, "denial_before": "objected", "denial_of_a_figure": "length"}
"""What an objection begins with, each with the rule of what has to follow."""
IN_MILLIMETERS = "__millimeters"
"""A rule `x__millimeters` stands in place of the rule `x` in a job kept in millimeters."""
UNHEARD = "__unheard"
"""A rule `x__unheard` holds ways to say `x` of known words that no ear listens for: each way more that can be heard is
one more that may be heard falsely.
"""


class Expansion(NamedTuple):
    """One way to say a rule. A symbol is a word as it is said, `<rule>`, or `#TOKEN` for a typed figure; `name`
    says what the parts mean. There are thousands: a tuple takes a third of a data class's time.
    """

    symbols: tuple[str, ...]
    name: str


class PackedRule(NamedTuple):
    """A rule as text: the symbols that it may begin with, all of its symbols, the words that it needs one of, and a way
    to say it on each line with what that means at its end.
    """

    heads: str
    symbols: str
    needs: str
    ways: str


def packed(rules: Rules) -> dict[str, PackedRule]:
    """The text of each rule."""
    needs = needed(rules.expansions)
    return {
        rule: PackedRule(
            " ".join(dict.fromkeys(way.symbols[0] for way in ways)),
            " ".join(dict.fromkeys(chain.from_iterable(way.symbols for way in ways))),
            " ".join(sorted(needs[rule] or ())),
            "\n".join(" ".join((*way.symbols, way.name)) for way in ways),
        )
        for rule, ways in rules.expansions.items()
    }


MOST_NEEDED = 40
"""Of more words than this one is there too often for that to tell anything."""


def needed(expansions: Mapping[str, tuple[Expansion, ...]]) -> dict[str, frozenset[str] | None]:
    """The words of which at least one stands wherever a rule is said; None where that may be any, and for a rule that
    is another one in a job kept in millimeters.
    """
    other = {rule.removesuffix(IN_MILLIMETERS) for rule in expansions if IN_MILLIMETERS in rule}
    found: dict[str, frozenset[str] | None] = {}

    def of_rule(rule: str) -> frozenset[str] | None:
        if rule not in found:
            found[rule] = None  # within itself it tells nothing
            told = rule not in other and IN_MILLIMETERS not in rule
            if told:
                ways = [of_way(way) for way in expansions[rule]]
                often = Counter(chain.from_iterable(ways))
                fewest = (min(way, key=lambda one: (len(one), -often[one]), default=None) for way in ways)
                found[rule] = either([*fewest])
        return found[rule]

    def of_way(way: Expansion) -> list[frozenset[str]]:
        parts = ((symbol, part_of(symbol)) for symbol in way.symbols)
        sets = (frozenset((symbol,)) if part is None else of_rule(part) for symbol, part in parts)
        return [one for one in sets if one is not None]

    for rule in expansions:
        of_rule(rule)
    return found


def either(sets: Sequence[frozenset[str] | None]) -> frozenset[str] | None:
    """The words that are needed where one of several ways is said; None where too many would do."""
    needs = set[str]()
    for one in sets:
        if one is None or len(needs) > MOST_NEEDED:
            return None
        needs |= one
    return frozenset(needs) if len(needs) <= MOST_NEEDED else None


class Packed(Mapping[str, tuple[Expansion, ...]]):
    """The ways to say each rule, unpacked when somebody asks for them: an utterance needs a quarter of the rules, and
    to unpack all takes longer than to understand it.
    """

    def __init__(self, rules: Mapping[str, PackedRule]) -> None:
        self.rules = rules
        self._known: dict[str, tuple[Expansion, ...]] = {}

    def __getitem__(self, rule: str) -> tuple[Expansion, ...]:
        found = self._known.get(rule)
        if found is None:
            ways = map(str.split, self.rules[rule].ways.split("\n"))
            found = self._known[rule] = tuple([Expansion(tuple(way[:-1]), way[-1]) for way in ways])
        return found

    def __iter__(self) -> Iterator[str]:
        return iter(self.rules)

    def __len__(self) -> int:
        return len(self.rules)


@dataclass(frozen=True, slots=True, eq=False)
class Rules:
    """The whole grammar: the expansions of every rule by its name."""

    expansions: Mapping[str, tuple[Expansion, ...]]

    def heads(self, rule: str) -> frozenset[str]:
        """What a rule may begin with."""
        if isinstance(self.expansions, Packed):
            return frozenset(self.expansions.rules[rule].heads.split())
        return frozenset(way.symbols[0] for way in self.expansions[rule])

    def symbols(self, rule: str) -> frozenset[str]:
        """What a rule is made of, whichever way it is said."""
        if isinstance(self.expansions, Packed):
            return frozenset(self.expansions.rules[rule].symbols.split())
        return frozenset(chain.from_iterable(way.symbols for way in self.expansions[rule]))

    def needs(self) -> Mapping[str, frozenset[str] | None]:
        """The words of which each rule needs one."""
        if isinstance(self.expansions, Packed):
            rows = self.expansions.rules.items()
            return {rule: frozenset(row.needs.split()) if row.needs else None for rule, row in rows}
        return needed(self.expansions)

    def reached(self, rule: str) -> frozenset[str]:
        """Every rule that a rule is made of, itself with them."""
        reached, waiting = {rule}, [rule]
        while waiting:
            found = {symbol[1:-1] for symbol in self.symbols(waiting.pop()) if symbol[0] == "<"} - reached
            reached |= found
            waiting += found
        return frozenset(reached)

    def words(self, rule: str = START) -> frozenset[str]:
        """Every word that can be said in a rule."""
        found = frozenset[str]().union(*map(self.symbols, self.reached(rule)))
        return frozenset(symbol for symbol in found if symbol[0] not in "<#")

    def sayable(self, rule: str) -> tuple[Expansion, ...]:
        """The ways to say a rule by voice: none that holds a figure or word that is only typed."""
        dumb = _dumb(self)
        return tuple(
            found
            for found in self.expansions[rule]
            if not any(symbol in dumb or symbol[0] == "#" for symbol in found.symbols)
        )

    def spoken(self, rule: str = START) -> frozenset[str]:
        """Every word that can be said in a rule by voice."""
        found, reached, waiting = set[str](), {rule}, [rule]
        while waiting:
            for symbol in (symbol for way in self.sayable(waiting.pop()) for symbol in way.symbols):
                part = part_of(symbol)
                if part is None:
                    found.add(symbol)
                elif part not in reached:
                    reached.add(part)
                    waiting.append(part)
        return frozenset(found)

    def said(self) -> str:
        """What can be said in an utterance, without what it means: each way to say each rule on a line."""
        return "\n".join(
            f"{rule}: {' '.join(found.symbols)}" for rule in sorted(self.reached(START)) for found in self.sayable(rule)
        )

    def kept_in(self, unit: Unit) -> Rules:
        """The rules for a job that is kept in a unit: they differ in what a number without its unit is."""
        if unit is Unit.INCH:
            return self
        own = {rule.removesuffix(IN_MILLIMETERS): rule for rule in self.expansions if IN_MILLIMETERS in rule}
        if isinstance(self.expansions, Packed):
            rules = self.expansions.rules
            return Rules(Packed({**rules, **{base: rules[rule] for base, rule in own.items()}}))
        return Rules({**self.expansions, **{base: self.expansions[rule] for base, rule in own.items()}})


@lru_cache(maxsize=8)
def _dumb(rules: Rules) -> frozenset[str]:
    """The symbols that no ear listens for: words and ways that are only typed, and rules that have no other."""
    dumb = {*unheard(), *(f"<{rule}>" for rule in rules.expansions if rule.endswith(UNHEARD))}
    while True:
        more = {
            f"<{rule}>"
            for rule, found in rules.expansions.items()
            if all(any(symbol in dumb or symbol[0] == "#" for symbol in way.symbols) for way in found)
        }
        if more <= dumb:
            return frozenset(dumb)
        dumb |= more


def part_of(symbol: str) -> str | None:
    """The rule that a symbol stands for, None for a word or a typed figure."""
    return symbol[1:-1] if symbol.startswith("<") else None


@cache
def grammar_text() -> str:
    """All files of the grammar, in order of their names."""
    files = sorted(data_folder("grammar").glob("*.lark"))
    return "\n".join(file.read_text(encoding="utf-8") for file in files)


def fingerprint(text: str) -> str:
    """The SHA-256 of a grammar's text."""
    return hashlib.sha256(text.encode()).hexdigest()


def from_lark(text: str) -> Rules:
    """The rules of a grammar's text, read by lark, which isn't asked for a parser: three times the seconds."""
    import lark

    looked_for = (*PASSED_OVER, OBJECTION, *DENIALS, *filter(None, DENIALS.values()), SUSPECT, MEASURED, BEGUN, SIZE)
    starts = [START, FILLER, NO_ASIDE, *looked_for, *_rules_in_millimeters(text)]
    loaded = lark.Lark(text, parser=None, lexer="basic", start=starts, maybe_placeholders=False)
    words: dict[str, str] = {term.name: term.pattern.value for term in loaded.terminals if term.pattern is not None}
    expansions: dict[str, list[Expansion]] = {}
    for rule in loaded.rules:
        symbols = tuple(_symbol(symbol, words) for symbol in rule.expansion)
        expansions.setdefault(rule.origin.name, []).append(Expansion(symbols, str(rule.alias or rule.origin.name)))
    return Rules({str(name): tuple(found) for name, found in expansions.items()})


def _rules_in_millimeters(text: str) -> list[str]:
    """Rules that no other names, so that lark would leave them out."""
    names = (line.partition(":")[0].strip() for line in text.splitlines())
    return [name for name in names if name.isidentifier() and name.endswith(IN_MILLIMETERS)]


def _symbol(symbol: Any, words: dict[str, str]) -> str:
    if not symbol.is_term:
        return f"<{symbol.name}>"
    return words.get(symbol.name, f"#{symbol.name}")
