"""Every parse of an utterance, as values.

The parser goes down the rules from the start and keeps, for each rule at each word, all values that the rule can have
there and where each ends. Equal values are one: two parses that mean the same are no ambiguity. Work is bounded, so
that no utterance blows up: one that would take more is unclear.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache, partial
from typing import Any, get_args

from fieldvoice.language.lookahead import Lookahead, Place
from fieldvoice.language.partial import Link, Several, Trouble
from fieldvoice.language.rules import Rules
from fieldvoice.records.meaning import Reading
from fieldvoice.records.utterance import Ask, Question

Value = Hashable
Action = Callable[..., Any]
MOST_VALUES = 24
"""More values than this for one stretch of words say no more than that it is unclear."""
MOST_STEPS = 2500
"""More work than this is left off, and the utterance is unclear: doubtful values that follow one another multiply."""
MOST_PARSED = 64
"""An utterance's words are parsed in fewer ways than this."""
NUMBERS = frozenset(
    {"length", "plain", "small", "part_inches", "row_length", "called", "name", "stud_list", "stud_row"}
)
"""The rules of whole numbers, as other rules use them. A number takes all the words that it can: where an utterance
holds together only if one stops short, nobody can hear where ("top forty | half inch board", "top forty half | ...").
A fraction with its "and", or a written one, is that of the inches before it.
"""
GOES_ON = {"called": "loose"}
"""A number that another rule may take farther: "at thirty two two" is rather 32 and some part than 2 at 32."""
JOINTS = frozenset({"link", "placed_link"})
"""The rules of what follows in the same breath."""
TROUBLE = get_args(Trouble)


@dataclass(frozen=True, slots=True)
class Token:
    """The words at one place: usually one, more where it may be another. `text` is what stood there, and `figure` a
    typed figure's value.
    """

    words: tuple[str, ...]
    text: str
    figure: Value = None

    @property
    def figures(self) -> tuple[Value, ...]:
        """The figure where it is one."""
        return () if self.figure is None else (self.figure,)


Way = tuple[int, Iterable[Value], Place]
"""Values of a rule, the word after their end, and the place within the rule that holds it to go on from."""


class Parser(Lookahead):
    """All parses of the rules, with the meanings' names turned to values by `actions`."""

    def __init__(self, rules: Rules, actions: Mapping[str, Action]) -> None:
        super().__init__(rules)
        self.actions = actions
        self._looking = _Run(self, ())
        """What was looked for last, in words that are often looked through for more."""
        self._parsed: dict[tuple[str, tuple[Token, ...]], Parses] = {}

    def begin(self) -> None:
        """Forget what was parsed: the words of one utterance are asked about again and again, with what is passed over
        and without it.
        """
        self._parsed.clear()

    def parse(self, heard: Sequence[Token], start: str) -> Parses:
        """Every value of the whole utterance."""
        key = (start, tuple(heard))
        found = self._parsed.get(key)
        if found is None:
            if len(self._parsed) >= MOST_PARSED:
                self.begin()
            run = _Run(self, heard)
            values, lost = run.values(start, 0).get(len(heard), {}), cache(partial(self._lost, heard, start))
            found = self._parsed[key] = Parses(tuple(values), crowded=run.crowded, steps=run.steps, lost=lost)
        return found

    def _lost(self, heard: Sequence[Token], start: str) -> Stuck:
        """How far words go that make no sense."""
        run = _LostRun(self, heard)
        ends = run.values(start, 0)
        sense = max((end for end, some in ends.items() if not _is_trouble(some)), default=0)
        return Stuck(run.furthest, cut_off=run.cut_off, sense=sense)

    def found_within(self, heard: Sequence[Token], rule: str) -> list[Any]:
        """The values of a rule wherever its words stand in an utterance, the longest ones at each word. A question is
        none: "two in box forty six", which asks where the number ends, hides nothing of "box forty six is live".
        """
        found, at = list[Any](), 0
        while at < len(heard):
            ends = {end: _sound(values) for end, values in self.ends_of(heard, rule, at).items()}
            end = max((end for end, values in ends.items() if values), default=at)
            found += ends.get(end, ())
            at = max(end, at + 1)
        return found

    def holds(self, heard: Sequence[Token], rule: str) -> bool:
        """Whether the words of a rule stand anywhere in an utterance."""
        return any(self.ends_of(heard, rule, at) for at in range(len(heard)))

    def ends_with(self, heard: Sequence[Token], rule: str) -> bool:
        """Whether an utterance ends in the words of a rule."""
        return any(len(heard) in self.ends_of(heard, rule, at) for at in range(len(heard)))

    def ends_of(self, heard: Sequence[Token], rule: str, start: int) -> dict[int, tuple[Any, ...]]:
        """The values of a rule from that word on, by the word after its end."""
        near = [one.words for one in heard[start : start + 2]]
        if not near or not self.may_begin(rule, near[0], near[-1] if near[1:] else ()):
            return {}
        looking = self._looking  # its own, whatever another thread looks for meanwhile
        if looking.heard is not heard or looking.crowded:
            looking = self._looking = _Run(self, heard)
        looking.steps = 0
        return {end: tuple(values) for end, values in looking.values(rule, start).items()}


def _is_trouble(values: Iterable[Value]) -> bool:
    return any(isinstance(value, TROUBLE) for value in values)


def _sound(values: Iterable[Value]) -> list[Value]:
    return [value for value in values if not isinstance(value, TROUBLE)]


def _unplaced(value: Any) -> bool:
    """Whether it is a width or a height of no place, or of less than any board has."""
    if isinstance(value, Question):
        return value.about is Ask.SHORT_WIDTH
    if not isinstance(value, Link) or value.instead or len(value.meanings) != 1:
        return False
    (one,) = value.meanings
    return isinstance(one, Reading) and one.at is None and one.dimension is not None


@dataclass(frozen=True, slots=True)
class Stuck:
    """Where words make no sense: `furthest` is the index of the first one that nothing could go on with; `cut_off` says
    that they begin something that could go on; so many of the first ones have a value (`sense`).
    """

    furthest: int
    cut_off: bool
    sense: int


@dataclass(frozen=True, slots=True)
class Parses:
    """The distinct values of an utterance. `crowded` says that there were too many to keep; `steps` is the work that it
    took: places of rules gone through; `lost` works out how far it goes where there is none.
    """

    values: tuple[Any, ...]
    crowded: bool
    steps: int
    lost: Callable[[], Stuck]


@dataclass(slots=True)
class _Run:
    parser: Parser
    heard: Sequence[Token]
    crowded: bool = False
    steps: int = 0
    memo: dict[tuple[str, int], dict[int, dict[Value, None]]] = field(default_factory=dict)
    questions: dict[tuple[int, int], tuple[Question]] = field(default_factory=dict)
    words: list[tuple[str, ...]] = field(init=False)
    later: list[set[str]] = field(init=False)
    """Every word that comes behind each one."""
    beyond: list[tuple[str, ...]] = field(init=False)
    """The words behind the numerals that begin at each one."""

    def __post_init__(self) -> None:
        self.words = [*(one.words for one in self.heard), ()]
        self.beyond = [*self._beyond()][::-1]
        self.later = [set()]
        for one in reversed(self.heard[1:]):
            self.later.append(self.later[-1].union(one.words))
        self.later.reverse()

    def _beyond(self) -> Iterator[tuple[str, ...]]:
        behind = tuple[str, ...]()
        for one in reversed(self.heard):
            if self.parser.numerals.isdisjoint(one.words):
                behind = one.words
            elif len(one.words) > 1:
                behind += one.words  # it need not be a numeral
            yield behind

    def values(self, rule: str, at: int) -> dict[int, dict[Value, None]]:
        """The values of a rule from word `at` on, by the word after its end."""
        key = (rule, at)
        found = self.memo.get(key)
        if found is None:
            found = self.memo[key] = {}
            self._go(self.parser.root(rule), at, (), found)
        return found

    def _go(self, node: Place, at: int, parts: tuple[Any, ...], found: dict[int, dict[Value, None]]) -> None:
        self.steps += 1
        if self.steps > MOST_STEPS:
            self.crowded = True
            return
        for name in node.names:
            self._end(name, parts, found.setdefault(at, {}))
        if not node.edges or at == len(self.heard):
            return
        words, then, later = self.words[at], self.words[at + 1], self.later[at]
        for part, after, second, beyond, needs in node.table.get(words) or self.parser.step(node, words):
            if needs is not None and needs.isdisjoint(later):
                continue
            if part is None:
                self._go(after, at + 1, parts + self.heard[at].figures, found)
            elif (
                (second is None or not second.isdisjoint(then))
                and (beyond is None or not beyond.isdisjoint(self.beyond[at]))
                and self.memo.get((part, at), True)
            ):
                self._through(part, at, after, parts, found)

    def _through(
        self, rule: str, at: int, after: Place, parts: tuple[Any, ...], found: dict[int, dict[Value, None]]
    ) -> None:
        """On by each value of a rule."""
        if rule in NUMBERS or rule in JOINTS:
            for end, some, on in self._ways(rule, at, after):
                if self._leads_on(on, end):
                    for value in some:
                        self._go(on, end, (*parts, value), found)
            return
        spliced = rule[0] == "_"
        for end, values in self.values(rule, at).items():
            if self._leads_on(after, end):
                for value in values:
                    self._go(after, end, (*parts, *value) if spliced else (*parts, value), found)  # type: ignore[misc]

    def _ways(self, rule: str, at: int, after: Place) -> Iterable[Way]:
        """The values of a number or of what follows in the same breath, where each ends, and the place to go on from: a
        question where numbers stand side by side at its beginning.
        """
        if rule in NUMBERS:
            return self.number(rule, at, after)
        found = {end: some for end, some in self.values(rule, at).items() if not self._splits_number(at, some)}
        if found and self._side_by_side(at):
            return [(end, (self._where_it_begins(at),), after) for end in found]
        return [(end, values, after) for end, values in found.items()]

    def _leads_on(self, node: Place, at: int) -> bool:
        """Whether the rule may end at a node or the next word goes on from it."""
        return bool(node.names) or at == len(self.heard) or not self.parser.ahead(node).isdisjoint(self.words[at])

    def number(self, rule: str, at: int, after: Place) -> list[Way]:
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
            elif self._leads_on(after, end) and not self._its_fraction(end):
                ways.append((end, self._where_it_ends(at, end, longest), after))
        return ways

    def _its_fraction(self, at: int) -> bool:
        """Whether a fraction with its "and", or one that is written, stands where a number may end: it is its own."""
        joined = "and" in self.heard[at].words
        return (joined or self.heard[at].figure is not None) and bool(self.values("fraction", at + joined))

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

    def _splits_number(self, at: int, values: Iterable[Value]) -> bool:
        """Whether it is but a width or a height of no place, and begins within a number that goes on from the word
        before: "left ninety | four tall" isn't left 90 and then 4 tall, nor "left ninety | and a half tall".
        """
        return all(map(_unplaced, values)) and max(self.values("plain", at - 1), default=at) > at

    def _where_it_begins(self, at: int) -> Question:
        return Question(Ask.NEW_NUMBER, (self.heard[at].text,))

    def _parted(self, after: Place, end: int) -> Place | None:
        here = self.heard[end]
        if len(here.words) == 1:
            return None
        return next((on.opened() for symbol, on in after.edges if symbol == here.words[0]), None)

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


@dataclass(slots=True)
class _LostRun(_Run):
    """One that finds out how far the words go: it goes through what can't end well, too."""

    furthest: int = 0
    cut_off: bool = False

    def _go(self, node: Place, at: int, parts: tuple[Any, ...], found: dict[int, dict[Value, None]]) -> None:
        self.steps += 1
        if self.steps > MOST_STEPS:
            return
        for name in node.names:
            self._end(name, parts, found.setdefault(at, {}))
        if not node.edges:
            return
        self.furthest = max(self.furthest, at)
        if at == len(self.heard):
            self.cut_off = True
            return
        for part, after, *_ in self.parser.step(node, self.words[at]):
            if part is None:
                self._go(after, at + 1, parts + self.heard[at].figures, found)
            else:
                self._through(part, at, after, parts, found)

    def _leads_on(self, node: Place, at: int) -> bool:
        leads = super(_LostRun, self)._leads_on(node, at)
        self.furthest = self.furthest if leads else max(self.furthest, at)
        return leads


def meaning_of(name: str, parts: tuple[Any, ...], actions: Mapping[str, Action]) -> Any:
    """The value of a meaning's name with its parts. Trouble in a part is trouble of the whole."""
    if name[0] == "_":
        return parts
    for part in parts:
        if isinstance(part, TROUBLE):
            return part
    action = actions.get(name)
    if action is not None:
        return action(*parts)
    if parts:
        return parts[0] if len(parts) == 1 else parts
    return int(name[1:]) if name[1:].isdigit() else name.replace("_", " ")
