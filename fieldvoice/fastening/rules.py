"""From the table to what holds for one board: every authority's figure, the one in force first; how far it bends."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from fractions import Fraction

from fieldvoice.errors import NoRule
from fieldvoice.fastening.table import TOLERANCE, Table, TableRow, best, thicker, thinner
from fieldvoice.records.fastening import (
    Authority,
    Bend,
    Bending,
    Citation,
    FramingConcern,
    FramingDoubt,
    Grip,
    Location,
    Requirement,
    Ruling,
    Schedule,
    Situation,
)
from fieldvoice.records.length import Length
from fieldvoice.records.trouble import Hinders, Hindrance

Stricter = Callable[[Iterable[Length]], Length]
"""Which of several figures asks for more: `min` of a spacing, `max` of a depth."""


def schedule(case: Situation, table: Table) -> Schedule:
    """How a board in that situation is fastened. Raises NoRule where the table doesn't say."""
    grip = _grip(case, table)
    case = replace(case, grip=grip)
    return Schedule(
        situation=case,
        fastener=case.fastener,
        grip=grip,
        lengths=tuple(_layer_length(case, layer, table) for layer in range(1, case.layers + 1)),
        edge=_needed(ruling(table.edge, case, min), case),
        field=_needed(ruling(table.field, case, min), case),
        edge_distance=_needed(ruling(table.edge_distance, case, max), case),
        edge_distance_most=ruling(table.edge_distance_most, case, min),
        pair=ruling(table.pair, case, max),
        pair_most=ruling(table.pair_most, case, min),
        concerns=_concerns(case, table),
    )


def ruling(rows: tuple[TableRow[Length], ...], case: Situation, stricter: Stricter) -> Ruling | None:
    """What each authority asks for: the own table's figure first, then the stricter."""
    found = []
    for authority, meant in best(rows, case, thinner(case.thickness)).items():
        value = stricter(row.value for row in meant)
        row = next(row for row in meant if row.value == value)
        found.append(Requirement(value, authority, row.source))
    return _ordered(found, stricter)


def _ordered(found: list[Requirement], stricter: Stricter) -> Ruling | None:
    if not found:
        return None
    sign = 1 if stricter is min else -1
    order = list(Authority)
    own_first = sorted(
        found,
        key=lambda one: (one.authority is not Authority.OWN, sign * one.value.inches, order.index(one.authority)),
    )
    return Ruling(tuple(own_first))


def _needed(found: Ruling | None, case: Situation) -> Ruling:
    if found is None:
        raise NoRule(Hindrance(Hinders.NO_FASTENING_ROW, fastener=case.fastener.value, framing=case.framing))
    return found


def _grip(case: Situation, table: Table) -> Grip:
    for meant in best(table.grip, case, thinner(case.thickness)).values():
        if case.grip is None or meant[0].value is case.grip:
            return meant[0].value
    if case.grip is None or not best(table.penetration, case, None):
        _needed(None, case)
    assert case.grip is not None
    return case.grip


def _layer_length(case: Situation, layer: int, table: Table) -> Ruling:
    """The shortest fastener that is sold and holds that many layers: through the board and as deep into the framing as
    each authority asks, or as long as it asks outright.
    """
    here, nominal = replace(case, layers=layer), thinner(case.thickness)
    through = case.thickness * layer
    asked: dict[Authority, list[Requirement]] = {}
    for authority, rows in best(table.penetration, here, nominal).items():
        asked[authority] = [Requirement(through + row.value, authority, row.source) for row in rows]
    for authority, rows in best(table.length, here, nominal).items():
        asked.setdefault(authority, []).extend(Requirement(row.value, authority, row.source) for row in rows)
    longest = [max(ones, key=lambda one: one.value) for ones in asked.values()]
    sold = [replace(one, value=_sold(one.value, here, table)) for one in longest]
    return _needed(_ordered(sold, max), case)


def _sold(least: Length, case: Situation, table: Table) -> Length:
    """The shortest length that is sold and no shorter."""
    for rows in best(table.stock, case, None).values():
        longer = [length for row in rows for length in row.value if length >= least]
        if longer:
            return min(longer)
    raise NoRule(Hindrance(Hinders.NO_LENGTH_SOLD, fastener=case.fastener.value, least=least))


def _concerns(case: Situation, table: Table) -> tuple[FramingConcern, ...]:
    allowed = ruling(table.framing, case, min)
    if allowed is None:
        return (FramingConcern(FramingDoubt.NOT_LISTED), *_fire(case, table))
    wide = (FramingConcern(FramingDoubt.TOO_WIDE, allowed),) if case.spacing > allowed.value else ()
    nominal = thinner(case.thickness)
    between = nominal is not None and abs(nominal - case.thickness) > TOLERANCE
    taken = (FramingConcern(FramingDoubt.BETWEEN, by=nominal),) if between else ()
    return (*wide, *taken, *_fire(case, table))


def _fire(case: Situation, table: Table) -> tuple[FramingConcern, ...]:
    """What is asked of a garage against fire, where one layer of the board falls short of it. Layers that add up to as
    much are for the local code to judge.
    """
    asked = ruling(table.fire, case, max)
    kinds = [meant[0].value for meant in best(table.fire_kind, case, None).values()]
    kind = kinds[0] if kinds else None
    if asked is None or ((thinner(case.thickness) or Length(0)) >= asked.value and kind in {None, case.kind}):
        return ()
    return (FramingConcern(FramingDoubt.FIRE, asked, kind),)


def pounds_per_square_foot(case: Situation, table: Table) -> tuple[Fraction, Citation]:
    """What a layer weighs, by the upper of the figures that are printed; thicker than any listed, in proportion."""
    nominal = thicker(case.thickness)
    for rows in best(table.weight, case, nominal).values():
        row = max(rows, key=lambda one: one.value)
        return row.value, row.source
    heaviest = max(
        (row for row in table.weight if row.where.thickness is not None),
        key=lambda row: row.where.thickness or Length(0),
    )
    assert heaviest.where.thickness is not None
    return heaviest.value * (case.thickness / heaviest.where.thickness), heaviest.source


THICKNESSES = tuple(Length(inches) for inches in ("5/8", "1/2", "3/8", "5/16", "1/4"))


FLEXIBLE = "flexible"


def bends(radius: Length, table: Table) -> tuple[Bend, ...]:
    """Every board that the table has a radius for, the thickest first, and whether it goes round that curve; last the
    layers of flexible board for what is tighter.
    """
    layered = Situation(Location.WALL, Length("1/4"), kind=FLEXIBLE, layers=2)
    found = [
        Bend(thickness, way, least, least.value <= radius)
        for way in Bending
        for thickness in THICKNESSES
        if (least := least_radius(thickness, way, table)) is not None
    ]
    tight = ruling(table.bend_lengthwise, layered, max)
    if tight is not None:
        found.append(
            Bend(layered.thickness, Bending.LENGTHWISE, tight, tight.value <= radius, FLEXIBLE, layered.layers)
        )
    return tuple(found)


def least_radius(thickness: Length, bending: Bending, table: Table) -> Ruling | None:
    """The least radius for dry board of a thickness, bent one way or the other; None where it isn't bent so."""
    rows = table.bend_lengthwise if bending is Bending.LENGTHWISE else table.bend_widthwise
    return ruling(rows, Situation(Location.WALL, thickness), max)
