"""One board called at one place, and a process that calls boards."""

from __future__ import annotations

import random
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from benchmarks.boards_by_sound.clips import Clips, untrained_voices
from benchmarks.boards_by_sound.hanger import Count, Hanger
from benchmarks.boards_by_sound.scripts import Script
from benchmarks.boards_by_sound.site import Place, Wall, place
from benchmarks.hearing import open_pair
from fieldvoice.ears.ear import Ear
from fieldvoice.ears.listening import Listening, listen
from fieldvoice.language.automaton import open_talk, vocabulary
from fieldvoice.language.outlook import enough, outlook
from training.voices import Voice

LEVELS: dict[str, float | None] = {"clean": None, "10 dB": 10.0, "5 dB": 5.0}
SEED = 20261126


@dataclass(frozen=True, slots=True)
class Board:
    """How one board went at one level."""

    script: str
    voice: str
    level: str
    place: str
    calls: int
    plan: bool
    right: bool
    typed_questions: int
    waited: float
    false_alarms: int
    wrong: tuple[str, ...]
    took: float
    count: Count

    @property
    def by_voice(self) -> bool:
        """A right plan with nothing typed."""
        return self.right and not self.count.typed

    @property
    def smooth(self) -> bool:
        """The same without a repeat, and without a question that typing wouldn't have brought."""
        count = self.count
        return self.by_voice and not count.repeats + count.unanswered and count.questions <= self.typed_questions

    @property
    def seconds(self) -> float:
        """What it took beside what had to be said: waiting for the end of words, answers aloud, what was said more."""
        return self.waited + self.count.aloud + self.count.spoken - self.count.first


def hang(script: Script, voice: Voice, clips: Clips, where: Place, level: str, ears: Sequence[Ear]) -> Board:
    """One board at one place."""
    start = time.perf_counter()
    hanger = Hanger(script, voice, clips, random.Random(f"{script.name} {level}"))  # noqa: S311 - a simulation
    session = hanger.session
    how = Listening(
        lambda words: outlook(words, session.unit),
        enough=lambda hearings, others: enough(hearings, [ear.kind for ear in others], session.unit),
    )
    wall = Wall(where, hanger.talk())
    for hearings in listen(wall.blocks(), ears, how):
        wall.heard(hearings)
    wrong = hanger.wrong()
    return Board(
        script.name,
        voice.name,
        level,
        where.name,
        len(script.lines),
        hanger.has_plan,
        hanger.has_plan and not wrong,
        hanger.meant.questions,
        wall.waited,
        hanger.false_alarms(),
        wrong,
        time.perf_counter() - start,
        hanger.count,
    )


@dataclass(frozen=True, slots=True)
class Turn:
    """A board to be called at one level: which of all it is tells its voice and its place."""

    number: int
    script: Script
    level: str


class Site:
    """The voices, clips and ears of one process."""

    def __init__(self, cache: Path, voices: Sequence[str], real: Path | None) -> None:
        self._real = real
        self._voices, self._clips = untrained_voices(voices), Clips(cache)
        self._ears = open_pair(vocabulary(), open_talk)

    def board(self, turn: Turn) -> Board:
        """One board at one level."""
        where = place(LEVELS[turn.level], self._real, np.random.default_rng((SEED, turn.number)))
        voice = self._voices[turn.number % len(self._voices)]
        return hang(turn.script, voice, self._clips, where, turn.level, self._ears)


_site: list[Site] = []


def begin(cache: Path, voices: Sequence[str], real: Path | None) -> None:
    """Makes this process one that calls boards."""
    _site.append(Site(cache, voices, real))


def hung(turn: Turn) -> Board:
    """One board at one level, called by this process."""
    return _site[0].board(turn)
