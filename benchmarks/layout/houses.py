"""Houses of any size, drawn at random from what is built: rooms of four walls with doors and windows, and a ceiling."""

from __future__ import annotations

import random

from fieldvoice.records.board import Sheet
from fieldvoice.records.length import Length, Unit
from fieldvoice.records.meaning import Dimension, Edge
from fieldvoice.records.room import Ceiling, House, Members, RoomSurface, RoughOpening, RoughOpeningKind, Wall

SHEETS = tuple(Sheet(Length(48), Length(12 * feet)) for feet in (8, 10, 12))
STUDS = Members(Length(16))
DOOR = (Length(34), Length("82 1/2"))
WINDOWS = ((36, 48), (48, 48), (60, 36), (30, 52))


def house(rooms: int, seed: int, sheets: tuple[Sheet, ...] = SHEETS) -> House:
    """A house of so many rooms; the same seed gives the same house."""
    draw = random.Random(seed)  # noqa: S311 - a house to measure with, no secret
    surfaces: list[RoomSurface] = []
    for number in range(1, rooms + 1):
        surfaces += _room(draw, f"room {number}")
    return House(f"house of {rooms} rooms", Unit.INCH, sheets, tuple(surfaces))


def _room(draw: random.Random, name: str) -> list[RoomSurface]:
    width, length = (Length(draw.randrange(84, 169)) + Length(draw.randrange(4)) / 4 for _ in range(2))
    height = Length(draw.choice(("96 1/2", "96 1/2", "96 3/4", "97")))
    walls: list[RoomSurface] = []
    for side, long in (("north", width), ("east", length), ("south", width), ("west", length)):
        walls.append(Wall(name, side, long, height, STUDS, _openings(draw, long, door=side == "south")))
    along = Dimension.WIDTH if length <= width else Dimension.HEIGHT
    joists = Members(Length(16), Edge.LEFT if along is Dimension.WIDTH else Edge.BOTTOM, (), along)
    return [*walls, Ceiling(name, "ceiling", width, length, joists)]


def _openings(draw: random.Random, long: Length, *, door: bool) -> tuple[RoughOpening, ...]:
    if door:
        room = int((long - DOOR[0]).inches) - 12
        return (RoughOpening(RoughOpeningKind.DOOR, Length(draw.randrange(6, room)), Length(0), *DOOR),)
    if draw.random() < 0.5:
        wide, high = draw.choice(WINDOWS)
        left = draw.randrange(8, int(long.inches) - wide - 8)
        return (RoughOpening(RoughOpeningKind.WINDOW, Length(left), Length(80 - high), Length(wide), Length(high)),)
    return ()
