"""Utterances made up from the grammar, each with its meaning: for tests, and for teaching ears."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from fieldvoice.language.compiled import rules
from fieldvoice.language.descent import meaning_of
from fieldvoice.language.found import Question, Several, Trouble
from fieldvoice.language.rules import START, Expansion, Rules, part_of
from fieldvoice.language.understanding import ACTIONS, understand
from fieldvoice.records.hearing import Source
from fieldvoice.records.meaning import Status

if TYPE_CHECKING:
    import random

    from fieldvoice.records.meaning import Meaning


NOTHING = Question("Nothing is meant by that.")


@dataclass(frozen=True, slots=True)
class Sample:
    """An utterance and what it means."""

    words: str
    meanings: tuple[Meaning, ...]


def sample(rng: random.Random) -> Sample:
    """An utterance with one meaning. What is unclear or refused is drawn again."""
    while True:
        words, value = draw(rules(), START, rng)
        if isinstance(value, Trouble | Several) or any(isinstance(part, Trouble) for part in _tuple(value)):
            continue
        utterance = understand(" ".join(words), Source.SPOKEN)
        if utterance.status is Status.UNDERSTOOD:
            return Sample(utterance.heard, utterance.meanings)


def draw(grammar: Rules, rule: str, rng: random.Random) -> tuple[list[str], Any]:
    """Words of a rule with their value, made along the way that was drawn and not by parsing."""
    expansion = rng.choice([found for found in grammar.expansions[rule] if _sayable(found)])
    words: list[str] = []
    parts: list[Any] = []
    for symbol in expansion.symbols:
        part = part_of(symbol)
        if part is None:
            words.append(symbol)
            continue
        said, value = draw(grammar, part, rng)
        words += said
        if isinstance(value, Several):
            value = rng.choice(value.values) if value.values else NOTHING
        parts += value if part[0] == "_" else [value]
    return words, meaning_of(expansion.name, tuple(parts), ACTIONS)


def _sayable(expansion: Expansion) -> bool:
    return not any(symbol[0] == "#" for symbol in expansion.symbols)


def _tuple(value: Any) -> tuple[Any, ...]:
    return value if isinstance(value, tuple) else (value,)
