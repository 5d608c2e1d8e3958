"""Choosing among the ways an utterance may have gone, and how likely any of them spoke of a circuit that isn't dead."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields, is_dataclass, replace
from fractions import Fraction
from functools import cache, lru_cache
from itertools import pairwise

from fieldvoice.language.compiled import rules
from fieldvoice.language.rules import FILLER
from fieldvoice.language.speaking import number_words
from fieldvoice.language.understanding import understand
from fieldvoice.records.hearing import Hearing, Source
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Danger
from fieldvoice.records.utterance import Answer, Ask, Meaning, Question, Status, Utterance


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
    probabilities add up.
    """
    found: dict[object, Candidate] = {}
    refused: Utterance | None = None
    for hypothesis in hearing.hypotheses:
        utterance = meaning_of(hypothesis.words, hearing.source, unit)
        if utterance.status is Status.REFUSED:
            refused = refused or utterance
            continue
        key = _meant(utterance)
        known = found.get(key)
        mass = hypothesis.probability + (known.mass if known else 0.0)
        found[key] = Candidate(known.utterance if known else utterance, mass)
    candidates = sorted(found.values(), key=lambda candidate: -candidate.mass)
    return Choice(tuple(candidates), None if candidates else refused)


@lru_cache(maxsize=256)
def meaning_of(words: str, source: Source, unit: Unit) -> Utterance:
    """What words mean, kept for a while: whether more recognizers must hear is asked of the same words before the
    verdict is.
    """
    return understand(words, source, unit)


def key_of(candidate: Candidate) -> object:
    """What two candidates share that mean the same."""
    return _meant(candidate.utterance)


def _meant(utterance: Utterance) -> object:
    """What it means; "that's right" is a yes, but for a circuit, which `plain_yes` sees to."""
    plain = tuple(replace(one, agreed=False) if isinstance(one, Answer) else one for one in utterance.meanings)
    return plain or utterance.alternatives or utterance.ask


AGREED = 0.1
"""From this share on a recognizer has heard "that's right" or the like, and a yes beside it is no plain one."""


def plain_yes(utterance: Utterance, hearings: Sequence[Hearing], unit: Unit) -> Utterance:
    """The utterance, a yes in it taken for mere agreement where any recognizer has heard that."""
    if not any(isinstance(one, Answer) and one.yes for one in utterance.meanings):
        return utterance
    for hearing in hearings:
        ways = ((each, meaning_of(each.words, hearing.source, unit)) for each in hearing.hypotheses)
        if sum(each.probability for each, way in ways if _is_agreed(way)) >= AGREED:
            agreed = (
                replace(one, agreed=one.yes, plain=False) if isinstance(one, Answer) else one
                for one in utterance.meanings
            )
            return replace(utterance, meanings=tuple(agreed))
    return utterance


def _is_agreed(utterance: Utterance) -> bool:
    return any(isinstance(one, Answer) and one.agreed for one in utterance.meanings)


def which_twin(choice: Choice) -> Utterance | None:
    """The best candidate and the runner-up as a question, where they are a teen and its ten ("thirteen", "thirty")."""
    if len(choice.candidates) < 2:
        return None
    first, second = (candidate.utterance for candidate in choice.candidates[:2])
    if not twins(first.meanings, second.meanings):
        return None
    both = (first.meanings, second.meanings)
    return replace(first, status=Status.UNCLEAR, meanings=(), alternatives=both, ask=Question(Ask.WHICH_OF))


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
        in_millimeters = one.in_unit(Unit.MM), other.in_unit(Unit.MM)
        halved = [number / 100 for number in in_millimeters]  # "thirteen fifty" and "thirty fifty"
        return any(_sound_alike(*both) for both in ((one.inches, other.inches), in_millimeters, halved))
    if isinstance(one, str) and isinstance(other, str):
        (kind, _, number), (other_kind, _, other_number) = one.rpartition(" "), other.rpartition(" ")
        numbered = kind == other_kind and number.isdigit() and other_number.isdigit()
        return numbered and _sound_alike(Fraction(number), Fraction(other_number))
    if isinstance(one, tuple) and isinstance(other, tuple):
        return len(one) == len(other) and all(map(_alike, one, other))
    return is_dataclass(one) and all(
        _alike(getattr(one, field.name), getattr(other, field.name)) for field in fields(one)
    )


def _sound_alike(one: Fraction, other: Fraction) -> bool:
    """13 and 30 to 19 and 90, with the same hundreds before and the same fraction after.

    On the tuning split the reading head heard "forty and seven sixteenths" as fourteen with 0.87 of the probability,
    and that was not the only one.
    """
    low, high = sorted((one, other))
    teen, ten = low % 100 // 1, high % 100 // 1
    return 13 <= teen <= 19 and ten == (teen - 10) * 10 and high - low == ten - teen


def teens_or_tens(words: str) -> list[str]:
    """For each teen, and each ten without a digit after it, the word that follows."""
    spoken = [*words.split(), ""]
    digits, teens, tens = (_words_of(numbers) for numbers in (range(1, 10), range(13, 20), range(30, 100, 10)))
    return [after for one, after in pairwise(spoken) if one in teens or (one in tens and after not in digits)]


@cache
def _words_of(numbers: range) -> frozenset[str]:
    return frozenset(map(number_words, numbers))


LIKELY, LIKELY_BESIDE = 0.1, 0.5
"""The probability from which on word of danger counts, among the hypotheses of the recognizer that is trusted most and
of any beside it.
"""
MOST, SEVERAL_WORDS = 0.8, 1e-5
"""A lone word of danger must be so large a share of all that the leading recognizer thought of besides: "left", "why"
and "line" are heard as "live". Where so much speaks of danger in several words ("the breaker is on"), it counts at the
second already: nothing else that was said comes to that. Of 1,236 sounds of the tuning split that say danger 1,121
counted at 0.7 and 1e-4, 1,129 do now, and 13 in place of 14 of 3,003 that say something else; of the test split's 918
and 920 of 1,003, and 21 and 20 of 4,890.
"""


def danger_in(hearings: Sequence[Hearing], unit: Unit) -> tuple[Danger, ...]:
    """Every word of danger that was typed, or heard likely enough by any recognizer."""
    found: dict[Danger, None] = {}
    for place, hearing in enumerate(hearings):
        said: dict[Danger, None] = {}
        lone = several = 0.0
        for hypothesis in hearing.hypotheses:
            danger = understand(hypothesis.words, hearing.source, unit).danger
            if danger and _is_lone(hypothesis.words):
                lone += hypothesis.probability
            elif danger:
                several += hypothesis.probability
            said.update(dict.fromkeys(danger))
        others = sum(one.probability for one in hearing.hypotheses) - lone - several
        heard = lone + several >= LIKELY_BESIDE if place else _is_danger(lone, several, others)
        if hearing.source is Source.TYPED or heard:
            found.update(said)
    return tuple(found)


def _is_danger(lone: float, several: float, others: float) -> bool:
    """Whether the leading recognizer has heard danger: from the probabilities of lone words of it, of several words of
    it, and of all else.
    """
    most = lone + several >= MOST * (lone + several + others)
    return several >= LIKELY or (most and (several >= SEVERAL_WORDS or lone + several >= LIKELY))


def warns(utterance: Utterance) -> bool:
    """Whether it is word of danger in several words and nothing else, with no teen or ten that may be another box's."""
    several = not _is_lone(utterance.heard) and not teens_or_tens(utterance.heard)
    return several and bool(utterance.meanings) and all(isinstance(one, Danger) for one in utterance.meanings)


@cache
def inches_and_feet() -> frozenset[str]:
    """The grammar's words for the units that a job in millimeters isn't in."""
    return rules().spoken("_inch") | rules().spoken("_foot")


def _is_lone(words: str) -> bool:
    """Whether it is one word, but for fillers."""
    return sum(word not in _fillers() for word in words.split()) < 2


@cache
def _fillers() -> frozenset[str]:
    return rules().words(FILLER)
