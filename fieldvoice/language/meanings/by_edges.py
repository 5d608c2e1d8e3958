"""Boxes and openings by their edges. Every function is the meaning of that name in the grammar."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from fieldvoice.language.meanings.boxes import ACROSS, Whole, is_across, rectangle
from fieldvoice.language.partial import Number, Several, Size, SizedPlace
from fieldvoice.records.length import ZERO, Length
from fieldvoice.records.meaning import ON_THE_FLOOR, Coordinate, Distance, Edge, Incomplete, Opening, OpeningKind, Point
from fieldvoice.records.utterance import Ask, Question, Refusal, Why

WIDEST = Length(12)
"""No box for devices is wider or higher (our own rule, wide on purpose)."""

Edged = tuple[str, Distance]
"""An edge of an opening, or its width or height, by its name."""
Span = tuple[Distance | None, Length | None]
"""Where something is one way, as far as that was said, and how far it goes."""


def by_edges(kind: str, row: tuple[tuple[Edged, ...], ...], form: type[Whole]) -> Whole | Several:
    """An opening by its edges and sizes in any order, as in "window starts at 20, 36 wide, sill 36, head 80": whole, or
    lacking something.
    """
    named = [edged for part in row for edged in part]
    said = _from_their_side(dict(named))
    begins, ends, wide = (said.get(name) for name in ("begins", "ends", "wide"))
    across, down = _span(begins, ends, wide), _upright(kind, said)
    if begins is None and ends is None and down and down[0]:
        across = (None, wide.value if wide else None)  # where it is may come in the next breath
    if len(dict(named)) < len(named) or not (across and down) or (across[0] is None) is not (begins is ends is None):
        return Several(())
    spots = tuple(each for each in (across[0], down[0]) if each)
    found = rectangle(kind, SizedPlace(spots, Size(across[1], down[1])))
    return found if isinstance(found, form) else Several(())


def _from_their_side(said: dict[str, Distance]) -> dict[str, Distance]:
    """Its left and its right edge are both from the side of the nearer one; from which side one alone is isn't said."""
    left, right = said.pop(Edge.LEFT, None), said.pop(Edge.RIGHT, None)
    if left is None or right is None:
        alone = {"begins": left, "ends": right}
        return said | {name: spot for name, spot in alone.items() if spot is not None}
    side = Edge.LEFT if left.value < right.value else Edge.RIGHT
    near, far = sorted((left, right), key=lambda spot: spot.value)
    return said | {"begins": replace(near, start=side), "ends": replace(far, start=side)}


def edges_from(pair: tuple[Number, Number], start: str | None = None) -> tuple[Edged, ...]:
    """As in "from 12 to 50 from the left"."""
    edge = Edge(start) if start else None
    return tuple(
        (name, Distance(Length(value), None, edge)) for name, value in zip(("begins", "ends"), pair, strict=True)
    )


def between_sides(kind: str, across: tuple[Number, Number], down: tuple[Number, Number], start: str) -> Whole | Several:
    """As in "window from twenty to fifty six, twelve to sixty down": from which side isn't said yet."""
    (left, right), (near, far) = across, down
    if left >= right or near >= far:
        return Several(())
    spots = (Distance(Length(left)), Distance(Length(near), None, Edge(start)))
    return rectangle(kind, SizedPlace(spots, Size(Length(right - left), Length(far - near))))


def _spot(spot: Distance | Number) -> Distance:
    return spot if isinstance(spot, Distance) else Distance(Length(spot))


def _span(near: Distance | None, far: Distance | None, size: Distance | None) -> Span | None:
    """Where it is and how far it goes, by its near edge, its far edge and its size; None where these don't tell it."""
    if near and far:
        reach = far.value - near.value
        return None if size or near.start != far.start or reach <= ZERO else (near, reach)
    where = near or (replace(far, point=Point.FAR) if far else None)
    return (where, size.value) if size else None


def _upright(kind: str, said: Mapping[str, Distance]) -> Span | None:
    """The same of what runs up. A sill of which no more was said is over the floor, and a head with it; a door whose
    head alone was called is so high.
    """
    sill, head, high, placed = (said.get(name) for name in ("bottom", "top", "high", "placed"))
    if "floor" in said:
        return None if kind != "door" or sill or head or high or placed else (ON_THE_FLOOR, said["floor"].value)
    if placed or not (sill or head):
        return None if sill or head else _span(placed, None, high)
    if sill and sill.start in {None, Edge.BOTTOM} and (head is None or head.start is None):
        sill, head = replace(sill, start=Edge.BOTTOM), head and replace(head, start=Edge.BOTTOM)
    if head and not sill and not high and kind == "door" and head.start is not Edge.TOP:
        return None, head.value
    start = sill.start if sill else head.start if head else None
    if start is None:
        return None
    return _span(head, sill, high) if start is Edge.TOP else _span(sill, head, high)


def both_sides(start: str, pair: tuple[Number, Number]) -> tuple[Coordinate, Coordinate] | Refusal:
    """Both sides one way, the nearer one first."""
    near, far = pair
    if near >= far:
        return Refusal(Why.WRONG_WAY_ROUND)
    edge = Edge(start)
    return Coordinate(Point.NEAR, Length(near), edge), Coordinate(Point.FAR, Length(far), edge)


def two_edges(*named: tuple[Edge, Distance | Number]) -> tuple[Coordinate, Coordinate] | Several:
    """The left and the right edge of a box, or the bottom and the top: both are from the side of the nearer one, and
    the other is no farther off than a box is wide.
    """
    (side, near), (_, far) = sorted(((edge, _spot(said)) for edge, said in named), key=lambda each: each[1].value)
    starts = {near.start, far.start} - {None}
    if starts - {side} or not ZERO < far.value - near.value <= WIDEST:
        return Several(())
    return Coordinate(Point.NEAR, near.value, side), Coordinate(Point.FAR, far.value, side)


def sides(first: tuple[Coordinate, ...], second: tuple[Coordinate, ...]) -> tuple[tuple[Coordinate, ...], ...]:
    """Both sides each way, across before down."""
    return (first, second) if first[0].start in ACROSS else (second, first)


def sides_after(
    across: tuple[Number, Number], start: str, down: tuple[Number, Number], top: str
) -> tuple[tuple[Coordinate, ...], ...] | Refusal:
    """Both sides each way, where from said after them."""
    first, second = both_sides(start, across), both_sides(top, down)
    if isinstance(first, Refusal):
        return first
    return second if isinstance(second, Refusal) else (first, second)


ACTIONS: Mapping[str, Callable[..., Any]] = {
    "left_edge": lambda said: (Edge.LEFT, said),
    "right_edge": lambda said: (Edge.RIGHT, said),
    "bottom_edge": lambda said: (Edge.BOTTOM, said),
    "top_edge": lambda said: (Edge.TOP, said),
    "two_edges": two_edges,
    "other_edges": lambda *_: Question(Ask.OTHER_EDGES),
    "by_edges": lambda kind, row: by_edges(kind, row, Opening),
    "partly_by_edges": lambda kind, row: by_edges(kind, row, Incomplete),
    "edge_row__unheard": lambda *parts: parts,
    "edge_placed": lambda distance: (("begins" if is_across(distance) else "placed", distance),),
    "edge_after": lambda value, edge: (("begins", Distance(Length(value), None, Edge(edge))),),
    "edge_wide": lambda value: (("wide", Distance(Length(value))),),
    "edge_high": lambda value: (("high", Distance(Length(value))),),
    "edge_sized": lambda size: (("wide", Distance(size.width)), ("high", Distance(size.height))),
    "edge_left_at": lambda value: ((Edge.LEFT, Distance(Length(value))),),
    "edge_right_at": lambda value: ((Edge.RIGHT, Distance(Length(value))),),
    "edge_begins": lambda value: (("begins", Distance(Length(value))),),
    "edge_ends": lambda value: (("ends", Distance(Length(value))),),
    "edges_from": edges_from,
    "between_sides": between_sides,
    "edge_named": lambda edge, spot: ((edge, _spot(spot)),),
    "edge_from_floor": lambda value: (("floor", Distance(Length(value))),),
    "edge_reached": lambda spot, edge: ((edge, _spot(spot)),),
    "by_sides": lambda kind, both: Opening(OpeningKind(kind), both[0], both[1]),
    "sides": sides,
    "sides_after": sides_after,
    "two_values": lambda near, far: (near, far),
    "two_up": lambda near, far: (near, far, Edge.BOTTOM),
    "two_down": lambda near, far: (near, far, Edge.TOP),
    "sides_in_steps": lambda across, start, steps: sides_after(across, start, steps[:2], steps[2]),
    "between_steps": lambda kind, across, steps: between_sides(kind, across, steps[:2], steps[2]),
    "two_sides": lambda near, far: (near.value.inches, far.value.inches),
    "both_sides": both_sides,
}
