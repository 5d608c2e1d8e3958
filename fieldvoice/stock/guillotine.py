"""The most valuable pieces out of one sheet by cuts from edge to edge, any number of each: exact, wherever cuts lie.

A rectangle is one piece, or is cut in two across its width or its height. `Table` holds the best value of every size up
to the sheet's, worked out once in whole numbers (numpy), so that a fill can be read back from it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


@dataclass(frozen=True, slots=True)
class Rectangle:
    """A piece that may be cut: its size, what it is worth, and how many are wanted at most (None: any number)."""

    width: int
    height: int
    value: int
    most: int | None = None


@dataclass(frozen=True, slots=True)
class Placed:
    """A piece on the sheet: its number in the list, its lower left corner, and whether it is turned."""

    number: int
    x: int
    y: int
    width: int
    height: int


class ValueTable:
    """Best values of all sizes up to `width` by `height`; `turn` allows quarter turns."""

    def __init__(self, pieces: Sequence[Rectangle], width: int, height: int, *, turn: bool) -> None:
        self.width, self.height = width, height
        self._sizes = tuple(_sizes(pieces, width, height, turn=turn))

    @cached_property
    def best(self) -> NDArray[np.int64]:
        """`best[y, x]` is the most that x by y is worth."""
        import numpy as np

        best = np.zeros((self.height + 1, self.width + 1), dtype=np.int64)
        for _, wide, high, value in self._sizes:
            best[high:, wide:] = np.maximum(best[high:, wide:], value)
        rows: list[int] = []
        for y in range(1, self.height + 1):
            row = best[y]
            for low in rows:
                if 2 * low >= y > low:
                    np.maximum(row, best[low] + best[y - low], out=row)
            np.maximum(row, best[y - 1], out=row)
            _cut_across(row)
            if (row > best[y - 1]).any():
                rows.append(y)
        return best

    def fill(self) -> tuple[Placed, ...]:
        """A most valuable fill of the whole sheet."""
        return tuple(self._placed(0, 0, self.width, self.height))

    def _placed(self, x: int, y: int, wide: int, high: int) -> Iterator[Placed]:
        value = int(self.best[high, wide])
        if not value:
            return
        for number, piece_wide, piece_high, worth in self._sizes:
            if worth == value and piece_wide <= wide and piece_high <= high:
                yield Placed(number, x, y, piece_wide, piece_high)
                return
        across = self._cut(self.best[high, : wide + 1], value)
        if across:
            yield from self._placed(x, y, across, high)
            yield from self._placed(x + across, y, wide - across, high)
            return
        up = self._cut(self.best[: high + 1, wide], value)
        yield from self._placed(x, y, wide, up)
        yield from self._placed(x, y + up, wide, high - up)

    @staticmethod
    def _cut(values: NDArray[np.int64], whole: int) -> int:
        """Where to cut so that both parts make up the whole; 0 nowhere."""
        import numpy as np

        places = np.flatnonzero(values[1:-1] + values[-2:0:-1] == whole)
        return int(places[0]) + 1 if len(places) else 0


def _sizes(pieces: Sequence[Rectangle], width: int, height: int, *, turn: bool) -> Iterator[tuple[int, int, int, int]]:
    for number, piece in enumerate(pieces):
        ways = {(piece.width, piece.height)} | ({(piece.height, piece.width)} if turn else set())
        for wide, high in sorted(ways):
            if wide <= width and high <= height:
                yield number, wide, high, piece.value


def _cut_across(row: NDArray[np.int64]) -> None:
    """Close a row under cutting it in two: the larger part is final when its turn comes, and the smaller before it."""
    import numpy as np

    size = len(row)
    for at in range(1, size):
        if row[at] == row[at - 1]:
            continue
        if row[at] < row[at - 1]:
            row[at] = row[at - 1]
            continue
        end = min(2 * at, size - 1)
        np.maximum(row[at : end + 1], row[at] + row[: end - at + 1], out=row[at : end + 1])
