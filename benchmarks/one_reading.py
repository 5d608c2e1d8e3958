"""Which files of the package one reading passes, from its sound to paper: `python -m benchmarks.one_reading [-v]`."""

from __future__ import annotations

import sys
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from types import FrameType
from typing import TypeVar

import fieldvoice
from fieldvoice.dialogue.session import Session
from fieldvoice.ears import hear, open_ear
from fieldvoice.ears.wav import read_wav
from fieldvoice.journal.journal import MemoryJournal
from fieldvoice.language.automaton import open_talk, vocabulary
from fieldvoice.output.drawing.media import pdf
from fieldvoice.output.paper.blocks import Made, Paper
from fieldvoice.output.paper.board_page import board_pages
from fieldvoice.output.screen.compose import compose
from fieldvoice.records.hearing import Hearing

T = TypeVar("T")
PACKAGE = Path(fieldvoice.__file__).parent
SOUND = PACKAGE.parent / "audio_samples" / "05-top-forty-one-and.wav"
REST = ("m 41 1/8", "b 40 15/16", "l 95 1/4", "r 95 1/4", "no boxes", "left edge board", "right edge wall")


def traced(work: Callable[[], T]) -> tuple[T, list[str]]:
    """What `work` gives, and the files whose functions it ran, in the order in which it came to them."""
    found: dict[str, None] = {}

    def called(frame: FrameType, event: str, _: object) -> None:
        file = Path(frame.f_code.co_filename)
        if event == "call" and frame.f_code.co_name != "<module>" and file.is_relative_to(PACKAGE):
            found[str(file.relative_to(PACKAGE))] = None

    sys.setprofile(called)
    try:
        made = work()
    finally:
        sys.setprofile(None)
    return made, list(found)


def main() -> None:
    """Prints, for each part of the way, how many files it passes and how many of those are new."""
    ear = open_ear("reading", vocabulary(), open_talk)
    session = Session(MemoryJournal())
    seen: set[str] = set()

    def part(name: str, work: Callable[[], T]) -> T:
        made, files = traced(work)
        print(f"{name:34} {len(files):3} files, {len(set(files) - seen):3} new")
        if "-v" in sys.argv:
            print("    " + " ".join(files))
        seen.update(files)
        return made

    sound = read_wav(SOUND, 60)
    hear(ear, sound)  # once before: what is made ready at the first use isn't counted
    hearing = part("sound to hearing", lambda: hear(ear, sound))
    part("hearing to read-back, kept", lambda: session.take(hearing, "hanger"))
    view = part("state to view", session.view)
    part("view to screen", lambda: compose(view, 100, 40))
    for line in REST:
        session.take(Hearing.typed(line), "hanger")
    for line in ("done", "yes"):
        session.take(Hearing.typed(line), "hanger")
    whole = part("state to view, with its plan", session.view)
    plan = whole.plan
    assert plan is not None
    assert not whole.draft
    part("view to screen, cutting", lambda: compose(whole, 100, 40))
    made = Made(datetime.now(UTC), "one reading", None, fieldvoice.__version__)
    part("view to paper", lambda: pdf(board_pages(whole, plan, Paper.LETTER, made), "board"))
    print(f"{'all':34} {len(seen):3} files")


if __name__ == "__main__":
    main()
