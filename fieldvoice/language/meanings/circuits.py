"""What is said of circuits. Every function is the meaning of that name in the grammar."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from fieldvoice.language.meanings.boxes import box_named
from fieldvoice.language.partial import Named, Number, Several, Unnamed
from fieldvoice.records.meaning import Danger, DeadAndTested

Word = Danger | DeadAndTested


def of_boxes(word: Word) -> Callable[[tuple[Named, ...]], tuple[Word, ...]]:
    """What was said of one or more boxes' circuits."""

    def of(which: tuple[Named, ...]) -> tuple[Word, ...]:
        return tuple(
            replace(word, box=box.name, count=box.count)
            if isinstance(word, DeadAndTested)
            else replace(word, box=box.name)
            for box in which
        )

    return of


MAINS = frozenset({110, 115, 120, 125, 208, 220, 230, 240, 277, 400, 480})
"""Volts that a tester shows of a live wire (common practice, no source); another figure may be a tape's."""


ABOUT_MAINS = (range(100, 131), range(200, 251))
"""Volts that a tester shows of the mains of a house, wide on purpose (our own rule)."""


def live_maybe_named(which: tuple[Named, ...] | None = None) -> Any:
    """As in "a spark in box one", or without the box."""
    return of_boxes(Danger())(which) if which is not None else Unnamed(Danger())


def shown_by_tester(volts: Number, which: tuple[Named, ...] | None = None) -> Any:
    """As in "meter reads one twenty"."""
    return live_maybe_named(which) if volts in MAINS else Several(())


def volts_on_it(volts: Number) -> Any:
    """As in "I've got one eighteen on it", which may be of a tape, too."""
    return Unnamed(Danger()) if any(volts in some for some in ABOUT_MAINS) else Several(())


ACTIONS: Mapping[str, Callable[..., Any]] = {
    "every_box": lambda: (Named(None),),
    "both_boxes": lambda: (Named(None, count=2),),
    "which_box": lambda *boxes: boxes[0] if isinstance(boxes[0], tuple) else boxes,
    "boxes_named": lambda *names: tuple(box_named(name) for name in names),
    "lights_named": lambda *names: tuple(Named(f"light {name}") for name in names),
    "box_and_more": lambda box, *names: (box, *(box_named(name) for name in names)),
    "dead": of_boxes(DeadAndTested()),
    "dead_untested": of_boxes(DeadAndTested(tested=False)),
    "live": of_boxes(Danger()),
    "unknown": of_boxes(Danger(live=False)),
    "dead_somewhere": lambda: Unnamed(DeadAndTested(count=1)),
    "dead_untested_somewhere": lambda: Unnamed(DeadAndTested(tested=False, count=1)),
    "live_maybe_named": live_maybe_named,
    "unknown_maybe_named": lambda which=None: (
        of_boxes(Danger(live=False))(which) if which is not None else Unnamed(Danger(live=False))
    ),
    "tester_reads": shown_by_tester,
    "volts_on_it": volts_on_it,
    "volts": lambda _volts, *which: live_maybe_named(*which),
    "live_somewhere": lambda: Unnamed(Danger()),
    "unknown_somewhere": lambda: Unnamed(Danger(live=False)),
    "unknown_everywhere": lambda: (Danger(live=False),),
    "unknown_some": lambda _count: (Danger(live=False),),
}
