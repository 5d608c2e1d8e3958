"""What sounds like a length: a teen and its ten, five and nine, an eighth and a sixteenth, feet and tens."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from fieldvoice.records.length import Length, Unit


def teen_or_ten(value: Length) -> Length | None:
    """The length that sounds alike: a teen for its ten, and a ten for its teen (13 and 30), the fraction kept."""
    whole, part = divmod(value.inches, 1)
    if 13 <= whole <= 19:
        return Length(Fraction((whole - 10) * 10) + part)
    if 30 <= whole <= 90 and whole % 10 == 0:
        return Length(Fraction(10 + whole // 10) + part)
    return None


def twins_of(value: Length, unit: Unit) -> tuple[Length, ...]:
    """Everything that sounds like a length: teen and ten, five and nine in any figure, an eighth and a sixteenth, feet
    and tens.
    """
    number = value.in_unit(unit)
    whole, part = divmod(number, 1)
    found: list[Fraction] = []
    found += [new + part for new in _five_or_nine(int(whole))]
    last = int(whole) % 100
    if 13 <= last <= 19:
        found.append(number + (last - 10) * 10 - last)
    elif last >= 30 and last % 10 == 0:
        found.append(number + 10 + last // 10 - last)
    if unit is Unit.INCH:
        if part.denominator == 8:
            found.append(whole + part / 2)
        elif part.denominator == 16 and part.numerator < 8:
            found.append(whole + part * 2)
        if not part and whole % 12 == 0 and whole // 12 < 10:
            found.append(whole // 12 * Fraction(10))
        if not part and whole % 10 == 0 and whole < 100:
            found.append(whole // 10 * Fraction(12))
    return tuple(Length.of(each, unit) for each in dict.fromkeys(found) if each != number and each > 0)


def _five_or_nine(whole: int) -> Iterator[Fraction]:
    digits = str(whole)
    for place, digit in enumerate(digits):
        if digit in "59":
            yield Fraction(int(digits[:place] + ("9" if digit == "5" else "5") + digits[place + 1 :]))
