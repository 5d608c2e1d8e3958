"""How soon an utterance's end is seen, and whether a pause in a reading cuts it in half.

`python benchmarks/endpointing.py [--threads 2] [--out FILE]` prints JSON. The sound is the shipped clean clips with
hiss around them, fed in blocks of 20 ms to the reading ear and Whisper as `fieldvoice listen` does, on a clock on which
sound takes its own time and work the time that it takes here: where work is slower than sound, sound waits.

- `ends`: seconds from the end of speech (the last 20 ms within 25 dB of the loudest) to the end-point, and to the
  hearings, for utterances after which nothing is waited for, and for those that a fraction could still follow.
- `pauses`: readings with a pause put before "and", or after it: how many came out as one utterance, and how many
  word for word. The place is the quietest between the words around it, by the head's own alignment.
"""

from __future__ import annotations

import argparse
import json
from collections.abc import Generator, Iterator, Sequence
from pathlib import Path
from statistics import median
from time import perf_counter
from typing import cast

import numpy as np

from fieldvoice import data_folder
from fieldvoice.ears import models
from fieldvoice.ears.ear import Ear
from fieldvoice.ears.encoder import Encoder
from fieldvoice.ears.listening import Listening, listen
from fieldvoice.ears.reading_head.head import ReadingHead
from fieldvoice.ears.sound import RATE, Frames, block_levels
from fieldvoice.ears.wav import read_wav
from fieldvoice.ears.whisper_ear import whisper_ear
from fieldvoice.ears.whole_utterance import reading_ear, reading_encoder
from fieldvoice.language.automaton import open_talk, vocabulary
from fieldvoice.language.outlook import outlook

SAMPLES = data_folder("audio_samples")
BLOCK = 320
PAUSES = (0.3, 0.6, 0.9, 1.1, 1.5, 2.0)


class Clock:
    """Blocks at the times at which a microphone would bring them; work in between takes its real time."""

    def __init__(self, sound: Frames) -> None:
        self._sound = sound
        self._handed = perf_counter()
        self._before = 0.0
        self.heard = 0.0

    def blocks(self) -> Iterator[Frames]:
        """The sound, each block no sooner than it is spoken."""
        for at in range(0, len(self._sound), BLOCK):
            block = self._sound[at : at + BLOCK]
            self.heard = (at + len(block)) / RATE
            self._before = max(self.now, self.heard)
            self._handed = perf_counter()
            yield block

    @property
    def now(self) -> float:
        """When it is, in seconds from the start of the sound: when the last block came, and the work since."""
        return self._before + perf_counter() - self._handed


def hiss(seconds: float) -> Frames:
    """A quiet room."""
    return (12 * np.random.default_rng(1).standard_normal(round(RATE * seconds))).astype(np.int16)


def trimmed(frames: Frames) -> Frames:
    """From the first to the last 20 ms within 25 dB of the loudest."""
    levels = block_levels(frames, 0.02)
    loud = np.flatnonzero(levels > levels.max() - 25)
    return frames[loud[0] * BLOCK : (loud[-1] + 1) * BLOCK]


def ends(ears: Sequence[Ear], clips: Sequence[tuple[str, Frames]]) -> dict[str, object]:
    """Times from the end of speech, by what is waited for."""
    found: dict[str, list[tuple[float, float]]] = {}
    for text, speech in clips:
        clock = Clock(np.concatenate([hiss(1.0), speech, hiss(4.0)]))
        spoken = 1.0 + len(speech) / RATE
        utterances = cast("Generator[object]", listen(clock.blocks(), ears, Listening(outlook)))
        next(utterances)
        found.setdefault(outlook(text).value, []).append((clock.heard - spoken, clock.now - spoken))
        utterances.close()
    return {kind: {"utterances": len(times), **_times(times)} for kind, times in found.items()}


def _times(pairs: Sequence[tuple[float, float]]) -> dict[str, float]:
    points, hearings = zip(*pairs, strict=True)
    return {
        "end_point_median": round(median(points), 3),
        "end_point_longest": round(max(points), 3),
        "hearings_median": round(median(hearings), 3),
        "hearings_longest": round(max(hearings), 3),
    }


def places(encoder: Encoder, head: ReadingHead, speech: Frames) -> tuple[int, int] | None:
    """The samples of the quietest places before and after "and", None where the head doesn't spell just one "and"."""
    best = head.log_probabilities(encoder.encode(speech).vectors).argmax(axis=1)
    spoken = [at for at in np.flatnonzero(best) if at == 0 or best[at] != best[at - 1]]
    around = [place for place, at in enumerate(spoken) if best[at] == head.labels["and"]]
    if len(around) != 1 or not 0 < around[0] < len(spoken) - 1:
        return None
    before, here, after = (int(spoken[around[0] + step]) for step in (-1, 0, 1))
    levels = block_levels(speech, 0.02)
    quietest = [start + int(np.argmin(levels[start:end])) for start, end in ((before + 2, here), (here + 3, after))]
    return quietest[0] * BLOCK, quietest[1] * BLOCK


def pauses(ears: Sequence[Ear], cut: Sequence[tuple[str, Frames, tuple[int, int]]]) -> dict[str, object]:
    """How many readings came out whole, for each length of the pause, before "and" and after it."""
    table: dict[str, object] = {"readings": len(cut)}
    for side, name in enumerate(("before_and", "after_and")):
        whole = {}
        for seconds in PAUSES:
            outs = [_words(ears, speech, places[side], seconds) for _, speech, places in cut]
            same = sum(out == [text] for out, (text, _, _) in zip(outs, cut, strict=True))
            whole[str(seconds)] = [sum(len(out) == 1 for out in outs), same]
        table[name] = whole
    return table


def _words(ears: Sequence[Ear], speech: Frames, place: int, seconds: float) -> list[str]:
    sound = np.concatenate([hiss(1.0), speech[:place], hiss(seconds), speech[place:], hiss(3.0)])
    heard = listen((sound[at : at + BLOCK] for at in range(0, len(sound), BLOCK)), ears, Listening(outlook))
    return [hearings[0].words for hearings in heard]


def main() -> None:
    """Measures both and prints or writes them."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--threads", type=int, default=2)
    parser.add_argument("--out", type=Path)
    options = parser.parse_args()
    folder = models.find("whisper").folder
    ears = (
        reading_ear(vocabulary(), open_talk, threads=options.threads),
        whisper_ear(folder, threads=options.threads),
    )
    encoder = reading_encoder(options.threads)
    lines = (SAMPLES / "manifest.jsonl").read_text(encoding="utf-8").splitlines()
    clean = [entry for entry in map(json.loads, lines) if entry["snr_db"] is None]
    clips = [(entry["text"], trimmed(read_wav(SAMPLES / entry["file"]).frames)) for entry in clean]
    head = ReadingHead.load()
    found = [(text, speech, places(encoder, head, speech)) for text, speech in clips]
    cut = [(text, speech, place) for text, speech, place in found if place is not None]
    result = {"threads": options.threads, "ends": ends(ears, clips), "pauses": pauses(ears, cut)}
    text = json.dumps(result, indent=1)
    print(text)
    if options.out:
        options.out.write_text(text + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
