"""A picture in millimeters of paper, x right and y down: strokes, areas and labels, the same for every medium. And its
letters: how wide a text is, its lines, and fractions set by ourselves, raised over lowered with a slash.

A fraction is never one character and never left to a medium's own way: base fonts print ⅝ as a box, and number styles
make 4462.5 of 44.625. So the whole number, a narrow space, the raised numerator, the slash and the lowered denominator
are runs of digits, and the text read back is the text of the length, `44 13/16`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from functools import lru_cache

from fieldvoice.output.text import tied, untied

FONT = "DejaVu Sans"
CAPITAL = 1493 / 2048
"""Height of capitals and figures in the shipped font, for a size of 1."""
DEEP, TALL = 0.33, 1.22
"""How far a line reaches below its baseline, and above it with a raised numerator, for a letter height of 1."""

_EM = 2048
# Advance widths of the shipped fonts, version 2.37, for the characters 32 to 126.
# fmt: off
_PLAIN = (
    651, 821, 942, 1716, 1303, 1946, 1597, 563, 799, 799, 1024, 1716, 651, 739, 651, 690, 1303, 1303, 1303, 1303, 1303,
    1303, 1303, 1303, 1303, 1303, 690, 690, 1716, 1716, 1716, 1087, 2048, 1401, 1405, 1430, 1577, 1294, 1178, 1587,
    1540, 604, 604, 1343, 1141, 1767, 1532, 1612, 1235, 1612, 1423, 1300, 1251, 1499, 1401, 2025, 1403, 1251, 1403, 799,
    690, 799, 1716, 1024, 1024, 1255, 1300, 1126, 1300, 1260, 721, 1300, 1298, 569, 569, 1186, 569, 1995, 1298, 1253,
    1300, 1300, 842, 1067, 803, 1298, 1212, 1675, 1212, 1212, 1075, 1303, 690, 1303, 1716,
)
_BOLD = (
    713, 934, 1067, 1716, 1425, 2052, 1786, 627, 936, 936, 1071, 1716, 778, 850, 778, 748, 1425, 1425, 1425, 1425, 1425,
    1425, 1425, 1425, 1425, 1425, 819, 819, 1716, 1716, 1716, 1188, 2048, 1585, 1561, 1503, 1700, 1399, 1399, 1681,
    1714, 762, 762, 1587, 1305, 2038, 1714, 1741, 1501, 1741, 1577, 1475, 1397, 1663, 1585, 2259, 1579, 1483, 1485, 936,
    748, 936, 1716, 1024, 1024, 1382, 1466, 1214, 1466, 1389, 891, 1466, 1458, 702, 702, 1362, 702, 2134, 1458, 1407,
    1466, 1466, 1010, 1219, 979, 1458, 1335, 1892, 1321, 1335, 1192, 1458, 748, 1458, 1716,
)
# fmt: on
_OTHER = 2120
"""For any other character: as wide as the widest that a person's name is likely to hold."""

_FRACTION = re.compile(r"(?:(\d+)( ))?(?<![\d/])(\d+)(/)(\d+)(?![\d/])")
_SMALL, _RAISED, _LOWERED, _NARROW = 0.72, 0.42, -0.14, 0.55


@dataclass(frozen=True, slots=True)
class TextRun:
    """A piece of a text in one size: `x` from the text's start, `rise` above the baseline and `width`, for a letter
    height of 1; `scale` is its size beside the text's own.
    """

    text: str
    x: float
    rise: float
    scale: float
    width: float


@lru_cache(maxsize=1024)
def runs(text: str, *, bold: bool = False, fractions: bool = True) -> tuple[TextRun, ...]:
    """The pieces of a text, left to right; without `fractions` it is a single one."""
    found: list[TextRun] = []
    x = 0.0
    for piece, rise, scale in _pieces(text) if fractions else ((text, 0.0, 1.0),):
        size = scale if piece != " " or scale == 1 else _NARROW
        wide = _width(piece, bold=bold) * size
        found.append(TextRun(piece, x, rise, size, wide))
        x += wide
    return tuple(found)


def width(text: str, *, bold: bool = False, fractions: bool = True) -> float:
    """How wide a text is for a letter height of 1."""
    last = runs(text, bold=bold, fractions=fractions)[-1:]
    return last[0].x + last[0].width if last else 0.0


def _pieces(text: str) -> list[tuple[str, float, float]]:
    """Each piece with its rise and scale."""
    pieces: list[tuple[str, float, float]] = []
    after = 0
    for match in _FRACTION.finditer(text):
        whole, space, above, slash, below = match.groups()
        before = text[after : match.start()] + (whole or "")
        pieces += [(before, 0.0, 1.0)] if before else []
        pieces += [(space, 0.0, _NARROW)] if space else []
        pieces += [(above, _RAISED, _SMALL), (slash, 0.0, 1.0), (below, _LOWERED, _SMALL)]
        after = match.end()
    return [*pieces, (text[after:], 0.0, 1.0)] if after < len(text) else pieces


def _width(text: str, *, bold: bool) -> float:
    table = _BOLD if bold else _PLAIN
    units = sum(table[ord(each) - 32] if 32 <= ord(each) < 127 else _OTHER for each in text)
    return units / _EM / CAPITAL


def text_lines(text: str, height: float, width: float, *, bold: bool = False) -> tuple[str, ...]:
    """A text broken at its spaces into lines no wider than `width`, in letters `height` high, with its lengths whole. A
    word that is wider than a line is broken wherever it must be.
    """
    lines: list[str] = []
    line = ""
    for word in filter(None, tied(text).split(" ")):
        longer = f"{line} {word}" if line else word
        if line and _wide(longer, bold=bold) * height > width:
            lines.append(line)
            longer = word
        while _wide(longer, bold=bold) * height > width and len(longer) > 1:
            kept = _fitting(longer, width / height, bold=bold)
            lines.append(longer[:kept])
            longer = longer[kept:]
        line = longer
    return tuple(untied(each) for each in (*lines, line) if each)


def _wide(text: str, *, bold: bool) -> float:
    return width(untied(text), bold=bold, fractions=False)


def _fitting(text: str, width: float, *, bold: bool) -> int:
    """How many letters fit, one at least."""
    count = len(text)
    while count > 1 and _wide(text[:count], bold=bold) > width:
        count -= 1
    return count


XY = tuple[float, float]


@dataclass(frozen=True, slots=True)
class PaperFrame:
    """A rectangle on the paper."""

    left: float
    top: float
    right: float
    bottom: float

    @classmethod
    def around(cls, path: Sequence[XY]) -> PaperFrame:
        """The rectangle that holds a path."""
        xs, ys = [x for x, _ in path], [y for _, y in path]
        return cls(min(xs), min(ys), max(xs), max(ys))

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
        return self.height * width(self.text, bold=self.bold, fractions=self.fractions)

    @property
    def start(self) -> float:
        """From its place to where its first letter begins, along its line."""
        return {Anchor.START: 0.0, Anchor.MIDDLE: -self.width / 2, Anchor.END: -self.width}[self.anchor]

    @property
    def frame(self) -> PaperFrame:
        """What it takes of the paper."""
        near, far = self.start, self.start + self.width
        raised = any(run.rise > 0 for run in runs(self.text, bold=self.bold, fractions=self.fractions))
        up, down = self.height * (TALL if raised else 1.02), self.height * DEEP
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


def written(title: str, lines: Sequence[str], across: float, height: float = 4.0, margin: float = 8.0) -> Picture:
    """A heading with lines below it, in letters `height` high, on paper so wide and as high as they need."""
    set_in = [
        (title, True),
        *((each, False) for line in lines for each in text_lines(line, height, across - 2 * margin)),
    ]
    step = height * (TALL + DEEP + 0.3)
    labels = tuple(
        Label(margin, margin + step * number, text, height, Anchor.START, bold=bold)
        for number, (text, bold) in enumerate(set_in, 1)
    )
    return Picture(across, 2 * margin + step * len(set_in), labels, title)


def hatched(polygon: tuple[XY, ...], pitch: float, weight: float) -> tuple[Stroke, ...]:
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
