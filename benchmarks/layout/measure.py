"""Rooms and houses planned: how long, and how far from the bound. Prints one JSON document. The houses, of any size,
are drawn at random from what is built: rooms of four walls with doors and windows, and a ceiling.

`python -m benchmarks.layout.measure` plans ten rooms, two houses of 12 rooms, and houses of 1, 2, 4 and 8 times three
rooms. Seconds of this process's own work stand beside those of the clock, since other work may share the machine.
"""

from __future__ import annotations

import json
import os
import random
import time
from typing import Any

from fieldvoice.layout.planning import plan
from fieldvoice.records.board import Sheet, Surface
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


def measured(one: House) -> dict[str, Any]:
    """A house planned once."""
    work = time.process_time()
    made = plan(one)
    return {
        "rooms": len({surface.room for surface in one.surfaces}),
        "surfaces": len(one.surfaces),
        "boards": len(made.pieces),
        "sheets": sum(count.count for count in made.sheets),
        "feet": float(made.feet),
        "bound_feet": float(made.bound_feet),
        "gap_percent": round(float(made.gap) * 100, 2),
        "butt_joint_feet": round(float(made.butt_feet), 1),
        "bound_butt_joint_feet": round(float(made.least_butt_feet), 1),
        "first_plan_seconds": round(made.first_plan_seconds, 3),
        "seconds": round(made.seconds, 2),
        "work_seconds": round(time.process_time() - work, 2),
    }


def walls_of(one: House) -> House:
    """The house without its ceilings."""
    walls = tuple(surface for surface in one.surfaces if surface.kind is Surface.WALL)
    return House(one.name, one.unit, one.sheets, walls)


def main() -> None:
    """Measure all and print it."""
    rooms = [measured(walls_of(house(1, seed))) for seed in range(10)]
    document = {
        "cores": os.cpu_count(),
        "load": round(os.getloadavg()[0], 1),
        "one room of four walls, ten rooms": rooms,
        "a house of 12 rooms": [measured(house(12, seed)) for seed in (1, 2)],
        "growth": [measured(house(3 * times, 7)) for times in (1, 2, 4, 8)],
    }
    print(json.dumps(document, indent=2))


if __name__ == "__main__":
    main()
