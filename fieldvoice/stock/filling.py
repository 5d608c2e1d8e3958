"""The most valuable fill of a sheet, in three stages: crosscut, rip, crosscut; and every fill that falls short of its
sheet by no more than is at stake. Each stage is the best use of a length: which pieces, each at most so often, are
worth most together. Exact, in whole numbers.

A ripped piece that joins another board keeps one factory edge, so that a length of sheet gives at most two of them, one
from each long edge; pieces whose edges may both be cut lie between.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import groupby
from typing import TYPE_CHECKING

from fieldvoice.stock.needs import Band, Fill, PieceSize, RippedLength, Stock

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Values = NDArray[np.int64]


@dataclass(frozen=True, slots=True)
class LengthItem:
    """Something that takes a length and is worth a value, at most `copies` times. `key` is its caller's."""

    length: int
    value: int
    copies: int
    key: int


class Knapsack:
    """All best values for lengths up to `capacity`: `best[c]` is the most that a length of c is worth."""

    def __init__(self, items: Sequence[LengthItem], capacity: int) -> None:
        import numpy as np

        self._steps: list[tuple[int, int, Values]] = []
        self.best: Values = np.zeros(capacity + 1, dtype=np.int64)
        for item in items:
            self.add(item)

    def add(self, item: LengthItem) -> None:
        """One more item to choose from."""
        import numpy as np

        capacity = len(self.best) - 1
        if item.value <= 0 or item.length > capacity:
            return
        for _ in range(min(item.copies, capacity // item.length)):
            before = self.best
            self.best = before.copy()
            tail = self.best[item.length :]
            np.maximum(tail, before[: capacity + 1 - item.length] + item.value, out=tail)
            self._steps.append((item.key, item.length, before))

    def so_far(self) -> Knapsack:
        """The same, untouched by what is added to this one from now on."""
        kept = Knapsack((), 0)
        kept._steps, kept.best = self._steps.copy(), self.best
        return kept

    def chosen(self, capacity: int) -> tuple[int, ...]:
        """The keys of a best choice for that length, an item as often as it is taken."""
        keys, left, best = [], capacity, self.best
        for key, length, before in reversed(self._steps):
            if best[left] != before[left]:
                keys.append(key)
                left -= length
            best = before
        return tuple(reversed(keys))


@dataclass(frozen=True, slots=True)
class _Stack:
    """Bands one above the other: their widths, and whether each has a factory edge."""

    bands: tuple[tuple[int, bool], ...]


class Filler:
    """Best fills of all sheets of one width, for given needs with their values and the most that each is needed.

    `values` are whole numbers; a need without one is left out.
    """

    def __init__(
        self, width: int, tapered: int, capacity: int, values: Mapping[PieceSize, int], most: Mapping[PieceSize, int]
    ) -> None:
        self._width, self._tapered, self._capacity = width, tapered, capacity
        self._needs = sorted((need for need, value in values.items() if value > 0), reverse=True)
        self._values, self._most = values, most
        self._bands: dict[bool, dict[int, Knapsack]] = {}

    def best(self, length: int) -> tuple[int, Fill]:
        """The value of the best fill of a sheet of that length, and the fill."""
        ripped = self._rips[0][: length + 1]
        together = self._whole.best[: length + 1][::-1] + ripped
        cut = int(together.argmax())
        whole = tuple(self._needs[key] for key in self._whole.chosen(length - cut))
        return int(together[cut]), Fill(whole, self._parts(cut))

    @cached_property
    def _whole(self) -> Knapsack:
        """Pieces as wide as the sheet."""
        mine = [
            self._item(key, need)
            for key, need in enumerate(self._needs)
            if need.width == self._width and need.tapered <= self._tapered
        ]
        return Knapsack(mine, self._capacity)

    def _item(self, key: int, need: PieceSize) -> LengthItem:
        return LengthItem(need.length, self._values[need], self._most[need], key)

    def _band(self, width: int, tapered: bool) -> Knapsack:  # noqa: FBT001 - a property of the band
        """Pieces along a band of that width, which is one of theirs."""
        if tapered not in self._bands:
            self._bands[tapered] = self._all_bands(tapered)
        return self._bands[tapered][width]

    def _all_bands(self, tapered: bool) -> dict[int, Knapsack]:  # noqa: FBT001 - a property of the bands
        """Of every width: each takes what the next narrower one takes, and the pieces of its own width."""
        bands: dict[int, Knapsack] = {}
        growing = Knapsack((), self._capacity)
        narrow = [one for one in enumerate(self._needs) if one[1].width < self._width and one[1].tapered <= tapered]
        for width, ones in groupby(sorted(narrow, key=lambda one: one[1].width), key=lambda one: one[1].width):
            for key, need in ones:
                growing.add(self._item(key, need))
            bands[width] = growing.so_far()
        return bands

    @cached_property
    def _stacks(self) -> tuple[_Stack, ...]:
        """Every stack of bands that is worth a try: no band could be wider, none could be added."""
        narrow = [need for need in self._needs if need.width < self._width and need.tapered <= min(self._tapered, 1)]
        edged = sorted({need.width for need in narrow}, reverse=True)
        free = sorted({need.width for need in narrow if not need.tapered}, reverse=True)
        stacks: dict[_Stack, None] = {}
        for outer in _outer(edged, self._width, self._tapered, free=bool(free)):
            left = self._width - sum(outer)
            for inner in _maximal(free, left):
                bands = [(width, True) for width in outer[:1]] + [(width, False) for width in inner]
                stacks[_Stack((*bands, *((width, True) for width in outer[1:])))] = None
        return tuple(stack for stack in stacks if stack.bands)

    @cached_property
    def _rips(self) -> tuple[Values, Sequence[int], Values]:
        """For each length: the most that ripping it gives, the stack to use (-1 none), and where to divide it."""
        import numpy as np

        size = self._capacity + 1
        best, which = np.zeros(size, dtype=np.int64), np.full(size, -1, dtype=np.int64)
        for index, stack in enumerate(self._stacks):
            value = sum((self._band(*band).best for band in stack.bands), np.zeros(size, dtype=np.int64))
            better = value > best
            best, which = np.where(better, value, best), np.where(better, index, which)
        divided = np.zeros(size, dtype=np.int64)
        if len(self._stacks) > 1:
            rises = np.flatnonzero(np.diff(best)) + 1
            for first in rises.tolist():
                tried = best[first] + best[: size - first]
                better = tried > best[first:]
                divided[first:] = np.where(better, first, divided[first:])
                best[first:] = np.where(better, tried, best[first:])
        return best, which.tolist(), divided

    def _parts(self, length: int) -> tuple[RippedLength, ...]:
        """How a length is ripped."""
        best, which, divided = self._rips
        if not length or not best[length]:
            return ()
        first = int(divided[length])
        if first:
            return (*self._parts(first), *self._parts(length - first))
        stack = self._stacks[which[length]]
        bands = tuple(
            Band(width, tapered, tuple(self._needs[key] for key in self._band(width, tapered).chosen(length)))
            for width, tapered in stack.bands
        )
        return (RippedLength(length, bands, to_bottom=sum(tapered for _, tapered in stack.bands) > 1),)


def _outer(widths: Sequence[int], width: int, tapered: int, *, free: bool) -> list[tuple[int, ...]]:
    """Bands at the sheet's long edges: none, one, or two that fit together."""
    choices: list[tuple[int, ...]] = [()] if not tapered or free else []
    if tapered == 0:
        return choices
    single = [(one,) for one in widths]
    pairs = [(one, other) for one in widths for other in widths if other <= one and one + other <= width]
    if tapered == 1 or free:
        return [*choices, *single, *(pairs if tapered == 2 else [])]
    widest: dict[int, tuple[int, ...]] = {}
    for one, other in pairs:
        widest[one] = max(widest.get(one, (0, 0)), (one, other))
    return [widest.get(one, (one,)) for one in widths]


def _maximal(widths: Sequence[int], room: int) -> list[tuple[int, ...]]:
    """Bands between the long edges, as many as there is room for."""
    fitting = [width for width in widths if width <= room]
    if not fitting:
        return [()]
    stacks = []
    for index, width in enumerate(fitting):
        stacks += [(width, *rest) for rest in _maximal(fitting[index:], room - width)]
    return stacks


def fillers(
    stocks: Sequence[Stock], values: Mapping[PieceSize, int], most: Mapping[PieceSize, int]
) -> dict[tuple[int, int], Filler]:
    """One filler for each width and count of factory edges among the stocks."""
    longest: dict[tuple[int, int], int] = {}
    for stock in stocks:
        key = (stock.width, stock.tapered)
        longest[key] = max(longest.get(key, 0), stock.length)
    return {key: Filler(*key, capacity, values, most) for key, capacity in longest.items()}


MOST_FILLS = 20_000
"""With more than these the program is no quicker than without the proof."""


def whole_fills(
    stock: Stock, values: Mapping[PieceSize, int], most: Mapping[PieceSize, int], least: int
) -> list[tuple[PieceSize, ...]] | None:
    """All fills of pieces as wide as the sheet that are worth `least` or more and to which no piece can be added; None
    where there are more than `MOST_FILLS`.
    """
    needs = sorted(need for need in values if need.width == stock.width and need.tapered <= stock.tapered)
    after = _values_after(needs, values, most, stock.length)
    found: list[tuple[PieceSize, ...]] = []
    for fill in _grow(needs, values, most, after, stock.length, least):
        if len(found) == MOST_FILLS:
            return None
        if _full(fill, needs, most, stock.length):
            found.append(fill)
    return found


def _values_after(
    needs: Sequence[PieceSize], values: Mapping[PieceSize, int], most: Mapping[PieceSize, int], length: int
) -> list[Sequence[int]]:
    """For each need: the most that it and those after it are worth in each length."""
    after: list[Sequence[int]] = [[0] * (length + 1)]
    sack = Knapsack([], length)
    for key, need in reversed(list(enumerate(needs))):
        sack.add(LengthItem(need.length, values[need], most[need], key))
        after.append(sack.best.tolist())
    return after[::-1]


def _grow(
    needs: Sequence[PieceSize],
    values: Mapping[PieceSize, int],
    most: Mapping[PieceSize, int],
    after: Sequence[Sequence[int]],
    length: int,
    least: int,
) -> Iterator[tuple[PieceSize, ...]]:
    """Depth first; a branch is left as soon as the best that it can still come to is too little."""
    stack: list[tuple[int, int, int, tuple[PieceSize, ...]]] = [(0, length, 0, ())]
    while stack:
        index, room, worth, taken = stack.pop()
        if worth + after[index][room] < least:
            continue
        if index == len(needs):
            yield taken
            continue
        need = needs[index]
        stack += [
            (index + 1, room - count * need.length, worth + count * values[need], taken + (need,) * count)
            for count in range(min(most[need], room // need.length) + 1)
        ]


def _full(fill: Sequence[PieceSize], needs: Sequence[PieceSize], most: Mapping[PieceSize, int], length: int) -> bool:
    """Whether no piece can be added that is still wanted."""
    room = length - sum(need.length for need in fill)
    return bool(fill) and all(need.length > room or fill.count(need) >= most[need] for need in needs)
