"""`python -m benchmarks.boards_by_sound CACHE [--boards N] [--processes N] [--voice NAME ...] [--level L ...]
[--real FOLDER] [--out FILE] [--stories FILE]`.

Boards are called by voices of no training, clean and in site noise, from the first call to the plan: through
end-pointing, both ears and the dialogue, with a hanger who listens to what is read back, corrects 95 of 100 wrong
ones, answers questions rightly, says again what was refused or not answered, and types what was said three times for
nothing. A board is right where its settled plan is the plan of the same board typed, which in its turn is what was
written down beforehand. CACHE keeps the synthesized clips; with `--real` (a copy of ESC-10) half of the noisy boards
have a real sound around them. It goes on as fast as the ears do: on one core in use about a second an utterance.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import asdict
from multiprocessing import get_context
from pathlib import Path
from statistics import mean, median
from typing import Any

from benchmarks.boards_by_sound.hanging import LEVELS, SEED, Board, Site, Turn, begin, hung
from benchmarks.boards_by_sound.scripts import scripts
from benchmarks.boards_by_sound.site import REACTION_SECONDS
from benchmarks.boards_by_sound.truth import AT_THE_END, unfit
from fieldvoice.wording import forms


def turns(options: argparse.Namespace) -> list[Turn]:
    """Every board at every level, one board after the other, so that what was run is fair to all levels."""
    dice = random.Random(SEED)  # noqa: S311 - a simulation
    drawn = [(script, unfit(script)) for script in scripts(options.boards, dice)]
    for script, why in drawn:
        if why:
            print(f"left out: {script.name}: {why}")
    chosen = [script for script, why in drawn if not why]
    return [Turn(number, one, level) for number, one in enumerate(chosen) for level in options.level or LEVELS]


def boards(options: argparse.Namespace) -> Iterator[Board]:
    """Every board, in so many processes."""
    facts = options.cache, options.voice or (), options.real
    if options.processes == 1:
        yield from map(Site(*facts).board, turns(options))
        return
    with get_context("spawn").Pool(options.processes, begin, facts) as pool:
        yield from pool.imap_unordered(hung, turns(options))


def figures(found: Sequence[Board]) -> dict[str, Any]:
    """The table of one level."""
    calls = sum(board.calls for board in found)
    outcomes = Counter(story.outcome for board in found for story in board.count.stories)
    recognizing = sorted(each for board in found for each in board.count.recognizing)
    return {
        "boards": len(found),
        "right plan": sum(board.right for board in found),
        "right with nothing typed": sum(board.by_voice for board in found),
        "right without a repeat or question": sum(board.smooth for board in found),
        "wrong plan": sum(board.plan and not board.right for board in found),
        "no plan": sum(not board.plan for board in found),
        "calls typed a board": round(mean(len(board.count.typed) for board in found), 2),
        "repeats a board": round(mean(board.count.repeats + board.count.unanswered for board in found), 2),
        "questions a board": round(mean(board.count.questions for board in found), 2),
        "of them asked where all is typed": round(mean(board.typed_questions for board in found), 2),
        "corrections a board": round(mean(board.count.corrections for board in found), 2),
        "seconds a board beside the speech": round(median(board.seconds for board in found), 1),
        "of them answers aloud": round(median(board.count.aloud for board in found), 1),
        "of them waiting for the end of words": round(median(board.waited for board in found), 1),
        "seconds of speech a board": round(median(board.count.first for board in found), 1),
        "seconds of both ears after the end, median": round(median(recognizing), 2) if recognizing else None,
        "seconds of both ears after the end, p95": round(recognizing[int(0.95 * len(recognizing))], 2)
        if recognizing
        else None,
        "false alarms": sum(board.false_alarms for board in found),
        "calls": calls,
        "utterances": dict(outcomes.most_common()),
        "stops": stops(found),
        "typed in the end": dict(Counter(line for board in found for line in board.count.typed).most_common()),
        "seconds of the run a board": round(mean(board.took for board in found), 1),
    }


def stops(found: Sequence[Board]) -> dict[str, int]:
    """By what it came to and what was heard: each utterance that wasn't taken at once, most frequent first."""
    told = [story for board in found for story in board.count.stories if story.outcome != "typed"]
    classes = Counter(f"{story.reply} | {story.outcome}" for story in told if story.reply not in {"takes", *_MEANT})
    return dict(classes.most_common())


_MEANT = frozenset(f"asks {concern}" for concern in AT_THE_END)


def too_long(found: Sequence[Board]) -> dict[str, float]:
    """Each sentence said aloud that takes longer than anybody listens, with its seconds, the longest first."""
    spoken = {one for board in found for story in board.count.stories for one in story.spoken}
    long = {one: round(forms.seconds(one), 1) for one in spoken if forms.seconds(one) > forms.MOST_SECONDS}
    return dict(sorted(long.items(), key=lambda one: -one[1]))


def answers_too_long(found: Sequence[Board]) -> str:
    """How many answers take longer, of how many."""
    answers = [sum(map(forms.seconds, story.spoken)) for board in found for story in board.count.stories]
    return f"{sum(one > forms.MOST_SECONDS for one in answers)} of {len(answers)}"


def main() -> None:
    """Calls the boards, prints each, and writes the figures."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("cache", type=Path)
    parser.add_argument("--boards", type=int, default=12)
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--voice", action="append")
    parser.add_argument("--level", choices=list(LEVELS), action="append")
    parser.add_argument("--real", type=Path)
    parser.add_argument("--out", type=Path)
    parser.add_argument("--stories", type=Path)
    options = parser.parse_args()
    start, found = time.perf_counter(), list[Board]()
    for board in boards(options):
        found.append(board)
        end = "right" if board.right else "WRONG" if board.plan else "no plan"
        count = board.count
        print(
            f"{board.level:6} {board.voice:11} {end:8} {count.repeats + count.unanswered:3} repeats "
            f"{count.questions:3} questions {len(count.typed):2} typed {board.took:5.0f} s  "
            f"{board.script} ({board.place})",
            flush=True,
        )
        if options.stories:
            with options.stories.open("a", encoding="utf-8") as file:
                file.write(json.dumps(asdict(board)) + "\n")
        if options.out:
            options.out.write_text(report(found, options, time.perf_counter() - start), encoding="utf-8")
    print(report(found, options, time.perf_counter() - start))


def report(found: Sequence[Board], options: argparse.Namespace, seconds: float) -> str:
    """The figures so far as JSON: written after each board, so that a run that was broken off counts."""
    by_level = {level: [board for board in found if board.level == level] for level in LEVELS}
    document = {
        "voices": sorted({board.voice for board in found}),
        "real sounds": options.real is not None,
        "reaction, seconds, in no figure": REACTION_SECONDS,
        "levels": {level: figures(boards) for level, boards in by_level.items() if boards},
        "answers over 6 s": answers_too_long(found),
        "sentences over 6 s": too_long(found),
        "wrong plans": [_story(board) for board in found if board.plan and not board.right],
        "took seconds": round(seconds),
        "load": round(os.getloadavg()[1], 1),
        "cores": os.cpu_count(),
    }
    return json.dumps(document, indent=1) + "\n"


def _story(board: Board) -> dict[str, Any]:
    told = [f"{one.said} | {one.outcome} | {one.heard} | {one.answer}" for one in board.count.stories]
    return {"board": board.script, "level": board.level, "wrong": board.wrong, "story": told}


if __name__ == "__main__":
    main()
