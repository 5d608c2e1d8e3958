"""Exact geometry of the board: from readings to a proved cut. Imports records and the standard library only."""

from fieldvoice.cutting.bench import carry_out
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
    "carry_out",
    "missing",
    "oddities",
    "prove",
    "solve",
    "stand_off",
]
