"""The rack of offcuts: what every cut left, each under a name written on it; the next piece asks here first. Pure."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, replace

from fieldvoice.records.board import Sheet
from fieldvoice.records.length import ZERO, Length
from fieldvoice.records.meaning import Edge
from fieldvoice.records.room_plan import Offcut, Pattern

LEAST = Length(6)
"""What is smaller either way isn't kept: no course is ripped narrower (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Rack:
    """Offcuts that are at hand, the oldest first; no two have one name, now or before."""

    offcuts: tuple[Offcut, ...] = ()
    names: frozenset[str] = frozenset()

    def with_offcuts(self, left: Iterable[Offcut]) -> Rack:
        """What a cut left put on the rack, each under a name that was never used; scraps are left out."""
        offcuts, names = list(self.offcuts), set(self.names)
        for one in left:
            if min(one.length, one.width) < LEAST:
                continue
            name = _unused(one.name, names)
            names.add(name)
            offcuts.append(replace(one, name=name))
        return Rack(tuple(offcuts), frozenset(names))

    def without(self, name: str) -> Rack:
        """An offcut taken off the rack; its name stays used."""
        return replace(self, offcuts=tuple(one for one in self.offcuts if one.name != name))

    def after(self, pattern: Pattern) -> Rack:
        """The rack once a sheet, or an offcut of the rack, is cut up by a pattern."""
        used = self if pattern.offcut is None else self.without(pattern.offcut.name)
        return used.with_offcuts(pattern.left_over)


def _unused(name: str, names: Collection[str]) -> str:
    if name not in names:
        return name
    number = 2
    while f"{name}{number}" in names:
        number += 1
    return f"{name}{number}"


LONG_EDGES = frozenset({Edge.TOP, Edge.BOTTOM})


@dataclass(frozen=True, slots=True)
class Taken:
    """What a board takes along a sheet and across it. `lost_along` and `lost_across` come off at the other side of it,
    where both are cut.
    """

    along: Length
    across: Length
    lost_along: Length = ZERO
    lost_across: Length = ZERO


def whole(sheet: Sheet) -> Offcut:
    """A sheet as what is cut from: every edge is a factory edge."""
    return Offcut("", sheet.length, sheet.width, frozenset(Edge), sheet.thickness, sheet.kind)


def left_of(source: Offcut, taken: Taken, board: str) -> tuple[Offcut, ...]:
    """What is left once the board is cut to length first and then ripped, as its steps have it, under names that begin
    with the board's. What comes off is counted from its longest side, so that every offcut is whole when it is squared.
    Raises `ValueError` where the board doesn't come out of it.
    """
    end = source.length - taken.along - taken.lost_along
    strip = source.width - taken.across - taken.lost_across
    if end < ZERO or strip < ZERO:
        raise ValueError(f"{taken.along} x {taken.across} doesn't come out of {source.length} x {source.width}")
    kept = _rectangles(source, taken, end, strip)
    return tuple(
        Offcut(f"{board}{letter}", along, across, factory, source.thickness, source.board)
        for letter, (along, across, factory) in zip("AB", kept, strict=False)
    )


def _rectangles(
    source: Offcut, taken: Taken, end: Length, strip: Length
) -> Iterator[tuple[Length, Length, frozenset[Edge]]]:
    """The end, as wide as the source, with the long edges of the source and one of its ends; and the strip beside the
    board, with a long edge where the source has two, since the board may keep the other.
    """
    if end >= LEAST and source.width >= LEAST:
        yield end, source.width, source.factory & (LONG_EDGES | {Edge.RIGHT})
    if strip >= LEAST and taken.along >= LEAST:
        edges = LONG_EDGES & source.factory
        yield taken.along, strip, frozenset({Edge.TOP}) if len(edges) > 1 else frozenset()
