"""What whole utterances come to: orders, answers, corrections, and items in a row."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from fieldvoice.language.found import Link, Question, Refusal, Where
from fieldvoice.language.sense.boxes import box
from fieldvoice.language.sense.readings import bare, reading
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import (
    Action,
    Answer,
    BoxMark,
    Command,
    Correction,
    Meaning,
    Reading,
)

Meanings = tuple[Meaning, ...]


def meanings(item: Meaning | Meanings) -> Meanings:
    """An item's meanings: most have one."""
    return item if isinstance(item, tuple) else (item,)


def chain(first: Meaning | Meanings, *links: Link) -> Meanings | Question:
    """Items in a row; what follows a correction takes the place of what it corrects."""
    said = list(meanings(first))
    for link in links:
        if not link.instead:
            said += link.meanings
            continue
        new = link.meanings[0]
        place = _corrected(said, new, bare=link.bare)
        if place is None:
            return Question("What does that correct? Say the place and the right value.")
        said[place : place + 1] = [_with_place(said[place], new)] if link.bare else link.meanings
    return tuple(said)


def _corrected(said: list[Meaning], new: Meaning, *, bare: bool) -> int | None:
    """Which of the things said the new one corrects: the last, or the one at the same place."""
    last = len(said) - 1
    if bare:
        return last if isinstance(said[last], Reading) else None
    same = [place for place, old in enumerate(said) if _place(old) == _place(new)]
    if same:
        return same[-1]
    return last if len(said) == 1 and type(said[0]) is type(new) else None


def _place(meaning: Meaning) -> object:
    if isinstance(meaning, Reading):
        return (Reading, meaning.dimension, meaning.at)
    if isinstance(meaning, BoxMark):
        return (BoxMark, meaning.name)
    return (type(meaning), getattr(meaning, "topic", None), getattr(meaning, "edge", None))


def _with_place(old: Meaning, new: Meaning) -> Meaning:
    if isinstance(old, Reading) and isinstance(new, Reading):
        return Reading(new.value, old.dimension, old.at, new.qualifier)
    return new


def scratch_place(where: Where) -> Command | Refusal:
    """A reading to take out, by its place."""
    words = [str(where.at)] if where.at else []
    words += [str(where.dimension)] if where.dimension else []
    at_length = isinstance(where.at, Length)
    return Command(Action.SCRATCH, " ".join(reversed(words) if at_length else words))


def _order(action: Action) -> Callable[[], Command]:
    return lambda: Command(action)


ACTIONS: Mapping[str, Callable[..., Any]] = {
    "undo": _order(Action.UNDO),
    "say_again": _order(Action.SAY_AGAIN),
    "missing": _order(Action.MISSING),
    "read_back": _order(Action.READ_BACK),
    "done": _order(Action.DONE),
    "next_board": _order(Action.NEXT_BOARD),
    "go_to_board": lambda name: Command(Action.GO_TO_BOARD, str(name)),
    "hold": _order(Action.HOLD),
    "resume": _order(Action.RESUME),
    "help": _order(Action.HELP),
    "tick": lambda name: Command(Action.TICK, str(name)),
    "scratch_box": lambda named: Command(Action.SCRATCH, f"box {named.name}"),
    "scratch_place": scratch_place,
    "yes": lambda: Answer(yes=True),
    "no": lambda: Answer(yes=False),
    "answered": lambda answer, said: (answer, *said),
    "change": lambda where, length: Correction(reading(where, length)),
    "change_bare": lambda length: Correction(bare(length)),
    "change_box": lambda name, kind, where: Correction(box(name, kind, where)),
    "chain": chain,
    "also": lambda item: Link(meanings(item)),
    "also_bare": lambda length: Link((bare(length),)),
    "instead": lambda item: Link(meanings(item), instead=True),
    "instead_bare": lambda length: Link((bare(length),), instead=True, bare=True),
}
