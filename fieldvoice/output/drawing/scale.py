"""From inches on the sheet to millimeters on the paper, and the heights of letters that pictures are tried with."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from fieldvoice.output.drawing.picture import XY, PaperFrame
from fieldvoice.records.meaning import Edge

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
