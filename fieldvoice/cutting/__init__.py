"""Exact geometry of the board: from readings to a proved cut. Imports records and the standard library only."""

from fieldvoice.cutting.mirror import mirrored, seen_from_back
from fieldvoice.cutting.needs import missing
from fieldvoice.cutting.oddities import oddities
from fieldvoice.cutting.proof import prove
from fieldvoice.cutting.solving import solve
from fieldvoice.cutting.tables import BOXES, CLEARANCES, OPENING_GAPS, SHEETS_INCH, SHEETS_MM, stand_off
from fieldvoice.records.plan import Missing, Oddity

__all__ = [
    "BOXES",
    "CLEARANCES",
    "OPENING_GAPS",
    "SHEETS_INCH",
    "SHEETS_MM",
    "Missing",
    "Oddity",
    "mirrored",
    "missing",
    "oddities",
    "prove",
    "seen_from_back",
    "solve",
    "stand_off",
]
