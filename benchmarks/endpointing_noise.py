"""Whether an utterance's begin and end are seen in site noise: `python -m benchmarks.endpointing_noise [--out FILE]`.

The shipped clean clips lie three seconds apart in noise that never stops, one kind of machine at a time (those of the
test split), through the microphone's high-pass to the end-pointer alone; every pause counts as one after a complete
utterance.
Of each clip: `whole`, where one utterance holds it but for a tenth of a second at its ends and ended before the next
clip; `late`, where the utterance ran on into the next clip or to the longest that one may be; `cut`, where it ended
inside the clip; `missed`. And per minute, how many utterances held noise alone.
"""

from __future__ import annotations

import argparse
import json
from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from statistics import median

import numpy as np

from benchmarks.endpointing import SAMPLES, trimmed
from fieldvoice.ears import RATE, Frames, read_wav
from fieldvoice.ears.endpoint import STEP, Endpointer, Outlook
from fieldvoice.ears.highpass import HighPass
from training.mixing import speech_power
from training.noises import Noise, Wave, noise
from training.splits import Split, machines_of

SNRS = (20, 10, 5, 0)
GAP = 3.0
Span = tuple[float, float]


def scene(clips: Sequence[Frames], kind: Noise, snr: float) -> tuple[Frames, list[Span]]:
    """The sound, and where in it, in seconds, each clip lies."""
    dice = np.random.default_rng(4)
    quiet = np.zeros(round(GAP * RATE))
    parts, spans, at = [quiet], list[Span](), GAP
    for clip in clips:
        parts += [clip / 32768, quiet]
        spans.append((at, at + len(clip) / RATE))
        at = spans[-1][1] + GAP
    speech: Wave = np.concatenate(parts)
    around = noise(kind, machines_of(Split.TEST)[0], len(speech), dice, [clip / 32768 for clip in clips])
    power = float(np.median([speech_power(clip / 32768) for clip in clips]))
    mixed = speech + power * 10 ** (-snr / 20) * around
    return (32767 * 0.5 * mixed / max(1.0, np.abs(mixed).max())).astype(np.int16), spans


def utterances(sound: Frames) -> list[Span]:
    """From when to when, in seconds, each utterance lasted."""
    endpointer, high_pass = Endpointer(), HighPass()
    found, begun, taken = list[Span](), 0.0, 0
    for at in range(0, len(sound), STEP):
        for cut in endpointer.take(high_pass(sound[at : at + STEP]), lambda: Outlook.COMPLETE):
            if not taken:
                begun = (at + STEP - len(cut.frames)) / RATE
            taken += len(cut.frames)
            if cut.ended:
                found.append((begun, (at + STEP) / RATE))
                taken = 0
    return found


def judged(found: Sequence[Span], spans: Sequence[Span]) -> tuple[Counter[str], list[float], int]:
    """How each clip fared, the seconds from the end of those that are whole to their end-point, and the utterances that
    held none.
    """
    counts: Counter[str] = Counter()
    waits = []
    for start, end in spans:
        over = [(begin, stop) for begin, stop in found if begin < end and stop > start]
        holding = [stop for begin, stop in over if begin <= start + 0.1 and stop >= end - 0.1]
        if not over:
            counts["missed"] += 1
        elif not holding:
            counts["cut"] += 1
        elif holding[0] > end + GAP:
            counts["late"] += 1
        else:
            counts["whole"] += 1
            waits.append(holding[0] - end)
    alone = sum(all(stop < start or begin > end for start, end in spans) for begin, stop in found)
    return counts, waits, alone


def main() -> None:
    """Prints or writes the counts."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--out", type=Path)
    out: Path | None = parser.parse_args().out
    lines = (SAMPLES / "manifest.jsonl").read_text(encoding="utf-8").splitlines()
    clean = [entry for entry in map(json.loads, lines) if entry["snr_db"] is None]
    clips = [trimmed(read_wav(SAMPLES / entry["file"]).frames) for entry in clean]
    table: dict[str, dict[str, object]] = {}
    for kind in Noise:
        for snr in SNRS:
            sound, spans = scene(clips, kind, snr)
            counts, waits, alone = judged(utterances(sound), spans)
            wait = round(median(waits), 2) if waits else None
            minutes = len(sound) / RATE / 60
            row = {**counts, "end_point_median": wait, "noise_alone_a_minute": round(alone / minutes, 1)}
            table.setdefault(kind.value, {})[f"{snr} dB"] = row
    text = json.dumps(table, indent=1)
    print(text)
    if out:
        out.write_text(text + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
