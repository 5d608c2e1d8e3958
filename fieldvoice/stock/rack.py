"""The rack of offcuts: what every cut left, each under a name written on it; the next piece asks here first. Pure."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace

from fieldvoice.records.length import Length
from fieldvoice.records.room_plan import Offcut, Pattern, PieceName

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


def cut_patterns(patterns: Iterable[Pattern], hung: Collection[PieceName]) -> tuple[Pattern, ...]:
    """The sheets that are cut already: those of which a piece hangs."""
    return tuple(one for one in patterns if any(piece.name in hung for piece in one.pieces))


def _unused(name: str, names: Collection[str]) -> str:
    if name not in names:
        return name
    number = 2
    while f"{name}{number}" in names:
        number += 1
    return f"{name}{number}"
