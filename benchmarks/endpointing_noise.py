"""Whether an utterance's begin and end are seen in site noise: `python -m benchmarks.endpointing_noise [--out FILE]`.

The shipped clean clips lie three seconds apart in noise that never stops, one kind of machine at a time (those of the
test split), through the microphone's high-pass to what `fieldvoice listen` does with the reading ear: once with the
speech detector alone, once where the ears are asked whether anybody speaks in doubtful sound. With `--real` (a copy of
ESC-10) chainsaws, helicopters and rain of the test split follow.
Of each clip: `whole`, where one utterance holds it but for a tenth of a second at its ends and ended before the next
clip; `late`, where the utterance ran on into the next clip or to the longest that one may be; `cut`, where it ended
inside the clip; `missed`. `word_for_word` counts the whole ones that were heard as they were spoken; `in_0.6_s` and
`in_0.9_s` those that ended so soon after the clip (some may go on, and are waited for longer); `end_point_median`
is in seconds from the end of those that are whole. Per minute of sound: the utterances of noise alone that the dialogue
would have had to answer, and the passes of the encoder, each on all that was heard so far or on a second of it.
Levels that FILE has already are left as they are, so that a run goes on where it was broken off.
"""

from __future__ import annotations

import argparse
import json
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from statistics import median
from unittest.mock import patch

import numpy as np

from benchmarks.endpointing import SAMPLES, trimmed
from fieldvoice.ears.encoder import Encoder
from fieldvoice.ears.endpoint import STEP, Patience
from fieldvoice.ears.listening import Listening, Moment, listen
from fieldvoice.ears.sound import RATE, Frames, HighPass
from fieldvoice.ears.wav import read_wav
from fieldvoice.ears.whole_utterance import WholeEar, reading_ear
from fieldvoice.language.automaton import open_talk, vocabulary
from fieldvoice.language.outlook import outlook
from training.noises import Noise, Wave, noise, speech_power
from training.people import real_sounds
from training.splits import Split, machines_of

SNRS = (20, 10, 5, 0)
GAP = 3.0
SOON = (0.6, 0.9)
Span = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Taken:
    """An utterance: from when to when it ran, in seconds of the sound, and the likeliest words."""

    begin: float
    end: float
    words: str


class Undoubting:
    """An ear that is never asked whether anybody speaks."""

    def __init__(self, ear: WholeEar) -> None:
        self.name, self.kind = ear.name, ear.kind
        self.reset, self.feed, self.so_far, self.finish = ear.reset, ear.feed, ear.so_far, ear.finish

    def silent(self, _frames: Frames | None = None) -> bool:
        """It never says so."""
        return False


REAL = {"chainsaw": "008 - Chainsaw", "helicopter": "007 - Helicopter", "rain": "002 - Rain"}
"""Of ESC-10, what doesn't stop: the name and the folder."""


def machine(kind: str, samples: int, clips: Sequence[Frames], real: Path | None) -> Wave:
    """So much of the noise of one kind."""
    if kind in REAL:
        assert real is not None
        return np.resize(np.concatenate(real_sounds(real, Split.TEST, REAL[kind])), samples)
    dice = np.random.default_rng(4)
    return noise(Noise(kind), machines_of(Split.TEST)[0], samples, dice, [clip / 32768 for clip in clips])


def scene(clips: Sequence[Frames], kind: str, snr: float, real: Path | None) -> tuple[Frames, list[Span]]:
    """The sound, and where in it, in seconds, each clip lies."""
    quiet = np.zeros(round(GAP * RATE))
    parts, spans, at = [quiet], list[Span](), GAP
    for clip in clips:
        parts += [clip / 32768, quiet]
        spans.append((at, at + len(clip) / RATE))
        at = spans[-1][1] + GAP
    speech: Wave = np.concatenate(parts)
    around = machine(kind, len(speech), clips, real)
    power = float(np.median([speech_power(clip / 32768) for clip in clips]))
    mixed = speech + power * 10 ** (-snr / 20) * around
    return (32767 * 0.5 * mixed / max(1.0, np.abs(mixed).max())).astype(np.int16), spans


def utterances(sound: Frames, ear: WholeEar | Undoubting) -> Iterator[Taken]:
    """What the dialogue is handed."""
    fed, begun, spoke = 0, 0.0, False
    high_pass = HighPass()

    def blocks() -> Iterator[Frames]:
        nonlocal fed
        for fed in range(STEP, len(sound) + 1, STEP):
            yield high_pass(sound[fed - STEP : fed])

    def moment(now: Moment) -> None:
        nonlocal begun, spoke
        if now.speaking and not spoke:
            begun = fed / RATE - Patience().before
        spoke = now.speaking

    for hearings in listen(blocks(), [ear], Listening(outlook, moment=moment)):
        yield Taken(begun, fed / RATE, hearings[0].words)


def judged(found: Sequence[Taken], spans: Sequence[Span], texts: Sequence[str]) -> dict[str, object]:
    """How each clip fared, the median wait for those that are whole, and how many utterances held none."""
    counts: Counter[str] = Counter()
    waits = []
    for (start, end), text in zip(spans, texts, strict=True):
        over = [one for one in found if one.begin < end and one.end > start]
        holding = [one for one in over if one.begin <= start + 0.1 and one.end >= end - 0.1]
        if not over:
            counts["missed"] += 1
        elif not holding:
            counts["cut"] += 1
        elif holding[0].end > end + GAP:
            counts["late"] += 1
        else:
            counts["whole"] += 1
            counts["word_for_word"] += holding[0].words == text
            wait = holding[0].end - end
            for soon in SOON:
                counts[f"in_{soon}_s"] += wait <= soon + STEP / RATE
            waits.append(wait)
    alone = sum(all(one.end < start or one.begin > end for start, end in spans) for one in found)
    middle = round(median(waits), 2) if waits else None
    return {**counts, "end_point_median": middle, "noise_alone": alone}


def main() -> None:
    """Prints or writes the counts."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--out", type=Path)
    parser.add_argument("--every", type=int, default=1, help="take one clip in so many")
    parser.add_argument("--noise", choices=[*Noise, *REAL], action="append", help="these kinds alone")
    parser.add_argument("--real", type=Path, help="a copy of ESC-10")
    options = parser.parse_args()
    lines = (SAMPLES / "manifest.jsonl").read_text(encoding="utf-8").splitlines()
    clean = [entry for entry in map(json.loads, lines) if entry["snr_db"] is None][:: options.every]
    texts = [entry["text"] for entry in clean]
    clips = [trimmed(read_wav(SAMPLES / entry["file"]).frames) for entry in clean]
    ear = reading_ear(vocabulary(), open_talk)
    known = options.out is not None and options.out.exists()
    table: dict[str, dict[str, dict[str, object]]] = json.loads(options.out.read_text("utf-8")) if known else {}
    for kind in options.noise or [*map(str, Noise), *(REAL if options.real else ())]:
        for snr in SNRS:
            rows = table.setdefault(kind, {})
            if f"{snr} dB" in rows:
                continue
            sound, spans = scene(clips, kind, snr, options.real)
            row = rows[f"{snr} dB"] = {}
            for name, one in (("detector", Undoubting(ear)), ("ears_asked", ear)):
                with patch.object(Encoder, "encode", autospec=True, side_effect=Encoder.encode) as encode:
                    found = judged(list(utterances(sound, one)), spans, texts)
                minutes = len(sound) / RATE / 60
                alone = round(int(str(found.pop("noise_alone"))) / minutes, 1)
                row[name] = found | {
                    "noise_alone_a_minute": alone,
                    "passes_a_minute": round(encode.call_count / minutes),
                }
            print(kind, snr, json.dumps(row), flush=True)
            if options.out:
                options.out.write_text(json.dumps(table, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
