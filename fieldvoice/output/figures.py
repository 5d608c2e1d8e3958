"""Lengths set as large as a window allows: whole inches twice as high as their fraction, which stands over a bar.

Everything is drawn in square dots first and put into cells afterward. A half block holds two dots on top of each
other, so that a cell twice as high as wide shows them square; where only ASCII can be shown, a dot is a cell. The
figures and capitals themselves, seven rows of cells, are drawn in `fonts/large.txt`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from itertools import product, zip_longest
from pathlib import Path

ROWS = 7
"""Rows of cells in every figure: the least that ISO 9241 gives for numerals (5 by 7 dots)."""


@cache
def _drawn() -> Mapping[str, Sequence[str]]:
    """The rows of each character, from the file that they are drawn in."""
    drawing = Path(__file__).with_name("fonts").joinpath("large.txt").read_text(encoding="ascii")
    _, *characters = (block.splitlines() for block in drawing.split("\n\n"))
    return {{"blank": " "}.get(name, name): rows for name, *rows in characters}


def large(text: str, *, full: str = "█") -> tuple[str, ...]:
    """`46 3/4` as seven lines of equal width; `full` is the cell that is drawn (`#` where only ASCII can be shown).

    Raises `KeyError` for what is no figure, capital, blank, slash, dash or point.
    """
    figures = [_drawn()[character] for character in text]
    rows = [" ".join(row) for row in zip(*figures, strict=True)]
    return tuple(row.replace(".", " ").replace("#", full) for row in rows)


def side_by_side(blocks: tuple[tuple[str, ...], ...], gap: int) -> tuple[str, ...]:
    """Blocks of lines next to each other, `gap` blanks apart, each padded to its own width."""
    widths = [max((len(line) for line in block), default=0) for block in blocks]
    rows = zip_longest(*blocks, fillvalue="")
    joint = " " * gap
    return tuple(joint.join(cell.ljust(wide) for cell, wide in zip(row, widths, strict=True)).rstrip() for row in rows)


Dots = tuple[str, ...]
"""A picture in dots: rows of equal length, `#` where there is ink."""

HIGH = ROWS
"""Dots in the height of the smallest figure."""
How = Callable[[str, int], "Dots"]
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
    return _enlarged(large(text, full="#"), scale)


def stacked(text: str, scale: int) -> Dots:
    """`46 3/4` with the fraction over its bar, in figures of `HIGH` times `scale` dots, and the inches twice as high.
    A length without a fraction is as high as its inches.
    """
    whole, _, fraction = text.rpartition(" ") if "/" in text else (text, "", "")
    parts = [_enlarged(large(whole, full="#"), 2 * scale)] if whole else []
    if fraction:
        parts.append(_fraction(fraction, scale))
    return beside(parts, 2 * scale)


def _fraction(text: str, scale: int) -> Dots:
    over, under = (_enlarged(large(part, full="#"), scale) for part in text.split("/"))
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


def captioned(caption: str, text: str, how: How, scale: int) -> Dots:
    """The length under its caption, in capitals as high as the lowest figure."""
    above, below = _enlarged(large(caption, full="#"), scale), how(text, scale)
    wide = max(len(above[0]), len(below[0]))
    blank = (" " * wide,) * scale
    return (*(row.ljust(wide) for row in above), *blank, *(row.ljust(wide) for row in below))


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
    """A length to set, with a caption above it: in large capitals where that makes no figure smaller."""

    text: str
    caption: str = ""


GAP = 3
"""Cells between lengths that stand side by side."""


def largest(figures: Sequence[Figure], columns: int, rows: int, cells: Cells = BLOCKS) -> Setting | None:
    """The setting of all the figures, else of as many as can be drawn at all, in which the lowest figure is as high as
    the window allows. None where not even the first one fits.
    """
    for count in range(len(figures), 0, -1):
        tried = [(ways, scale) for ways in _ways(figures[:count], cells) if (scale := _scale(ways, columns, rows))]
        if tried:
            best, scale = max(tried, key=lambda each: (each[0].lowest(each[1]), each[0].capitals))
            return Setting(_lines(best, scale), best.lowest(scale), count)
    return None


@dataclass(frozen=True, slots=True)
class _Arranged:
    """Some figures as they are set: the fractions stacked or in line, the captions in large capitals or as a line of
    text, the lengths side by side or one above the other.
    """

    figures: Sequence[Figure]
    cells: Cells
    how: How
    capitals: bool
    upright: bool

    def dots(self, figure: Figure, scale: int) -> Dots:
        """One of them in dots, its caption too where that is large."""
        if self.capitals and figure.caption:
            return captioned(figure.caption, figure.text, self.how, scale)
        return self.how(figure.text, scale)

    def caption(self, figure: Figure) -> tuple[str, ...]:
        """The caption as a line of text, where it is one."""
        return () if self.capitals or not figure.caption else (figure.caption,)

    def lowest(self, scale: int) -> Fraction:
        """Rows of cells in the height of the lowest figure: whole inches alone, stacked, have none lower beside."""
        doubled = self.how is stacked and not any("/" in figure.text for figure in self.figures)
        return Fraction(HIGH * scale * (2 if doubled else 1), 2 if self.cells.half else 1)


def _ways(figures: Sequence[Figure], cells: Cells) -> Iterator[_Arranged]:
    for how, capitals, upright in product((stacked, in_line), (True, False), (False, True)):
        yield _Arranged(figures, cells, how, capitals, upright)


def _scale(ways: _Arranged, columns: int, rows: int) -> int:
    """The largest scale at which they fit; 0 where none does. Pictures grow in proportion to it."""
    pictures = [(ways.dots(figure, 1), ways.caption(figure)) for figure in ways.figures]
    scale = 0
    while True:
        wide = [max(len(dots[0]) * (scale + 1), *map(len, caption), 0) for dots, caption in pictures]
        high = [ways.cells.rows(len(dots) * (scale + 1)) + len(caption) for dots, caption in pictures]
        needed = (max(wide), sum(high)) if ways.upright else (sum(wide) + GAP * (len(wide) - 1), max(high))
        if needed[0] > columns or needed[1] > rows:
            return scale
        scale += 1


def _lines(ways: _Arranged, scale: int) -> tuple[str, ...]:
    blocks = tuple((*ways.caption(figure), *ways.cells.drawn(ways.dots(figure, scale))) for figure in ways.figures)
    return tuple(line for block in blocks for line in block) if ways.upright else side_by_side(blocks, GAP)
