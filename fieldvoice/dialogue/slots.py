"""Where a reading belongs when its words leave that open."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass, replace

from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Dimension, Place, Reading, Slot

PLACES = {
    Dimension.WIDTH: (Slot.TOP, Slot.MIDDLE, Slot.BOTTOM),
    Dimension.HEIGHT: (Slot.LEFT, Slot.MIDDLE, Slot.RIGHT),
}
"""The order in which bare readings are called (common practice, no source)."""

_ONE_WAY = {
    Slot.TOP: Dimension.WIDTH,
    Slot.BOTTOM: Dimension.WIDTH,
    Slot.LEFT: Dimension.HEIGHT,
    Slot.RIGHT: Dimension.HEIGHT,
}


@dataclass(frozen=True, slots=True)
class NoPlace(Exception):
    """The reading's place can't be told; the question asks for it."""

    question: str


def settled(reading: Reading, taken: Collection[str], focus: Dimension | None) -> Reading:
    """The reading with its dimension and place. `taken` are the keys that have a value, `focus` what was last spoken
    of. Raises `NoPlace` with a question.
    """
    if isinstance(reading.at, Slot) and reading.at in _ONE_WAY and reading.dimension is None:
        return replace(reading, dimension=_ONE_WAY[reading.at])
    if reading.at is not None:
        return replace(reading, dimension=_dimension(reading, focus))
    for dimension in _order(reading.dimension, focus):
        for place in PLACES[dimension]:
            if f"{dimension} {place}" not in taken:
                return replace(reading, dimension=dimension, at=place)
    raise NoPlace("Every place has its reading. Which one is to change? Say its place with the number.")


def _dimension(reading: Reading, focus: Dimension | None) -> Dimension:
    found = reading.dimension or focus
    if found is None:
        raise NoPlace(f"Is {_where(reading.at)} a width or a height? Say width or height with the number.")
    return found


def _where(at: Place | None) -> str:
    return f"the reading at {at.text()}" if isinstance(at, Length) else f"the {at} one"


def _order(dimension: Dimension | None, focus: Dimension | None) -> Iterator[Dimension]:
    if dimension is not None:
        yield dimension
        return
    first = focus or Dimension.WIDTH
    yield first
    yield Dimension.HEIGHT if first is Dimension.WIDTH else Dimension.WIDTH
