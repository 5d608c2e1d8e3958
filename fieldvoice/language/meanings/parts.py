"""Bare pieces of a call, which answer a question. Every function is the meaning of that name in the grammar."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from fractions import Fraction
from typing import Any

from fieldvoice.language.meanings.boxes import notch_begun, pointed, two_distances
from fieldvoice.language.meanings.readings import LEAST
from fieldvoice.language.partial import Named, Several, ThingCall, as_distance
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import ON_THE_FLOOR, BoxKind, Course, Dimension, Distance, Edge, Neighbor, Point
from fieldvoice.records.utterance import ALL, Answer, Basis, Lean, Ordinal, Part, Question, Refusal, Slant, ThingName


def distance(said: Distance) -> Part | Several:
    """A whole distance. A fraction of an inch off the floor is the gap there."""
    gap = said.value < LEAST and said.value.on_inch_tape and said.start is Edge.BOTTOM and said.point is None
    return Several(()) if gap else Part(as_distance(said))


def distance_parts(said: ThingCall) -> tuple[Part, ...] | Several:
    """Both distances of a box, where it is asked for them."""
    return Several(()) if said.like is not None else tuple(map(Part, said.distances))


def thing_name(name: Named | str) -> ThingName:
    """What a box or an opening is called."""
    return ThingName(name.said if isinstance(name, Named) else name)


def edge_at_side(side: str, said: Distance) -> Distance | Refusal:
    """A distance to an edge that is named: "left edge forty one from the left"."""
    return pointed(f"side {side}", said)


def edges_said(first: Distance, second: Distance) -> tuple[Part, ...] | Several | Question:
    """Both distances, each to its own edge."""
    both = two_distances(first, second)
    return distance_parts(both) if isinstance(both, ThingCall) else both


def kind(said: str | ThingCall) -> Part | Several:
    """A box's kind."""
    return Part(BoxKind(said)) if isinstance(said, str) else Several(())


def each_part(those: tuple[Named, ...], part: Part | Several) -> Part | Several:
    """A part of all that lack it."""
    return part if isinstance(part, Several) else replace(part, each=those[0].count or ALL)


ACTIONS: Mapping[str, Callable[..., Any]] = {
    "center_part": lambda: Part(Point.CENTER),
    "point_part": lambda point: Part(Point(point)),
    "near_part": lambda: Part(Point.NEAR),
    "far_part": lambda: Part(Point.FAR),
    "side_said": lambda side: Part(Edge(side)),
    "floor_said": lambda: Part(Edge.BOTTOM),
    "ceiling_said": lambda: Part(Edge.TOP),
    "kind_part": kind,
    "neighbor_part": lambda said: Part(Neighbor(said)),
    "trim_part": lambda: Part(Neighbor.TRIM),
    "board_part": lambda: Part(Neighbor.BOARD),
    "single_part": lambda: Part(BoxKind.SINGLE),
    "upper_part": lambda: Part(Course.UPPER),
    "lower_part": lambda: Part(Course.LOWER),
    "each_part": each_part,
    "each_part_after": lambda part, those: each_part(those, part),
    "fraction_part": lambda part: Part(Length(Fraction(part))),
    "distance_part": distance,
    "over_part": lambda value: distance(Distance(Length(value))),
    "down_part": lambda value: distance(Distance(Length(value), None, Edge.TOP)),
    "stands": lambda: Part(ON_THE_FLOOR),
    "center_distance": lambda said: distance(replace(said, point=Point.CENTER)),
    "near_distance": lambda said: distance(replace(said, point=Point.NEAR)),
    "edge_at_side": edge_at_side,
    "edges_said": edges_said,
    "corner_parts": lambda corner: tuple(map(Part, notch_begun(corner).distances)),
    "both_parts": lambda *parts: parts,
    "distance_parts": distance_parts,
    "parts_said": lambda parts: parts,
    "rising_part": lambda: Part(Slant.RISING),
    "falling_part": lambda: Part(Slant.FALLING),
    "called_so": lambda name: Part(thing_name(name)),
    "not_called_so": lambda name: (Answer(yes=False), Part(thing_name(name))),
    "in_part": lambda: Part(Lean.IN),
    "out_part": lambda: Part(Lean.OUT),
    "left_said": lambda: Part(Edge.LEFT),
    "right_said": lambda: Part(Edge.RIGHT),
    "choice_part": lambda said: Part(Ordinal(said)),
    "width_part": lambda: Part(Dimension.WIDTH),
    "height_part": lambda: Part(Dimension.HEIGHT),
    "measured_part": lambda: Part(Basis.MEASURED),
}
