"""The rules that every layout keeps, each with its figure and where it comes from."""

from __future__ import annotations

from dataclasses import dataclass

from fieldvoice.records.length import Length, Unit
from fieldvoice.records.room_plan import LayoutRule, RuleCode

_PRACTICE = "common practice, no source"


@dataclass(frozen=True, slots=True)
class Limits:
    """The figures of the rules in one unit.

    `stagger`: butt joints of neighboring courses are at least so far apart. `past_opening`: no butt joint is nearer to
    a jamb, or to a standing sheet's opening edge. `least_piece`: no piece is shorter where its span is longer.
    `least_strip`: no ripped course is narrower where a wider one is possible. `gap`, `gap_least`, `gap_most`: the floor
    gap that is aimed at, and those that are as good before a sheet is ripped or a larger one bought. `layer_shift`:
    long joints of one layer stay so far from those of the next. `module`: where ends may lie that cross no framing.
    """

    stagger: Length
    past_opening: Length
    least_piece: Length
    least_strip: Length
    gap: Length
    gap_least: Length
    gap_most: Length
    layer_shift: Length
    module: Length
    slope_step: Length
    """Under a slope a piece comes out of a rectangle whose width is a whole number of these: of every size there would
    be another, and what they save is a few inches of an offcut."""
    sliver: Length
    """What is narrower holds no row of screws at both of its edges: 3/8 in from each, and board between them."""
    widest_framing: Length
    widest_along_joists: Length


def _mm(value: int) -> Length:
    return Length.of(value, Unit.MM)


LIMITS: dict[Unit, Limits] = {
    Unit.INCH: Limits(
        stagger=Length(24),
        past_opening=Length(6),
        least_piece=Length(24),
        least_strip=Length(6),
        gap=Length("1/2"),
        gap_least=Length("1/4"),
        gap_most=Length(1),
        layer_shift=Length(12),
        module=Length(24),
        slope_step=Length(3),
        sliver=Length(2),
        widest_framing=Length(24),
        widest_along_joists=Length(16),
    ),
    Unit.MM: Limits(
        stagger=_mm(600),
        past_opening=_mm(150),
        least_piece=_mm(600),
        least_strip=_mm(150),
        gap=_mm(12),
        gap_least=_mm(6),
        gap_most=_mm(25),
        layer_shift=_mm(300),
        module=_mm(600),
        slope_step=_mm(75),
        sliver=_mm(50),
        widest_framing=_mm(600),
        widest_along_joists=_mm(400),
    ),
}
"""In a job kept in millimeters the figures are its trade's round ones, a little under 24, 6, 1/2, 1/4 and 1 in."""


def rules(unit: Unit) -> tuple[LayoutRule, ...]:
    """Every rule with its figures in that unit."""
    limits = LIMITS[unit]
    return (
        LayoutRule(RuleCode.FEWEST_FEET, (), "what is wanted: fewest feet of sheet, then of butt joint, then pieces"),
        LayoutRule(RuleCode.CEILINGS_FIRST, (), "trade pages and a maker's guide, p. 103, as reported"),
        LayoutRule(
            RuleCode.JOINTS_ON_FRAMING, (), "IBC 2508.3: edges and ends on framing but those that cross it, as reported"
        ),
        LayoutRule(
            RuleCode.STAGGER,
            (limits.stagger,),
            "GA-216 and ASTM C840 as reported in trade articles; 24 in: trade pages, 48 in is better",
        ),
        LayoutRule(
            RuleCode.OPENING_CORNERS,
            (limits.past_opening,),
            "GA-216-2016 has a detail on it (wording not read); 6 in: a residential guide, as reported",
        ),
        LayoutRule(RuleCode.NO_NEEDLESS_JOINT, (), _PRACTICE),
        LayoutRule(RuleCode.LEAST_PIECE, (limits.least_piece,), _PRACTICE),
        LayoutRule(RuleCode.LEAST_STRIP, (limits.least_strip,), _PRACTICE),
        LayoutRule(RuleCode.FACTORY_EDGES, (), _PRACTICE),
        LayoutRule(
            RuleCode.FLOOR_GAP,
            (limits.gap, limits.gap_least, limits.gap_most),
            f"{_PRACTICE}; at least 1/4 in: GA-216, from memory; the base covers 1 in",
        ),
        LayoutRule(RuleCode.FOOT_LIFT, (limits.gap_least,), _PRACTICE),
        LayoutRule(
            RuleCode.ACROSS_JOISTS,
            (limits.widest_along_joists,),
            "IRC Table R702.3.5 as reported: 1/2 in on ceilings either way at 16 in, across only at 24 in",
        ),
        LayoutRule(RuleCode.LAYERS_SHIFTED, (limits.layer_shift, limits.stagger), _PRACTICE),
        LayoutRule(RuleCode.FOUR_SIDES, (), "our own rule: such a board can be measured and cut by its four sides"),
        LayoutRule(RuleCode.STAGED_CUTS, (limits.slope_step,), "what snapping allows: a cut runs from edge to edge"),
    )
