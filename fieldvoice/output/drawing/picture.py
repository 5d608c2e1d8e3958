"""A picture in millimeters of paper, x right and y down: strokes, areas and labels, the same for every medium."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from fieldvoice.output.drawing import lettering

XY = tuple[float, float]


@dataclass(frozen=True, slots=True)
class PaperFrame:
    """A rectangle on the paper."""

    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: PaperFrame) -> bool:
        """Whether the two share more than an edge."""
        return (
            self.left < other.right - _HAIR
            and other.left < self.right - _HAIR
            and self.top < other.bottom - _HAIR
            and other.top < self.bottom - _HAIR
        )

    def within(self, other: PaperFrame) -> bool:
        """Whether it lies in the other."""
        return (
            self.left >= other.left - _HAIR
            and self.right <= other.right + _HAIR
            and self.top >= other.top - _HAIR
            and self.bottom <= other.bottom + _HAIR
        )

    def grown(self, by: float) -> PaperFrame:
        """The rectangle with a margin round it."""
        return PaperFrame(self.left - by, self.top - by, self.right + by, self.bottom + by)


_HAIR = 1e-6


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line through points, `weight` wide; `dash` is ink and gap in turn. A closed one ends where it began."""

    points: tuple[XY, ...]
    weight: float = 0.25
    dash: tuple[float, ...] = ()
    closed: bool = False


@dataclass(frozen=True, slots=True)
class Area:
    """A polygon filled with a gray, 0 black and 1 white."""

    points: tuple[XY, ...]
    gray: float = 1.0


@dataclass(frozen=True, slots=True)
class Circle:
    """A circle, white inside where it is `clear`."""

    center: XY
    radius: float
    weight: float = 0.25
    clear: bool = True


class Anchor(StrEnum):
    """Which end of a label its place is."""

    START = "start"
    MIDDLE = "middle"
    END = "end"


@dataclass(frozen=True, slots=True)
class Label:
    """A line of text whose capitals are `height` high, with its baseline at (x, y). A `turned` one reads upwards, from
    the right of the paper. A `clear` one has white behind it. `fractions` are set raised over lowered.
    """

    x: float
    y: float
    text: str
    height: float
    anchor: Anchor = Anchor.MIDDLE
    turned: bool = False
    bold: bool = False
    clear: bool = False
    fractions: bool = True

    @property
    def width(self) -> float:
        """How long the text is along its line."""
        return self.height * lettering.width(self.text, bold=self.bold, fractions=self.fractions)

    @property
    def start(self) -> float:
        """From its place to where its first letter begins, along its line."""
        return {Anchor.START: 0.0, Anchor.MIDDLE: -self.width / 2, Anchor.END: -self.width}[self.anchor]

    @property
    def frame(self) -> PaperFrame:
        """What it takes of the paper."""
        near, far = self.start, self.start + self.width
        raised = any(run.rise > 0 for run in lettering.runs(self.text, bold=self.bold, fractions=self.fractions))
        up, down = self.height * (lettering.TALL if raised else 1.02), self.height * lettering.DEEP
        if self.turned:
            return PaperFrame(self.x - up, self.y - far, self.x + down, self.y - near)
        return PaperFrame(self.x + near, self.y - up, self.x + far, self.y + down)


Mark = Stroke | Area | Circle | Label


@dataclass(frozen=True, slots=True)
class Picture:
    """A sheet of paper of `width` by `height` millimeters with what is drawn on it, first to last. `title` is said to
    those who don't see it.
    """

    width: float
    height: float
    marks: tuple[Mark, ...]
    title: str = ""

    @property
    def labels(self) -> tuple[Label, ...]:
        """All its text."""
        return tuple(mark for mark in self.marks if isinstance(mark, Label))

    @property
    def frame(self) -> PaperFrame:
        """The paper."""
        return PaperFrame(0, 0, self.width, self.height)


def moved(mark: Mark, dx: float, dy: float) -> Mark:
    """The same mark elsewhere."""
    match mark:
        case Stroke() | Area():
            points = tuple((x + dx, y + dy) for x, y in mark.points)
            return replace(mark, points=points)
        case Circle():
            x, y = mark.center
            return replace(mark, center=(x + dx, y + dy))
        case Label():
            return replace(mark, x=mark.x + dx, y=mark.y + dy)


def stacked(pictures: Sequence[Picture]) -> Picture:
    """Pictures one below the other."""
    marks: list[Mark] = []
    down = 0.0
    for picture in pictures:
        marks += [moved(mark, 0, down) for mark in picture.marks]
        down += picture.height
    title = "; ".join(picture.title for picture in pictures)
    return Picture(max(picture.width for picture in pictures), down, tuple(marks), title)


def hatched(polygon: tuple[XY, ...], pitch: float, weight: float = 0.13) -> tuple[Stroke, ...]:
    """Lines at 45 degrees inside a polygon, by the even-odd rule."""
    offsets = [x + y for x, y in polygon]
    first, last = int(min(offsets) // pitch) + 1, int(max(offsets) // pitch)
    found: list[Stroke] = []
    for number in range(first, last + 1):
        hits = sorted(_crossings(polygon, number * pitch))
        pairs = zip(hits[::2], hits[1::2], strict=False)
        found += [Stroke((one, other), weight) for one, other in pairs if other[0] - one[0] > 0.05]
    return tuple(found)


def _crossings(polygon: tuple[XY, ...], offset: float) -> Iterable[XY]:
    """Where the line x + y = offset crosses the polygon's sides."""
    for (ax, ay), (bx, by) in zip(polygon, polygon[1:] + polygon[:1], strict=True):
        a, b = ax + ay - offset, bx + by - offset
        if (a < 0) != (b < 0):
            part = a / (a - b)
            yield ax + part * (bx - ax), ay + part * (by - ay)
