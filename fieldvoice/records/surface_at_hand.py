"""A wall or a ceiling as it is worked at."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from fieldvoice.records.meaning import SurfaceCall
from fieldvoice.records.room_plan import PieceName, SurfacePlan


@dataclass(frozen=True, slots=True)
class SurfaceAtHand:
    """The wall or ceiling that is spoken of: its whole name, its call where it was made, its plan where it is laid out,
    which of its pieces are boards of the job, which of those are cut, and which is next.
    """

    name: str
    sides: SurfaceCall | None
    plan: SurfacePlan | None
    boards: Mapping[PieceName, str]
    cut: frozenset[PieceName]
    next: PieceName | None

    @property
    def layer(self) -> int:
        """The layer that is worked at: that of the next piece, else the outermost."""
        pieces = () if self.plan is None else self.plan.pieces
        return next(
            (one.layer for one in pieces if one.name == self.next), max((one.layer for one in pieces), default=1)
        )
