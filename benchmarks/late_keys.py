"""`python -m benchmarks.late_keys STORE [--calls N] [--noise DB] [--out FILE]`.

A talk key that is pressed after the first word has begun, or let go before the last one is over: clean calls of the
test split's voices, as `benchmarks.hearing make` keeps them in STORE, through the key and both ears. What came just
before the press is kept, at least for `BEFORE_SECONDS`, and a key counts as down for `RELEASE_SECONDS` after it is let
go. Wrong is what is taken for something else than was said.
"""

from __future__ import annotations

import argparse
import json
import os
import random
from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass, field
from pathlib import Path

import numpy as np

from benchmarks.hearing import open_pair
from benchmarks.hearing.corpus import Kind, Sounds
from benchmarks.hearing.outcomes import awaited
from fieldvoice.ears.ear import Ear
from fieldvoice.ears.listening import Listening, listen
from fieldvoice.ears.sound import RATE, Frames
from fieldvoice.ears.talk_key import BEFORE_SECONDS, LATEST_SECONDS, RELEASE_SECONDS
from fieldvoice.language.automaton import open_talk, vocabulary
from fieldvoice.language.verdict import Finding, judge
from fieldvoice.records.hearing import Hearing
from training.mixing import as_frames
from training.noises import Noise, noise, speech_power
from training.people import words_in
from training.splits import Split, machines_of

LEVEL = "clean"
LATE, EARLY = (0.0, 0.5, 0.7, 1.0, 1.3), (0.3,)
ONCE = RATE // 50
_AROUND = RATE


@dataclass
class Row:
    """What became of the calls under one lateness."""

    right: int = 0
    unsure: int = 0
    wrong: list[list[str]] = field(default_factory=list)


def called(frames: Frames) -> tuple[Frames, int, int]:
    """A call with a second of its quiet before and after it, and from which sample to which its words are."""
    first, last = words_in(frames.astype(np.float64))
    before, after = (np.resize(piece, _AROUND) for piece in (frames[: max(first, ONCE)], frames[-RATE // 8 :]))
    return np.concatenate([before, frames, after]), first + _AROUND, last + _AROUND


def beside_a_saw(frames: Frames, snr: float, seed: int) -> Frames:
    """The same with a saw of the test split around it."""
    dice = np.random.default_rng(seed)
    saw = noise(Noise.SAW, int(dice.choice(machines_of(Split.TEST))), len(frames), dice)
    clean = frames / np.iinfo(np.int16).max
    return as_frames(clean + speech_power(clean) * 10 ** (-snr / 20) * saw)


def keyed(sound: Frames, down: int, up: int, ears: Sequence[Ear]) -> tuple[Hearing, ...]:
    """What both ears hear between the press and the release."""
    at = [0]

    def blocks() -> Iterator[Frames]:
        for start in range(0, len(sound), ONCE):
            at[0] = start
            yield sound[start : start + ONCE]

    held = Listening(held=lambda: down <= at[0] < up + RELEASE_SECONDS * RATE)
    return next(iter(listen(blocks(), ears, held)), ())


def main() -> None:
    """Every call under every lateness; prints and writes the counts."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("store", type=Path)
    parser.add_argument("--calls", type=int, default=24)
    parser.add_argument("--noise", type=float, help="So many dB below the words a saw runs.")
    parser.add_argument("--out", type=Path)
    options = parser.parse_args()
    made = Sounds.load(options.store / Split.TEST)
    items = [one for one in made.items() if one[0].kind is Kind.CALL and one[0].level == LEVEL and " " in one[0].words]
    drawn = random.Random(made.seed).sample(items, options.calls)  # noqa: S311 - a choice, not a secret
    ears = open_pair(vocabulary(), open_talk)
    conditions = [(late, 0.0) for late in LATE] + [(0.0, early) for early in EARLY]
    rows = {condition: Row() for condition in conditions}
    for item, drawn_by in drawn:
        sound, first, last = called(made.frames(item, drawn_by))
        if options.noise is not None:
            sound = beside_a_saw(sound, options.noise, drawn_by)
        for (late, early), row in rows.items():
            hearings = keyed(sound, first + round(late * RATE), last - round(early * RATE), ears)
            verdict = judge(hearings, awaited(item.meant)) if hearings else None
            if verdict is None or verdict.finding is not Finding.ACCEPT:
                row.unsure += 1
            elif verdict.utterance.meanings == item.meant:
                row.right += 1
            else:
                row.wrong.append([item.words, verdict.utterance.heard])
    document = {
        "noise below the words, dB": options.noise,
        "kept before at least, and back to a pause at most, seconds": [BEFORE_SECONDS, LATEST_SECONDS],
        "counts as down after, seconds": RELEASE_SECONDS,
        "load": round(os.getloadavg()[1], 1),
        "calls": len(drawn),
        "keys": [{"late": late, "early": early, **asdict(row)} for (late, early), row in rows.items()],
    }
    print(json.dumps(document, indent=1))
    if options.out:
        options.out.write_text(json.dumps(document, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
