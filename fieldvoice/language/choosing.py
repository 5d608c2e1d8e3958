"""Choosing among the ways an utterance may have gone."""

from __future__ import annotations

from dataclasses import dataclass, fields, is_dataclass, replace
from fractions import Fraction

from fieldvoice.language.questions import which_of
from fieldvoice.language.understanding import understand
from fieldvoice.records.hearing import Hearing
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Meaning, Status, Utterance


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


def choose(hearing: Hearing, unit: Unit = Unit.INCH) -> Choice:
    """The meanings of a hearing in a job kept in `unit`. Hypotheses that mean the same are one candidate, and their
    probabilities add up; what can't be told apart safely by ear ("thirteen" and "thirty") is one unclear candidate.
    """
    found: dict[object, Candidate] = {}
    refused: Utterance | None = None
    for hypothesis in hearing.hypotheses:
        utterance = understand(hypothesis.words, hearing.source, unit)
        if utterance.status is Status.REFUSED:
            refused = refused or utterance
            continue
        key = utterance.meanings or utterance.alternatives or utterance.ask
        known = found.get(key)
        mass = hypothesis.probability + (known.mass if known else 0.0)
        found[key] = Candidate(known.utterance if known else utterance, mass)
    candidates = sorted(found.values(), key=lambda candidate: -candidate.mass)
    return Choice(tuple(_twins_asked(candidates, unit)), None if candidates else refused)


def _twins_asked(candidates: list[Candidate], unit: Unit) -> list[Candidate]:
    """The best candidate and the runner-up as one question where they are a teen and its ten."""
    if len(candidates) < 2 or not twins(candidates[0].utterance.meanings, candidates[1].utterance.meanings):
        return candidates
    first, second, *rest = candidates
    both = (first.utterance.meanings, second.utterance.meanings)
    asked = replace(first.utterance, status=Status.UNCLEAR, meanings=(), alternatives=both, ask=which_of(both, unit))
    return [Candidate(asked, first.mass + second.mass), *rest]


def twins(one: tuple[Meaning, ...], other: tuple[Meaning, ...]) -> bool:
    """Whether two meanings differ by a teen heard for its ten, such as thirteen for thirty, and by nothing else."""
    return one != other and _alike(one, other)


def _alike(one: object, other: object) -> bool:
    """The same throughout, but for lengths and numbers that sound alike."""
    if one == other:
        return True
    if type(one) is not type(other):
        return False
    if isinstance(one, Length) and isinstance(other, Length):
        return any(_sound_alike(one.in_unit(unit), other.in_unit(unit)) for unit in Unit)
    if isinstance(one, str) and isinstance(other, str):
        return one.isdigit() and other.isdigit() and _sound_alike(Fraction(one), Fraction(other))
    if isinstance(one, tuple) and isinstance(other, tuple):
        return len(one) == len(other) and all(map(_alike, one, other))
    return is_dataclass(one) and all(
        _alike(getattr(one, field.name), getattr(other, field.name)) for field in fields(one)
    )


def _sound_alike(one: Fraction, other: Fraction) -> bool:
    """13 and 30 to 19 and 90, with the same hundreds before: with a fraction the number is said at more length."""
    low, high = sorted((one, other))
    teen, ten = low % 100, high % 100
    return 13 <= teen <= 19 and ten == (teen - 10) * 10 and high - low == ten - teen and teen.denominator == 1
