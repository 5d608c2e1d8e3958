"""Text in lines of a width."""

from __future__ import annotations

from fieldvoice.output.drawing import lettering
from fieldvoice.output.words import tied, untied


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
    return lettering.width(untied(text), bold=bold, fractions=fractions)


def _fitting(text: str, width: float, *, bold: bool) -> int:
    """How many letters fit, one at least."""
    count = len(text)
    while count > 1 and _wide(text[:count], bold=bold, fractions=False) > width:
        count -= 1
    return count
