"""How long a board with boxes takes to solve and prove. Prints one JSON document."""

from __future__ import annotations

import json
import statistics
import sys
import time

from fieldvoice.cutting.solving import solve
from fieldvoice.records.board import Board
from fieldvoice.records.length import Length
from fieldvoice.records.meaning import Box, BoxKind, Circuit, Coordinate, Dimension, Edge, Point, Reading, Slot

ROUNDS = 300


def board(boxes: int) -> Board:
    """A tapered, bowed board with so many boxes in three rows."""
    places = [(Length(5 + 10 * (i % 4)), Length(12 + 24 * (i // 4))) for i in range(boxes)]
    return Board(
        "1",
        widths=(
            Reading(Length("46 7/8"), Dimension.WIDTH, Slot.TOP),
            Reading(Length("46 3/4"), Dimension.WIDTH, Slot.MIDDLE),
            Reading(Length("46 1/4"), Dimension.WIDTH, Slot.BOTTOM),
        ),
        heights=(
            Reading(Length("95 1/2"), Dimension.HEIGHT, Slot.LEFT),
            Reading(Length("95 3/8"), Dimension.HEIGHT, Slot.RIGHT),
        ),
        boxes=tuple(
            Box(
                BoxKind.SINGLE,
                Coordinate(Point.CENTER, x, Edge.LEFT if i % 2 else Edge.RIGHT),
                Coordinate(Point.CENTER, y, Edge.TOP),
                f"box {i + 1}",
            )
            for i, (x, y) in enumerate(places)
        ),
        circuits={f"box {i + 1}": Circuit.DEAD for i, _ in enumerate(places)},
    )


def measure(boxes: int) -> dict[str, float | int]:
    """Milliseconds to solve and prove, over all rounds."""
    one = board(boxes)
    times = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        solve(one)
        times.append((time.perf_counter() - start) * 1000)
    times.sort()
    return {
        "boxes": boxes,
        "rounds": ROUNDS,
        "median_ms": round(statistics.median(times), 3),
        "p95_ms": round(times[int(0.95 * ROUNDS)], 3),
    }


if __name__ == "__main__":
    json.dump({"solve": [measure(boxes) for boxes in (0, 1, 12)]}, sys.stdout, indent=1)
    sys.stdout.write("\n")
