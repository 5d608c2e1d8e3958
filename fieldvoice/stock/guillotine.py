"""The most valuable pieces out of one sheet by cuts from edge to edge, exact, wherever cuts lie: any number of each, or
so many of each at most.

With any number, a rectangle is one piece, or is cut in two across its width or its height. `ValueTable` holds the best
value of every size up to the sheet's, worked out once in whole numbers (numpy), so that a fill can be read back from
it.

With so many at most, rectangles are built from below, two at a time, the most promising first. What a rectangle can
still come to is bounded by the best use, without limits of number, of what lies round it. The first one whose own value
reaches every other's bound is a best one (K. V. Viswanathan and A. Bagchi, Operations Research 41, 1993, from memory).
"""

from __future__ import annotations

import heapq
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


Counts = tuple[int, ...]


@dataclass(frozen=True, slots=True)
class _Build:
    """A rectangle put together of pieces: `parts` are the two it is made of, `up` whether one lies above the other."""

    width: int
    height: int
    value: int
    counts: Counts
    piece: int | None
    parts: tuple[_Build, _Build] | None = None
    up: bool = False


@dataclass(frozen=True, slots=True)
class BestFill:
    """A fill of the sheet, what it is worth, and what no fill can be worth more than."""

    value: int
    bound: int
    pieces: tuple[Placed, ...]


MOST_BUILDS = 200_000
"""The search gives up after so many rectangles and tells the bound that it has."""


def best_fill(
    pieces: Sequence[Rectangle], width: int, height: int, *, turn: bool, builds: int = MOST_BUILDS
) -> BestFill:
    """The best fill within each piece's number; `bound` equals `value` unless the search gave up."""
    table = ValueTable(pieces, width, height, turn=turn)
    if all(piece.most is None for piece in pieces):
        value = int(table.best[height, width])
        return BestFill(value, value, table.fill())
    return _BestFirst(pieces, table, turn).run(builds)


class _BestFirst:
    """Best first, over rectangles that fit on the sheet."""

    def __init__(self, pieces: Sequence[Rectangle], table: ValueTable, turn: bool) -> None:  # noqa: FBT001 - as called
        self._table = table
        self._outside = _outside(table)
        self._most = tuple(piece.most if piece.most is not None else table.width * table.height for piece in pieces)
        self._open: list[tuple[int, int, int, int, _Build]] = []
        self._closed: list[_Build] = []
        self._seen: dict[tuple[int, int], dict[Counts, int]] = {}
        self._number = 0
        for number, piece in enumerate(pieces):
            ways = {(piece.width, piece.height)} | ({(piece.height, piece.width)} if turn else set())
            for wide, high in sorted(ways):
                counts = tuple(int(number == other) for other in range(len(pieces)))
                self._offer(_Build(wide, high, piece.value, counts, number))

    def run(self, builds: int) -> BestFill:
        """Until the best value reaches the best bound."""
        best: _Build | None = None
        while self._open:
            bound = -self._open[0][0]
            if best is not None and best.value >= bound:
                return BestFill(best.value, best.value, tuple(_laid(best, 0, 0)))
            if len(self._closed) >= builds:
                return BestFill(best.value if best else 0, bound, tuple(_laid(best, 0, 0)) if best else ())
            build = heapq.heappop(self._open)[-1]
            if best is None or build.value > best.value:
                best = build
            self._closed.append(build)
            for other in self._closed:
                for joined in self._joined(build, other):
                    self._offer(joined)
        return BestFill(best.value if best else 0, best.value if best else 0, tuple(_laid(best, 0, 0)) if best else ())

    def _joined(self, one: _Build, other: _Build) -> Iterator[_Build]:
        table = self._table
        beside = one.width + other.width <= table.width
        above = one.height + other.height <= table.height
        if not beside and not above:
            return
        counts = tuple(map(int.__add__, one.counts, other.counts))
        if any(count > most for count, most in zip(counts, self._most, strict=True)):
            return
        value = one.value + other.value
        if beside:
            size = (one.width + other.width, max(one.height, other.height))
            yield _Build(*size, value, counts, None, (one, other))
        if above:
            size = (max(one.width, other.width), one.height + other.height)
            yield _Build(*size, value, counts, None, (one, other), up=True)

    def _offer(self, build: _Build) -> None:
        if build.width > self._table.width or build.height > self._table.height:
            return
        if any(count > most for count, most in zip(build.counts, self._most, strict=True)):
            return
        seen = self._seen.setdefault((build.width, build.height), {})
        if build.counts in seen:
            return
        seen[build.counts] = build.value
        bound = build.value + self._outside[build.height][build.width]
        self._number += 1
        heapq.heappush(self._open, (-bound, -build.value, build.width * build.height, self._number, build))


def _outside(table: ValueTable) -> list[list[int]]:
    """For each size: the most that can be had round it on the sheet, were numbers not limited."""
    import numpy as np

    best, wide, high = table.best, table.width, table.height
    outside = np.zeros((high + 1, wide + 1), dtype=np.int64)
    for y in range(high, -1, -1):
        for x in range(wide, -1, -1):
            beside = outside[y, x + 1 :] + best[y, 1 : wide - x + 1] if x < wide else outside[:0, 0]
            above = outside[y + 1 :, x] + best[1 : high - y + 1, x] if y < high else outside[:0, 0]
            outside[y, x] = max(beside.max(initial=0), above.max(initial=0))
    return [[int(value) for value in row] for row in outside]


def _laid(build: _Build, x: int, y: int) -> Iterator[Placed]:
    if build.piece is not None:
        yield Placed(build.piece, x, y, build.width, build.height)
        return
    assert build.parts is not None
    first, second = build.parts
    yield from _laid(first, x, y)
    yield from _laid(second, x if build.up else x + first.width, y + first.height if build.up else y)
