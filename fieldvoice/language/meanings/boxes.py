"""What boxes and other openings come to. Every function is the meaning of that name in the grammar."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from fieldvoice.language.partial import Named, Number, Several, Size, SizedPlace, ThingCall, ToItsSide
from fieldvoice.records.length import ZERO, Length, Unit
from fieldvoice.records.meaning import (
    FRAMED,
    ON_THE_FLOOR,
    Box,
    BoxKind,
    Coordinate,
    Distance,
    Edge,
    Incomplete,
    Neighbor,
    Opening,
    OpeningKind,
    Point,
    Thing,
)
from fieldvoice.records.utterance import Ask, Question, Refusal, SameHeight, Why

ACROSS = frozenset({Edge.LEFT, Edge.RIGHT})
IN_FEET = frozenset({OpeningKind.WINDOW, OpeningKind.DOOR})
"""What crews name by its feet: "two by three window" (common practice, no source)."""
A_FOOT = Length(12)
SQUARE_BOX = 4
A_PART = Length(1)
MOST_NAMED = 9
"""No wall has more windows or doors that are called by their number."""
SMALL_LIGHTS = (2, 12)
"""Inches: diameters that a light is called by, the least and the most (our own rule, wide on purpose)."""
NTH = {"first": "1", "second": "2", "third": "3"}
GANGS = {1: BoxKind.SINGLE, 2: BoxKind.DOUBLE, 3: BoxKind.TRIPLE, 4: BoxKind.FOUR}

Whole = Thing


# ---- distances ----


def from_edge(value: Number, start: str, off: Neighbor | None = None) -> Distance:
    """A distance whose point isn't said yet; `off` what was said to stand at its edge."""
    return Distance(Length(value), None, Edge(start), off)


def pointed(*parts: str | Distance) -> Distance | Refusal:
    """A distance with its point where one was said before it: a side's name is the near or the far side, as seen from
    where it is measured.
    """
    distance = parts[-1]
    assert isinstance(distance, Distance)
    if len(parts) == 1:
        return distance
    point = str(parts[0])
    if point in {"center", "near", "far"}:
        return replace(distance, point=Point(point))
    side = Edge(point.removeprefix("side "))
    if distance.start is None and side not in ACROSS:
        return Refusal(Why.SIDE_FROM_START, (side, "side"))
    if distance.start is None:
        return ToItsSide(distance.value, Point.NEAR, side)
    if (side in ACROSS) != (distance.start in ACROSS):
        return Refusal(Why.SIDE_FROM_START, (side, distance.start))
    return ToItsSide(distance.value, Point.NEAR if side == distance.start else Point.FAR, distance.start)


def one_distance(distance: Distance) -> ThingCall:
    """One distance."""
    return ThingCall((distance,))


def two_distances(first: Distance, second: Distance, point: str | None = None) -> ThingCall | Question | Several:
    """Two distances, one across and one down. A point said with one of them holds for both; the far side, and one that
    is named as the bottom or the left, is that of one distance only: where the other goes is still to be said.
    """
    if is_across(first) == is_across(second):
        return Several(())
    if point and second.point not in {None, Point(point)}:
        return Several(())  # "fourteen over, to the near side, forty eight down to center": of the first
    said = [Point(point)] if point else [each.point for each in (first, second) if each.point]
    alone = Point.FAR in said or any(isinstance(each, ToItsSide) for each in (first, second))
    shared = said[0] if len(said) == 1 and not alone else None
    return ThingCall(tuple(replace(each, point=each.point or shared) for each in (first, second)))


def centered(point: str, across: Distance, down: Distance) -> ThingCall | Question | Refusal | Several:
    """Two distances with their point before them."""
    first = pointed(point, across)
    return first if isinstance(first, Refusal) else two_distances(first, down)


def is_across(distance: Distance) -> bool:
    """Whether it runs across; one of no side does."""
    return distance.start is None or distance.start in ACROSS


# ---- boxes ----


def box_named(number: object) -> Named:
    """A box by its number."""
    return Named(f"box {number}")


def box_not_its_number(called: ThingCall, *plugged: Any) -> Whole | tuple[Any, ...] | Several:
    """As in "box sixteen from the left"; in "box one from the right" the figure may be its number."""
    (said,) = called.distances
    return Several(()) if said.value.inches in range(1, MOST_NAMED + 1) else box(called, *plugged)


def box_head(*parts: Named | str) -> ThingCall:
    """A box's name and kind, as far as they were said."""
    name = next((part.said for part in parts if isinstance(part, Named)), "")
    kinds = [part for part in parts if not isinstance(part, Named)]
    called = kinds[0] if kinds else None
    if isinstance(called, ThingCall):
        return replace(called, name=name)
    return ThingCall((), name=name, kind=BoxKind(str(called)) if called else None)


def box(*parts: Any) -> Whole | tuple[Any, ...] | Several:
    """A box as far as it was called: whole, or what is still to be asked for."""
    called = ThingCall(())
    for part in parts:
        called = called.with_more(_as_called(part))
    if not called.distances and called.kind is None and not called.plugged_in:
        return Several(())
    return _with_height(called)


def _as_called(part: Any) -> ThingCall:
    if isinstance(part, ThingCall):
        return part
    if isinstance(part, Named):
        return ThingCall((), name=part.said)
    if part == "plugged":
        return ThingCall((), plugged_in=True)
    return ThingCall((), kind=BoxKind(str(part)))


def _with_height(called: ThingCall) -> Whole | tuple[Any, ...]:
    found = whole(called)
    return found if called.like is None else (found, SameHeight(called.name or None, called.like))


def whole(called: ThingCall) -> Whole:
    """The box or the opening, or what of it was called where something is missing."""
    incomplete = Incomplete(
        called.kind,
        called.distances,
        called.width,
        called.height,
        called.diameter,
        called.name,
        called.plugged_in,
    )
    return incomplete.whole or incomplete


def height_of_what(*parts: Any) -> Question | Several:
    """A box at the same height as one that isn't named: asked, unless there is but one."""
    parts = tuple(one_distance(part) if isinstance(part, Distance) else part for part in parts)
    named = parts[0].name if len(parts) == 1 and isinstance(parts[0], ThingCall) and not parts[0].kind else ""
    found = Incomplete(None, name=named) if named else box(*parts)
    return Question(Ask.HEIGHT_OF_WHAT, level=found) if isinstance(found, Incomplete) else Several(())


def two_in_a_row(kind: str | ThingCall, pair: tuple[Distance, Distance], *other: Any) -> tuple[Any, ...] | Several:
    """Two of one kind at two distances one way and one distance the other."""
    made = [box(kind, called) for spot in pair if isinstance(called := two_distances(spot, *other), ThingCall)]
    distinct = len(made) == len(pair) == len({*pair})
    return tuple(made) if distinct and not any(isinstance(one, Several) for one in made) else Several(())


def two_from(*parts: Any) -> tuple[Distance, Distance] | Several:
    """As in "center at twenty four and forty eight from the left"."""
    *point, first, second, start = parts
    spots = [pointed(*point, from_edge(value, start)) for value in (first, second)]
    one, other = (spot if isinstance(spot, Distance) else None for spot in spots)
    return (one, other) if one is not None and other is not None else Several(())


def box_on_side(head: ThingCall | str, side: str, *spots: Any) -> Whole | tuple[Any, ...] | Several | Question:
    """As in "switch on the right, center five and a half in, forty eight up": from that side."""
    across, down, *point = spots
    distances = two_distances(replace(across, start=Edge(side)), down, *point)
    return box(head, distances) if isinstance(distances, ThingCall) else distances


def within(*parts: str | Number) -> Distance | Refusal:
    """How far in from a side that is named with its box."""
    point, value = (parts[0], parts[-1]) if len(parts) == 2 else (None, parts[-1])
    if point is not None and str(point) not in {"center", "near", "far"}:
        return Refusal(Why.SIDE_FROM_START, (str(point).removeprefix("side "), "side"))
    return Distance(Length(value), Point(str(point)) if point else None)


def box_centered(kind: str | ThingCall, distances: ThingCall) -> Whole | tuple[Any, ...] | Several:
    """As in "center of the outlet thirty from the left"."""
    return box(kind, to_point(distances, Point.CENTER))


def box_by_sides(*parts: Any) -> Box | Refusal | Several:
    """A box whose four sides were called: its size is what lies between them, whatever its kind."""
    name = next((part.said for part in parts if isinstance(part, Named)), "")
    kind = next((part for part in parts if isinstance(part, str) and part != "plugged"), BoxKind.CALLED)
    if any(isinstance(part, ThingCall) for part in parts):
        return Several(())
    (near_x, far_x), (near_y, far_y) = next(part for part in parts if isinstance(part, tuple))
    far = (far_x, far_y)
    return Box(BoxKind(kind), near_x, near_y, name, plugged_in=parts[-1] == "plugged", far=far)


def can(*parts: Number) -> ThingCall:
    """A can light, with its diameter where that was said."""
    return ThingCall((), kind=OpeningKind.LIGHT, diameter=Length(parts[0]) if parts else None)


def small_light(diameter: Number) -> ThingCall | Several:
    """As in "light 6 inch": a light of a size that they come in; what is larger is a figure that is light."""
    return can(diameter) if SMALL_LIGHTS[0] <= diameter <= SMALL_LIGHTS[1] else Several(())


def written_gang(count: int) -> BoxKind | Several:
    """`2 gang`."""
    kind = GANGS.get(count)
    return Several(()) if kind is None else kind


# ---- other openings ----


def rectangle(kind: str, hole: SizedPlace) -> Whole | Several:
    """An opening as far as it was called. A framed one is called from its near sides where nothing else is said."""
    what = OpeningKind(kind)
    near = what in FRAMED
    distances = tuple(replace(each, point=each.point or Point.NEAR) if near else each for each in hole.distances)
    if near and any(each.point is Point.CENTER for each in distances) and not hole.size:
        return whole(ThingCall(distances, kind=what))
    size = hole.size or Size(None, None)
    sizes = [size]
    if what in IN_FEET and size.width and size.height and max(size.width, size.height) < A_FOOT:
        sizes.append(Size(size.width * 12, size.height * 12))
    made = [whole(ThingCall(distances, kind=what, width=one.width, height=one.height)) for one in sizes]
    return made[0] if len(made) == 1 else Several(tuple(made))


def sized(*parts: Size | ThingCall) -> SizedPlace:
    """A hole by its size and its distances, in either order."""
    size = next((part for part in parts if isinstance(part, Size)), None)
    called = next((part for part in parts if isinstance(part, ThingCall)), ThingCall(()))
    return SizedPlace(called.distances, size)


def sized_by_edge(kind: str, size: Size, across: Distance, down: Distance) -> Whole | Several | Question:
    """As in "return air fourteen by twenty, left edge sixteen, bottom eight up"."""
    called = two_distances(across, down)
    return rectangle(kind, sized(size, called)) if isinstance(called, ThingCall) else called


def each_way(across: Distance, width: Number, down: Distance, height: Number) -> SizedPlace | Several:
    """A hole by where it begins and how far it goes, one way after the other."""
    called = two_distances(across, down)
    if not isinstance(called, ThingCall):
        return Several(())
    return SizedPlace(called.distances, Size(Length(width), Length(height)))


def no_number(size: Number) -> Number | Several:
    """What is said right behind "pipe" without its unit, where it is no number that one is named by."""
    number = size if size.denominator == 1 else Length(size).in_unit(Unit.MM)
    return Several(()) if number.denominator == 1 and number <= MOST_NAMED else size


def named(kind: str, number: Number) -> str | Several:
    """As in "pipe two": the name of one of several."""
    return f"{kind} {number}" if number <= MOST_NAMED else Several(())


def light_begun(number: Number) -> Incomplete | Several:
    """As in "light 2": the second light, or a figure that is light; what no light is called is a figure."""
    name = named(OpeningKind.LIGHT.value, number)
    return name if isinstance(name, Several) else Incomplete(OpeningKind.LIGHT, name=name)


def named_rectangle(name: str, hole: SizedPlace) -> Whole | Several:
    """As in "window two 20 wide 30 high, 5 from left, 14 up"."""
    found = rectangle(name.split()[0], hole)
    return found if isinstance(found, Several) else replace(found, name=name)


def pipe(diameter: Number, kind: str, where: ThingCall) -> Whole:
    """A round hole."""
    return whole(replace(where, kind=OpeningKind(kind), diameter=Length(diameter)))


def named_round(name: str, diameter: Number, where: ThingCall) -> Whole:
    """As in "light one 6 inches center 20 from left center 12 down"."""
    called = replace(_part_of(name, where.distances), diameter=Length(diameter))
    return called.whole or called


def to_point(where: ThingCall, point: str | None = None) -> ThingCall:
    """Distances with the point that was said last for those that have none."""
    said = Point(point) if point else None
    return replace(where, distances=tuple(replace(each, point=each.point or said) for each in where.distances))


def sill(distance: Distance) -> Whole:
    """As in "window sill is thirty six up"."""
    return whole(ThingCall((replace(distance, point=Point.NEAR),), kind=OpeningKind.WINDOW))


def corner_notch(size: Size, corner: str) -> Opening:
    """A notch in a corner of the board."""
    down, across = corner.split()
    return Opening(
        OpeningKind.NOTCH,
        (Coordinate(Point.NEAR, ZERO, Edge(across)),),
        (Coordinate(Point.NEAR, ZERO, Edge(down)),),
        size.width,
        size.height,
    )


def notch_begun(corner: str) -> Incomplete:
    """As in "notch top right": how big it is comes next."""
    down, across = map(Edge, corner.split())
    return Incomplete(OpeningKind.NOTCH, (Distance(ZERO, Point.NEAR, across), Distance(ZERO, Point.NEAR, down)))


def opening_there(name: str, called: ThingCall) -> Incomplete | Several:
    """As in "window one twenty one from left"; "door 3 1/2 from left" has no name."""
    number = int(name.split()[1])
    return (
        Several(()) if number > MOST_NAMED or called.distances[0].value < A_PART else _part_of(name, called.distances)
    )


def opening_there_whole(name: str, *parts: Size | ThingCall) -> Whole | Several:
    """As in "window one thirty six by forty eight, left edge ...": called whole by its number, or resized."""
    found = sized(*parts)
    size = found.size
    if size is None or not (size.width and size.height) or min(size.width, size.height) < A_FOOT:
        return Several(())
    centered = any(each.point is Point.CENTER for each in found.distances)
    spots = tuple(each if centered else replace(each, point=each.point or Point.NEAR) for each in found.distances)
    found_there = _numbered(name, spots, size.width, size.height)
    return found_there if isinstance(found_there, Several) else found_there.whole or found_there


def _numbered(
    name: str, distances: tuple[Distance, ...] = (), width: Length | None = None, height: Length | None = None
) -> Incomplete | Several:
    return _part_of(name, distances, width, height) if int(name.split()[1]) <= MOST_NAMED else Several(())


def _part_of(
    name: str, distances: tuple[Distance, ...] = (), width: Length | None = None, height: Length | None = None
) -> Incomplete:
    """What is called anew of an opening that is named, or of the only one of its kind."""
    return Incomplete(OpeningKind(name.split()[0]), distances, width, height, name=name if " " in name else "")


ACTIONS: Mapping[str, Callable[..., Any]] = {
    "as_said": lambda said: said,
    "box": box,
    "box_head": box_head,
    "box_not_its_number": box_not_its_number,
    "box_of_gang": lambda _device, distances, gang: box(gang, distances),
    "box_of_gang_first": lambda _device, gang, distances, *plugged: box(gang, distances, *plugged),
    "box_on_side": box_on_side,
    "two_in_a_row": two_in_a_row,
    "two_in_a_row_down_first": lambda kind, down, pair: two_in_a_row(kind, pair, down),
    "two_from": two_from,
    "off_opening": lambda *_: Question(Ask.OFF_OPENING),
    "like_which": lambda *_: Question(Ask.LIKE_WHICH),
    "box_of_its_gang": lambda _device, gang: box_head(gang),
    "within": within,
    "within_center": lambda value: within("center", value),
    "within_to": lambda value, point: within(point, value),
    "box_centered": box_centered,
    "box_name_centered": lambda name, distances, *kind: box(name, *kind, to_point(distances, Point.CENTER)),
    "box_name": box_named,
    "window_named": lambda name: f"window {name}",
    "door_named": lambda name: f"door {name}",
    "opening_named": lambda name: f"opening {name}",
    "round_named": named,
    "light_begun": light_begun,
    "light_named": lambda number: named("light", number),
    "notch_named": lambda number: named("notch", number),
    "named_rectangle": named_rectangle,
    "no_number": no_number,
    "only_window": lambda: "window",
    "only_door": lambda: "door",
    "opening_wide": lambda name, width, *_not_so: _part_of(name, width=Length(width)),
    "round_sized": lambda name, diameter: replace(_part_of(name), diameter=Length(diameter)),
    "named_round": named_round,
    "opening_high": lambda name, height, *_not_so: _part_of(name, height=Length(height)),
    "opening_sized": lambda name, size: _part_of(name, width=size.width, height=size.height),
    "opening_there": opening_there,
    "opening_there_whole": opening_there_whole,
    "opening_there_wide": lambda name, width: _numbered(name, width=Length(width)),
    "opening_there_high": lambda name, height: _numbered(name, height=Length(height)),
    "opening_placed": lambda name, called: _part_of(name, called.distances),
    "nth_box": lambda which: box_named(NTH[str(which)]),
    "box_to": lambda box, point: Incomplete(None, name=box.said, point=Point(point)),
    "turned_box": lambda *_: Question(Ask.TURNED_BOX),
    "height_of_what": height_of_what,
    "same_height_as": lambda box, like: SameHeight(box.name, box_named(like).said),
    "same_height": lambda box, like: SameHeight(box.name, like.said),
    "last_same_height": lambda like: SameHeight(None, like.said),
    "box_by_sides": box_by_sides,
    "written_gang": written_gang,
    "written_octagon": lambda size: "octagon" if size == SQUARE_BOX else Several(()),
    "written_square": lambda side: "square" if side == SQUARE_BOX else Several(()),
    "can": can,
    "small_light": small_light,
    "can_by_figure": lambda diameter, called: whole(replace(called, kind=OpeningKind.LIGHT, diameter=Length(diameter))),
    "coordinate": from_edge,
    "from_wall": lambda value, side: from_edge(value, side, Neighbor.WALL),
    "from_ceiling": lambda value: from_edge(value, "top", Neighbor.CEILING),
    "center_from": lambda value, start: replace(from_edge(value, start), point=Point.CENTER),
    "center_from_wall": lambda value, side: replace(from_edge(value, side, Neighbor.WALL), point=Point.CENTER),
    "over_side": lambda value: Distance(Length(value)),
    "on_the_floor": lambda: ON_THE_FLOOR,
    "from_top": lambda value: from_edge(value, "top"),
    "from_bottom": lambda value: from_edge(value, "bottom"),
    "side_point": lambda side: f"side {side}",
    "pointed": pointed,
    "high": lambda *parts: pointed(*parts[:-1], from_edge(parts[-1], "bottom")),
    "from_side_to": lambda edge, value, point: pointed(point, from_edge(value, edge)),
    "from_side_at": lambda edge, point, value: pointed(point, from_edge(value, edge)),
    "from_side_centered": lambda edge, value: pointed("center", from_edge(value, edge)),
    "short_side": from_edge,
    "side_first": lambda edge, value: from_edge(value, edge),
    "edge_first": lambda edge, value: replace(from_edge(value, edge), point=Point.NEAR),
    "short_across": lambda point, value, edge: pointed(point, from_edge(value, edge)),
    "pointed_to": lambda distance, point: pointed(point, distance),
    "from_pointed": lambda value, point, edge: pointed(point, from_edge(value, edge)),
    "side_top": lambda: "side top",
    "side_bottom": lambda: "side bottom",
    "centered": centered,
    "pointed_after": lambda distance: replace(distance, point=Point.CENTER),
    "one_distance": one_distance,
    "two_distances": two_distances,
    "two_distances_to": two_distances,
    "two_distances_around": lambda point, first, second: two_distances(first, second, point),
    "and_same_height": lambda distance, box, *point: to_point(ThingCall((distance,), like=str(box.name)), *point),
    "same_height_and": lambda box, distance: ThingCall((distance,), like=str(box.name)),
    "round_opening": pipe,
    "round_opening_after": lambda kind, diameter, where: pipe(diameter, kind, where),
    "round_opening_last": lambda kind, where, diameter, *point: pipe(diameter, kind, to_point(where, *point)),
    "can_last": lambda where, diameter, *point: pipe(diameter, OpeningKind.LIGHT, to_point(where, *point)),
    "duct_or_hole": lambda: Several((OpeningKind.DUCT.value, OpeningKind.HOLE.value)),
    "pipe_or_hole": lambda: Several((OpeningKind.PIPE.value, OpeningKind.HOLE.value)),
    "sized_hole_first": lambda diameter, _for, where: pipe(diameter, OpeningKind.HOLE, where),
    "sized_hole": lambda _for, diameter, where: pipe(diameter, OpeningKind.HOLE, where),
    "sized_hole_last": lambda _for, where, diameter, *point: pipe(diameter, OpeningKind.HOLE, to_point(where, *point)),
    "hole_for_pipe": lambda diameter, where: pipe(diameter, OpeningKind.PIPE, where),
    "round_begun": lambda diameter, kind: pipe(diameter, kind, ThingCall(())),
    "round_begun_after": lambda kind, *diameter: whole(
        ThingCall((), kind=OpeningKind(kind), diameter=Length(diameter[0]) if diameter else None)
    ),
    "opening_part": lambda name: _part_of(name),
    "opening_begun": lambda kind: whole(ThingCall((), kind=OpeningKind(kind))),
    "opening_begun_wide": lambda kind, width: Incomplete(OpeningKind(kind), width=Length(width)),
    "round_unsized": lambda where: whole(replace(where, kind=OpeningKind.PIPE)),
    "rectangle": rectangle,
    "sized": sized,
    "each_way": each_way,
    "each_way_down_first": lambda down, height, across, width: each_way(across, width, down, height),
    "size_first": lambda size, kind, *called: rectangle(kind, sized(size, *called)),
    "sized_by_edge": sized_by_edge,
    "sized_by_sides": lambda kind, size, called: rectangle(kind, sized(size, called)),
    "by_sides_sized": lambda kind, called, size: rectangle(kind, sized(size, called)),
    "placed_then_sized": lambda kind, called, size: rectangle(kind, sized(size, called)),
    "unsized_opening": lambda kind, called: rectangle(kind, SizedPlace(called.distances, None)),
    "unplaced_opening": lambda kind, *parts: rectangle(kind, sized(*parts)),
    "sill": sill,
    "size": lambda width, height: Size(Length(width), Length(height)),
    "size_high_first": lambda height, width: Size(Length(width), Length(height)),
    "notch_begun": notch_begun,
    "notch_at": corner_notch,
    "size_notch": corner_notch,
    "corner_notch": lambda corner, size: corner_notch(size, corner),
}
