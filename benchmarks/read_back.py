"""What lies between an utterance's words and its read-back: `python -m benchmarks.read_back [--out FILE]`.

The demo's lines come as canned hearings of the reading ear and Whisper, so that only our own work counts: no encoder
and no sound device. Each part is timed in the order of `fieldvoice listen`, with a job on disk and a screen of 120 by
40: `outlook` (whether words may follow), `enough` (whether Whisper must hear too), `take` (verdict, dialogue and
journal, on disk when it returns), `draw` (the view and the screen), `voice` (the first line, up to its first samples
and whole). Seconds by the clock and of CPU; the first utterance of a session apart, since what is loaded late is
loaded then. Then how long a bare line takes to reach the disk.
"""

from __future__ import annotations

import argparse
import io
import json
import os
import sys
import tempfile
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path
from statistics import median
from time import perf_counter, thread_time
from typing import Any

from fieldvoice import data_folder
from fieldvoice.commands.desk import Desk
from fieldvoice.commands.talk import Talk, open_job
from fieldvoice.commands.terminal import Window
from fieldvoice.dialogue.session import Session
from fieldvoice.language.outlook import enough, outlook
from fieldvoice.output.screen.parts import RICH
from fieldvoice.output.voice import Synthesizer
from fieldvoice.records.hearing import EarKind, Hearing, Hypothesis

Times = dict[str, tuple[float, float]]
"""By part: seconds by the clock, and of CPU."""


def canned(words: str) -> tuple[Hearing, Hearing]:
    """What both recognizers make of a call that they are sure of."""
    return (
        Hearing((Hypothesis(words, 0.9999),), "reading", kind=EarKind.READING, encoder="reading"),
        Hearing(
            (Hypothesis(words, 0.999),),
            "whisper (tiny.en)",
            kind=EarKind.WHISPER,
            encoder="tiny.en",
            log_probability=-0.05,
        ),
    )


def draw(talk: Talk) -> None:
    """The screen after an utterance, all of it new."""
    assert isinstance(talk.session, Session)
    Desk(talk.session, "partner").paint(Window(sys.stdout), RICH, "")


class Stopwatch:
    """Times of parts."""

    def __init__(self) -> None:
        self.times: Times = {}

    def __call__(self, part: str, work: Callable[[], Any]) -> Any:
        """Does the work and notes how long it took."""
        clock, cpu = perf_counter(), thread_time()
        found = work()
        self.times[part] = perf_counter() - clock, thread_time() - cpu
        return found


@contextmanager
def screen() -> Iterator[None]:
    """A terminal of 120 by 40 that goes nowhere."""
    os.environ.update(FORCE_COLOR="1", COLUMNS="120", LINES="40")
    out, sys.stdout = sys.stdout, io.StringIO()
    try:
        yield
    finally:
        sys.stdout = out


def utterance(talk: Talk, session: Session, voice: Synthesizer, words: str) -> Times:
    """One call, part by part."""
    timed, hearings = Stopwatch(), canned(words)
    others = [EarKind.WHISPER]
    timed("outlook", lambda: outlook(words, session.unit))
    timed("enough", lambda: enough(hearings[:1], others, session.unit))
    _, says = timed("take", lambda: talk.take(hearings, "hanger"))
    timed("draw", lambda: draw(talk))
    if says:
        timed("voice, first samples", lambda: first_samples(voice, says[0].spoken))
        timed("voice, whole line", lambda: voice(says[0].spoken))
    return timed.times


class Heard(Exception):
    """The first samples are there."""


def first_samples(voice: Synthesizer, line: str) -> None:
    """Says no more of a line than its begin."""

    def stop(_samples: object) -> None:
        raise Heard

    with suppress(Heard):
        voice.say(line, stop)


BEFORE = ("outlook", "enough", "take", "draw", "voice, first samples")


def summed(times: Times) -> tuple[float, float]:
    """All that comes before the first sample."""
    clock, cpu = zip(*(times[part] for part in BEFORE if part in times), strict=True)
    return sum(clock), sum(cpu)


def figures(all_times: Sequence[Times]) -> Mapping[str, Mapping[str, float]]:
    """Median and longest of each part, in milliseconds."""
    whole = [{**times, "before the first sample": summed(times)} for times in all_times]
    parts = dict.fromkeys(part for times in whole for part in times)
    table = {}
    for part in parts:
        clock, cpu = zip(*(times[part] for times in whole if part in times), strict=True)
        names = ("clock_median", "clock_longest", "cpu_median", "cpu_longest")
        values = (median(clock), max(clock), median(cpu), max(cpu))
        table[part] = {name: round(1000 * value, 1) for name, value in zip(names, values, strict=True)}
    return table


def disk(folder: Path, count: int = 20) -> float:
    """Milliseconds in which a line reaches the disk, the median."""
    times = []
    with (folder / "line").open("ab") as file:
        for _ in range(count):
            begun = perf_counter()
            file.write(b"line\n")
            file.flush()
            os.fsync(file.fileno())
            times.append(perf_counter() - begun)
    return round(1000 * median(times), 2)


def main() -> None:
    """Prints or writes the figures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--out", type=Path)
    parser.add_argument("--folder", type=Path, help="where the job is kept; a temporary folder else")
    options = parser.parse_args()
    lines = (data_folder("audio_samples") / "manifest.jsonl").read_text(encoding="utf-8").splitlines()
    texts = [entry["text"] for entry in map(json.loads, lines) if entry["demo"]]
    with tempfile.TemporaryDirectory(dir=options.folder) as name:
        folder = Path(name)
        with open_job(folder / "a.job") as journal, screen():
            talk = Talk(session := Session(journal))
            voice = Synthesizer()
            draw(talk)
            times = [utterance(talk, session, voice, words) for words in texts]
        fsync = disk(folder)
    document = {"first": figures(times[:1]), "later": figures(times[1:]), "fsync_median": fsync}
    text = json.dumps(document, indent=1)
    print(text)
    if options.out:
        options.out.write_text(text + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
