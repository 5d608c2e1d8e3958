"""What is said about the place: every function is the meaning of that name in the grammar."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from fractions import Fraction
from itertools import pairwise
from typing import Any

from fieldvoice.language.meanings.numbers import decimal
from fieldvoice.language.partial import Number, RoomAlone, Several, Sides, Trouble
from fieldvoice.records.length import ZERO, Length, Unit
from fieldvoice.records.meaning import (
    FIVE_IN_EIGHT_FEET,
    Context,
    Dimension,
    Edge,
    Neighbor,
    Plumb,
    Reading,
    Slot,
    Topic,
)
from fieldvoice.records.utterance import Ask, Question, Refusal, Why

FEET_UP_TO = 16
"""Sheets are called in feet ("four by eight"): no sheet is only so many inches, and none has more feet."""
COMMON_SHEETS = {
    **{Length(width): [Length(12 * feet) for feet in range(6, FEET_UP_TO + 1)] for width in (48, 54)},
    **{
        Length.of(width, Unit.MM): [Length.of(each, Unit.MM) for each in range(1800, 3601, 100)]
        for width in (900, 1200)
    },
}
"""By their width: what two sides are called for without the word sheet (common practice, no source)."""
WIDER = 54
"""Inches that a wide sheet has."""
WIDTHS_CALLED = (48, WIDER)
"""Inches: a sheet's width beside a length in feet ("fifty four by twelve")."""
THICKNESSES = tuple(Fraction(count, 8) for count in (2, 3, 4, 5))
"""Inches of what hangs on walls and ceilings: behind a length in whole feet they are the thickness ("4x8 1/2")."""
THICKEST = 2
"""Inches: gypsum boards have up to 1 (ASTM C1396, from memory)."""
MOST_GIVEN = 1
"""Inches: "give it five" may be a length, a clearance or more than was called (our own rule)."""
FRAMED_IN_MILLIMETERS = frozenset({300, 400, 450, 600})
"""What framing is apart where it is measured in millimeters (common practice, no source)."""
FRAMED_IN_INCHES = frozenset({12, 16, 24})
"""The same in inches (common practice, no source)."""
FARTHEST = 240
"""Inches: nobody calls framing farther apart, so that a unit said of other figures isn't that of this one."""
CLOSEST = 4
"""Inches between studs that nothing is framed with: 16 or 24 said in a job that is kept in millimeters."""


def sheet_sides(unit: Unit) -> Callable[[Number, Number], Sides]:
    """Two sides, in feet where both are small in the job's unit."""

    def sides(one: Number, other: Number) -> Sides:
        short, long = sorted(Length(side).in_unit(unit) for side in (one, other))
        if long <= FEET_UP_TO:
            return Sides(Length(short * 12), Length(long * 12), in_feet=True)
        if long in WIDTHS_CALLED and short <= FEET_UP_TO:
            return Sides(Length(long), Length(short * 12), in_feet=True)
        return Sides(Length(one), Length(other), in_feet=False)

    return sides


def metric_sheet(one: int, other: int) -> Sides | Several:
    """As in "1200 by 2400" in a job kept in inches: a common sheet in millimeters, and longer than any in inches."""
    short, long = sorted(Length.of(side, Unit.MM) for side in (one, other))
    if long in COMMON_SHEETS.get(short, ()):
        return Sides(short, long, in_feet=False)
    return sheet_sides(Unit.INCH)(one, other) if max(one, other) <= FARTHEST else Several(())


def sheet(sides: Sides) -> Context | tuple[Context, ...]:
    """A sheet by its sides; no sheet is so many feet and a half, or half an inch longer than one, so that a fraction is
    the thickness.
    """
    unit = 12 if sides.in_feet else 1
    thick = (sides.other / unit).inches % 1
    plain = Sides(sides.one, sides.other - Length(thick * unit), sides.in_feet)
    if thick in THICKNESSES and (sides.in_feet or plain.other in COMMON_SHEETS.get(plain.one, ())):
        return (_sheet(plain), Context(Topic.THICKNESS, Length(thick)))
    return _sheet(sides)


def _sheet(sides: Sides) -> Context:
    return Context(Topic.SHEET, tuple(sorted((sides.one, sides.other))))


def sheet_named(unit: Unit) -> Callable[[Number, Number], Context | Question]:
    """A sheet by its sides, where a thickness follows: only a common one."""

    def named(one: Number, other: Number) -> Context | Question:
        sides = sheet_sides(unit)(one, other)
        short, long = sorted((sides.one, sides.other))
        return _sheet(sides) if long in COMMON_SHEETS.get(short, ()) else Question(Ask.SHEET_WIDTH)

    return named


def sheet_wide(width: Number) -> Context | Question:
    """As in "fifty four inch sheet"; of another number the sides are asked for."""
    return Context(Topic.SHEET_WIDTH, Length(width)) if width in WIDTHS_CALLED else Question(Ask.SHEET_WIDTH)


def wide_sheet(width: Number) -> Context | Question:
    """As in "1200 wide sheet"; of a width that no sheet has the sides are asked for."""
    side = Length(width)
    return Context(Topic.SHEET_WIDTH, side) if side in COMMON_SHEETS else Question(Ask.SHEET_WIDTH)


def wide_and_long(width: Number, length: Length) -> Context | Question:
    """As in "fifty four inch twelve footer"."""
    wide = sheet_wide(width)
    return wide if isinstance(wide, Question) else Context(Topic.SHEET, (Length(width), length))


def sheet_by_meters(length: Number) -> Context | Several:
    """As in "three meter board"; of a length that no sheet has nothing is meant here."""
    side = Length(length)
    lengths = (each for every in COMMON_SHEETS.values() for each in every)
    return Context(Topic.SHEET_LENGTH, side) if side in lengths else Several(())


def footer(feet: int) -> Length | Refusal:
    """As in "twelve footer"."""
    return Length(feet * 12) if feet <= FEET_UP_TO else Refusal(Why.TOO_LARGE, (f"{feet} ft",))


def sheet_long(feet: int) -> Context | Refusal:
    """As in "twelve foot sheet"."""
    length = footer(feet)
    return length if isinstance(length, Refusal) else Context(Topic.SHEET_LENGTH, length)


NARROWEST_SHEET = Length(24)
"""What is narrower is called no sheet where that word isn't said (our own rule)."""


def sheet_or_piece(sides: Sides) -> Context | tuple[Context, ...] | Several:
    """Two sides and no word of a sheet: a sheet of a common size, or perhaps a width and a height. No sheet is a foot
    wide: "one by one" is none.
    """
    short, long = sorted((sides.one, sides.other))
    if sides.in_feet and short < NARROWEST_SHEET:
        return Several(())
    if sides.in_feet or long in COMMON_SHEETS.get(short, ()):
        return sheet(sides)
    piece = (Reading(sides.one, Dimension.WIDTH), Reading(sides.other, Dimension.HEIGHT))
    return Several((sheet(sides), piece))


def apart_unsaid(value: Number) -> Number:
    """How far framing is apart, without its unit: what is framed in millimeters is in millimeters in any job."""
    return Length.of(value, Unit.MM).inches if value in FRAMED_IN_MILLIMETERS else value


def spacing(value: Number, start: str | None = None) -> Context | Question | Several:
    """Framing, center to center, from one end where that was said."""
    if value < CLOSEST:
        return Question(Ask.FRAMING_UNIT)
    if value > FARTHEST:
        return Several(())
    return Context(Topic.SPACING, Length(value), Edge(start) if start else None)


def spacing_usual(value: Number) -> Context | Several:
    """As in "studs 16": what framing usually is apart; another figure may be where one stands."""
    usual = value in FRAMED_IN_INCHES or Length(value).in_unit(Unit.MM) in FRAMED_IN_MILLIMETERS
    return Context(Topic.SPACING, Length(value)) if usual else Several(())


def apart_written(value: Fraction) -> Fraction | Several:
    """How far framing is apart, as a decimal: what no tape shows is nothing here."""
    return value if Length(value).on_inch_tape else Several(())


def apart_decimal(whole: int, *figures: int) -> Number | Several | Refusal:
    """The same in words."""
    value = decimal(whole, *figures)
    return value if isinstance(value, Refusal) else apart_written(Fraction(value))


def five_spaces(written: Fraction | None = None) -> Length | Several:
    """Five spaces in eight feet, as they are called and marked on a tape: 19.2 inches, exactly."""
    return FIVE_IN_EIGHT_FEET if written in {None, FIVE_IN_EIGHT_FEET.inches} else Several(())


def neighbor(edge: str, what: str) -> Context:
    """What stands at an edge."""
    return Context(Topic.NEIGHBOR, Neighbor(what), Edge(edge))


def neighbors(edges: str, what: str) -> tuple[Context, ...]:
    """What stands at two edges: "left right" or "top bottom"."""
    return tuple(neighbor(edge, what) for edge in edges.split())


_LEVEL = {"ceiling": "top", "floor": "bottom"}
"""The edge that each is at."""


def none_but_open(what: str, *edges: str) -> Context | Several:
    """An edge at which what might stand there is missing: "no ceiling up here, top's open"."""
    named = {*edges, *_LEVEL.get(what, "").split()}
    return neighbor(named.pop(), "open") if len(named) == 1 else Several(())


def floor_gap(value: Number) -> Context:
    """What stays open above the floor."""
    return Context(Topic.CLEARANCE, Length(value), Edge.BOTTOM)


def order(said: str | int) -> Context:
    """Which board of its row."""
    return Context(Topic.ORDER, str(said))


def order_said(*places: str) -> Context | Question:
    """The order in which a crew measures: no place comes twice."""
    slots = tuple(map(Slot, places))
    return Context(Topic.MEASURING, " ".join(slots)) if len(set(slots)) == len(slots) else Question(Ask.PLACES)


def clearance(value: Number, edge: str | None = None) -> Context:
    """How far to stay off."""
    return Context(Topic.CLEARANCE, Length(value), Edge(edge) if edge else None)


def given(value: Number, edge: str | None = None) -> Context | Question:
    """What a board is given, without a word of a gap: a clearance, unless it is more than anybody stays off."""
    return Question(Ask.RELATIVE) if value > MOST_GIVEN else clearance(value, edge)


def thick_board(value: Number) -> Context | Trouble | Several:
    """As in "twelve millimeter board"; what is rather its length is no thickness."""
    return Several(()) if isinstance(sheet_by_meters(value), Context) else thickness(value)


def thickness(value: Number) -> Context | Trouble:
    """How thick the board is."""
    if not value:
        return Refusal(Why.ZERO)
    if value > THICKEST:
        return Question(Ask.TOO_THICK)
    return Context(Topic.THICKNESS, Length(value))


def studs(centers: tuple[Number, ...]) -> Context | Refusal:
    """Stud centers from the left. What stands closer than framing is rather a part of the center before it."""
    if any(after - before < CLOSEST for before, after in pairwise(centers)):
        return Refusal(Why.STUDS)
    return Context(Topic.STUDS, tuple(Length(center) for center in centers))


def _both(*parts: Context | Trouble | Several) -> tuple[Any, ...] | Trouble | Several:
    """Two facts said together, unless one of them is none."""
    return next((part for part in parts if isinstance(part, Trouble | Several)), parts)


def _all(said: Context | tuple[Context, ...]) -> tuple[Context, ...]:
    return said if isinstance(said, tuple) else (said,)


def _with_metric(sides: Sides, thick: Number, *more: Context) -> tuple[Context, ...] | Trouble | Several:
    """A sheet by its sides with its thickness in millimeters: "1200 by 2400 standing, 13 mil"."""
    return Several(()) if thick > THICKEST else _both(*_all(sheet(sides)), *more, thickness(thick))


def _at_edge(topic: Topic) -> Callable[[str], Context]:
    return lambda edge: Context(topic, None, Edge(edge))


def _as(topic: Topic, value: str) -> Callable[[], Context]:
    return lambda: Context(topic, value)


def _length(topic: Topic) -> Callable[[Number], Context]:
    return lambda value: Context(topic, Length(value))


def _said(topic: Topic) -> Callable[[Any], Context]:
    return lambda value: Context(topic, value)


def _tight(edge: str, what: str) -> Several:
    """As in "tight to the ceiling": what is there, or that nothing stays open there."""
    return Several((neighbor(edge, what), Context(Topic.CLEARANCE, ZERO, Edge(edge))))


ACTIONS: Mapping[str, Callable[..., Any]] = {
    "room": _said(Topic.ROOM),
    "room_alone": lambda name: RoomAlone(Context(Topic.ROOM, name)),
    "room_number": lambda number: Context(Topic.ROOM, str(number)),
    "surface": lambda said: Context(Topic.SURFACE, said),
    "room_of_number": lambda room, number: f"{room} {number}",
    "board_called": lambda name: Context(Topic.BOARD, str(name)),
    "lies": _said(Topic.LIES),
    "offcut_name": lambda number, letter: f"{number}{letter.upper()}",
    "told_offcut_name": lambda number: f"K{number}",
    "new_sheet": lambda: "new sheet",
    "cut_from": _said(Topic.CUT_FROM),
    "board_cut_from": lambda board, source: (
        Context(Topic.BOARD, str(board)),
        Context(Topic.CUT_FROM, source),
    ),
    "sheet": sheet,
    "sheet_sides": sheet_sides(Unit.INCH),
    "metric_sheet": metric_sheet,
    "sides_in_millimeters": sheet_sides(Unit.MM),
    "sheet_or_piece": sheet_or_piece,
    "sheet_named": sheet_named(Unit.INCH),
    "thick_named": thickness,
    "sheets_long": lambda feet: Context(Topic.SHEET_LENGTH, Length(feet * 12)),
    "sheet_by_length": sheet_named(Unit.INCH),
    "sheet_and_thickness": lambda *parts: _both(*parts),
    "sheet_lies_and_thickness": lambda sheet, way, thick: _both(sheet, Context(Topic.LIES, way), thick),
    "lies_and_sheet": lambda way, sides: _both(Context(Topic.LIES, way), *_all(sheet(sides))),
    "thickness_and_lies": lambda thick, way: _both(thick, Context(Topic.LIES, way)),
    "light_half": lambda: (Context(Topic.KIND, "lightweight"), Context(Topic.THICKNESS, Length(Fraction(1, 2)))),
    "lies_and_thickness": lambda way, thick: _both(Context(Topic.LIES, way), thickness(thick)),
    "lies_sheet_and_thickness": lambda way, sheet, thick: _both(Context(Topic.LIES, way), sheet, thick),
    "sheet_of_width": sheet_wide,
    "sheet_lies_and_metric": lambda sides, way, thick: _with_metric(sides, thick, Context(Topic.LIES, way)),
    "sheet_and_metric": lambda sides, thick: _with_metric(sides, thick),
    "thickness_and_sheet": lambda thick, sheet: _both(sheet, thick),
    "kind_and_thickness": lambda kind, thick: _both(Context(Topic.KIND, kind), thick),
    "footer": footer,
    "wide_and_long": wide_and_long,
    "sheet_length": _said(Topic.SHEET_LENGTH),
    "sheet_long": sheet_long,
    "sheet_wide": sheet_wide,
    "wide_sheet": wide_sheet,
    "sheet_by_meters": sheet_by_meters,
    "full_sheet": _as(Topic.FULL, "full"),
    "thickness": thickness,
    "thickness_of_ceiling": lambda value: _both(thickness(value), Context(Topic.SURFACE, "ceiling")),
    "thick_board": thick_board,
    "kind": _said(Topic.KIND),
    "thickness_and_kind": lambda value, kind: _both(thickness(value), Context(Topic.KIND, kind)),
    "fifty_fours": lambda: Context(Topic.SHEET_WIDTH, Length(WIDER)),
    "written_wide": lambda wide: Context(Topic.SHEET_WIDTH, Length(wide)) if wide == WIDER else Several(()),
    "stud_and_spacing": lambda stud, apart: _both(studs((stud,)), spacing(apart)),
    "light_board": _as(Topic.KIND, "lightweight"),
    "thick_light_board": lambda value: _both(thickness(value), Context(Topic.KIND, "lightweight")),
    "thickness_kind_and_sheet": lambda value, kind, sides: _both(
        thickness(value), Context(Topic.KIND, kind), _sheet(sides)
    ),
    "layers": _said(Topic.LAYERS),
    "layers_of": lambda count, value: _both(Context(Topic.LAYERS, count), thickness(value)),
    "doubled": lambda value: _both(Context(Topic.LAYERS, 2), thickness(value)),
    "framing": _said(Topic.FRAMING),
    "framing_spacing": lambda material, value: _both(Context(Topic.FRAMING, material), spacing(value)),
    "apart_written": apart_written,
    "apart_unsaid": apart_unsaid,
    "apart_decimal": apart_decimal,
    "framing_of_five": lambda material, value: (Context(Topic.FRAMING, material), Context(Topic.SPACING, value)),
    "spacing": spacing,
    "spacing_usual": spacing_usual,
    "spacing_from": spacing,
    "five_spaces": five_spaces,
    "joists_run": lambda way: Question(Ask.JOISTS_RUN, (way,)),
    "joists_so_far_run": lambda apart, way: Question(Ask.JOISTS_RUN, (way, Length(apart))),
    "what_is_apart": lambda _: Question(Ask.WHAT_IS_APART),
    "spacing_of_five": lambda value, start=None: Context(Topic.SPACING, value, Edge(start) if start else None),
    "studs": studs,
    "stud_at": lambda center: studs((center,)),
    "stud_list": lambda *centers: centers,
    "stud_row": lambda *centers: centers,
    "rip": _length(Topic.RIP),
    # edges
    "edge_neighbor": neighbor,
    "neighbor_at": lambda what, edge: neighbor(edge, what),
    "neighbors": neighbors,
    "neighbors_at": lambda what, edges: neighbors(edges, what),
    "wall_to_wall": lambda: neighbors("left right", "wall"),
    "floor_to_ceiling_edges": lambda: (neighbor("top", "ceiling"), neighbor("bottom", "floor")),
    "tight_to_ceiling": lambda: _tight("top", "ceiling"),
    "tight_to_floor": lambda: _tight("bottom", "floor"),
    "trim_at": lambda edge: neighbor(edge, "trim"),
    "butts": lambda edges: neighbors(edges, "board"),
    "butts_at": lambda edge: neighbor(edge, "board"),
    "in_the_corner": lambda edge: neighbor(edge, "wall"),
    "wraps": lambda edge: neighbor(edge, "outside corner"),
    "off_last_board": lambda edge: neighbor(edge, "board"),
    "on_a_board": lambda: neighbor("bottom", "board"),
    "first_in_corner": lambda edge: (order("first"), neighbor(edge, "wall")),
    "on_a_stud": lambda edge: Several((neighbor(edge, "board"), neighbor(edge, "open"))),
    "under_a_board": lambda: neighbor("top", "board"),
    "between_boards": lambda: neighbors("left right", "board"),
    "to_floor": lambda: neighbor("bottom", "floor"),
    "to_ceiling": lambda: neighbor("top", "ceiling"),
    "open_at": lambda edge: neighbor(edge, "open"),
    "none_but_open": none_but_open,
    "either_corner": lambda: Several(("wall", "outside corner")),
    "wall_or_trim": lambda: Several(("wall", "trim")),
    "neighbor_at_three": lambda what, *edges: neighbors(" ".join(edges), what),
    "four_boards": lambda: neighbors("left right top bottom", "board"),
    "four_walls": lambda: neighbors("left right top bottom", "wall"),
    "plumb_walls": lambda: (Plumb(Edge.LEFT, ZERO), Plumb(Edge.RIGHT, ZERO)),
    "clearance": clearance,
    "clearance_at": clearance,
    "given": given,
    "given_at": given,
    "edge_given": lambda edge, value: given(value, edge),
    "ceiling_gap": lambda value: clearance(value, "top"),
    "edge_clearance": lambda edge, value: clearance(value, edge),
    "no_clearance": lambda edge=None: Context(Topic.CLEARANCE, ZERO, Edge(edge) if edge else None),
    "taper": _at_edge(Topic.TAPER),
    "factory_edge": _at_edge(Topic.FACTORY_EDGE),
    "cut_or_kept": lambda edge: Several((_at_edge(Topic.TAPER)(edge), _at_edge(Topic.FACTORY_EDGE)(edge))),
    "taper_up": lambda: Context(Topic.FACTORY_EDGE, None, Edge.TOP),
    "taper_down": lambda: Context(Topic.FACTORY_EDGE, None, Edge.BOTTOM),
    "factory_edges": lambda edges: tuple(Context(Topic.FACTORY_EDGE, None, Edge(edge)) for edge in edges.split()),
    "back_bevel": _at_edge(Topic.BACK_BEVEL),
    # where it hangs
    "course": _said(Topic.COURSE),
    "which_course": lambda: Several((Context(Topic.COURSE, "upper"), Context(Topic.COURSE, "lower"))),
    "upper_course": _as(Topic.COURSE, "upper"),
    "lower_course": _as(Topic.COURSE, "lower"),
    "layer": _said(Topic.LAYER),
    "order": order,
    "last_one": lambda: order("last"),
    "floor_gap": floor_gap,
    "course_height": _length(Topic.ABOVE_FLOOR),
    "base": _length(Topic.BASE),
    "in_place": _as(Topic.IN_PLACE, "in place"),
    "floor_to_ceiling": _length(Topic.FLOOR_TO_CEILING),
    # boxes, habits
    "no_boxes": _as(Topic.BOXES, "none"),
    "no_more_boxes": _as(Topic.BOXES, "no more"),
    "marks_sides": lambda: "sides",
    "marks_center": lambda: "center",
    "marks_both": lambda: "center and sides",
    "marks_by": _said(Topic.MARKS_BY),
    "boxes_to_center": _as(Topic.BOX_POINT, "center"),
    "boxes_to_edge": _as(Topic.BOX_POINT, "near"),
    "over_from": _said(Topic.OVER),
    "order_said": order_said,
    "no_middle": _as(Topic.MIDDLE_WIDTH, "no"),
    "with_middle": _as(Topic.MIDDLE_WIDTH, "yes"),
    # units
    "inches_unit": lambda: Unit.INCH,
    "millimeters_unit": lambda: Unit.MM,
    "unit": _said(Topic.UNIT),
    "unit_alone": _said(Topic.UNIT),
}
