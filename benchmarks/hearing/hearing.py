"""Every sound of a split through every recognizer asked for, each hearing kept as soon as it is there."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from multiprocessing import get_context
from pathlib import Path
from typing import Any, Protocol

from benchmarks.hearing.corpus import Item
from benchmarks.hearing.recognizers import RARE, READING, head_sha, openers
from benchmarks.hearing.store import Store
from fieldvoice.ears import hear
from fieldvoice.ears.ear import Ear
from fieldvoice.ears.sound import Frames, Sound
from fieldvoice.records.hearing import Hearing
from fieldvoice.records.utterance import Meaning

BASELINE_EVERY = 5
"""Recognizers that are only compared with hear one clip in so many: PocketSphinx takes seconds over talk."""


def kept_as(recognizer: str) -> str:
    """A recognizer's name in the store: the reading head's with its weights', since another head hears anew."""
    return f"{recognizer} {head_sha()[:12]}" if recognizer == READING else recognizer


class Sounds(Protocol):
    """What is heard: of synthetic voices (`corpus`) or of people (`people_sounds`)."""

    def items(self) -> Iterator[tuple[Item, int]]:
        """Every sound, with the number that its noise is drawn by."""

    def frames(self, item: Item, drawn_by: int, /) -> Frames:
        """One of them."""


@dataclass(frozen=True, slots=True)
class Case:
    """One sound: what was said means `meant`, and what each recognizer made of it."""

    item: Item
    meant: tuple[Meaning, ...]
    hearings: Mapping[str, Hearing]

    def heard_by(self, recognizers: Sequence[str]) -> bool:
        """Whether all of these have heard it."""
        return all(name in self.hearings for name in recognizers)

    def of(self, recognizers: Sequence[str]) -> list[Hearing]:
        """The hearings of these, in their order."""
        return [self.hearings[name] for name in recognizers]


@dataclass(frozen=True, slots=True)
class Task:
    """A sound, the number that its noise is drawn by, and the recognizers that haven't heard it yet."""

    item: Item
    drawn_by: int
    wanted: tuple[str, ...]


class Listener:
    """Recognizers of one process, opened when they first hear."""

    def __init__(self, sounds: Sounds, vosk: Path | None, threads: int) -> None:
        self._sounds, self._openers = sounds, openers(threads, vosk)
        self._ears: dict[str, Ear] = {}

    def hear(self, task: Task) -> dict[str, Hearing]:
        """What each recognizer that is wanted makes of the sound."""
        sound = Sound(self._sounds.frames(task.item, task.drawn_by))
        return {name: hear(self._ear(name), sound) for name in task.wanted}

    def _ear(self, name: str) -> Ear:
        if name not in self._ears:
            self._ears[name] = self._openers[name]()
        return self._ears[name]


def tasks(sounds: Sounds, store: Store, recognizers: Sequence[str]) -> list[Task]:
    """What is to be heard yet; recognizers that are only compared with hear few clips."""
    known = {name: set(store.heard(kept_as(name))) for name in recognizers}
    found = []
    for item, drawn_by in sounds.items():
        few = int(item.key.split("-")[1]) % BASELINE_EVERY != 0
        wanted = tuple(name for name in recognizers if item.key not in known[name] and not (few and name in RARE))
        found += [Task(item, drawn_by, wanted)] if wanted else []
    return found


_listeners: list[Listener] = []


def _start(*facts: Any) -> None:
    _listeners.append(Listener(*facts))


def _heard(task: Task) -> tuple[Task, dict[str, Hearing]]:
    return task, _listeners[0].hear(task)


def hear_all(
    sounds: Sounds, store: Store, recognizers: Sequence[str], vosk: Path | None, processes: int, threads: int
) -> Iterator[str]:
    """Hears what hasn't been heard, in so many processes, and tells each sound once its hearings are kept."""
    with get_context("spawn").Pool(processes, _start, (sounds, vosk, threads)) as pool:
        for task, hearings in pool.imap_unordered(_heard, tasks(sounds, store, recognizers), chunksize=4):
            for name, hearing in hearings.items():
                store.keep(kept_as(name), task.item.key, hearing)
            yield task.item.key


def cases(sounds: Sounds, folder: Path) -> list[Case]:
    """Every sound that was heard, with all that heard it; of reading heads the one that is here."""
    store = Store(folder)
    names = [file.stem for file in folder.glob("*.jsonl")]
    heard = {name: store.heard(name) for name in names if not name.startswith(f"{READING} ")}
    heard[READING] = store.heard(kept_as(READING))
    by_item = [
        (item, {name: found[item.key] for name, found in heard.items() if item.key in found})
        for item, _ in sounds.items()
    ]
    return [Case(item, item.meant, hearings) for item, hearings in by_item if hearings]
