"""Vosk: a small streaming recognizer, given the grammar's words at run time."""

from __future__ import annotations

import json
from collections.abc import Sequence
from itertools import islice, product
from math import exp
from pathlib import Path
from time import perf_counter
from typing import Any

import numpy as np

from fieldvoice.ears.ear import merged, plain_words
from fieldvoice.ears.sound import RATE, Frames, above_noise_db, noise_db
from fieldvoice.errors import BadInput, NotHere
from fieldvoice.records.hearing import EarKind, Hearing, Hypothesis
from fieldvoice.records.trouble import Trouble, Wrong

UNKNOWN = "[unk]"
"""Vosk's word for anything else. Without it in the list every noise becomes a word with full confidence."""

ALTERNATIVES = 10
SCORE_SCALE = 1.0
"""What a score margin is multiplied by before it becomes a ratio of probabilities; natural logarithms."""

Scored = tuple[str, float]
"""Words and their score."""


class VoskEar:
    """Vosk behind the ear protocol. Its probabilities come from the score margins between the alternatives; what an
    alternative with an unknown word in it would have had is left out, and so counts as doubt.

    Raises BadInput where the model can't be loaded or lacks a word of the vocabulary.
    """

    kind = EarKind.VOSK

    def __init__(self, folder: Path, words: Sequence[str]) -> None:
        self.name = f"vosk ({folder.name})"
        self._model = _load(folder)
        _check_words(self._model, words, folder)
        self._recognizer = _recognizer(self._model, words)
        self._parts: list[list[Scored]] = []
        self._heard: list[Frames] = []
        self._words = ""

    def reset(self) -> None:
        """Forgets what was fed since the last `finish`."""
        self._recognizer.Reset()
        self._parts = []
        self._heard = []
        self._words = ""

    def feed(self, frames: Frames) -> str:
        """Takes the next samples; returns the words so far, unknown ones left out."""
        self._heard.append(frames)
        if self._recognizer.AcceptWaveform(frames.tobytes()):
            self._keep(self._recognizer.Result())
        running = json.loads(self._recognizer.PartialResult()).get("partial", "")
        spoken = " ".join([*(part[0][0] for part in self._parts), running])
        self._words = plain_words(spoken.replace(UNKNOWN, " "))
        return self._words

    def so_far(self) -> str:
        """The words so far: the same that `feed` told last."""
        return self._words

    def silent(self, frames: Frames | None = None) -> bool:  # noqa: ARG002 - the face of an ear
        """It can't tell."""
        return False

    def finish(self) -> Hearing:
        """What was heard, best first."""
        started = perf_counter()
        self._keep(self._recognizer.FinalResult())
        frames = np.concatenate(self._heard) if self._heard else np.zeros(0, np.int16)
        hypotheses = _probable(_joined(self._parts))
        self.reset()
        seconds = perf_counter() - started
        return Hearing(
            hypotheses,
            self.name,
            audio_seconds=len(frames) / RATE,
            seconds=seconds,
            noise_db=noise_db(frames),
            above_noise_db=above_noise_db(frames),
            kind=self.kind,
        )

    def _keep(self, result: str) -> None:
        """One stretch between pauses; Vosk ends stretches by itself where the speaker rests."""
        alternatives = [(one["text"], float(one["confidence"])) for one in json.loads(result).get("alternatives", [])]
        if any(text for text, _ in alternatives):
            self._parts.append(alternatives)


def _joined(parts: Sequence[Sequence[Scored]]) -> list[Scored]:
    """Every way to put the stretches together, best first, no more than 100."""
    ways = islice(product(*parts), 10_000) if parts else iter(())
    joined = [(" ".join(text for text, _ in way), sum(score for _, score in way)) for way in ways]
    return sorted(joined, key=lambda item: -item[1])[:100]


def _probable(scored: Sequence[Scored]) -> tuple[Hypothesis, ...]:
    """Scores to probabilities that sum to 1 over all alternatives, those with unknown words then left out."""
    if not scored:
        return ()
    best = scored[0][1]
    weights = [exp(SCORE_SCALE * (score - best)) for _, score in scored]
    total = sum(weights)
    known = [
        Hypothesis(plain_words(text), weight / total)
        for (text, _), weight in zip(scored, weights, strict=True)
        if UNKNOWN not in text
    ]
    return merged(known)[:ALTERNATIVES]


def _load(folder: Path) -> Any:
    """The model; Any since the package has no type hints."""
    try:
        import vosk
    except (ImportError, OSError) as error:
        raise NotHere(Trouble(Wrong.NO_VOSK, error=error)) from error
    vosk.SetLogLevel(-1)
    try:
        return vosk.Model(str(folder))
    except Exception as error:  # the package raises nothing more exact
        raise BadInput(Trouble(Wrong.VOSK_NOT_LOADED, folder=folder)) from error


def _check_words(model: Any, words: Sequence[str], folder: Path) -> None:
    """Vosk drops a word that it doesn't know with no more than a log line, so that it could never be heard."""
    missing = [word for word in words if model.vosk_model_find_word(word) < 0]
    if missing:
        raise BadInput(Trouble(Wrong.VOSK_LACKS_WORDS, folder=folder, missing=tuple(sorted(missing)), words=len(words)))


def _recognizer(model: Any, words: Sequence[str]) -> Any:
    import vosk

    recognizer = vosk.KaldiRecognizer(model, RATE, json.dumps([*words, UNKNOWN]))
    recognizer.SetMaxAlternatives(ALTERNATIVES)
    return recognizer
