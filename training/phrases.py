"""Phrases of the language in the shares in which a crew says them: mostly readings of inches, some boxes, orders, the
rest.

Every word comes from the rules of `grammar/*.lark`; the patterns here only say how often which rule is drawn.
"""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from fieldvoice.language.compiled import rules
from fieldvoice.language.rules import Rules, part_of

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

    def __call__(self, dice: random.Random) -> str:
        """A phrase of at most 18 words."""
        patterns = [each for each in _PATTERNS if all(map(self._knows, each[1].split()))]
        while True:
            words = self._of_one(patterns, dice)
            if 0 < len(words) <= LONGEST:
                return " ".join(words)

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


def phrases() -> Phrases:
    """The sampler of the grammar that comes with fieldvoice."""
    return Phrases(spoken(rules()))


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
