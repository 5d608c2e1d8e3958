"""How far board is bent to a curved wall."""

from __future__ import annotations

from fieldvoice.fastening.rows import Table
from fieldvoice.fastening.rules import ruling
from fieldvoice.records.fastening import Bending, Location, Ruling, Situation
from fieldvoice.records.length import Length

THICKNESSES = tuple(Length(inches) for inches in ("5/8", "1/2", "3/8", "5/16", "1/4"))


def least_radius(thickness: Length, bending: Bending, table: Table) -> Ruling | None:
    """The least radius for dry board of a thickness, bent one way or the other; None where it isn't bent so."""
    rows = table.bend_lengthwise if bending is Bending.LENGTHWISE else table.bend_widthwise
    return ruling(rows, Situation(Location.WALL, thickness), max)


def thickest(radius: Length, bending: Bending, table: Table) -> Length | None:
    """The thickest dry board that bends to a radius; None where even 1/4 in doesn't, and more layers of thinner
    flexible board are needed.
    """
    for thickness in THICKNESSES:
        least = least_radius(thickness, bending, table)
        if least is not None and least.value <= radius:
            return thickness
    return None
