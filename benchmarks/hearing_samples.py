"""How the shipped recordings are heard: right, asked again or silently wrong, for each recognizer and noise level.

`python benchmarks/hearing_samples.py [--vosk FOLDER] [--json]` prints a table, or all of it as JSON. Right means that
the verdict accepted and the meaning is the manifest's; wrong that it accepted another one; all else is asked again.
Seconds run from the last sample handed over to the verdict; where Whisper hears after the reading ear it finds the
utterance encoded. The Whisper ear's prompt was fitted on the demo's clips, so the clean column flatters it: this shows
that the demo works, and is no measure of hearing in general.
"""

from __future__ import annotations

import argparse
import json
import platform
from collections.abc import Sequence
from pathlib import Path
from statistics import median, quantiles
from time import perf_counter
from typing import Any

from fieldvoice.ears import Ear, hear, open_ear, open_pair, read_wav
from fieldvoice.errors import FieldvoiceError
from fieldvoice.language import automaton, understand, vocabulary
from fieldvoice.language.verdict import Expectation, Finding, judge
from fieldvoice.records.hearing import Source
from fieldvoice.resources import data_folder

SAMPLES = data_folder("audio_samples")


def result_of(entry: dict[str, Any], ears: Sequence[Ear]) -> tuple[str, float, str]:
    """Right, asked or wrong; seconds from the last sample; and what was heard."""
    sound = read_wav(SAMPLES / entry["file"])
    hearings = [hear(ear, sound) for ear in ears]
    started = perf_counter()
    verdict = judge(hearings, Expectation(answer=entry["meanings"][0].get("action") in {"yes", "no"}))
    seconds = perf_counter() - started + sum(hearing.seconds for hearing in hearings)
    if verdict.finding is not Finding.ACCEPT:
        return "asked", seconds, hearings[0].words
    meant = understand(entry["text"], Source.SPOKEN).meanings
    return ("right" if verdict.utterance.meanings == meant else "wrong"), seconds, verdict.utterance.heard


def row(entries: Sequence[dict[str, Any]], ears: Sequence[Ear]) -> dict[str, Any]:
    """Counts and times for one recognizer at one noise level."""
    results = [(entry, *result_of(entry, ears)) for entry in entries]
    times = [seconds for _, _, seconds, _ in results]
    kinds = [kind for _, kind, _, _ in results]
    return {
        "clips": len(results),
        **{kind: kinds.count(kind) for kind in ("right", "asked", "wrong")},
        "seconds_median": round(median(times), 3),
        "seconds_p95": round(quantiles(times, n=20)[-1], 3),
        "not_right": [[entry["text"], kind, heard] for entry, kind, _, heard in results if kind != "right"],
    }


LEVELS = {"clean": None, "20 dB": 20, "10 dB": 10}


def recognizers(folder: Path | None) -> tuple[dict[str, Sequence[Ear]], dict[str, str]]:
    """Every recognizer and set of recognizers that is here, and why others aren't."""
    words, network = vocabulary(), automaton()
    reading, whisper = open_pair(words, network)
    ears: dict[str, Sequence[Ear]] = {
        "whisper": (whisper,),
        "reading alone": (reading,),
        "reading and whisper": (reading, whisper),
    }
    try:
        vosk = open_ear("vosk", words, network, folder)
    except FieldvoiceError as reason:
        return ears, {"vosk": str(reason)}
    return ears | {"vosk": (vosk,), "reading, whisper and vosk": (reading, whisper, vosk)}, {}


def table(results: dict[str, dict[str, dict[str, Any]]]) -> str:
    """The results as Markdown: right / asked / wrong by recognizer and noise level."""
    lines = [f"| recognizers | {' | '.join(LEVELS)} |", "|---" * (len(LEVELS) + 1) + "|"]
    for name, levels in results.items():
        cells = ("/".join(str(levels[level][kind]) for kind in ("right", "asked", "wrong")) for level in LEVELS)
        lines.append(f"| {name} | {' | '.join(cells)} |")
    return "\n".join(lines)


def main() -> None:
    """Measures every recognizer that is here, and together."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--vosk", type=Path, help="a Vosk model folder")
    parser.add_argument("--json", action="store_true", help="print all of it as one JSON document")
    asked = parser.parse_args()
    entries = [json.loads(line) for line in (SAMPLES / "manifest.jsonl").read_text(encoding="utf-8").splitlines()]
    ears, absent = recognizers(asked.vosk)
    results = {
        name: {level: row([e for e in entries if e["snr_db"] == snr], these) for level, snr in LEVELS.items()}
        for name, these in ears.items()
    }
    document = {"machine": platform.machine(), "results": results, "absent": absent}
    print(json.dumps(document, indent=1, ensure_ascii=False) if asked.json else table(results))


if __name__ == "__main__":
    main()
