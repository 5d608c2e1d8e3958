"""`python -m benchmarks.one_voice OUT.json [--people FOLDER] [--calls 24] [--noise DB]`.

What `practice` does for a voice that is in no training: it calls the ten practice calls, the ear is fitted to them, and
other calls of the same voice are taken by both recognizers before and after, whether the fit would be kept or not. The
voices are those of the test split, clean or with its noise. FOLDER is what `python -m training people` keeps: of the
people in it who say digits alone, each digit once stands for the ten calls. No person has called the ten themselves.
"""

from __future__ import annotations

import argparse
import json
import random
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from benchmarks.hearing import open_pair
from fieldvoice.ears import hear
from fieldvoice.ears.ear import Ear
from fieldvoice.ears.personal import fitted
from fieldvoice.ears.sound import Frames, Sound
from fieldvoice.language.automaton import open_talk, vocabulary
from fieldvoice.practice import CALLS, PracticeCall, TrialHead, fit
from training.calls import call
from training.corpus import Clip, Corpus
from training.mixing import CLEAN_SNR, as_frames, draw_scene, on_site
from training.noises import Wave
from training.people import in_its_own_quiet
from training.splits import Split
from training.texts import may_say
from training.voices import Voice, speak, voices

DIGITS = 10
"""So many words stand for the ten calls of a person who says digits alone."""

Said = tuple[str, Frames]


@dataclass(frozen=True, slots=True)
class Speaker:
    """One voice: what it calls in practice, and what it calls then."""

    name: str
    practiced: tuple[Said, ...]
    others: tuple[Said, ...]


def synthetic(count: int, snr: float) -> Iterator[Speaker]:
    """Each voice of the test split, with the ten calls and so many others of that split's texts."""
    for number, voice in enumerate(voices(Split.TEST)):
        dice, chance = random.Random(number), np.random.default_rng(number)  # noqa: S311 - a corpus, not a secret
        texts = [*CALLS, *_others(count, dice)]
        said = [
            (words, as_frames(on_site(wave, draw_scene(chance, snr), Split.TEST, chance, [wave])))
            for words, wave in _spoken(voice, texts, dice)
        ]
        yield Speaker(f"{voice.engine} {voice.name}", tuple(said[: len(CALLS)]), tuple(said[len(CALLS) :]))


def _spoken(voice: Voice, texts: list[str], dice: random.Random) -> Iterator[tuple[str, Wave]]:
    for words, wave in zip(texts, speak(voice, texts, dice), strict=True):
        if wave is not None:
            yield words, wave


def _others(count: int, dice: random.Random) -> list[str]:
    found: dict[str, None] = {}
    while len(found) < count:
        words = call(dice)
        if may_say(Split.TEST, words) and words not in CALLS:
            found[words] = None
    return list(found)


def people(folder: Path, count: int) -> Iterator[Speaker]:
    """Each person who says digits alone: every digit once, then so many others."""
    by_person: dict[str, list[Clip]] = {}
    for clip in Corpus.load(folder / f"people_{Split.TEST}.corpus").clips:
        if clip.voice.name.startswith("digits"):
            by_person.setdefault(clip.voice.name, []).append(clip)
    for name, clips in sorted(by_person.items()):
        dice = random.Random(name)  # noqa: S311 - a corpus, not a secret
        dice.shuffle(clips)
        first = {clip.text.words: clip for clip in reversed(clips)}
        rest = [clip for clip in clips if first[clip.text.words] is not clip][:count]
        both = ([(one.text.words, _recorded(one, dice)) for one in part] for part in (first.values(), rest))
        yield Speaker(name, *map(tuple, both))


def _recorded(clip: Clip, dice: random.Random) -> Frames:
    return as_frames(in_its_own_quiet(clip.wave, dice))


def measured(one: Speaker, ears: tuple[Ear, Ear], bench: TrialHead) -> dict[str, Any]:
    """Whether the fit is kept, and what becomes of the other calls by the ear as shipped and by the fitted one."""
    calls = [
        PracticeCall(words, frames, tuple(hear(ear, Sound(frames)) for ear in ears)) for words, frames in one.practiced
    ]
    made = fit(calls, bench)
    change = fitted(bench.head, [bench.example(each.frames, each.text).clip() for each in calls if each.was_said])
    sides: tuple[Counter[str], Counter[str]] = Counter(), Counter()
    likelier = 0
    for words, frames in one.others:
        example, second = bench.example(frames, words), [hear(ears[1], Sound(frames))]
        for side, each in zip(sides, (None, change), strict=True):
            side[bench.taken(each, example, second)] += 1
        likelier += bench.likelihood(change, example) > bench.likelihood(None, example)
    return {
        "voice": one.name,
        "kept": made.change is not None,
        "objection": str(made.outcome.objection or ""),
        "made out": made.outcome.calls,
        "of": len(one.others),
        "likelier": likelier,
        "before": dict(sides[0]),
        "fitted": dict(sides[1]),
    }


def main() -> None:
    """Measures, tells each voice as it is done, and writes them all."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("out", type=Path)
    parser.add_argument("--people", type=Path)
    parser.add_argument("--calls", type=int, default=24, help="of each voice, beside the ten")
    parser.add_argument("--noise", type=float, default=CLEAN_SNR, help="dB of the voice above the noise")
    asked = parser.parse_args()
    ears, bench, rows = open_pair(vocabulary(), open_talk), TrialHead.open(), []
    speakers = people(asked.people, asked.calls) if asked.people else synthetic(asked.calls, asked.noise)
    for one in speakers:
        rows.append(measured(one, ears, bench))
        print(json.dumps(rows[-1]), flush=True)
    found = {"noise below the words, dB": asked.noise, "people": bool(asked.people), "voices": rows}
    asked.out.write_text(json.dumps(found, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
