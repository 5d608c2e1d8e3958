"""Rooms and houses planned: how long, and how far from the bound. Prints one JSON document.

`python -m benchmarks.layout.measure` plans ten rooms, two houses of 12 rooms, and houses of 1, 2, 4 and 8 times three
rooms. Seconds of this process's own work stand beside those of the clock, since other work may share the machine.
"""

from __future__ import annotations

import json
import os
import time
from typing import Any

from benchmarks.layout.houses import house
from fieldvoice.layout.planning import plan
from fieldvoice.records.board import Surface
from fieldvoice.records.room import House


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
