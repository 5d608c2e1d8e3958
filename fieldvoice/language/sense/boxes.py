"""What boxes, their circuits and other openings come to. Every function is the meaning of that name in the grammar."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from fieldvoice.language.found import Named, Number, Several, Size, Spot, Unnamed
from fieldvoice.records.length import ZERO, Length
from fieldvoice.records.meaning import (
    Ask,
    Box,
    BoxKind,
    Coordinate,
    Danger,
    DeadAndTested,
    Edge,
    Opening,
    OpeningKind,
    Point,
    Question,
    Refusal,
    Why,
)

TESTED = Question(Ask.TESTED)


def from_edge(value: Number, start: str) -> Coordinate:
    """A distance whose point is not said yet: the centre until then."""
    return Coordinate(Point.CENTER, Length(value), Edge(start))


def placed(point: str, at: Coordinate) -> Coordinate | Refusal:
    """A distance of that point: a side's name is the near or the far side, as seen from where it is measured."""
    if point in {"center", "near", "far"}:
        return Coordinate(Point(point), at.value, at.start)
    side = point.removeprefix("side ")
    if (side in {"left", "right"}) != (at.start in {Edge.LEFT, Edge.RIGHT}):
        return Refusal(Why.SIDE_FROM_START, (side, at.start))
    return Coordinate(Point.NEAR if side == at.start else Point.FAR, at.value, at.start)


def spot_each(*parts: str | Coordinate) -> Spot | Refusal:
    """Point and distance, twice."""
    first, second = placed(*parts[:2]), placed(*parts[2:])  # type: ignore[arg-type]
    if isinstance(first, Refusal):
        return first
    return second if isinstance(second, Refusal) else _spot(first, second)


def spot(point: str, first: Coordinate, second: Coordinate) -> Spot | Question:
    """One point for both distances; a named side holds for its own only."""
    if point.startswith("side "):
        return Question(Ask.OTHER_POINT)
    return _spot(placed(point, first), placed(point, second))  # type: ignore[arg-type]


def spot_unsaid(first: Coordinate, second: Coordinate) -> Several:
    """Distances to no named point: the centre, or the near edges."""
    return Several((spot("center", first, second), spot("near", first, second)))


def _spot(first: Coordinate, second: Coordinate) -> Spot:
    return Spot(first, second) if first.start in {Edge.LEFT, Edge.RIGHT} else Spot(second, first)


def box(*parts: Any) -> Box:
    """A box with its kind, and its name and what is plugged in where that was said."""
    name = next((part.said for part in parts if isinstance(part, Named)), "")
    where = next(part for part in parts if isinstance(part, Spot))
    kind = next(part for part in parts if isinstance(part, str))
    return Box(BoxKind(kind), where.x, where.y, name, plugged_in=parts[-1] == "plugged")


def no_kind(*_: Any) -> Question:
    """A box of no kind."""
    return Question(Ask.BOX_KIND)


def box_by_sides(*parts: Any) -> Box | Refusal:
    """A box whose four sides were called: its size is what lies between them, whatever its kind."""
    name = next((part.said for part in parts if isinstance(part, Named)), "")
    kind = next((part for part in parts if isinstance(part, str) and part != "plugged"), BoxKind.CALLED)
    (near_x, far_x), (near_y, far_y) = next(part for part in parts if isinstance(part, tuple))
    far = (far_x, far_y)
    return Box(BoxKind(kind), near_x, near_y, name, plugged_in=parts[-1] == "plugged", far=far)


def of_boxes(word: Danger | DeadAndTested) -> Callable[[tuple[Named, ...]], tuple[Danger | DeadAndTested, ...]]:
    """What was said of one or more boxes' circuits."""

    def said(which: tuple[Named, ...]) -> tuple[Danger | DeadAndTested, ...]:
        return tuple(_of(word, box) for box in which)

    return said


def _of(word: Danger | DeadAndTested, box: Named) -> Danger | DeadAndTested:
    if isinstance(word, DeadAndTested):
        return replace(word, box=box.name, count=box.count)
    return replace(word, box=box.name)


def rectangle(kind: str, *parts: Size | Spot) -> Opening:
    """An opening with its size."""
    size = next(part for part in parts if isinstance(part, Size))
    where = next(part for part in parts if isinstance(part, Spot))
    return Opening(OpeningKind(kind), (where.x,), (where.y,), size.width, size.height)


def pipe(diameter: Number, where: Spot) -> Opening:
    """A round hole."""
    return Opening(OpeningKind.PIPE, (where.x,), (where.y,), diameter=Length(diameter))


def both_sides(start: str, pair: tuple[Number, Number]) -> tuple[Coordinate, Coordinate] | Refusal:
    """Both sides one way, the nearer one first."""
    near, far = pair
    if near >= far:
        return Refusal(Why.WRONG_WAY_ROUND)
    edge = Edge(start)
    return Coordinate(Point.NEAR, Length(near), edge), Coordinate(Point.FAR, Length(far), edge)


def sides(first: tuple[Coordinate, ...], second: tuple[Coordinate, ...]) -> tuple[tuple[Coordinate, ...], ...]:
    """Both sides each way, across before down."""
    return (first, second) if first[0].start in {Edge.LEFT, Edge.RIGHT} else (second, first)


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


def sides_after(
    across: tuple[Number, Number], start: str, down: tuple[Number, Number], top: str
) -> tuple[tuple[Coordinate, ...], ...] | Refusal:
    """Both sides each way, where from said after them."""
    first, second = both_sides(start, across), both_sides(top, down)
    if isinstance(first, Refusal):
        return first
    return second if isinstance(second, Refusal) else (first, second)


ACTIONS: Mapping[str, Callable[..., Any]] = {
    "box": box,
    "no_kind": no_kind,
    "box_name": lambda name: Named(str(name)),
    "every_box": lambda: (Named(None),),
    "both_boxes": lambda: (Named(None, 2),),
    "which_box": lambda *boxes: boxes,
    "boxes_named": lambda *names: tuple(Named(str(name)) for name in names),
    "box_and_more": lambda box, *names: (box, *(Named(str(name)) for name in names)),
    "box_by_sides": box_by_sides,
    "coordinate": from_edge,
    "from_top": lambda value: from_edge(value, "top"),
    "from_bottom": lambda value: from_edge(value, "bottom"),
    "side_point": lambda side: f"side {side}",
    "spot": spot,
    "spot_each": spot_each,
    "spot_unsaid": spot_unsaid,
    "dead": of_boxes(DeadAndTested()),
    "live": of_boxes(Danger()),
    "unknown": of_boxes(Danger(live=False)),
    "dead_untested": lambda _: TESTED,
    "dead_untested_somewhere": lambda: TESTED,
    "dead_somewhere": lambda: Unnamed(DeadAndTested()),
    "live_somewhere": lambda: Unnamed(Danger()),
    "unknown_somewhere": lambda: Unnamed(Danger(live=False)),
    "pipe": pipe,
    "rectangle": rectangle,
    "rectangle_after": rectangle,
    "by_sides": lambda kind, both: Opening(OpeningKind(kind), both[0], both[1]),
    "sides": sides,
    "sides_after": sides_after,
    "two_values": lambda near, far: (near, far),
    "two_sides": lambda near, far: (near.value.inches, far.value.inches),
    "both_sides": both_sides,
    "size": lambda width, height: Size(Length(width), Length(height)),
    "notch_at": corner_notch,
    "size_notch": corner_notch,
    "corner_notch": lambda corner, size: corner_notch(size, corner),
}
