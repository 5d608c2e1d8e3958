"""Lengths, places and edges as figures for the eye."""

from __future__ import annotations

from collections.abc import Iterable

from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Dimension, Place, Slot
from fieldvoice.records.plan import Hook


def with_unit(length: Length, unit: Unit) -> str:
    """`46 7/8 in` or `1190 mm`."""
    return f"{length.text(unit)} {unit.value}"


def at(place: Place, unit: Unit) -> str:
    """`at the top`, `at 32 in`."""
    return f"at the {place.value}" if isinstance(place, Slot) else f"at {with_unit(place, unit)}"


def reading(dimension: Dimension, place: Place, unit: Unit) -> str:
    """`width top`, `height at 32 in`."""
    where = place.value if isinstance(place, Slot) else f"at {with_unit(place, unit)}"
    return f"{dimension.value} {where}"


def hook(one: Hook) -> str:
    """`the left factory edge`."""
    return f"the {one.value}"


def joined(words: Iterable[str], last: str = "and") -> str:
    """`left`, `left and top`, `left, right and top`."""
    *most, final = tuple(words)
    return f"{', '.join(most)} {last} {final}" if most else final


def first_large(text: str) -> str:
    """The text with its first letter large."""
    return text[:1].upper() + text[1:]
