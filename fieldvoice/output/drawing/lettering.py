"""Letters on paper: how wide a text is, its lines, and fractions set by ourselves: raised over lowered with a slash.

A fraction is never one character and never left to a medium's own way: base fonts print ⅝ as a box, and number styles
make 4462.5 of 44.625. So the whole number, a narrow space, the raised numerator, the slash and the lowered denominator
are runs of digits, and the text read back is the text of the length, `44 13/16`.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from fieldvoice.output.words import tied, untied

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


def text_lines(
    text: str, height: float, width: float, *, bold: bool = False, fractions: bool = True
) -> tuple[str, ...]:
    """A text broken at its spaces into lines no wider than `width`, in letters `height` high, with its lengths whole. A
    word that is wider than a line is broken wherever it must be.
    """
    lines: list[str] = []
    line = ""
    for word in (part for each in tied(text).split(" ") for part in _parts(each)):
        longer = f"{line} {word}" if line else word
        if line and _wide(longer, bold=bold, fractions=fractions) * height > width:
            lines.append(line)
            longer = word
        while _wide(longer, bold=bold, fractions=fractions) * height > width and len(longer) > 1:
            kept = _fitting(longer, width / height, bold=bold)
            lines.append(longer[:kept])
            longer = longer[kept:]
        line = longer
    return tuple(untied(each) for each in (*lines, line) if each)


def _parts(word: str) -> tuple[str, ...]:
    return (word,) if word else ()


def _wide(text: str, *, bold: bool, fractions: bool) -> float:
    return width(untied(text), bold=bold, fractions=fractions)


def _fitting(text: str, width: float, *, bold: bool) -> int:
    """How many letters fit, one at least."""
    count = len(text)
    while count > 1 and _wide(text[:count], bold=bold, fractions=False) > width:
        count -= 1
    return count
