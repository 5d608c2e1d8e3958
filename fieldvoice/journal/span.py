"""Runs of entry numbers."""

from __future__ import annotations

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
