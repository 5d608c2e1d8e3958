"""The best use of a length: which pieces, each at most so often, are worth most together. Exact, in whole numbers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

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
