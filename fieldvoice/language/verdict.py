"""Whether what was heard is taken, asked about or refused: one pure function of what every recognizer made of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from fieldvoice.language.choosing import Candidate, Choice, choose
from fieldvoice.records.hearing import Hearing, Scale, Source
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Answer, BoxState, Meaning, Reading, Status, Utterance


class Finding(StrEnum):
    """What to do with an utterance."""

    ACCEPT = "accept"
    DOUBT = "doubt"
    REFUSE = "refuse"


@dataclass(frozen=True, slots=True)
class Expectation:
    """What the dialogue waits for: `answer` where it has just asked for a yes or a no. `unit` is what a number without
    its unit is said in.
    """

    answer: bool = False
    unit: Unit = Unit.INCH


@dataclass(frozen=True, slots=True)
class Verdict:
    """The finding with its ground. `utterance` is what was taken, asked about or refused; `rivals` are other meanings
    that it may have had; `about` says in a few words what the doubt is; `ears` names the recognizers that heard words
    of the job.
    """

    finding: Finding
    utterance: Utterance
    rivals: tuple[tuple[Meaning, ...], ...] = ()
    about: str | None = None
    ears: tuple[str, ...] = ()

    @property
    def one_ear(self) -> bool:
        """Whether no second recognizer bore it out."""
        return len(self.ears) < 2


@dataclass(frozen=True, slots=True)
class Gate:
    """The least that a meaning must have. `of_all` is its share of all that the ear thought possible, `of_understood`
    of what the language understands of that, `log_probability` the mean of a token, for an ear that gives it.
    """

    of_all: float
    of_understood: float
    log_probability: float


RUN = "trial of recognizers: 64 readings by 12 synthetic voices, clean and at 20, 10, 5 dB of site noise"
"""The run that chose the usual and the strict gate. Its voices were not those of a later, disjoint test."""

GATES = {
    "usual": Gate(of_all=0.1, of_understood=0.7, log_probability=-1.0),
    "strict": Gate(of_all=0.3, of_understood=0.9, log_probability=-0.8),
    "borne out": Gate(of_all=0.1, of_understood=0.0, log_probability=-1.0),
    "sure": Gate(of_all=0.5, of_understood=0.99, log_probability=float("-inf")),
}
"""By `RUN`: usual for one ear, strict for one where more is at stake, borne out where a second ear means the same."""

POSTERIOR_RUN = "python -m benchmarks.verdict benchmarks/results/verdict_tune.json --clips 120"
"""The run that the rules for a posterior were tried on. Its bounds are those of an earlier trial; what it added is that
a lone fraction counts as easily misheard, and that a second ear must itself have heard clearly to bear the first out.
"""

POSTERIOR_FLOOR = 0.1
"""Below this posterior an ear that gives one heard other talk or noise: not worth a question."""

LOUD_DB = -33.0
"""Noise louder than this (dB of full scale) calls for the strict gate (our own rule, not measured)."""

NOTHING = "Nothing was understood, so nothing was taken. Say it again, or type it."


def judge(hearings: Sequence[Hearing], expected: Expectation = Expectation()) -> Verdict:
    """What to do with one utterance, as one or more recognizers took it, the most trusted first.

    Recognizers that mean different things make a doubt with both meanings; a typed line is always taken as it stands.
    """
    choices = [(hearing, choose(hearing, expected.unit)) for hearing in hearings]
    heard = [(hearing, choice) for hearing, choice in choices if choice.candidates]
    ears = tuple(hearing.recognizer for hearing, _ in heard)
    if not heard:
        return Verdict(Finding.REFUSE, _refusal([choice for _, choice in choices]))
    first, choice = heard[0]
    if hearings[0].scale is Scale.POSTERIOR:
        return _by_posterior(choices, expected, ears)
    best = choice.candidates[0]
    if best.utterance.status is Status.UNCLEAR:
        return _unclear(best, ears)
    if first.source is Source.TYPED:
        return Verdict(Finding.ACCEPT, best.utterance, ears=ears)
    others = [other.candidates[0] for _, other in heard[1:]]
    against = tuple(other for other in others if _key(other) != _key(best))
    gate = _gate(best, first, expected, borne_out=bool(others) and not against)
    if _unheard(best, first):
        return Verdict(Finding.REFUSE, _nothing(best.utterance.heard), ears=ears)
    if against:
        return Verdict(Finding.DOUBT, best.utterance, _meanings(against), "the recognizers differ", ears)
    return _by_share(best, choice, first, gate, ears)


def _by_posterior(choices: Sequence[tuple[Hearing, Choice]], expected: Expectation, ears: tuple[str, ...]) -> Verdict:
    """The first ear tells how likely its reading is among all that could have been said: sure enough, it is taken
    alone; else where every other ear means the same. What sounds alike needs both.
    """
    (first, choice), *rest = choices
    if not choice.candidates or choice.candidates[0].mass < POSTERIOR_FLOOR:
        return Verdict(Finding.REFUSE, _nothing(first.words), ears=ears)
    best = choice.candidates[0]
    if best.utterance.status is Status.UNCLEAR:
        return _unclear(best, ears)
    found = [(hearing, other.candidates[0]) for hearing, other in rest if other.candidates]
    others = [(hearing, other) for hearing, other in found if not _unheard(other, hearing)]
    against = [(hearing, other) for hearing, other in others if _key(other) != _key(best)]
    sure = _passes(best, choice, GATES["sure"])
    borne_out = bool(others) and not against
    delicate = _delicate(best.utterance.meanings, expected) or _twinned(best.utterance.heard)
    denied = any(hearing.encoder is None or hearing.encoder != first.encoder for hearing, _ in against)
    if denied or (against and not sure) or (against and delicate):
        return Verdict(
            Finding.DOUBT, best.utterance, _meanings([one for _, one in against]), "the recognizers differ", ears
        )
    if (sure and borne_out) if delicate else (sure or borne_out):
        return Verdict(Finding.ACCEPT, best.utterance, ears=ears)
    return Verdict(Finding.DOUBT, best.utterance, _meanings(choice.candidates[1:2]), "it was not heard clearly", ears)


def _passes(best: Candidate, choice: Choice, gate: Gate) -> bool:
    understood = sum(candidate.mass for candidate in choice.candidates)
    return best.mass >= gate.of_all and best.mass >= gate.of_understood * understood


def _unclear(best: Candidate, ears: tuple[str, ...]) -> Verdict:
    return Verdict(Finding.DOUBT, best.utterance, best.utterance.alternatives, "what was said has no one meaning", ears)


def _gate(best: Candidate, hearing: Hearing, expected: Expectation, *, borne_out: bool) -> Gate:
    """Bare teens and tens, lone digits, circuits, a yes and answers nobody asked for don't pass by agreement alone."""
    delicate = _delicate(best.utterance.meanings, expected)
    if borne_out:
        return GATES["usual" if delicate else "borne out"]
    loud = hearing.noise_db is not None and hearing.noise_db > LOUD_DB
    return GATES["strict" if delicate or loud else "usual"]


def _delicate(meanings: tuple[Meaning, ...], expected: Expectation) -> bool:
    return any(
        isinstance(one, BoxState)
        or (isinstance(one, Answer) and (one.yes or not expected.answer))
        or (isinstance(one, Reading) and _easily_misheard(one.value))
        for one in meanings
    )


def _easily_misheard(value: Length) -> bool:
    """A lone digit or fraction, which may be the end of more; a bare teen or ten, which sound alike."""
    whole = value.inches
    return whole < 1 or (whole.denominator == 1 and (whole < 20 or (whole < 100 and whole % 10 == 0)))


_DIGITS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
_TEENS = ("thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen")
_TENS = ("thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")


def _twinned(words: str) -> bool:
    """Whether a teen, or a ten without a digit after it, ends a number or the words: a hundred fourteen, box ninety.
    Before "and" more is said, and "sixteenths" is no teen.
    """
    spoken = [*words.split(), ""]
    return any(
        one in _TEENS or (one in _TENS and after not in _DIGITS) for one, after in pairwise(spoken) if after != "and"
    )


def _unheard(best: Candidate, hearing: Hearing) -> bool:
    """Too little for even a question: the usual gate's floor, so that a question is never about a mere guess."""
    surety = hearing.log_probability
    return best.mass <= GATES["usual"].of_all or (surety is not None and surety <= GATES["usual"].log_probability)


def _by_share(best: Candidate, choice: Choice, hearing: Hearing, gate: Gate, ears: tuple[str, ...]) -> Verdict:
    understood = sum(candidate.mass for candidate in choice.candidates)
    if best.mass < gate.of_understood * understood:
        return Verdict(
            Finding.DOUBT, best.utterance, _meanings(choice.candidates[1:2]), "another meaning is close", ears
        )
    surety = hearing.log_probability
    if best.mass < gate.of_all or (surety is not None and surety <= gate.log_probability):
        return Verdict(Finding.DOUBT, best.utterance, (), "it was not heard clearly", ears)
    return Verdict(Finding.ACCEPT, best.utterance, ears=ears)


def _key(candidate: Candidate) -> object:
    return candidate.utterance.meanings or candidate.utterance.alternatives or candidate.utterance.ask


def _meanings(candidates: Sequence[Candidate]) -> tuple[tuple[Meaning, ...], ...]:
    """What else it may have been; an unclear candidate gives each of its meanings."""
    several = [one.utterance.alternatives or (one.utterance.meanings,) for one in candidates]
    return tuple(meanings for group in several for meanings in group if meanings)


def _refusal(choices: Sequence[Choice]) -> Utterance:
    refused = next((choice.refused for choice in choices if choice.refused is not None), None)
    return refused or _nothing("")


def _nothing(heard: str) -> Utterance:
    return Utterance(Status.REFUSED, heard, why=NOTHING)
