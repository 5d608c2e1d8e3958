"""What is cut from what, in whole units of a grid: the sheets to be had and the rectangles that are needed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple


@dataclass(frozen=True, slots=True, order=True)
class Stock:
    """A size to cut from: `tapered` long factory edges (0 to 2), what one costs, and how many there are (None: any)."""

    length: int
    width: int
    cost: int
    tapered: int = 2
    available: int | None = None


class PieceSize(NamedTuple):
    """A rectangle to be cut: `length` along the sheet, `width` across, and how many of its long edges have to be
    factory edges. A plain tuple, since a search counts and compares millions of them.
    """

    length: int
    width: int
    tapered: int = 0

    @property
    def area(self) -> int:
        """Its area."""
        return self.length * self.width


@dataclass(frozen=True, slots=True)
class Band:
    """A strip that a rip makes, with what is crosscut from it, from the left; `tapered` where it has a factory edge."""

    width: int
    tapered: bool
    needs: tuple[PieceSize, ...]


@dataclass(frozen=True, slots=True)
class RippedLength:
    """A length of sheet that is ripped into bands. The first band lies at the sheet's top edge, and the last at its
    bottom edge where `to_bottom`.
    """

    length: int
    bands: tuple[Band, ...]
    to_bottom: bool


@dataclass(frozen=True)
class Fill:
    """What one sheet gives: pieces as wide as the sheet, then lengths that are ripped. A search looks at the counts of
    one fill many thousand times, so that they are kept.
    """

    whole: tuple[PieceSize, ...]
    ripped: tuple[RippedLength, ...] = ()

    def needs(self) -> Iterator[PieceSize]:
        """Every piece in it."""
        yield from self.whole
        for part in self.ripped:
            for band in part.bands:
                yield from band.needs

    @cached_property
    def counts(self) -> Counter[PieceSize]:
        """How many of each; not to be changed."""
        return Counter(self.needs())

    @cached_property
    def alike(self) -> tuple[tuple[PieceSize, int], ...]:
        """What two fills have in common that give the same pieces, wherever they lie."""
        return tuple(sorted(self.counts.items()))


def fits(need: PieceSize, stock: Stock) -> bool:
    """Whether one sheet of that stock can give the piece."""
    if need.length > stock.length or need.width > stock.width:
        return False
    whole = need.width == stock.width
    return need.tapered <= (stock.tapered if whole else min(stock.tapered, 1))
