"""Where a reading belongs when its words leave that open."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass, replace

from fieldvoice.records.ledger import Key, Notice, Tell, key_of
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Dimension, Reading, Slot

PLACES = {
    Dimension.WIDTH: (Slot.TOP, Slot.MIDDLE, Slot.BOTTOM),
    Dimension.HEIGHT: (Slot.LEFT, Slot.RIGHT, Slot.MIDDLE),
}
"""The order in which bare readings are called: both ends of an edge that is cut are needed, its middle is not for a
height (common practice, no source)."""

_ONE_WAY = {
    Slot.TOP: Dimension.WIDTH,
    Slot.BOTTOM: Dimension.WIDTH,
    Slot.LEFT: Dimension.HEIGHT,
    Slot.RIGHT: Dimension.HEIGHT,
}


@dataclass(frozen=True, slots=True)
class NoPlace(Exception):
    """What was called can't be placed; the notice asks for it."""

    notice: Notice


def settled(
    reading: Reading,
    taken: Collection[Key],
    focus: Dimension | None,
    order: tuple[tuple[Dimension, Slot], ...] = (),
) -> Reading:
    """The reading with its dimension and place. `taken` are the keys that have a value, `focus` what was last spoken
    of, `order` the crew's own order of measuring. Raises `NoPlace` with a question.
    """
    if isinstance(reading.at, Slot) and reading.at in _ONE_WAY and reading.dimension is None:
        return replace(reading, dimension=_ONE_WAY[reading.at])
    if reading.at is not None:
        return replace(reading, dimension=_dimension(reading, focus))
    usual = ((way, place) for way in _order(reading.dimension, focus) for place in PLACES[way])
    for dimension, place in (*order, *usual):
        found = replace(reading, dimension=dimension, at=place)
        if reading.dimension in {None, dimension} and key_of(found) not in taken:
            return found
    raise NoPlace(Notice(Tell.NO_PLACE_LEFT))


def _dimension(reading: Reading, focus: Dimension | None) -> Dimension:
    found = reading.dimension or focus
    if found is None:
        at = reading.at
        raise NoPlace(Notice(Tell.WHICH_PLACE, (at if isinstance(at, Length) else str(at),)))
    return found


def _order(dimension: Dimension | None, focus: Dimension | None) -> Iterator[Dimension]:
    if dimension is not None:
        yield dimension
        return
    first = focus or Dimension.WIDTH
    yield first
    yield Dimension.HEIGHT if first is Dimension.WIDTH else Dimension.WIDTH
