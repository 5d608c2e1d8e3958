"""Lengths set as large as a window allows: whole inches twice as high as their fraction, which stands over a bar.

Everything is drawn in square dots first and put into cells afterwards. A half block holds two dots on top of each
other, so that a cell twice as high as wide shows them square; where only ASCII can be shown, a dot is a cell.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from fieldvoice.output import numerals

Dots = tuple[str, ...]
"""A picture in dots: rows of equal length, `#` where there is ink."""

HIGH = numerals.ROWS
"""Dots in the height of the smallest figure."""
Way = Callable[[str, int], "Dots"]
"""How a length is set at a scale: `stacked` or `in_line`."""


@dataclass(frozen=True, slots=True)
class Cells:
    """How dots become cells: with `half` two rows of dots to a row of cells, else one; `full` is a cell of ink."""

    half: bool = True
    full: str = "█"

    def rows(self, dots: int) -> int:
        """Rows of cells that so many rows of dots need."""
        return -(-dots // 2) if self.half else dots

    def drawn(self, dots: Dots) -> tuple[str, ...]:
        """The picture as lines of cells."""
        if not self.half:
            return tuple(row.replace("#", self.full).rstrip() for row in dots)
        blank = " " * len(dots[0])
        upper, lower = dots[::2], (*dots[1::2], *([blank] if len(dots) % 2 else []))
        return tuple(
            "".join(_HALVES[a, b] for a, b in zip(above, below, strict=True)).rstrip()
            for above, below in zip(upper, lower, strict=True)
        )


_HALVES = {("#", "#"): "█", ("#", " "): "▀", (" ", "#"): "▄", (" ", " "): " "}
ASCII = Cells(half=False, full="#")
BLOCKS = Cells()


def in_line(text: str, scale: int) -> Dots:
    """`46 3/4` with every figure of one height: `HIGH` times `scale` dots."""
    return _enlarged(numerals.large(text, full="#"), scale)


def stacked(text: str, scale: int) -> Dots:
    """`46 3/4` with the fraction over its bar, in figures of `HIGH` times `scale` dots, and the inches twice as high.
    A length without a fraction is as high as its inches.
    """
    whole, _, fraction = text.rpartition(" ") if "/" in text else (text, "", "")
    parts = [_enlarged(numerals.large(whole, full="#"), 2 * scale)] if whole else []
    if fraction:
        parts.append(_fraction(fraction, scale))
    return beside(parts, 2 * scale)


def _fraction(text: str, scale: int) -> Dots:
    over, under = (_enlarged(numerals.large(part, full="#"), scale) for part in text.split("/"))
    wide = max(len(over[0]), len(under[0]))
    blank, bar = (" " * wide,) * scale, ("#" * wide,) * scale
    return (*_centered(over, wide), *blank, *bar, *blank, *_centered(under, wide))


def beside(parts: Sequence[Dots], gap: int) -> Dots:
    """Pictures next to each other, `gap` dots apart, each in the middle of the height."""
    high = max(map(len, parts))
    rows = [_in_the_middle(part, high) for part in parts]
    return tuple((" " * gap).join(row) for row in zip(*rows, strict=True))


def _enlarged(dots: Dots, scale: int) -> Dots:
    return tuple("".join(dot * scale for dot in row) for row in dots for _ in range(scale))


def _centered(dots: Dots, wide: int) -> Dots:
    return tuple(row.center(wide) for row in dots)


def _in_the_middle(dots: Dots, high: int) -> Dots:
    blank = " " * len(dots[0])
    above = (high - len(dots)) // 2
    return (*(blank,) * above, *dots, *(blank,) * (high - len(dots) - above))


@dataclass(frozen=True, slots=True)
class Setting:
    """Lengths set in a window: `lines` of cells; `smallest` is the height of the lowest figure in rows of cells, which
    decides from how far all of it can be read; `shown` of the lengths are drawn, from the first on.
    """

    lines: tuple[str, ...]
    smallest: Fraction
    shown: int


@dataclass(frozen=True, slots=True)
class Figure:
    """A length to set, with a caption above it."""

    text: str
    caption: str = ""


GAP = 3
"""Cells between lengths that stand side by side."""


def largest(figures: Sequence[Figure], columns: int, rows: int, cells: Cells = BLOCKS) -> Setting | None:
    """The setting of all the figures, else of as many as can be drawn at all, in which the lowest figure is as high as
    the window allows. None where not even the first one fits.
    """
    for count in range(len(figures), 0, -1):
        tried = [
            (how, arrange, scale)
            for how in (stacked, in_line)
            for arrange in (_side_by_side, _one_above_the_other)
            if (scale := _scale(figures[:count], how, arrange, columns, rows, cells))
        ]
        if tried:
            how, arrange, scale = max(tried, key=lambda each: _lowest(figures[:count], each[0], each[2]))
            lines = arrange.lines(tuple(_block(figure, how, scale, cells) for figure in figures[:count]))
            return Setting(lines, _lowest(figures[:count], how, scale) / (2 if cells.half else 1), count)
    return None


@dataclass(frozen=True, slots=True)
class _Arrangement:
    """How blocks stand to each other: their lines, and the room that blocks of those widths and heights take."""

    lines: Callable[[tuple[tuple[str, ...], ...]], tuple[str, ...]]
    room: Callable[[Sequence[int], Sequence[int]], tuple[int, int]]


_side_by_side = _Arrangement(
    lambda blocks: numerals.side_by_side(blocks, GAP),
    lambda wide, high: (sum(wide) + GAP * (len(wide) - 1), max(high)),
)
_one_above_the_other = _Arrangement(
    lambda blocks: tuple(line for block in blocks for line in block),
    lambda wide, high: (max(wide), sum(high)),
)


def _scale(figures: Sequence[Figure], how: Way, arrange: _Arrangement, columns: int, rows: int, cells: Cells) -> int:
    """The largest scale at which they fit; 0 where none does. Pictures grow in proportion to it."""
    sizes = [how(figure.text, 1) for figure in figures]
    scale = 0
    while True:
        wide = [max(len(dots[0]) * (scale + 1), len(each.caption)) for dots, each in zip(sizes, figures, strict=True)]
        high = [
            cells.rows(len(dots) * (scale + 1)) + bool(each.caption) for dots, each in zip(sizes, figures, strict=True)
        ]
        needed = arrange.room(wide, high)
        if needed[0] > columns or needed[1] > rows:
            return scale
        scale += 1


def _lowest(figures: Sequence[Figure], how: Way, scale: int) -> Fraction:
    """Dots in the height of the lowest figure: whole inches alone, stacked, have no lower figures beside them."""
    doubled = how is stacked and not any("/" in figure.text for figure in figures)
    return Fraction(HIGH * scale * (2 if doubled else 1))


def _block(figure: Figure, how: Way, scale: int, cells: Cells) -> tuple[str, ...]:
    return (*((figure.caption,) if figure.caption else ()), *cells.drawn(how(figure.text, scale)))
