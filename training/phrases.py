"""Phrases of the language in the shares in which a crew says them: mostly readings of inches, some boxes, orders, the
rest.

Every word comes from the rules of `grammar/*.lark`; the patterns here only say how often which rule is drawn.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from fieldvoice.language.compiled import rules
from fieldvoice.language.rules import START, Rules, part_of

LONGEST = 18

# How often, and the rules one after another; a word in quotes is itself, and a rule after "?" is left out half the
# time.
_PATTERNS: tuple[tuple[float, str], ...] = (
    (30, '?place below_hundred "and" tape'),
    (6, "?place below_hundred tape"),
    (9, "?place whole"),
    (5, 'whole "and" tape'),
    (4, "?place tape"),
    (4, '?place below_hundred "and" tape lean'),
    (4, "?place feet"),
    (2, "metric"),
    (5, '?place below_hundred "and" tape _fix below_hundred "and" tape'),
    (6, 'box_name "center" below_hundred "and" tape _from height_slot below_hundred "down"'),
    (4, "box"),
    (5, "circuit"),
    (2, "danger"),
    (5, "part_said"),
    (2, "in_order"),
    (1, "wish"),
    (1, "surface_call"),
    (1, "hanging"),
    (1, "bare_row"),
    (1, "edges"),
    (4, "reading"),
    (3, "length"),
    (6, "command"),
    (4, "answer"),
    (5, "context"),
    (3, "plumb"),
    (3, "opening"),
    (1, "diagonal"),
    (2, "change"),
    (8, "utterance"),
)

# The fractions that a tape has, and now and then any that the grammar knows.
_TAPE: tuple[tuple[float, str], ...] = (
    (40, "_an part"),
    (30, "many parts"),
    (8, '"three" _quarters'),
    (15, 'teen "sixteenths"'),
    (7, "fraction"),
)


@dataclass(frozen=True, slots=True)
class Phrases:
    """A sampler of the language."""

    spoken: Mapping[str, tuple[tuple[str, ...], ...]]
    away: dict[str, dict[str, int]] = field(default_factory=dict, compare=False)
    """By a word that was asked for, how many rules lie between each rule and it, of those that can hold it."""

    def __call__(self, dice: random.Random) -> str:
        """A phrase of at most 18 words."""
        patterns = [each for each in _PATTERNS if all(map(self._knows, each[1].split()))]
        return _short(lambda: self._of_one(patterns, dice))

    def of(self, rule: str) -> Callable[[random.Random], str]:
        """A sampler of what one rule says, in at most 18 words."""
        return lambda dice: _short(lambda: self._draw(rule, dice))

    def holding(self, word: str, dice: random.Random) -> str:
        """A phrase of at most 18 words with this one among them, by as few rules as lead to it; an empty string where
        no rule of an utterance has it.
        """
        away = self.away.get(word) or self.away.setdefault(word, self._away(word))
        while START in away:
            words = self._draw_toward(word, START, away, dice)
            if len(words) <= LONGEST:
                return " ".join(words)
        return ""

    def _away(self, word: str) -> dict[str, int]:
        away: dict[str, int] = {}
        while True:
            reached = {
                rule
                for rule, ways in self.spoken.items()
                if rule not in away and any(each == word or part_of(each) in away for way in ways for each in way)
            }
            if not reached:
                return away
            away |= dict.fromkeys(reached, 1 + max(away.values(), default=0))

    def _draw_toward(self, word: str, rule: str, away: Mapping[str, int], dice: random.Random) -> list[str]:
        way, toward = dice.choice(
            [
                (way, place)
                for way in self.spoken[rule]
                for place, each in enumerate(way)
                if each == word or away.get(part_of(each) or "", away[rule]) < away[rule]
            ]
        )
        words: list[str] = []
        for place, symbol in enumerate(way):
            part = part_of(symbol)
            if part is None:
                words.append(symbol)
            else:
                words += self._draw_toward(word, part, away, dice) if place == toward else self._draw(part, dice)
        return words

    def _of_one(self, patterns: Sequence[tuple[float, str]], dice: random.Random) -> list[str]:
        pattern = dice.choices([parts for _, parts in patterns], [share for share, _ in patterns])[0]
        return [word for part in pattern.split() for word in self._part(part, dice)]

    def _knows(self, part: str) -> bool:
        return part[0] == '"' or part == "tape" or part.removeprefix("?") in self.spoken

    def _part(self, part: str, dice: random.Random) -> list[str]:
        if part[0] == '"':
            return [part.strip('"')]
        if part[0] == "?":
            return self._draw(part[1:], dice) if dice.random() < 0.5 else []
        return self._of_one(_TAPE, dice) if part == "tape" else self._draw(part, dice)

    def _draw(self, rule: str, dice: random.Random) -> list[str]:
        words: list[str] = []
        for symbol in dice.choice(self.spoken[rule]):
            part = part_of(symbol)
            words += self._draw(part, dice) if part else [symbol]
        return words


def _short(draw: Callable[[], Sequence[str]]) -> str:
    """The first of what is drawn that says anything, in at most `LONGEST` words."""
    while True:
        words = draw()
        if 0 < len(words) <= LONGEST:
            return " ".join(words)


def phrases() -> Phrases:
    """The sampler of the grammar that comes with fieldvoice."""
    return Phrases(spoken(rules()))


def of_each_word(forms: Phrases, words: Sequence[str]) -> Callable[[random.Random], str]:
    """A sampler of phrases that hold one of these words, each of them as often; a word of no utterance in a few words
    that may stand around any.
    """

    def drawn(dice: random.Random) -> str:
        word = dice.choice(words)
        return forms.holding(word, dice) or dice.choice(_AROUND).format(word)

    return drawn


_AROUND = (
    "{}",
    "{}",
    "it's {}",
    "that {}",
    "the {} is there",
    "no {}",
    "{} that one",
    "we {} it",
    "box two {}",
    "i {} it",
)


def spoken(grammar: Rules) -> dict[str, tuple[tuple[str, ...], ...]]:
    """By rule, the ways to say it: without what can only be typed, and without rules of which nothing is left then."""
    ways = {
        rule: tuple(one.symbols for one in expansions if not any(symbol[0] == "#" for symbol in one.symbols))
        for rule, expansions in grammar.expansions.items()
    }
    while silent := {rule for rule, left in ways.items() if not left}:
        ways = {
            rule: tuple(one for one in left if not any(part_of(symbol) in silent for symbol in one))
            for rule, left in ways.items()
            if left
        }
    return ways
