"""The JSON documents that other programs read. Keys are a promise: add freely, rename or drop none."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TypeAlias

from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Place, Slot

Json: TypeAlias = "Mapping[str, Json] | Sequence[Json] | str | int | float | bool | None"
Document: TypeAlias = Mapping[str, Json]


def place_text(at: Place, unit: Unit) -> str:
    """A named slot, or the called distance as a length."""
    return at.value if isinstance(at, Slot) else at.text(unit)


def length_text(length: Length | None, unit: Unit) -> str | None:
    """A length in that unit, if there is one."""
    return None if length is None else length.text(unit)
