"""How sure it is that what was heard is what was said: all evidence weighed into one figure, the logarithm of its odds.

The weights were fitted on the tuning split and its people (`python -m benchmarks.hearing weigh`) and lie in
`surety.json` beside this file. Lone words, figures and answers have weights of their own: there other talk is nearer.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from math import log
from pathlib import Path

from fieldvoice.language.choosing import Choice, key_of
from fieldvoice.records.hearing import Hearing

TABLE = Path(__file__).with_name("surety.json")
"""The weights, the least figure of each kind of utterance, and the run that found them."""

Signs = Mapping[str, float]
"""By its name what each sign comes to, for or against the leading recognizer's best meaning."""

WARNING = "word of danger in several words"
"""Beside the kinds of utterance what has a least figure of its own: it counts as danger whether it is taken or asked
about, so that a question about it keeps nobody safer.
"""
SHARE_LEAST, POSTERIOR_LEAST, APART_LEAST = 0.01, 1e-4, 1e-5
"""What is less than these is as good as nothing, so that one sign alone decides little."""
USUAL_ABOVE_NOISE_DB, MOST_ABOVE_NOISE_DB = 25.0, 50.0
UNKNOWN_CLEAR, WORST_CLEAR = -1.5, -2.0
MOST_WORDS = 4
"""More words than these make nothing surer: with twelve a chain of eight that had lost its first was surer than any
word alone.
"""


@dataclass(frozen=True, slots=True)
class Surety:
    """The weights of signs, of calls and of few words; by the kind of an utterance, or `WARNING`, the least that it is
    taken at: a kind without one has gates and nothing else.
    """

    calls: Signs
    few: Signs
    least: Mapping[str, float]

    def least_of(self, *names: str) -> float:
        """The least figure of the first of these that has one."""
        return next(self.least[name] for name in names if name in self.least)


@cache
def shipped() -> Surety:
    """The weights that come with fieldvoice."""
    found = json.loads(TABLE.read_text(encoding="utf-8"))
    return Surety(found["calls"], found["few"], found["least"])


def weighed(signs: Signs, weights: Signs) -> float:
    """The log odds that signs come to."""
    return sum(weights[name] * value for name, value in signs.items())


def signs(hearings: Sequence[Hearing], choices: Sequence[Choice]) -> Signs:
    """What the first recognizer and the second say of the first one's best meaning."""
    best, rest = choices[0].candidates[0], choices[0].candidates[1:]
    above = hearings[0].above_noise_db
    heard, sure = hearings[1], hearings[1].log_probability
    words = best.utterance.heard
    same = sum(one.mass for one in choices[1].candidates if key_of(one) == key_of(best))
    same_words = sum(one.probability for one in heard.hypotheses if one.words == words)
    other = max((one.mass for one in choices[1].candidates if key_of(one) != key_of(best)), default=0.0)
    meant = sum(one.mass for one in choices[1].candidates)
    clear = max(WORST_CLEAR, UNKNOWN_CLEAR if sure is None else sure) - WORST_CLEAR
    return {
        "always": 1.0,
        "posterior": _odds(best.mass, POSTERIOR_LEAST),
        "apart": log((best.mass + APART_LEAST) / (sum(one.mass for one in rest) + APART_LEAST)),
        "words": float(min(MOST_WORDS, len(words.split()))),
        "above noise": min(MOST_ABOVE_NOISE_DB, USUAL_ABOVE_NOISE_DB if above is None else above) / 10,
        "agrees": _odds(same, SHARE_LEAST),
        "same words": _odds(same_words, SHARE_LEAST),
        "opposes": _odds(other, SHARE_LEAST),
        "heard nothing": float(not heard.hypotheses),
        "clear": clear,
        "clear and agrees": clear * same,
        "clear and opposes": clear * other,
        "clear and no call": clear * (1 - meant) if heard.hypotheses else 0.0,
    }


def _odds(share: float, least: float) -> float:
    share = min(max(share, least), 1 - least)
    return log(share / (1 - share))
