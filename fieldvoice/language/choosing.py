"""Choosing among the ways an utterance may have gone."""

from __future__ import annotations

from dataclasses import dataclass, replace

from fieldvoice.language.questions import which_of
from fieldvoice.language.understanding import understand
from fieldvoice.records.hearing import Hearing
from fieldvoice.records.meaning import Meaning, Reading, Status, Utterance


@dataclass(frozen=True, slots=True)
class Candidate:
    """A meaning that an utterance may have, with the probability of all hypotheses that mean it."""

    utterance: Utterance
    mass: float


@dataclass(frozen=True, slots=True)
class Choice:
    """What a hearing may mean, likeliest first. `refused` is the first refusal where no hypothesis means anything."""

    candidates: tuple[Candidate, ...]
    refused: Utterance | None = None


def choose(hearing: Hearing) -> Choice:
    """The meanings of a hearing. Hypotheses that mean the same are one candidate, and their probabilities add up; what
    can't be told apart safely by ear ("thirteen" and "thirty") is one unclear candidate.
    """
    found: dict[object, Candidate] = {}
    refused: Utterance | None = None
    for hypothesis in hearing.hypotheses:
        utterance = understand(hypothesis.words, hearing.source)
        if utterance.status is Status.REFUSED:
            refused = refused or utterance
            continue
        key = utterance.meanings or utterance.alternatives or utterance.ask
        known = found.get(key)
        mass = hypothesis.probability + (known.mass if known else 0.0)
        found[key] = Candidate(known.utterance if known else utterance, mass)
    candidates = sorted(found.values(), key=lambda candidate: -candidate.mass)
    return Choice(tuple(_twins_asked(candidates)), None if candidates else refused)


def _twins_asked(candidates: list[Candidate]) -> list[Candidate]:
    """The best candidate and the runner-up as one question where they are a teen and its ten."""
    if len(candidates) < 2 or not twins(candidates[0].utterance.meanings, candidates[1].utterance.meanings):
        return candidates
    first, second, *rest = candidates
    both = (first.utterance.meanings, second.utterance.meanings)
    asked = replace(first.utterance, status=Status.UNCLEAR, meanings=(), alternatives=both, ask=which_of(both))
    return [Candidate(asked, first.mass + second.mass), *rest]


def twins(one: tuple[Meaning, ...], other: tuple[Meaning, ...]) -> bool:
    """Whether two meanings differ by a teen heard for its ten, such as thirteen for thirty, and by nothing else."""
    if len(one) != len(other):
        return False
    different = [pair for pair in zip(one, other, strict=True) if pair[0] != pair[1]]
    return bool(different) and all(_twin_readings(*pair) for pair in different)


def _twin_readings(one: Meaning, other: Meaning) -> bool:
    if not (isinstance(one, Reading) and isinstance(other, Reading)):
        return False
    return replace(one, value=other.value) == other and frozenset((one.value.inches, other.value.inches)) in _TWINS


_TWINS = frozenset(frozenset((ones + 10, ones * 10)) for ones in range(3, 10))
"""13 and 30 to 19 and 90, bare: with a fraction after it, or digits, the number is said at more length."""
