"""Ways to go from what was heard to what is taken: the verdict with the recognizers that are here, and without one."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from benchmarks.hearing.recognizers import PLAIN, READING, SPHINX, VOSK, VOSK_OWN, WHISPER
from fieldvoice.language.understanding import understand
from fieldvoice.language.verdict import Expectation, Finding, Gates, judge
from fieldvoice.records.hearing import Hearing
from fieldvoice.records.utterance import Answer, Meaning, Status, Utterance

Taking = Callable[[Sequence[Hearing], Expectation], Utterance | None]
"""What is taken of hearings; None where nothing is."""


class Result(StrEnum):
    """Of one sound. Talk, noise and phrases without a meaning are never right: they are asked or wrong."""

    RIGHT = "right"
    ASKED = "asked"
    WRONG = "wrong"


@dataclass(frozen=True, slots=True)
class Policy:
    """The recognizers that it needs, the leading one first, and what it takes."""

    needs: tuple[str, ...]
    taking: Taking


@dataclass(frozen=True, slots=True)
class Treated:
    """What a policy did with one sound, and the words that it took."""

    result: Result
    heard: str


def judged(gates: Gates | None = None) -> Taking:
    """The verdict, by the shipped gates or by others."""

    def taken(hearings: Sequence[Hearing], expected: Expectation) -> Utterance | None:
        verdict = judge(hearings, expected, gates)
        return verdict.utterance if verdict.finding is Finding.ACCEPT else None

    return taken


def first_understood(hearings: Sequence[Hearing], _: Expectation) -> Utterance | None:
    """The first hypothesis that has a meaning, however likely."""
    heard = (_meant(one.words, hearings[0].source) for one in hearings[0].hypotheses)
    return next((one for one in heard if one.status is Status.UNDERSTOOD), None)


def best_alone(hearings: Sequence[Hearing], _: Expectation) -> Utterance | None:
    """The best hypothesis, if it has a meaning."""
    best = _meant(hearings[0].words, hearings[0].source)
    return best if best.status is Status.UNDERSTOOD else None


_meant = cache(understand)
"""The same words are heard at several levels, by several recognizers, and asked for twice."""


VERDICTS: Mapping[str, tuple[str, ...]] = {
    "reading and Whisper": (READING, WHISPER),
    "reading alone": (READING,),
    "Whisper alone": (WHISPER,),
    "Vosk alone": (VOSK,),
}
"""The sets of recognizers that the verdict knows, the default first."""

BASELINES: Mapping[str, Policy] = {
    "reading head, its best, no verdict": Policy((READING,), first_understood),
    "Whisper with the prompt, first that parses": Policy((WHISPER,), first_understood),
    "Whisper plain, its best": Policy((PLAIN,), best_alone),
    "Whisper plain, first that parses": Policy((PLAIN,), first_understood),
    "Vosk with our words, first that parses": Policy((VOSK,), first_understood),
    "Vosk with its own language model, first that parses": Policy((VOSK_OWN,), first_understood),
    "PocketSphinx with a grammar": Policy((SPHINX,), best_alone),
}


def policies(gates: Gates | None = None) -> dict[str, Policy]:
    """All of them."""
    return {name: Policy(needs, judged(gates)) for name, needs in VERDICTS.items()} | dict(BASELINES)


def treated(meant: tuple[Meaning, ...], hearings: Sequence[Hearing], taking: Taking) -> Treated:
    """What became of a sound that means `meant`, or nothing. Where a yes or no was said one was asked for; whatever was
    said must not be taken for something else whether one was asked for or not.
    """
    answering = any(isinstance(one, Answer) for one in meant)
    taken = {asked: taking(hearings, Expectation(answer=asked)) for asked in (True, False)}
    wrong = next((one for one in taken.values() if one is not None and one.meanings != meant), None)
    right = taken[answering]
    if wrong is not None:
        return Treated(Result.WRONG, wrong.heard)
    return Treated(Result.RIGHT, right.heard) if right is not None else Treated(Result.ASKED, "")
