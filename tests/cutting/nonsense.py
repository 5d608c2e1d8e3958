"""Boards of nonsense: whatever is called, there is a plan that is proved or a reason, and never a fault of our own."""

from __future__ import annotations

from fractions import Fraction
from random import Random

from fieldvoice.records.board import Board, EdgeSetting, Framing, Lies, MarksBy, Sheet, Surface
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import (
    Box,
    BoxKind,
    Circuit,
    Coordinate,
    Course,
    Diagonal,
    Dimension,
    Edge,
    Neighbor,
    Opening,
    OpeningKind,
    Plumb,
    Point,
    Reading,
    Slot,
)


def nonsense(draw: Random) -> Board:
    """A board that nobody measured: every field at random, most of it unlikely."""

    def length(low: float, high: float) -> Length:
        return Length(Fraction(draw.randint(round(low * 16), round(high * 16)), 16))

    def some(_: object, most: int) -> range:
        return range(draw.choice((0, 0, 0, 0, 1, most)))

    def coordinate(edges: tuple[Edge, ...]) -> Coordinate:
        return Coordinate(draw.choice(list(Point)), length(-2, 60), draw.choice(edges))

    across, down = (Edge.LEFT, Edge.RIGHT), (Edge.TOP, Edge.BOTTOM)

    def places(*usual: Slot) -> tuple[Slot | Length, ...]:
        return (*Slot, length(0, 120)) if draw.random() < 0.1 else (*usual, length(0, 90))

    likely = draw.random() < 0.8
    across_places = places(Slot.TOP, Slot.MIDDLE, Slot.BOTTOM)
    down_places = places(Slot.LEFT, Slot.MIDDLE, Slot.RIGHT)
    wide, high = (length(4, 60), length(4, 140)) if likely else (length(-1, 160), length(-1, 160))

    def readings(dimension: Dimension, about: Length, at: tuple[Slot | Length, ...]) -> tuple[Reading, ...]:
        if likely:
            return tuple(Reading(about + length(-1, 1), dimension, one) for one in at[: draw.choice((1, 3, 3, 4))])
        return tuple(Reading(length(-1, 160), dimension, draw.choice(at)) for _ in range(draw.choice((0, 1, 2, 5))))

    boxes = tuple(
        Box(draw.choice(list(BoxKind)), coordinate(across), coordinate(down), f"box {n}", draw.random() < 0.1)
        for n in some(Box, 4)
    )
    openings = tuple(
        Opening(
            draw.choice(list(OpeningKind)),
            tuple(coordinate(across) for _ in range(draw.randint(1, 2))),
            tuple(coordinate(down) for _ in range(draw.randint(1, 2))),
            draw.choice((None, length(0, 60), length(1, 20))),
            draw.choice((None, length(0, 60), length(1, 20))),
            draw.choice((None, None, length(0, 6))),
            f"hole {n}",
        )
        for n in some(Opening, 3)
    )
    return Board(
        "1",
        surface=draw.choice(list(Surface)),
        unit=draw.choice(list(Unit)),
        lies=draw.choice(list(Lies)),
        edges={
            edge: EdgeSetting(draw.choice(list(Neighbor)), draw.choice((None, None, length(-1, 2)))) for edge in Edge
        },
        widths=readings(Dimension.WIDTH, wide, across_places),
        heights=readings(Dimension.HEIGHT, high, down_places),
        diagonals=tuple(Diagonal(length(0, 200), draw.choice((True, False, None))) for _ in some(Diagonal, 3)),
        plumbs=tuple(Plumb(draw.choice(list(Edge)), length(-6, 6)) for _ in some(Plumb, 4)),
        boxes=boxes,
        circuits={one.name: draw.choice(list(Circuit)) for one in boxes},
        openings=openings,
        sheet=draw.choice((None, None, Sheet(Length(48), length(48, 192)))),
        layers=draw.randint(1, 3),
        framing=draw.choice((Framing(), Framing(called=True), Framing(studs=(length(0, 40), length(40, 90))))),
        taper=draw.choice((None, None, *Edge)),
        floor_to_ceiling=draw.choice((None, length(60, 130))),
        step=draw.choice((None, None, Length("1/32"))),
        end=draw.choice((None, None, *down)),
        course=draw.choice((None, *Course)),
        above_floor=draw.choice((None, None, length(0, 60))),
        base_covers=draw.choice((None, None, length(0, 5))),
        layer=draw.randint(1, 3),
        marks_by=draw.choice(list(MarksBy)),
        beveled=draw.random() < 0.3,
    )
