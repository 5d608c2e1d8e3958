"""Runs of entry numbers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Span:
    """Numbers of entries, both ends included; `last` is None where nothing tells how many followed."""

    first: int
    last: int | None

    def __str__(self) -> str:
        if self.last is None:
            return f"perhaps any after {self.first - 1}"
        return str(self.first) if self.first == self.last else f"{self.first} to {self.last}"


def gaps(there: Iterable[int], known: Iterable[Span] = ()) -> Iterator[Span]:
    """Runs of numbers between 1 and the last that are neither there nor known to be lost."""
    spans = [(seq, seq) for seq in there] + [(span.first, span.last or span.first) for span in known]
    following = 1
    for first, last in sorted(spans):
        if first > following:
            yield Span(following, first - 1)
        following = max(following, last + 1)
