"""Room on the paper: from inches on the sheet to millimeters of paper, letters as high as they may be, labels put where
nothing else is; and dimension lines, from a bar where the tape hooks on to an arrow at the mark, the figure above the
line.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction
from typing import Protocol, TypeVar

from fieldvoice.output.drawing.picture import XY, Anchor, Area, Label, Mark, PaperFrame, Stroke
from fieldvoice.records.meaning import Edge


class Crowded(Exception):
    """There is no room for all the figures at this height of letters."""


class PaperRoom:
    """A stretch of paper and what already lies on it."""

    def __init__(self, whole: PaperFrame) -> None:
        self._whole = whole
        self._taken: list[PaperFrame] = []

    def take(self, frame: PaperFrame) -> None:
        """That much is taken, whatever lies there."""
        self._taken.append(frame)

    def free(self, frame: PaperFrame) -> bool:
        """Whether it lies in the paper and on nothing else."""
        return frame.within(self._whole) and not any(frame.meets(other) for other in self._taken)

    def put(self, label: Label, places: Iterable[tuple[float, float]], gap: float) -> Label | None:
        """The label at the first of the places where it is free, `gap` from all else; None where there is none."""
        for x, y in places:
            moved = replace(label, x=x, y=y)
            if self.free(moved.frame.grown(gap)):
                self.take(moved.frame)
                return moved
        return None


def around(frame: PaperFrame, label: Label, gap: float) -> Iterable[tuple[float, float]]:
    """Places for a level label that starts or ends at its place: right of a thing, left of it, below, above."""
    wide, high = label.width, label.height
    middle = (frame.top + frame.bottom + high) / 2
    center = (frame.left + frame.right - wide) / 2
    yield frame.right + gap, middle
    yield frame.left - gap - wide, middle
    yield center, frame.bottom + gap + high * 1.3
    yield center, frame.top - gap - high * 0.4
    for step in range(1, 12):
        shift = step * high * 1.7
        for y in (middle - shift, middle + shift):
            yield frame.right + gap, y
            yield frame.left - gap - wide, y


def everywhere(whole: PaperFrame, near: PaperFrame, label: Label, step: float) -> Iterable[tuple[float, float]]:
    """Places all over the paper for a label that starts at its place, those nearest to a thing first."""
    across, down = int((whole.right - whole.left) / step), int((whole.bottom - whole.top) / step)
    spots = ((whole.left + i * step, whole.top + j * step) for i in range(across + 1) for j in range(down + 1))
    x, y = (near.left + near.right) / 2, (near.top + near.bottom) / 2
    half = label.width / 2
    return sorted(spots, key=lambda spot: (spot[0] + half - x) ** 2 + (spot[1] - y) ** 2)


def spread(least: float, most: float, count: int = 9) -> tuple[float, ...]:
    """Places between two ends, the middle first and outwards from there."""
    step = (most - least) / (count + 1)
    ranked = sorted(range(1, count + 1), key=lambda number: abs(number - (count + 1) / 2))
    return tuple(least + number * step for number in ranked)


class Attempt(Protocol):
    """A drawing in letters of one height."""

    @property
    def roomy(self) -> bool:
        """Whether the letters leave the sheet its share."""

    def marks(self) -> Iterator[Mark]:
        """All that is drawn. Raises `Crowded` where a label has no place."""


Drawn = TypeVar("Drawn", bound=Attempt)


def in_largest_letters(
    letters: Sequence[float], attempt: Callable[[float], Drawn], title: str
) -> tuple[Drawn, tuple[Mark, ...]]:
    """The drawing in the largest of the letters that leave the sheet its share and every label a place, the last of
    them whatever they leave the sheet. `ValueError` where none does.
    """
    for number, letter in enumerate(letters):
        drawing = attempt(letter)
        if number < len(letters) - 1 and not drawing.roomy:
            continue
        try:
            return drawing, tuple(drawing.marks())
        except Crowded:
            continue
    raise ValueError(f"{title}: the paper is too small for it")


LEGEND_LINE = 1.7
"""Letter heights from one line of words under a drawing to the next."""
HEIGHTS = (10.0, 7.0, 5.0, 3.5, 2.5, 1.8, 1.3, 0.9)
"""Letter heights in millimeters, the standard's series (ISO 3098) and below it for pictures smaller than a page."""
LARGEST_SHARE = 0.55
"""Of the paper each way, the least that the sheet may be given for letters to grow."""
LEAST_LETTERS = 20
"""Letter heights that the paper holds at least each way."""


@dataclass(frozen=True, slots=True)
class Scale:
    """Where the sheet's origin lies on the paper, and millimeters of paper to an inch; 0 where nothing fits."""

    left: float
    top: float
    factor: float

    def at(self, spot: tuple[Fraction, Fraction]) -> XY:
        """Where a place on the sheet is drawn."""
        return (self.left + float(spot[0]) * self.factor, self.top + float(spot[1]) * self.factor)

    def path(self, corners: tuple[tuple[Fraction, Fraction], ...]) -> tuple[XY, ...]:
        """Where a path is drawn."""
        return tuple(self.at(spot) for spot in corners)


def fitted(
    extent: tuple[Fraction, Fraction, Fraction, Fraction], margins: Mapping[Edge, float], paper: PaperFrame
) -> tuple[Scale, float, float]:
    """The largest scale at which what reaches from left and top to right and bottom keeps the margins, in the middle of
    what they leave; and how wide and high that is.
    """
    left, top, right, bottom = (float(value) for value in extent)
    wide = paper.right - paper.left - margins[Edge.LEFT] - margins[Edge.RIGHT]
    high = paper.bottom - paper.top - margins[Edge.TOP] - margins[Edge.BOTTOM]
    if wide <= 1 or high <= 1:
        return Scale(0, 0, 0), wide, high
    factor = min(wide / (right - left), high / (bottom - top))
    x = paper.left + margins[Edge.LEFT] + (wide - (right - left) * factor) / 2 - left * factor
    y = paper.top + margins[Edge.TOP] + (high - (bottom - top) * factor) / 2 - top * factor
    return Scale(x, y, factor), wide, high


def roomy(paper: PaperFrame, wide: float, high: float, letter: float) -> bool:
    """Whether letters of that height leave the sheet its share of the paper."""
    across, down = paper.right - paper.left, paper.bottom - paper.top
    small = letter <= min(across, down) / LEAST_LETTERS
    return small and wide >= LARGEST_SHARE * across and high >= LARGEST_SHARE * down


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


def legend(lines: Iterable[str], left: float, top: float, letter: float) -> Iterator[Label]:
    """Lines of words one below the other, from `top` down."""
    for number, words in enumerate(lines, 1):
        yield Label(left, top + (LEGEND_LINE * number - 0.5) * letter, words, letter, Anchor.START, fractions=False)
