"""A wake phrase measured: `python -m benchmarks.wake OUT.json [--texts 6]`.

Voices of the test split say readings behind the phrase, the same readings without it, and other sentences, clean and in
site noise at 10 dB. The reading ear and Whisper hear each as `listen --wake` has it; then the verdict judges.
Of addressed readings: right, asked again, refused aloud, wrong, or passed over as not addressed. Of the rest: how many
were taken at all, or answered by a question or a refusal, and how many minutes they lasted: an hour of other talk has
its clips' count times 60 over these.
"""

from __future__ import annotations

import argparse
import json
import random
from collections import Counter, defaultdict
from collections.abc import Iterator
from functools import partial
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from benchmarks.hearing import open_pair
from fieldvoice.ears import hear
from fieldvoice.ears.ear import Ear
from fieldvoice.ears.sound import RATE, Sound
from fieldvoice.ears.talk_key import addressed, awakened
from fieldvoice.language.automaton import automaton, vocabulary
from fieldvoice.language.understanding import understand
from fieldvoice.language.verdict import Expectation, Finding, judge
from fieldvoice.records.hearing import Source
from training.labels import Labels
from training.mixing import CLEAN_SNR, as_frames, draw_scene, on_site
from training.splits import Split
from training.texts import other_sentences
from training.voices import speak, voices

PHRASES = ("okay board", "okay sheet")
LEVELS = {"clean": CLEAN_SNR, "10 dB": 10.0}
READINGS = (
    "top forty two and a sixteenth",
    "middle thirty one and seven eighths",
    "bottom sixty five and a quarter",
    "height left ninety four and five eighths",
    "yes",
    "next board",
    "undo",
    "resume",
)
Site = NDArray[np.float32]
"""Sound as it is at the wall."""


def clips(phrase: str, count: int) -> Iterator[tuple[str, str, str, Site]]:
    """Level, kind, words and sound."""
    dice, chance = random.Random(7), np.random.default_rng(7)  # noqa: S311 - a corpus, not a secret
    other = other_sentences(Labels.of(vocabulary()).knows)
    for voice in voices(Split.TEST):
        readings = dice.sample(READINGS, count)
        talk = [" ".join(dice.choice(other)[:9]) for _ in range(count)]
        said = [*(("addressed", f"{phrase} {words}") for words in readings), *(("unaddressed", it) for it in readings)]
        said += [("talk", words) for words in talk]
        sounds = speak(voice, [words for _, words in said], dice)
        for (kind, words), wave in zip(said, sounds, strict=True):
            for level, snr in LEVELS.items():
                if wave is not None:
                    yield level, kind, words, on_site(wave, draw_scene(chance, snr), Split.TEST, chance, [wave])


def taken(ears: tuple[Ear, Ear], phrase: str, words: str, wave: Site) -> str:
    """How one clip is taken."""
    sound = Sound(as_frames(wave))
    hearings = addressed(tuple(hear(ear, sound) for ear in ears), phrase)
    if not hearings:
        return "passed over"
    verdict = judge(hearings, Expectation(answer=True))
    if verdict.finding is not Finding.ACCEPT:
        return "asked" if verdict.finding is Finding.DOUBT else "refused"
    meant = understand(words.removeprefix(f"{phrase} "), Source.SPOKEN).meanings
    return "right" if words.startswith(phrase) and verdict.utterance.meanings == meant else "wrong"


def main() -> None:
    """Hears and writes the counts."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("out", type=Path)
    parser.add_argument("--texts", type=int, default=6, help="readings a voice, of eight")
    asked = parser.parse_args()
    table: dict[str, dict[str, dict[str, float]]] = {}
    for phrase in PHRASES:
        ears = open_pair(vocabulary(), partial(awakened, automaton(), phrase))
        counts: dict[str, Counter[str]] = {}
        minutes: dict[str, float] = defaultdict(float)
        for level, kind, words, wave in clips(phrase, asked.texts):
            counts.setdefault(f"{kind}, {level}", Counter())[taken(ears, phrase, words, wave)] += 1
            minutes[f"{kind}, {level}"] += len(wave) / RATE / 60
        table[phrase] = {name: {**count, "minutes": round(minutes[name], 1)} for name, count in counts.items()}
    asked.out.write_text(json.dumps(table, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
