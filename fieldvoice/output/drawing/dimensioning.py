"""Dimension lines: from a bar where the tape hooks on to an arrow at the mark, the figure above the line."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from fieldvoice.output.drawing.picture import XY, Anchor, Area, Label, Mark, PaperFrame, Stroke
from fieldvoice.output.drawing.placing import Crowded, PaperRoom, spread

PITCH = 2.2
"""From one dimension line to the next, in letter heights."""
NEAR, FAR = 1.0, 2.1
"""From the sheet to its first dimension line, in letter heights: where the figure lies beyond the line, and where it
lies between."""
THIN, MEDIUM, HEAVY = 0.04, 0.07, 0.14
"""Weights of lines, in letter heights."""
_LIFT = 0.45
"""From a line to the baseline over it, in letter heights."""


class Lay(StrEnum):
    """Which way a dimension line lies."""

    LEVEL = "level"
    UPRIGHT = "upright"


@dataclass(frozen=True, slots=True)
class DimensionLine:
    """A dimension line on the paper, from `start` where the tape hooks on to `end`, at `at` the other way, with its
    figure.
    """

    lay: Lay
    start: float
    end: float
    at: float
    text: str

    @classmethod
    def level(cls, start: float, end: float, at: float, text: str) -> DimensionLine:
        """A level one at the height `at`."""
        return cls(Lay.LEVEL, start, end, at, text)

    @classmethod
    def upright(cls, start: float, end: float, at: float, text: str) -> DimensionLine:
        """An upright one at the distance `at` from the left."""
        return cls(Lay.UPRIGHT, start, end, at, text)

    def point(self, along: float, off: float = 0.0) -> XY:
        """A place on the line, `off` to the right of or below it."""
        return (along, self.at + off) if self.lay is Lay.LEVEL else (self.at + off, along)


def extension(line: DimensionLine, hook: XY, mark: XY, height: float) -> Iterator[Mark]:
    """Thin lines from what is measured to a little beyond the dimension line."""
    for spot, along in ((hook, line.start), (mark, line.end)):
        beyond = 0.4 * height * (1 if line.at > spot[1 if line.lay is Lay.LEVEL else 0] else -1)
        yield Stroke((spot, line.point(along, beyond)), THIN * height)


def drawn(line: DimensionLine, height: float, room: PaperRoom, *, inside: bool = False) -> Iterator[Mark]:
    """The line with its bar, arrow and figure. Raises `Crowded` where the figure has no room."""
    way = 1 if line.end >= line.start else -1
    yield Stroke((line.point(line.start), line.point(line.end)), MEDIUM * height)
    yield Stroke((line.point(line.start, -0.45 * height), line.point(line.start, 0.45 * height)), HEAVY * height)
    back = line.end - way * min(0.9 * height, abs(line.end - line.start))
    yield Area((line.point(line.end), line.point(back, 0.28 * height), line.point(back, -0.28 * height)), 0.0)
    label = Label(0, 0, line.text, height, Anchor.MIDDLE, turned=line.lay is Lay.UPRIGHT, clear=True)
    placed = room.put(label, _places(line, label, height, inside=inside), 0.1 * height)
    if placed is None:
        raise Crowded
    room.take(_frame(line, 0.05 * height))
    yield placed


def _frame(line: DimensionLine, half: float) -> PaperFrame:
    (ax, ay), (bx, by) = line.point(line.start), line.point(line.end)
    return PaperFrame(min(ax, bx), min(ay, by), max(ax, bx), max(ay, by)).grown(half)


def _places(line: DimensionLine, label: Label, height: float, *, inside: bool) -> Iterator[XY]:
    """Over the middle of the line; where it is too short for that, past its arrow, then past its bar."""
    least, most = sorted((line.start, line.end))
    reach, way = label.width / 2 + 0.7 * height, 1 if line.end >= line.start else -1
    lifts = (-_LIFT * height, (_LIFT + 1.1) * height) if inside else (-_LIFT * height,)
    for lift in lifts:
        if most - least >= 2 * reach:
            for along in spread(least + reach, most - reach, 21 if inside else 3):
                yield line.point(along, lift)
        for step in range(8 if inside else 1):
            for along in (line.end + way * (reach + step * height), line.start - way * (reach + step * height)):
                yield line.point(along, lift)
