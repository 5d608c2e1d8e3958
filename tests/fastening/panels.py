"""Short ways to put a piece on its framing."""

from __future__ import annotations

from fractions import Fraction

from fieldvoice.fastening.panels import Hole, Panel
from fieldvoice.records.board import Sheet
from fieldvoice.records.fastening import Location, Situation
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Edge

Corners = list[tuple[Fraction | int, Fraction | int]]


def panel(
    corners: Corners,
    members: list[Fraction | int],
    *holes: Hole,
    case: Situation | None = None,
    joints: frozenset[Edge] = frozenset(),
    across: bool = False,
    called: bool = True,
) -> Panel:
    """A piece by its corners and the centers behind it."""
    return Panel(
        tuple((Fraction(x), Fraction(y)) for x, y in corners),
        tuple(holes),
        tuple(Fraction(center) for center in members),
        across,
        joints,
        called,
        case or Situation(Location.WALL, Length("1/2")),
        Sheet(Length(48), Length(96)),
    )


def rectangle(width: Fraction | int, height: Fraction | int) -> Corners:
    """Four corners, clockwise as seen."""
    return [(0, 0), (width, 0), (width, height), (0, height)]


def hole(left: Fraction | int, right: Fraction | int, top: Fraction | int, bottom: Fraction | int) -> Hole:
    """A box's opening, cut beforehand."""
    return Hole(Fraction(left), Fraction(right), Fraction(top), Fraction(bottom))


def sheet_on(spacing: int, *holes: Hole, location: Location = Location.WALL) -> Panel:
    """A whole 4 by 8 sheet lying across framing that far apart, a member at each end."""
    members: list[Fraction | int] = list(range(0, 97, spacing))
    case = Situation(location, Length("1/2"), spacing=Length(spacing))
    return panel(rectangle(96, 48), members, *holes, case=case, joints=frozenset({Edge.LEFT, Edge.RIGHT}))
