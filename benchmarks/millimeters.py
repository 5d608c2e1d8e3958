"""A job kept in millimeters measured: `nice python -m benchmarks.millimeters OUT.json [--calls 8]`.

Voices of the test split call bare numbers with their place, clean and in site noise. The reading ear and Whisper hear
each, once within the language of that job and once within that of a job in inches; then the verdict judges, in
millimeters both times. Taken right, asked about, refused, or wrong: taken for something else without a question.
"""

from __future__ import annotations

import argparse
import json
import random
from collections import Counter
from collections.abc import Iterator, Sequence
from functools import partial
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from benchmarks.hearing.recognizers import head_sha
from fieldvoice.ears import hear, models
from fieldvoice.ears.sound import Sound
from fieldvoice.ears.whisper_ear import whisper_ear
from fieldvoice.ears.whole_utterance import reading_ear
from fieldvoice.language.automaton import open_talk, vocabulary
from fieldvoice.language.speaking import number_words
from fieldvoice.language.understanding import understand
from fieldvoice.language.verdict import Expectation, Finding, judge
from fieldvoice.records.hearing import Hearing, Source
from fieldvoice.records.length import Unit
from training.mixing import CLEAN_SNR, as_frames, draw_scene, on_site
from training.splits import Split
from training.voices import speak, voices

LEVELS = {"clean": CLEAN_SNR, "10 dB": 10.0, "5 dB": 5.0}
WIDTHS, HEIGHTS = ("top", "middle", "bottom"), ("height left", "height right")
TAKEN = {Finding.DOUBT: "asked", Finding.REFUSE: "refused"}
Site = NDArray[np.float32]
"""Sound as it is at the wall."""


def number(value: int, dice: random.Random) -> str:
    """A number from 101 to 9999 as it is called: in two halves or in full. Common practice, no source."""
    high, low = divmod(value, 100)
    if dice.random() < 0.6:
        rest = "hundred" if low == 0 else f"oh {number_words(low)}" if low < 10 else number_words(low)
        return f"{number_words(high)} {rest}"
    return number_words(value)


def call(dice: random.Random) -> str:
    """A width of a sheet or a height of a room with its place; a third are whole centimetres."""
    at, least, most = (dice.choice(WIDTHS), 210, 1300) if dice.random() < 0.6 else (dice.choice(HEIGHTS), 1800, 2800)
    value = dice.randint(least, most)
    return f"{at} {number(value // 10 * 10 if dice.random() < 1 / 3 else value, dice)}"


def clips(count: int) -> Iterator[tuple[str, str, Site]]:
    """Level, words and sound."""
    dice, chance = random.Random(11), np.random.default_rng(11)  # noqa: S311 - a corpus, not a secret
    for voice in voices(Split.TEST):
        said = [call(dice) for _ in range(count)]
        for words, wave in zip(said, speak(voice, said, dice), strict=True):
            for level, snr in LEVELS.items():
                if wave is not None:
                    yield level, words, on_site(wave, draw_scene(chance, snr), Split.TEST, chance, [wave])


def taken(hearings: Sequence[Hearing], words: str) -> str:
    """How one clip is taken."""
    verdict = judge(hearings, Expectation(unit=Unit.MM))
    if verdict.finding is not Finding.ACCEPT:
        return TAKEN[verdict.finding]
    if verdict.utterance.meanings == understand(words, Source.SPOKEN, Unit.MM).meanings:
        return "right"
    print(f"wrong: {words}, heard as", *(hearing.hypotheses[:3] for hearing in hearings), sep="\n  ", flush=True)
    return "wrong"


def main() -> None:
    """Hears and writes the counts."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("out", type=Path)
    parser.add_argument("--calls", type=int, default=8, help="calls of each voice")
    asked = parser.parse_args()
    whisper = whisper_ear(models.verified(models.find("whisper")).folder)
    ears = {unit: reading_ear(vocabulary(), partial(open_talk, unit)) for unit in Unit}
    counts: dict[str, Counter[str]] = {}
    for level, words, wave in clips(asked.calls):
        sound = Sound(as_frames(wave))
        second = hear(whisper, sound)
        for unit, reading in ears.items():
            found = taken((hear(reading, sound), second), words)
            counts.setdefault(f"{level}, within {unit.value}", Counter())[found] += 1
    document = {"head": head_sha(), "calls of a voice": asked.calls, **counts}
    asked.out.write_text(json.dumps(document, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
