"""Whether hours of listening grow: a day of sound, an utterance a minute, through end-pointing, the ears, the verdict.

`python benchmarks/listening_day.py [--hours 8]` prints JSON: resident memory in MB at the start, after each simulated
hour, and at its highest, and how much time the day took. The sound is the shipped clips with hiss between them.
"""

from __future__ import annotations

import argparse
import json
import resource
from collections.abc import Iterator
from pathlib import Path
from time import perf_counter

import numpy as np

from fieldvoice.ears import open_pair
from fieldvoice.ears.listening import Listening, listen
from fieldvoice.ears.sound import RATE, Frames
from fieldvoice.ears.wav import read_wav
from fieldvoice.language.automaton import open_talk, vocabulary
from fieldvoice.language.outlook import outlook
from fieldvoice.language.verdict import judge
from fieldvoice.resources import data_folder


def resident_mb() -> float:
    """What this process holds now (Linux)."""
    pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1])
    return round(pages * resource.getpagesize() / 1e6, 1)


def day(hours: float, memory: list[float]) -> Iterator[Frames]:
    """Blocks of a tenth of a second: a clip, then hiss to the full minute; memory is noted at each hour."""
    clips = [read_wav(file).frames for file in sorted(data_folder("audio_samples").glob("*.wav"))]
    chance = np.random.default_rng(8)
    for minute in range(round(hours * 60)):
        sound = (20 * chance.standard_normal(60 * RATE)).astype(np.int16)
        clip = clips[minute % len(clips)]
        sound[RATE : RATE + len(clip)] += clip
        yield from np.array_split(sound, 600)
        if minute % 60 == 0:
            memory.append(resident_mb())


def main() -> None:
    """Listens for the day and prints what it took."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--hours", type=float, default=8.0)
    hours: float = parser.parse_args().hours
    ears = open_pair(vocabulary(), open_talk)
    memory = [resident_mb()]
    started = perf_counter()
    findings = [judge(hearings).finding.value for hearings in listen(day(hours, memory), ears, Listening(outlook))]
    memory.append(resident_mb())
    peak = round(1024 * resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e6, 1)
    counts = {finding: findings.count(finding) for finding in sorted(set(findings))}
    taken = round(perf_counter() - started, 1)
    print(json.dumps({"hours": hours, "utterances": counts, "rss_mb": memory, "peak_mb": peak, "seconds": taken}))


if __name__ == "__main__":
    main()
