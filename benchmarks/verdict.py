"""How the verdict treats readings, site talk and noise: `python -m benchmarks.verdict OUT.json [--split tune|test]`.

Voices, texts and noises of a split are in no other split and in no training (`training/splits.py`). Each clip is heard
once by the reading ear and by Whisper on the same encoder output; then every set of recognizers is judged. Right means
accepted with the meaning of what was said, wrong accepted with another; all else is asked again. What was heard is
kept beside OUT.json, so that other gates are tried with `--again` in seconds, on the tuning split only. Keep that file
out of the repository, and don't read one of another version.
"""

from __future__ import annotations

import argparse
import json
import math
import pickle
import random
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from statistics import median, quantiles
from typing import Any

import numpy as np

from fieldvoice.ears import Sound, hear, open_pair
from fieldvoice.language import automaton, understand, vocabulary
from fieldvoice.language.verdict import Expectation, Finding, judge
from fieldvoice.records.hearing import Hearing, Source
from fieldvoice.records.meaning import Answer, Meaning
from training.corpus import Clip, orders, synthesize
from training.labels import Labels
from training.mixing import CLEAN_SNR, draw_scene, on_site, site_noise
from training.noises import RATE
from training.phrases import phrases
from training.splits import Split
from training.texts import Said, Texts, other_sentences

SNRS = {"clean": CLEAN_SNR, "20 dB": 20.0, "10 dB": 10.0, "5 dB": 5.0}
POLICIES = {"whisper": (1,), "reading alone": (0,), "reading and whisper": (0, 1)}
NOISE_CLIPS = 60


@dataclass(frozen=True, slots=True)
class Case:
    """One clip at one noise level, as the reading ear and Whisper heard it."""

    level: str
    kind: str
    said: str
    hearings: tuple[Hearing, Hearing]

    @property
    def meant(self) -> tuple[Meaning, ...]:
        """What was said means; nothing for talk and noise."""
        return understand(self.said, Source.SPOKEN).meanings if self.said else ()


def sounds(split: Split, clips: int, seed: int) -> Iterator[tuple[str, str, str, np.ndarray[Any, Any]]]:
    """Level, kind, words and sound of every clip, then of noise alone."""
    labels = Labels.of(vocabulary())
    texts = Texts(phrases(), vocabulary(), other_sentences(labels.knows))
    made: list[Clip] = list(synthesize(orders(texts, split, clips, seed), 1, 600))
    dice, pick = np.random.default_rng(seed), random.Random(seed)  # noqa: S311
    for level, snr in SNRS.items():
        for clip in made:
            talk = [one.wave for one in pick.sample(made, 8)]
            yield level, clip.text.said, clip.text.words, on_site(clip.wave, draw_scene(dice, snr), split, dice, talk)
    for _ in range(NOISE_CLIPS):
        scene = draw_scene(dice, 0.0)
        noise = site_noise(int(dice.uniform(0.7, 4) * RATE), scene.kinds, split, dice, [made[0].wave])
        yield "noise", Said.NOTHING, "", 0.1 * noise


def heard(split: Split, clips: int, seed: int) -> list[Case]:
    """Every clip through both ears, one encoder pass each."""
    ears = open_pair(vocabulary(), automaton())
    found = []
    for level, kind, words, wave in sounds(split, clips, seed):
        sound = Sound((np.clip(wave, -1, 1) * 32_767).astype(np.int16))
        first, second = (hear(ear, sound) for ear in ears)
        found.append(Case(level, str(kind), words, (first, second)))
    return found


def treated(case: Case, policy: Sequence[int]) -> str:
    """Right, asked or wrong; for talk and noise right is impossible and wrong means taken."""
    meant = case.meant
    expected = Expectation(answer=any(isinstance(one, Answer) for one in meant))
    verdict = judge([case.hearings[ear] for ear in policy], expected)
    if verdict.finding is not Finding.ACCEPT:
        return "asked"
    return "right" if verdict.utterance.meanings == meant else "wrong"


def interval(hits: int, of: int) -> list[float]:
    """The 95 % interval of a share in per cent, after Wilson (1927)."""
    if not of:
        return [0.0, 100.0]
    z, share = 1.96, hits / of
    middle, spread = share + z * z / (2 * of), z * math.sqrt(share * (1 - share) / of + (z / (2 * of)) ** 2)
    return [round(100 * (middle + sign * spread) / (1 + z * z / of), 1) for sign in (-1, 1)]


def table(cases: Sequence[Case], policy: Sequence[int]) -> dict[str, Any]:
    """Counts by level for phrases with a meaning; talk and noise taken; every silent error by name."""
    rows: dict[str, Any] = {}
    for level in SNRS:
        said = [case for case in cases if case.level == level and case.kind == Said.PHRASE and case.meant]
        counts = Counter(treated(case, policy) for case in said)
        kinds = ("right", "asked", "wrong")
        rows[level] = {"of": len(said)} | {kind: [counts[kind], interval(counts[kind], len(said))] for kind in kinds}
    wrong = [case for case in cases if treated(case, policy) == "wrong"]
    talk = [case for case in cases if case.kind == Said.TALK and not case.meant]
    noise = [case for case in cases if case.kind == Said.NOTHING]
    return rows | {
        "talk taken": [sum(case in talk for case in wrong), len(talk)],
        "noise taken": [sum(case in noise for case in wrong), len(noise)],
        "wrong": [[case.level, case.kind, case.said, *(case.hearings[ear].words for ear in policy)] for case in wrong],
        "seconds": _times([sum(case.hearings[ear].seconds for ear in policy) for case in cases]),
    }


def _times(seconds: Sequence[float]) -> dict[str, float]:
    """From the last sample to the words; what a second ear needs on top of an encoder pass of the first."""
    return {"median": round(median(seconds), 3), "p95": round(quantiles(seconds, n=20)[-1], 3)}


def main() -> None:
    """Hears, or takes what was heard before, and writes the figures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("out", type=Path)
    parser.add_argument("--split", type=Split, default=Split.TUNE)
    parser.add_argument("--clips", type=int, default=144)
    parser.add_argument("--seed", type=int, default=11)
    parser.add_argument("--again", action="store_true", help="judge what was heard before")
    asked = parser.parse_args()
    kept = asked.out.with_suffix(".heard.pickle")
    if not asked.again:
        kept.write_bytes(pickle.dumps(heard(asked.split, asked.clips, asked.seed)))
    cases: list[Case] = pickle.loads(kept.read_bytes())  # noqa: S301 - our own file
    figures = {name: table(cases, policy) for name, policy in POLICIES.items()}
    asked.out.write_text(json.dumps({"split": asked.split, "seed": asked.seed, **figures}, indent=1) + "\n")


if __name__ == "__main__":
    main()
