"""Odd houses drawn at random: how long each takes, how far it is from its bound, and which rules a plan breaks.

`python -m benchmarks.layout.odd 0 300` plans the houses of these seeds and `--surfaces 1` draws single walls and
ceilings. Slopes, openings anywhere, few sheet lengths, millimeters, two layers: what hardly anybody builds is as common
here as what everybody does. One line of JSON a house as it is done, then one of all together. Each plan is held to the
rules by the tests' own check, which shares nothing with the planner.
"""

from __future__ import annotations

import argparse
import json
import os
import random
import statistics
import time
from collections.abc import Iterable
from typing import Any

from fieldvoice.errors import CannotCut
from fieldvoice.files.planning_files import read_house
from fieldvoice.layout.planning import plan
from fieldvoice.output.documents.rooms import room_document
from fieldvoice.records.room import House
from tests.layout.check import problems
from tests.layout.houses import house_text


def tried(seed: int, surfaces: int) -> dict[str, Any]:
    """One house: planned and checked, or why not."""
    text = house_text(random.Random(seed), surfaces)  # noqa: S311 - a house to measure with, no secret
    house = read_house(text)
    if not isinstance(house, House):
        return {"seed": seed, "not_read": [str(fault) for fault in house]}
    work = time.process_time()
    try:
        made = plan(house)
    except CannotCut as trouble:
        return {"seed": seed, "not_planned": str(trouble)}
    work = time.process_time() - work
    return {
        "seed": seed,
        "surfaces": len(house.surfaces),
        "boards": len(made.pieces),
        "feet": float(made.feet),
        "bound_feet": float(made.bound_feet),
        "gap_percent": round(float(made.gap) * 100, 2),
        "butt_joint_feet": round(float(made.butt_feet), 2),
        "bound_butt_joint_feet": round(float(made.least_butt_feet), 2),
        "first_plan_seconds": round(made.first_plan_seconds, 3),
        "work_seconds": round(work, 2),
        "broken": problems(text, json.loads(json.dumps(room_document(made)))),
    }


def together(found: Iterable[dict[str, Any]]) -> dict[str, Any]:
    """What they come to."""
    houses = list(found)
    planned = [one for one in houses if "feet" in one]
    if not planned:
        return {"houses": len(houses), "planned": 0}
    work = sorted(one["work_seconds"] for one in planned)
    gaps = sorted(one["gap_percent"] for one in planned)
    return {
        "cores": os.cpu_count(),
        "load": round(os.getloadavg()[0], 1),
        "houses": len(houses),
        "planned": len(planned),
        "with_a_broken_rule": sum(bool(one["broken"]) for one in planned),
        "proved": sum(one["gap_percent"] == 0 for one in planned),
        "work_seconds": {"median": statistics.median(work), "ninth_tenth": _tenth(work, 9), "most": work[-1]},
        "first_plan_seconds_most": max(one["first_plan_seconds"] for one in planned),
        "gap_percent": {"median": statistics.median(gaps), "ninth_tenth": _tenth(gaps, 9), "most": gaps[-1]},
        "gap_percent_of_all_feet": round(
            100 * (1 - sum(one["bound_feet"] for one in planned) / sum(one["feet"] for one in planned)), 2
        ),
    }


def _tenth(ordered: list[float], tenths: int) -> float:
    return ordered[min(len(ordered) - 1, len(ordered) * tenths // 10)]


def main() -> None:
    """Try the seeds that are named."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("first", type=int)
    parser.add_argument("after", type=int)
    parser.add_argument("--surfaces", type=int, default=4)
    asked = parser.parse_args()
    found = []
    for seed in range(asked.first, asked.after):
        found.append(tried(seed, asked.surfaces))
        print(json.dumps(found[-1]), flush=True)
    print(json.dumps(together(found)))


if __name__ == "__main__":
    main()
