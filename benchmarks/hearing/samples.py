"""The recordings that come with fieldvoice, as the default recognizers hear them.

Whisper's prompt was fitted on some of them and the head was trained on one of their voices: this shows that the demo
works, and is no measure of hearing in general.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

from benchmarks.hearing.policies import judged, treated
from fieldvoice import data_folder
from fieldvoice.ears import hear
from fieldvoice.ears.ear import Ear
from fieldvoice.ears.wav import read_wav
from fieldvoice.language.understanding import understand
from fieldvoice.records.hearing import Source


def samples(ears: Sequence[Ear]) -> dict[str, dict[str, int]]:
    """How many were right, asked and wrong at each noise level."""
    folder, counts = data_folder("audio_samples"), dict[str, dict[str, int]]()
    for line in (folder / "manifest.jsonl").read_text(encoding="utf-8").splitlines():
        entry: dict[str, Any] = json.loads(line)
        sound = read_wav(folder / entry["file"])
        meant = understand(entry["text"], Source.SPOKEN).meanings
        level = "clean" if entry["snr_db"] is None else f"{entry['snr_db']} dB"
        row = counts.setdefault(level, {"of": 0, "right": 0, "asked": 0, "wrong": 0})
        row["of"] += 1
        row[treated(meant, [hear(ear, sound) for ear in ears], judged()).result] += 1
    return counts
