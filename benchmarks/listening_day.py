"""Whether hours of listening grow: a day of sound, an utterance a minute, through end-pointing, the ears, the verdict.

`python -m benchmarks.listening_day [--hours 8] [--sounds FOLDER] [--out FILE]` prints JSON: resident memory in MB at
the start and after each simulated quarter of an hour, the highest in each of these and in all, and the CPU seconds that
the day took; the sound goes in as fast as it is heard. It is the shipped clips with hiss between them, or, so that the
words don't repeat, the clips of a split that `benchmarks.hearing` keeps: calls, talk and noise.
"""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterator, Sequence
from itertools import cycle, islice
from multiprocessing import get_context
from pathlib import Path
from time import process_time

import numpy as np

from benchmarks.hearing import open_pair
from fieldvoice import data_folder
from fieldvoice.ears.listening import Listening, listen
from fieldvoice.ears.sound import RATE, Frames
from fieldvoice.ears.wav import read_wav
from fieldvoice.language.automaton import open_talk, vocabulary
from fieldvoice.language.outlook import outlook
from fieldvoice.language.verdict import judge

NOTED_MINUTES = 15
BLOCK = RATE // 10


def memory_mb() -> tuple[float, float]:
    """What this process holds now, and the most that it held since this was asked before (Linux)."""
    lines = Path("/proc/self/status").read_text(encoding="ascii").splitlines()
    kb = {name: int(value.split()[0]) for name, _, value in (line.partition(":") for line in lines) if "kB" in value}
    Path("/proc/self/clear_refs").write_text("5", encoding="ascii")
    return round(1024 * kb["VmRSS"] / 1e6, 1), round(1024 * kb["VmHWM"] / 1e6, 1)


def day(hours: float, clips: Sequence[Frames], noted: list[tuple[float, float]]) -> Iterator[Frames]:
    """Blocks of a tenth of a second: a clip, then hiss to the full minute; memory is noted now and then."""
    chance = np.random.default_rng(8)
    for minute, clip in enumerate(islice(cycle(clips), round(hours * 60)), start=1):
        around = np.zeros(RATE, np.int16)
        spoken = np.concatenate([around, clip[: 57 * RATE], around])
        for at in range(0, 60 * RATE, BLOCK):
            block = (20 * chance.standard_normal(BLOCK)).astype(np.int16)
            said = spoken[at : at + BLOCK]
            block[: len(said)] += said
            yield block
        if minute % NOTED_MINUTES == 0:
            noted.append(memory_mb())


def shipped() -> list[Frames]:
    """The clips that come with fieldvoice."""
    return [read_wav(file).frames for file in sorted(data_folder("audio_samples").glob("*.wav"))]


def kept(folder: Path, most: int) -> list[Frames]:
    """At most so many sounds of a split, at every level of noise; mixed by another process, whose libraries aren't
    counted.
    """
    with get_context("spawn").Pool(1) as pool:
        return pool.apply(_mixed, (folder, most))


def _mixed(folder: Path, most: int) -> list[Frames]:
    from benchmarks.hearing.corpus import Sounds

    made = Sounds.load(folder)
    items = list(made.items())
    return [made.frames(item, drawn_by) for item, drawn_by in items[:: len(items) // most + 1]]


def main() -> None:
    """Listens for the day and prints what it took."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--hours", type=float, default=8.0)
    parser.add_argument("--sounds", type=Path)
    parser.add_argument("--out", type=Path)
    options = parser.parse_args()
    clips = kept(options.sounds, round(60 * options.hours)) if options.sounds else shipped()
    ears = open_pair(vocabulary(), open_talk)
    noted = [memory_mb()]
    started = process_time()
    heard = listen(day(options.hours, clips, noted), ears, Listening(outlook))
    findings = [judge(hearings).finding.value for hearings in heard]
    document = {
        "hours": options.hours,
        "different sounds": len(clips),
        "sounds_mb": round(sum(clip.nbytes for clip in clips) / 1e6, 1),
        "utterances": {finding: findings.count(finding) for finding in sorted(set(findings))},
        "rss_mb": [now for now, _ in noted],
        "peaks_mb": [peak for _, peak in noted],
        "peak_mb": max(peak for _, peak in noted),
        "cpu_seconds": round(process_time() - started, 1),
    }
    text = json.dumps(document)
    print(text)
    if options.out:
        options.out.write_text(json.dumps(document, indent=1) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
