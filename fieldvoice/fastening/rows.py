"""The rows of the fastening table: a figure, where it holds, and who says so."""

from __future__ import annotations

from dataclasses import dataclass, fields
from fractions import Fraction
from typing import Generic, TypeVar

from fieldvoice.records.fastening import Authority, Direction, Fastener, Grip, Location, Situation
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.sources import Citation

T = TypeVar("T")

NOMINAL: tuple[Length, ...] = tuple(Length(inches) for inches in ("1/4", "5/16", "3/8", "1/2", "5/8"))
"""The thicknesses that rules are written for."""

TOLERANCE = Length.of(Fraction(1, 2), Unit.MM)
"""How far a board may be off its thickness: 0.5 mm by EN 520 as a maker's sheet cites it, 1/64 in by ASTM C1396 (from
memory). So 12.5 mm goes by the rules for 1/2 in, and 15 mm, which is thinner than 5/8 in, does too."""


def thinner(thickness: Length) -> Length | None:
    """The thickness that a board is at least, by the rules' own steps: what it may be trusted with."""
    return max((one for one in NOMINAL if one <= thickness + TOLERANCE), default=None)


def thicker(thickness: Length) -> Length | None:
    """The thickness that a board is at most: what it may weigh."""
    return min((one for one in NOMINAL if thickness <= one + TOLERANCE), default=None)


@dataclass(frozen=True, slots=True)
class Conditions:
    """The conditions of a row; None asks nothing. `layers` counts the layers as far as the one fastened."""

    location: Location | None = None
    thickness: Length | None = None
    kind: str | None = None
    layers: int | None = None
    framing: str | None = None
    direction: Direction | None = None
    spacing_up_to: Length | None = None
    spacing_over: Length | None = None
    fastener: Fastener | None = None
    grip: Grip | None = None
    adhesive: bool | None = None
    double_nailing: bool | None = None

    def conditions(self) -> int:
        """How many conditions there are: of two rows that hold the one with more is meant for the case."""
        return sum(getattr(self, field.name) is not None for field in fields(self))

    def holds(self, case: Situation, nominal: Length | None) -> bool:
        """Whether every condition holds; `nominal` is the rules' thickness that the board goes by."""
        return (
            self._placed(case)
            and self._thick(case, nominal)
            and self._spaced(case)
            and self.fastener in {None, case.fastener}
            and self.grip in {None, case.grip}
            and self.adhesive in {None, case.adhesive}
            and self.double_nailing in {None, case.double_nailing}
        )

    def _placed(self, case: Situation) -> bool:
        return self.location in {None, case.location, case.location.kind_of} and self.framing in {None, case.framing}

    def _thick(self, case: Situation, nominal: Length | None) -> bool:
        close = self.thickness is None or abs(self.thickness - case.thickness) <= TOLERANCE
        return (
            (close or self.thickness == nominal)
            and self.kind in {None, case.kind}
            and self.layers in {None, case.layers}
        )

    def _spaced(self, case: Situation) -> bool:
        return (
            (self.spacing_up_to is None or case.spacing <= self.spacing_up_to)
            and (self.spacing_over is None or case.spacing > self.spacing_over)
            and self.direction in {None, case.direction}
        )


@dataclass(frozen=True, slots=True)
class TableRow(Generic[T]):
    """One figure of the table."""

    where: Conditions
    value: T
    authority: Authority
    source: Citation


@dataclass(frozen=True, slots=True)
class Preference:
    """What a crew fastens with where nobody says otherwise."""

    fastener: Fastener = Fastener.SCREW
    grip: Grip | None = None
    adhesive: bool = False
    double_nailing: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """All rows by what they say: lengths in inches, weights in pounds a square foot."""

    edge: tuple[TableRow[Length], ...] = ()
    field: tuple[TableRow[Length], ...] = ()
    penetration: tuple[TableRow[Length], ...] = ()
    length: tuple[TableRow[Length], ...] = ()
    stock: tuple[TableRow[tuple[Length, ...]], ...] = ()
    grip: tuple[TableRow[Grip], ...] = ()
    edge_distance: tuple[TableRow[Length], ...] = ()
    edge_distance_most: tuple[TableRow[Length], ...] = ()
    pair: tuple[TableRow[Length], ...] = ()
    pair_most: tuple[TableRow[Length], ...] = ()
    framing: tuple[TableRow[Length], ...] = ()
    fire: tuple[TableRow[Length], ...] = ()
    fire_kind: tuple[TableRow[str], ...] = ()
    weight: tuple[TableRow[Fraction], ...] = ()
    bend_lengthwise: tuple[TableRow[Length], ...] = ()
    bend_widthwise: tuple[TableRow[Length], ...] = ()
    choice: Preference = Preference()

    def over(self, other: Table) -> Table:
        """The rows of this table before those of another, and the choice of this one."""
        rows = {
            field.name: getattr(self, field.name) + getattr(other, field.name)
            for field in fields(self)
            if field.name != "choice"
        }
        return Table(**rows, choice=self.choice)


def best(rows: tuple[TableRow[T], ...], case: Situation, nominal: Length | None) -> dict[Authority, list[TableRow[T]]]:
    """The rows of each authority that are meant for the case: those that hold with the most conditions. What is asked
    of a garage by name comes before what is asked of walls and ceilings anywhere.
    """
    found: dict[Authority, list[TableRow[T]]] = {}
    for authority in Authority:
        hold = [row for row in rows if row.authority is authority and row.where.holds(case, nominal)]
        if case.location is not case.location.kind_of and any(row.where.location is case.location for row in hold):
            hold = [row for row in hold if row.where.location is not case.location.kind_of]
        most = max((row.where.conditions() for row in hold), default=0)
        chosen = [row for row in hold if row.where.conditions() == most]
        if chosen:
            found[authority] = chosen
    return found
