"""How long the voice takes, and what it leaves to the screen: no more than somebody at the wall listens to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from fieldvoice.records.said import Say

MOST_SECONDS = 6
"""Seconds that an answer may take aloud; the rest is on the screen."""
CHARACTERS_A_SECOND, PAUSE = 16.1, 0.25
"""How fast the voice speaks, and the seconds that it rests at a comma or a stop: fitted to 553 of its answers, which it
misses by a third of a second (standard deviation)."""
_RESTS = ",;:.?"
ON_SCREEN = "The rest is on the screen."


def seconds(spoken: str) -> float:
    """About how long the voice takes for it."""
    return len(spoken) / CHARACTERS_A_SECOND + PAUSE * sum(map(spoken.count, _RESTS))


def fitting(whole: str, short: str) -> str:
    """The whole where there is time for it, else what has to be said; the screen has it in any case."""
    return whole if seconds(whole) <= MOST_SECONDS else short


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
