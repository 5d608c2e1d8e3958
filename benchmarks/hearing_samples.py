"""How the shipped recordings are heard: right, asked again or silently wrong, for each recognizer and noise level.

`python benchmarks/hearing_samples.py [--vosk FOLDER]` prints one JSON document. Right means that the verdict accepted
and the meaning is the manifest's; wrong that it accepted another one; all else is asked again. Seconds run from the
last sample handed over to the verdict. The Whisper ear's prompt was fitted on the demo's clips, so the clean column
flatters it: this shows that the demo works, and is no measure of hearing in general.
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

from fieldvoice.ears import Ear, hear, open_ear, read_wav
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


def main() -> None:
    """Measures every recognizer that is here, and both together."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--vosk", type=Path, help="a Vosk model folder")
    folder: Path | None = parser.parse_args().vosk
    entries = [json.loads(line) for line in (SAMPLES / "manifest.jsonl").read_text(encoding="utf-8").splitlines()]
    ears: dict[str, list[Ear]] = {}
    absent: dict[str, str] = {}
    for name, place in (("whisper", None), ("vosk", folder)):
        try:
            ears[name] = [open_ear(name, vocabulary(), automaton(), place)]
        except FieldvoiceError as reason:
            absent[name] = str(reason)
    if len(ears) == 2:
        ears["whisper and vosk"] = ears["whisper"] + ears["vosk"]
    levels = {"clean": None, "20 dB": 20, "10 dB": 10}
    table = {
        name: {level: row([e for e in entries if e["snr_db"] == snr], these) for level, snr in levels.items()}
        for name, these in ears.items()
    }
    print(json.dumps({"machine": platform.machine(), "results": table, "absent": absent}, indent=1))


if __name__ == "__main__":
    main()
