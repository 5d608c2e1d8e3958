"""Ten calls of one person and how each was taken; and the reading ear fitted to that voice, tried on calls that were
held back, kept only where nearly all of these are likelier and none comes out worse.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import comb
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from fieldvoice import data_folder
from fieldvoice.ears.encoder import Encoder
from fieldvoice.ears.personal import Change, applied, fitted
from fieldvoice.ears.reading_head.head import Network, ReadingHead, log_probability
from fieldvoice.ears.sound import Frames, above_noise_db
from fieldvoice.ears.wav import read_wav, wav_of
from fieldvoice.ears.whole_utterance import in_quiet, reading_encoder
from fieldvoice.files.durable import make
from fieldvoice.language.automaton import automaton
from fieldvoice.language.understanding import understand
from fieldvoice.language.verdict import Expectation, Finding, judge
from fieldvoice.records.hearing import EarKind, Hearing, Source
from fieldvoice.records.practice import FitOutcome, Objection, Tried
from fieldvoice.records.utterance import Answer

CALLS = (
    "top forty one and three eighths",
    "middle forty one and an eighth",
    "bottom forty and fifteen sixteenths",
    "height left ninety five and a quarter",
    "top twenty six and seven eighths",
    "box one dead and tested",
    "yes",
    "no",
    "bottom thirteen",
    "bottom thirty",
)
"""Readings of our own board, and what the verdict is strictest about: word of a circuit, the answers, a teen and its
ten.
"""


def tried(call: str, hearings: Sequence[Hearing]) -> Tried:
    """How the verdict takes what was heard of a call: a yes or a no as where one was asked for."""
    meant = understand(call, Source.SPOKEN)
    verdict = judge(hearings, Expectation(answer=any(isinstance(each, Answer) for each in meant.meanings)))
    taken = "asked"
    if verdict.finding is Finding.ACCEPT:
        taken = "right" if verdict.utterance.meanings == meant.meanings else "wrong"
    seconds = sum(hearing.seconds for hearing in hearings)
    return Tried(call, hearings[0].words, taken, seconds, hearings[0].noise_db)


@dataclass(frozen=True, slots=True)
class PracticeCall:
    """What was to be called, its sound, and how each recognizer took it."""

    text: str
    frames: Frames
    hearings: tuple[Hearing, ...]

    @property
    def was_said(self) -> bool:
        """Whether to some recognizer these words were the likeliest: else something else may have been called, and
        fitting to it would teach the wrong words.
        """
        return any(hearing.words == self.text for hearing in self.hearings)


FOLDS = 5
"""The calls are held back in so many parts, each in turn, while the rest is fitted to."""
CLIPS = "clips"
CHANCE = 0.05
"""What may be chance more often than so is no ground to keep a change."""
LEAST = 6
"""Fewer calls than this are too few to fit to."""

Vectors = NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Fit:
    """What came of fitting; the change is there where it is worth keeping."""

    change: Change | None
    outcome: FitOutcome


@dataclass(frozen=True, slots=True)
class Example:
    """A call as the head reads it, its words, and how far they stand above the noise."""

    vectors: Vectors
    text: str
    above_noise_db: float | None

    def clip(self) -> tuple[Vectors, list[str]]:
        """What is fitted to."""
        return self.vectors, self.text.split()


@dataclass(frozen=True, slots=True)
class TrialHead:
    """The shipped head on its encoder, to try changes of it."""

    encoder: Encoder
    head: ReadingHead
    language: Network

    @classmethod
    def open(cls) -> TrialHead:
        """As shipped. Raises NotHere where a file of it is missing or damaged."""
        head = ReadingHead.load()
        return cls(reading_encoder(), head, head.network(automaton()))

    def example(self, frames: Frames, text: str) -> Example:
        """A call as the head reads it."""
        return Example(self.encoder.encode(in_quiet(frames)).vectors, text, above_noise_db(frames))

    def likelihood(self, change: Change | None, example: Example) -> float:
        """The log probability of the words by the head with that change."""
        head = applied(self.head, change)
        labels = [head.labels[word] for word in example.text.split()]
        return float(log_probability(head.log_probabilities(example.vectors), [labels])[0])

    def taken(self, change: Change | None, example: Example, others: Sequence[Hearing] = ()) -> str:
        """How a call is taken by the head with that change and what the other recognizers heard."""
        first = Hearing(
            applied(self.head, change).decode(example.vectors, self.language).hypotheses,
            "reading",
            above_noise_db=example.above_noise_db,
            kind=EarKind.READING,
            encoder=self.encoder.name,
        )
        return tried(example.text, (first, *others)).taken


def keep_clips(where: Path, calls: Sequence[PracticeCall]) -> None:
    """Writes each call's sound as WAV and a manifest of what was to be called and what was heard, in place of those
    that lay there before. Raises OSError where that can't be.
    """
    folder = where / CLIPS
    lines = []
    for number, call in enumerate(calls, 1):
        name = f"{number:02}.wav"
        make(folder / name, wav_of(call.frames.tobytes()), over=True)
        lines.append(json.dumps({"file": name, "text": call.text, "heard": call.hearings[0].words}))
    make(folder / "manifest.jsonl", ("\n".join(lines) + "\n").encode(), over=True)


def fit(calls: Sequence[PracticeCall], bench: TrialHead) -> Fit:
    """The head fitted to these calls, if that is better: of calls that it was not fitted to no fewer right, none newly
    wrong and nearly all likelier, and no recording of other voices newly wrong or no longer right.
    """
    said = [call for call in calls if call.was_said]
    if len(said) < LEAST:
        return Fit(None, FitOutcome(Objection.TOO_FEW, len(said), least=LEAST))
    examples = [bench.example(call.frames, call.text) for call in said]
    tries = list(_held_back(said, examples, bench))
    pairs, likelier = [taken for taken, _ in tries], sum(better for _, better in tries)
    change = fitted(bench.head, [each.clip() for each in examples])
    others = list(_other_voices(change, bench))
    objection = _objection(pairs, others, likelier)
    counts = (Counter(side) for both in (pairs, others) for side in zip(*both, strict=True))
    return Fit(change if objection is None else None, FitOutcome(objection, len(said), likelier, LEAST, *counts))


def _held_back(
    calls: Sequence[PracticeCall], examples: Sequence[Example], bench: TrialHead
) -> Iterator[tuple[tuple[str, str], bool]]:
    """How each call is taken by the shipped head and by one that was fitted to others of them alone, and whether its
    words are likelier to the latter.
    """
    for part in range(FOLDS):
        change = fitted(bench.head, [each.clip() for number, each in enumerate(examples) if number % FOLDS != part])
        for number in range(part, len(calls), FOLDS):
            example = examples[number]
            others = [hearing for hearing in calls[number].hearings if hearing.kind is not EarKind.READING]
            before, after = (bench.taken(each, example, others) for each in (None, change))
            better = bench.likelihood(change, example) > bench.likelihood(None, example)
            yield (before, after), better


def _other_voices(change: Change, bench: TrialHead) -> Iterator[tuple[str, str]]:
    """The same of the recordings that come with fieldvoice, by the head alone."""
    folder = data_folder("audio_samples")
    for line in (folder / "manifest.jsonl").read_text(encoding="utf-8").splitlines():
        entry = json.loads(line)
        example = bench.example(read_wav(folder / entry["file"]).frames, entry["text"])
        sides = (bench.taken(each, example) for each in (None, change))
        yield next(sides), next(sides)


def _by_chance(successes: int, tries: int) -> float:
    """How likely so many or more of so many coins fall heads."""
    return float(sum(comb(tries, count) for count in range(successes, tries + 1)) / 2**tries)


def _objection(pairs: Sequence[tuple[str, str]], others: Sequence[tuple[str, str]], likelier: int) -> Objection | None:
    """Why the change isn't kept, if it isn't. One call of ten more that is right happens by chance as well; that nearly
    all of them are likelier seldom does (a sign test). So none more need be right: of a voice that is heard well all
    ten are, and its harder calls, which aren't among them, gain all the same.
    """
    if any(after == "wrong" != before for before, after in pairs):
        return Objection.NEWLY_WRONG
    if any(after == "wrong" != before for before, after in others):
        return Objection.OTHERS_NEWLY_WRONG
    if sum(after == "right" for _, after in others) < sum(before == "right" for before, _ in others):
        return Objection.OTHERS_WORSE
    if sum(after == "right" for _, after in pairs) < sum(before == "right" for before, _ in pairs):
        return Objection.WORSE
    return Objection.BY_CHANCE if _by_chance(likelier, len(pairs)) > CHANCE else None
