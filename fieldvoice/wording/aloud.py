"""Sentences for the ear: figures in words, and no more than somebody at the wall listens to."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from fieldvoice.language.speaking import length_words, number_words
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import OpeningKind
from fieldvoice.records.said import Say

MOST_SECONDS = 6
"""Seconds that an answer may take aloud; the rest is on the screen."""
CHARACTERS_A_SECOND, PAUSE = 16.1, 0.25
"""How fast the voice speaks, and the seconds that it rests at a comma or a stop: fitted to 553 of its answers, which it
misses by a third of a second (standard deviation)."""
_RESTS = re.compile(r"[,;:.?]")
ON_SCREEN = "The rest is on the screen."

_NAMED = "|".join(("box", "board", "step", "tick", *(kind.value for kind in OpeningKind)))
_ROOMS = "wall|ceiling|slope|room|bedroom|bathroom|bath|closet|hall|hallway|garage|office"
_FIGURES = re.compile(
    rf"(?<=\b)(?P<where>{_ROOMS}) (?P<of>\d\d?)\b(?!/|\.\d| \d| by\b| (?:in|mm)\b)"
    rf"|(?P<hour>\d\d):(?P<minute>\d\d)|(?<=\b)(?P<name>{_NAMED}) (?P<number>\d+)\b(?!/)"
    r"|(?P<count>\d+)(?= (?:steps?|screws?|boxes)\b)"
    r"|(?P<length>\d+ \d+/\d+|\d+/\d+|\d+(?:\.\d+)?)(?: (?P<unit>in|mm)\b)?",
    re.IGNORECASE,
)
"""Figures in a sentence: the number of a wall or room, a time, the number of a box, board or step, a count of steps,
else a length.
"""


def aloud(text: str, unit: Unit) -> str:
    """A sentence with its figures in words for the voice; a length without its unit is in `unit`."""
    return _FIGURES.sub(lambda found: _in_words(found, unit), text)


def _in_words(found: re.Match[str], unit: Unit) -> str:
    if found["where"] is not None:
        return f"{found['where']} {_number(found['of'])}"
    if found["hour"] is not None:
        return _time(int(found["hour"]), int(found["minute"]))
    if found["name"] is not None:
        return f"{found['name']} {_number(found['number'])}"
    if found["count"] is not None:
        return _number(found["count"])
    unit = Unit(found["unit"].lower()) if found["unit"] else unit
    try:
        return length_words(Length.of(found["length"], unit), unit)
    except (ValueError, ZeroDivisionError):  # quoted from somebody: no length at all
        return _each(found["length"])


def _time(hour: int, minute: int) -> str:
    if not minute:
        return f"{number_words(hour)} o'clock"
    return f"{number_words(hour)} {'oh ' if minute < 10 else ''}{number_words(minute)}"


def _number(figures: str) -> str:
    return number_words(int(figures)) if len(figures) < 5 else _each(figures)


def _each(figures: str) -> str:
    return " ".join(number_words(int(each)) for each in figures if each.isdecimal())


def seconds(spoken: str) -> float:
    """About how long the voice takes for it."""
    return len(spoken) / CHARACTERS_A_SECOND + PAUSE * len(_RESTS.findall(spoken))


def fitting(spoken: str, more: str, unit: Unit) -> str:
    """What has to be said, with more behind it where there is time for it; the screen has it in any case."""
    return spoken + more if seconds(aloud(spoken + more, unit)) <= MOST_SECONDS else spoken


def in_time(says: Sequence[Say], vital: Sequence[bool]) -> tuple[Say, ...]:
    """All that is `vital` or about safety, and of the rest, in order, as much as fits into the time."""
    left = MOST_SECONDS - sum(seconds(one.spoken) for one, must in zip(says, vital, strict=True) if must or one.safety)
    kept: list[Say] = []
    cut = False
    for one, must in zip(says, vital, strict=True):
        need = seconds(one.spoken)
        if must or one.safety or need <= left or (not kept and len(says) == 1):
            left -= 0 if must or one.safety else need
            kept.append(one)
        else:
            cut = cut or bool(one.spoken)
            kept.append(replace(one, spoken=""))
    if cut and left >= seconds(ON_SCREEN) and any(one.spoken for one in kept):
        last = max(index for index, one in enumerate(kept) if one.spoken)
        kept[last] = replace(kept[last], spoken=f"{kept[last].spoken} {ON_SCREEN}")
    return tuple(kept)
