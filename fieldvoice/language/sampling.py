"""Utterances made up from the grammar, each with its meaning and as often as a crew says the like: for tests, and for
teaching ears.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

from fieldvoice.language.compiled import rules
from fieldvoice.language.descent import meaning_of
from fieldvoice.language.meanings import ACTIONS
from fieldvoice.language.partial import Several, Trouble
from fieldvoice.language.rules import START, Expansion, part_of, usage
from fieldvoice.language.understanding import understand
from fieldvoice.records.hearing import Source
from fieldvoice.records.length import Unit
from fieldvoice.records.utterance import Ask, Question, Status

if TYPE_CHECKING:
    import random

    from fieldvoice.records.utterance import Meaning


NOTHING = Question(Ask.NOTHING_MEANT)


@dataclass(frozen=True, slots=True)
class Sample:
    """An utterance and what it means."""

    words: str
    meanings: tuple[Meaning, ...]


def sample(rng: random.Random, unit: Unit = Unit.INCH) -> Sample:
    """An utterance with one meaning in a job kept in `unit`. What is unclear or refused is drawn again."""
    while True:
        words, value = draw(START, rng, unit)
        if isinstance(value, Trouble | Several) or any(isinstance(part, Trouble) for part in _tuple(value)):
            continue
        utterance = understand(" ".join(words), Source.SPOKEN, unit)
        if utterance.status is Status.UNDERSTOOD:
            return Sample(utterance.heard, utterance.meanings)


def draw(rule: str, rng: random.Random, unit: Unit = Unit.INCH) -> tuple[list[str], Any]:
    """Words of a rule with their value, made along the way that was drawn and not by parsing."""
    expansions, shares = zip(*_sayable(unit)[rule], strict=True)
    (expansion,) = rng.choices(expansions, shares)
    return _draw_one(expansion, rng, unit)


def _draw_one(expansion: Expansion, rng: random.Random, unit: Unit) -> tuple[list[str], Any]:
    """The same of one way to say a rule."""
    words: list[str] = []
    parts: list[Any] = []
    for symbol in expansion.symbols:
        part = part_of(symbol)
        if part is None:
            words.append(symbol)
            continue
        said, value = draw(part, rng, unit)
        words += said
        if isinstance(value, Several):
            value = rng.choice(value.values) if value.values else NOTHING
        parts += value if part[0] == "_" else [value]
    return words, meaning_of(expansion.name, tuple(parts), ACTIONS)


@cache
def _sayable(unit: Unit) -> dict[str, list[tuple[Expansion, int]]]:
    """The expansions of each rule that can be said, with their shares: none with a typed figure, or a rule that needs
    one.
    """
    grammar = rules().kept_in(unit)
    return {rule: [(one, share(rule, one)) for one in grammar.sayable(rule)] for rule in grammar.expansions}


def share(rule: str, expansion: Expansion) -> int:
    """How often a crew says a rule in this way (`usage.tsv`), beside its other ways."""
    begins = next((part for part in map(part_of, expansion.symbols) if part), "")
    shares = usage()
    return shares.get((rule, expansion.name), shares.get((rule, begins), 1))


def _tuple(value: Any) -> tuple[Any, ...]:
    return value if isinstance(value, tuple) else (value,)
