"""Time and memory of the default recognizers, in a process that does nothing else."""

from __future__ import annotations

import os
import random
import resource
from collections.abc import Sequence
from dataclasses import dataclass
from time import perf_counter, process_time
from typing import Any

from benchmarks.hearing import open_pair
from benchmarks.hearing.corpus import Kind, Sounds
from benchmarks.hearing.figures import times
from fieldvoice.ears import hear
from fieldvoice.ears.ear import Ear
from fieldvoice.ears.sound import Sound
from fieldvoice.language.automaton import open_talk, vocabulary
from fieldvoice.language.verdict import judge, settled


def cost(made: Sounds, clips: int, cores: int) -> dict[str, Any]:
    """Seconds from the last sample to the verdict, real-time factor and peak memory in MB, over so many calls of all
    levels on so many cores: with the second recognizer only where the first leaves it something to settle, as listening
    does, and with both always. The memory holds the sounds of the split too, which `sounds MB` tells.
    """
    os.sched_setaffinity(0, sorted(os.sched_getaffinity(0))[:cores])
    items = [one for one in made.items() if one[0].kind is Kind.CALL]
    drawn = random.Random(made.seed).sample(items, clips)  # noqa: S311 - a choice, not a secret
    chosen = [Sound(made.frames(*one)) for one in drawn]
    before = _peak_mb()
    start = perf_counter()
    ears = open_pair(vocabulary(), open_talk)
    opened = perf_counter() - start
    taken = [_seconds(ears, sound) for sound in chosen]
    spoken = sum(sound.seconds for sound in chosen)
    return {
        "cores": cores,
        "clips": len(chosen),
        "seconds": times([one.needed for one in taken]),
        "processor's seconds": times([one.processor for one in taken]),
        "seconds of both": times([one.whole for one in taken]),
        "settled by the first": sum(one.needed < one.whole for one in taken),
        "real-time factor": round(sum(one.needed for one in taken) / spoken, 3),
        "opening, seconds": round(opened, 2),
        "peak MB": _peak_mb(),
        "sounds MB": before,
        "load": round(os.getloadavg()[1], 1),
    }


@dataclass(frozen=True, slots=True)
class Taken:
    """Seconds that an utterance took with both recognizers, with as many as it needed, and of these the processor's,
    which other work on the machine doesn't lengthen.
    """

    whole: float
    needed: float
    processor: float


def _seconds(ears: Sequence[Ear], sound: Sound) -> Taken:
    hearings, spent = [], []
    for ear in ears:
        before = process_time()
        hearings.append(hear(ear, sound))
        spent.append(process_time() - before)
    start = perf_counter()
    enough = settled(hearings[:1], ["whisper"])
    judge(hearings)
    judging = perf_counter() - start
    first, *others = (hearing.seconds for hearing in hearings)
    whole = first + sum(others) + judging
    return Taken(whole, first + judging if enough else whole, spent[0] if enough else sum(spent))


def _peak_mb() -> int:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
