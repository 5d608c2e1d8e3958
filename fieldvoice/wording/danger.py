"""The one line of danger that stays before the partner's eyes for as long as the board has a box."""

from __future__ import annotations

from collections.abc import Sequence

from fieldvoice.records.meaning import Circuit
from fieldvoice.records.said import BoxWord
from fieldvoice.wording.cautions import DEMONSTRATION, clock


def danger_line(boxes: Sequence[str], said: Sequence[BoxWord], *, demonstration: bool) -> str:
    """The whole line: that a demonstration is one, then what the boxes ask."""
    return " ".join(part for part in (DEMONSTRATION if demonstration else "", danger_at_boxes(boxes, said)) if part)


def danger_at_boxes(boxes: Sequence[str], said: Sequence[BoxWord]) -> str:
    """Signal word and boxes, or nothing where there is no box. WARNING, after ANSI Z535.4, since a tool in a live box
    could kill; that somebody said “dead and tested” makes a CAUTION of it and no more.
    """
    if not boxes:
        return ""
    words = {word.box: word for word in said}
    live = [box for box in boxes if box in words and words[box].state is Circuit.LIVE]
    dead = [box for box in boxes if box in words and words[box].state is Circuit.DEAD]
    unknown = [box for box in boxes if box not in live and box not in dead]
    if live:
        others = f", {_named(unknown)} not said dead and tested" if unknown else ""
        return f"WARNING {_named(live)} said LIVE{others}: no tool in {_it([*live, *unknown])}"
    if unknown:
        return f"WARNING {_named(unknown)} not said dead and tested: no tool in {_it(unknown)}"
    said_so: dict[str, list[str]] = {}
    for box in dead:
        said_so.setdefault(f"dead and tested, said {words[box].by} {clock(words[box].at)}", []).append(box)
    return f"CAUTION {'; '.join(f'{_named(named)}: {what}' for what, named in said_so.items())}. Test again first."


def _named(boxes: Sequence[str]) -> str:
    return boxes[0] if len(boxes) == 1 else f"{', '.join(boxes[:-1])} and {boxes[-1]}"


def _it(boxes: Sequence[str]) -> str:
    return "it" if len(boxes) == 1 else "them"
