"""Lengths as whole numbers of the largest unit that measures them all: exact, and small enough to count with."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from math import gcd, lcm

from fieldvoice.records.length import Length


@dataclass(frozen=True, slots=True)
class Grid:
    """`unit` inches are one step."""

    unit: Fraction

    @classmethod
    def of(cls, lengths: Iterable[Length]) -> Grid:
        """The coarsest grid that holds every one of the lengths; at least one of them is above zero."""
        inches = [length.inches for length in lengths if length]
        denominator = lcm(*(value.denominator for value in inches))
        numerator = gcd(*(int(value * denominator) for value in inches))
        return cls(Fraction(numerator, denominator))

    def count(self, length: Length) -> int:
        """A length that lies on the grid, as a whole number."""
        steps = length.inches / self.unit
        if steps.denominator != 1:
            raise ValueError(f"{length} is not on a grid of {self.unit} in")
        return steps.numerator

    def up(self, length: Length) -> int:
        """The least whole number that is no shorter."""
        return -((-length.inches) // self.unit)

    def length(self, count: int) -> Length:
        """Back to a length."""
        return Length(self.unit * count)
