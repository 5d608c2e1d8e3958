"""What somebody wants of a layout, over and above the rules."""

from __future__ import annotations

from dataclasses import dataclass

from fieldvoice.records.board import Lies
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Edge
from fieldvoice.records.room import SurfaceName


@dataclass(frozen=True, slots=True)
class StartFrom:
    """Full sheets from this side on; the cut ones go to the other ("start from the right")."""

    edge: Edge
    surface: SurfaceName | None = None


@dataclass(frozen=True, slots=True)
class HangThem:
    """Sheets lying or standing ("stand them up")."""

    lies: Lies
    surface: SurfaceName | None = None


@dataclass(frozen=True, slots=True)
class OnlyLengths:
    """Sheets of these lengths alone ("twelve footers only")."""

    lengths: tuple[Length, ...]


LayoutWish = StartFrom | HangThem | OnlyLengths
"""A wish; `surface` None means every wall (a ceiling's sheets lie by its joists unless it is named)."""
