"""The one number of the job: an exact length."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from typing import Self, overload

MM_PER_INCH = Fraction(254, 10)
"""Exact by definition of the international inch (1959)."""
MOST_PLACES = 6
"""Behind the point of a length as it is said or written: a 64th of an inch has six, and no tape shows more."""


class Unit(StrEnum):
    """The unit that a job is measured, spoken and marked in."""

    INCH = "in"
    MM = "mm"


@dataclass(frozen=True, slots=True, order=True)
class Length:
    """An exact length, held in inches whichever unit it was said in.

    `Length(Fraction(375, 8))`, `Length(47)` and `Length("46 7/8")` are inches; `Length.of(1190, Unit.MM)` takes either
    unit. A float is refused with `TypeError`, since a float has already lost the number; text that is no number is
    refused with `ValueError`.
    """

    inches: Fraction

    def __init__(self, inches: Fraction | int | str) -> None:
        object.__setattr__(self, "inches", _exact(inches))

    @classmethod
    def of(cls, value: Fraction | int | str, unit: Unit) -> Self:
        """A length of `value` of that unit."""
        number = _exact(value)
        return cls(number if unit is Unit.INCH else number / MM_PER_INCH)

    def in_unit(self, unit: Unit) -> Fraction:
        """The exact number of that unit."""
        return self.inches if unit is Unit.INCH else self.inches * MM_PER_INCH

    def text(self, unit: Unit = Unit.INCH) -> str:
        """As a person writes it, without the unit: `46 7/8`, `-1/16`, `1190.5`."""
        number = self.in_unit(unit)
        return _decimal(number) if unit is Unit.MM else _mixed(number)

    @property
    def on_inch_tape(self) -> bool:
        """Whether a tape in inches may show it: a whole number of 64ths."""
        return 64 % self.inches.denominator == 0

    def text_with_unit(self, unit: Unit = Unit.INCH) -> str:
        """As a person writes it, with its unit: `46 7/8 in`. What no tape in inches shows was said in millimeters."""
        shown = unit if self.on_inch_tape else Unit.MM
        return f"{self.text(shown)} {shown.value}"

    def rounded_down(self, step: Length) -> Length:
        """The largest whole multiple of `step` that is no longer than this."""
        return self._steps(self.inches.numerator * step.inches.denominator // self._in_steps(step), step)

    def rounded_up(self, step: Length) -> Length:
        """The smallest whole multiple of `step` that is no shorter than this."""
        return self._steps(-(-self.inches.numerator * step.inches.denominator // self._in_steps(step)), step)

    def rounded(self, step: Length) -> Length:
        """The nearest whole multiple of `step`; an exact half goes down, the side that still fits."""
        whole = self._in_steps(step)
        return self._steps(-((whole - 2 * self.inches.numerator * step.inches.denominator) // (2 * whole)), step)

    def _in_steps(self, step: Length) -> int:
        """What a count of steps is divided by: whole numbers are some ten times as fast here as fractions."""
        return self.inches.denominator * step.inches.numerator

    @staticmethod
    def _steps(count: int, step: Length) -> Length:
        return Length(Fraction(count * step.inches.numerator, step.inches.denominator))

    def __add__(self, other: Length) -> Length:
        return Length(self.inches + other.inches)

    def __sub__(self, other: Length) -> Length:
        return Length(self.inches - other.inches)

    def __neg__(self) -> Length:
        return Length(-self.inches)

    def __abs__(self) -> Length:
        return Length(abs(self.inches))

    def __mul__(self, factor: Fraction | int) -> Length:
        return Length(self.inches * _exact(factor))

    __rmul__ = __mul__

    @overload
    def __truediv__(self, other: Length) -> Fraction: ...
    @overload
    def __truediv__(self, other: Fraction | int) -> Length: ...
    def __truediv__(self, other: Length | Fraction | int) -> Length | Fraction:
        """A ratio of two lengths, or this length divided by a number."""
        if isinstance(other, Length):
            return self.inches / other.inches
        return Length(self.inches / _exact(other))

    def __bool__(self) -> bool:
        return bool(self.inches)

    def __str__(self) -> str:
        return self.text()


def _exact(value: Fraction | int | str) -> Fraction:
    if isinstance(value, Fraction):
        return value
    if isinstance(value, bool) or not isinstance(value, int | str):
        raise TypeError(f"a length is exact: a whole number, a Fraction or text, not {type(value).__name__}")
    if isinstance(value, int):
        return Fraction(value)
    return _from_text(value)


def _from_text(text: str) -> Fraction:
    """`46`, `7/8`, `46 7/8`, `-1 1/2` or `1190.5` as a Fraction."""
    parts = text.split()
    if not 1 <= len(parts) <= 2 or (len(parts) == 2 and ("/" not in parts[1] or parts[1].startswith("-"))):
        raise ValueError(f"{text!r} is not a length")
    try:
        numbers = [Fraction(part) for part in parts]
    except (ValueError, ZeroDivisionError):
        raise ValueError(f"{text!r} is not a length") from None
    if len(numbers) == 1:
        return numbers[0]
    whole, part = numbers
    return whole - part if parts[0].startswith("-") else whole + part


def _mixed(number: Fraction) -> str:
    sign = "-" if number < 0 else ""
    whole, rest = divmod(abs(number), 1)
    if not rest:
        return f"{sign}{whole}"
    return f"{sign}{whole} {rest}" if whole else f"{sign}{rest}"


def _decimal(number: Fraction) -> str:
    """An exact decimal where one exists, else a mixed number: nothing is rounded here."""
    digits = 0
    scaled = abs(number)
    while scaled.denominator != 1 and digits < 9:
        scaled *= 10
        digits += 1
    if scaled.denominator != 1:
        return _mixed(number)
    sign = "-" if number < 0 else ""
    figures = str(scaled.numerator).rjust(digits + 1, "0")
    return f"{sign}{figures[:-digits]}.{figures[-digits:]}" if digits else f"{sign}{figures}"


ZERO = Length(0)


SIXTEENTH = Length(Fraction(1, 16))
"""The mark that framing is set by."""


def on_a_mark(length: Length) -> Length:
    """The nearest sixteenth of a length that neither tape shows, in 64ths of an inch or in tenths of a millimeter."""
    shown = length.on_inch_tape or 10 % length.in_unit(Unit.MM).denominator == 0
    return length if shown else length.rounded(SIXTEENTH)


LEANS = {Unit.INCH: Length(Fraction(1, 32)), Unit.MM: Length.of(Fraction(1, 2), Unit.MM)}
"""What "strong" adds and "light" takes off: half of a 1/16 mark (common practice, no source), and half a millimeter."""


def lean_unit(value: Length, unit: Unit) -> Unit:
    """The unit whose lean belongs to a value, with or without its lean, in a job kept in `unit`: the job's own where
    its tape shows the value, else the other's. What neither tape shows was said in millimeters.
    """
    other = Unit.MM if unit is Unit.INCH else Unit.INCH
    return next((one for one in (unit, other) if (value / LEANS[one]).denominator == 1), Unit.MM)
