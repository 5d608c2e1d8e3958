"""Fitting the reading ear to a person's voice: tried on calls that were held back, kept only where it does better."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import comb
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from fieldvoice.commands.calls import Call, tried
from fieldvoice.ears import Frames, read_wav
from fieldvoice.ears.encoder import Encoder
from fieldvoice.ears.personal import Change, applied, fitted
from fieldvoice.ears.reading_ear import reading_encoder
from fieldvoice.ears.reading_head import Network, ReadingHead
from fieldvoice.ears.reading_head.network import log_probability
from fieldvoice.ears.recordings import write_wav
from fieldvoice.ears.sound import above_noise_db
from fieldvoice.language import automaton
from fieldvoice.records.hearing import EarKind, Hearing
from fieldvoice.resources import data_folder

if TYPE_CHECKING:
    from fieldvoice.output.records import Document

FOLDS = 5
"""The calls are held back in so many parts, each in turn, while the rest is fitted to."""
CLIPS = "clips"
CHANCE = 0.05
"""What may be chance more often than so is no ground to keep a change."""
LEAST = 6
"""Fewer calls than this are too few to fit to."""

Vectors = NDArray[np.float32]
Counts = Counter[str]
"""How many were right, asked again, wrong."""


@dataclass(frozen=True, slots=True)
class Fit:
    """What came of fitting. `change` is there where it is worth keeping. The counts are of calls held back while the
    rest was fitted to, and of the recordings that come with fieldvoice, as shipped and changed; `likelier` is how many
    of the held-back calls the words called became likelier in.
    """

    change: Change | None
    why: str
    likelier: int
    before: Counts
    after: Counts
    others_before: Counts
    others_after: Counts

    def sentence(self) -> str:
        """What came of it, for people."""
        if self.change is None:
            return f"The reading ear stays as it was: {self.why}. The recordings are kept anyway."
        return (
            f"The reading ear is fitted to your voice: of {self.after.total()} calls it had not been fitted to "
            f"{self.after['right']} came out right instead of {self.before['right']}, and nothing became wrong. Ten "
            "calls are few: go on watching the read-back. `fieldvoice practice --forget` goes back."
        )

    def document(self) -> Document:
        """The figures for other programs."""
        pairs = {
            "held_back": (self.before, self.after),
            "other_voices": (self.others_before, self.others_after),
        }
        figures: Document = {
            name: {"before": dict(before), "after": dict(after)} for name, (before, after) in pairs.items()
        }
        return {"kept": self.change is not None, "why": self.why, "likelier": self.likelier, **figures}


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
class Bench:
    """The shipped head on its encoder, to try changes of it."""

    encoder: Encoder
    head: ReadingHead
    language: Network

    @classmethod
    def open(cls) -> Bench:
        """As shipped. Raises NotHere where a file of it is missing or damaged."""
        head = ReadingHead.load()
        return cls(reading_encoder(), head, head.network(automaton()))

    def example(self, frames: Frames, text: str) -> Example:
        """A call as the head reads it."""
        return Example(self.encoder.encode(frames).vectors, text, above_noise_db(frames))

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


def keep_clips(where: Path, calls: Sequence[Call]) -> None:
    """Writes each call's sound as WAV and a manifest of what was to be called and what was heard, in place of those
    that lay there before. Raises OSError where that can't be.
    """
    folder = where / CLIPS
    folder.mkdir(parents=True, exist_ok=True)
    lines = []
    for number, call in enumerate(calls, 1):
        name = f"{number:02}.wav"
        with (folder / name).open("wb") as file:
            write_wav(file, call.frames.tobytes())
        lines.append(json.dumps({"file": name, "text": call.text, "heard": call.hearings[0].words}))
    (folder / "manifest.jsonl").write_text("\n".join(lines) + "\n", encoding="utf-8")


def fit(calls: Sequence[Call], bench: Bench) -> Fit:
    """The head fitted to these calls, if that is better: more calls right that it was not fitted to, none of them newly
    wrong, nearly all of them likelier, and no recording of other voices newly wrong or no longer right.
    """
    said = [call for call in calls if call.was_said]
    nothing: Counts = Counter()
    if len(said) < LEAST:
        why = f"only {len(said)} of the calls could be made out, and at least {LEAST} are needed"
        return Fit(None, why, 0, nothing, nothing, nothing, nothing)
    examples = [bench.example(call.frames, call.text) for call in said]
    tries = list(_held_back(said, examples, bench))
    pairs, likelier = [taken for taken, _ in tries], sum(better for _, better in tries)
    change = fitted(bench.head, [each.clip() for each in examples])
    others = list(_other_voices(change, bench))
    objection = _objection(pairs, others, likelier)
    counts = (Counter(side) for both in (pairs, others) for side in zip(*both, strict=True))
    return Fit(change if objection is None else None, objection or _BETTER, likelier, *counts)


_BETTER = "more calls were right that it had not been fitted to, and nothing newly wrong"


def _held_back(
    calls: Sequence[Call], examples: Sequence[Example], bench: Bench
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


def _other_voices(change: Change, bench: Bench) -> Iterator[tuple[str, str]]:
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


def _objection(pairs: Sequence[tuple[str, str]], others: Sequence[tuple[str, str]], likelier: int) -> str | None:
    """Why the change isn't kept, if it isn't. That one call of ten more is right happens by chance as well; that nearly
    all of them are likelier seldom does (a sign test).
    """
    if any(after == "wrong" != before for before, after in pairs):
        return "a call that it had not been fitted to was then taken for something else"
    if any(after == "wrong" != before for before, after in others):
        return "a recording of another voice was then taken for something else"
    if sum(after == "right" for _, after in others) < sum(before == "right" for before, _ in others):
        return "recordings of other voices were then heard less well"
    if sum(after == "right" for _, after in pairs) <= sum(before == "right" for before, _ in pairs):
        return "calls that it had not been fitted to were heard no better"
    if _by_chance(likelier, len(pairs)) > CHANCE:
        return f"{likelier} of {len(pairs)} calls it had not been fitted to were heard better: no better than chance"
    return None
