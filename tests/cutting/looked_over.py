"""Boards drawn at random, cut and hung by their steps, and looked over. `python -m tests.cutting.looked_over 200`
prints a table of so many boards a kind.
"""

from __future__ import annotations

import sys
from collections import Counter
from dataclasses import dataclass, field
from random import Random

from shapely.affinity import translate

from fieldvoice.cutting.solving import missing, solve
from fieldvoice.errors import CannotCut, NotPlanned
from fieldvoice.records.meaning import Edge
from fieldvoice.records.plan import CutPlan, No
from tests.cutting.everyday import KINDS, ODD, Case, Kind
from tests.cutting.true_rooms import SIDES, Hand, Hanging, TrueThing, hang, place_of

HAIR = 1 / 200
"""What exact and rounded figures of slanted edges may differ by: a sixth of what counts as off."""
OFF = 1 / 32
"""A mark is off by more than this."""


@dataclass
class Found:
    """What was found on boards of one kind."""

    boards: int = 0
    plans: int = 0
    overlaps: int = 0
    marks_off: int = 0
    gaps_wrong: int = 0
    uncovered: int = 0
    held: int = 0
    crashes: int = 0
    why: Counter[str] = field(default_factory=Counter)
    examples: list[str] = field(default_factory=list)

    def wrong(self) -> int:
        """Everything that must not be."""
        return self.overlaps + self.marks_off + self.gaps_wrong + self.uncovered + self.crashes


def look(case: Case, found: Found, name: str) -> None:
    """One board."""
    found.boards += 1
    try:
        plan = solve(case.board)
    except NotPlanned as no:
        needs = [one.need.value for one in missing(case.board) if one.required]
        found.why[f"{no.why.no.value}: {', '.join(needs)}" if no.why.no is No.NEEDS else str(no)[:80]] += 1
        return
    except CannotCut as no:
        found.why[str(no)[:80]] += 1
        return
    except Exception as crash:  # noqa: BLE001 - a crash is what is looked for
        found.crashes += 1
        found.examples.append(f"{name}: {crash!r}")
        return
    found.plans += 1
    hand = Hand()
    hand.work(plan)
    hanging = hang(hand, case.room)
    for fault in faults_of(case, plan, hanging, found):
        found.examples.append(f"{name}: {fault}")


def faults_of(case: Case, plan: CutPlan, hanging: Hanging, found: Found) -> list[str]:
    """What is wrong with what hangs."""
    hand, faults = hanging.hand, []
    board = translate(hand.sheet, hanging.dx, hanging.dy)
    over = board.difference(case.room.free().buffer(HAIR, join_style="mitre"))
    if not over.is_empty and over.area > 1e-9:
        found.overlaps += 1
        faults.append(f"overlaps by {over.bounds}")
    for gap in plan.proof.gaps:
        if case.room.line(gap.edge) is None:
            continue
        there = hanging.gap(gap.edge, place_of(case.room, gap.edge, gap.at))
        if abs(there - float(gap.gap.inches)) > OFF + HAIR:
            found.gaps_wrong += 1
            faults.append(f"gap at {gap.edge} {gap.at} said {gap.gap}, is {there:.3f}")
    for thing in case.things:
        faults += _thing(case, thing, hanging, found)
    return faults


def _thing(case: Case, thing: TrueThing, hanging: Hanging, found: Found) -> list[str]:
    hand = hanging.hand
    if thing.name in hand.in_place:
        return []
    if thing.name in hand.waiting:
        found.held += 1
        return []
    routed = thing.name in hand.routed
    drawn = translate((hand.routed if routed else hand.holes)[thing.name], hanging.dx, hanging.dy)
    shape, faults = thing.shape(), []
    if routed and drawn.geom_type == "Point":
        if not shape.contains(drawn) or drawn.distance(shape.centroid) > OFF * 1.5 + HAIR:
            found.marks_off += 1
            faults.append(f"{thing.name}: the bit goes in at {drawn}, not at {shape.centroid}")
        return faults
    on_board = shape.intersection(translate(hand.sheet, hanging.dx, hanging.dy))
    dressed = drawn.buffer(1e-6 if case.told else OFF)  # what no reading tells is dressed with the rasp
    if not routed and not dressed.contains(on_board):
        found.uncovered += 1
        faults.append(f"{thing.name} doesn't come through")
    for index in range(4 if case.told else 0):
        mark, wanted = drawn.bounds[index], shape.bounds[index]
        gap = (wanted - mark) * (1 if index < 2 else -1)
        nominal = 1 / 16 if thing.is_box else _nominal(thing)
        edge = (Edge.LEFT, Edge.TOP, Edge.RIGHT, Edge.BOTTOM)[index]
        if abs(mark) > 200 or _at_edge(hanging, edge, mark):
            continue
        if abs(gap - nominal) > OFF + HAIR:
            found.marks_off += 1
            faults.append(f"{thing.name}: {edge} side {gap:.3f} off instead of {nominal}")
    return faults


def _nominal(thing: TrueThing) -> float:
    return 0.0 if thing.name.startswith(("window", "door")) else 1 / 8


def _at_edge(hanging: Hanging, edge: Edge, mark: float) -> bool:
    bounds = hanging.hand.sheet.bounds
    index = {Edge.LEFT: 0, Edge.TOP: 1, Edge.RIGHT: 2, Edge.BOTTOM: 3}[edge]
    shift = hanging.dx if edge in SIDES else hanging.dy
    inside = mark - (bounds[index] + shift)
    return bool(inside <= 1e-9 if index < 2 else inside >= -1e-9)


def look_over(kinds: dict[str, Kind], count: int, seed: int = 1) -> dict[str, Found]:
    """So many boards of each kind."""
    table: dict[str, Found] = {}
    for name, kind in kinds.items():
        found = table.setdefault(name, Found())
        for number in range(count):
            look(kind(Random(f"{name} {seed} {number}")), found, f"{name} {number}")
    return table


def printed(table: dict[str, Found]) -> str:
    """The table as text."""
    head = f"{'kind':45} boards plans overlap mark gap uncovered held crash"
    lines = [head]
    total = Found()
    for name, one in table.items():
        lines.append(_row(name.replace("_", " "), one))
        for key in ("boards", "plans", "overlaps", "marks_off", "gaps_wrong", "uncovered", "held", "crashes"):
            setattr(total, key, getattr(total, key) + getattr(one, key))
        total.why.update(one.why)
    lines.append(_row("all", total))
    lines += [f"  no plan: {count} x {why}" for why, count in total.why.most_common(12)]
    return "\n".join(lines)


def _row(name: str, one: Found) -> str:
    return (
        f"{name:45} {one.boards:6} {one.plans:5} {one.overlaps:7} {one.marks_off:4} {one.gaps_wrong:3} "
        f"{one.uncovered:9} {one.held:4} {one.crashes:5}"
    )


if __name__ == "__main__":
    how_many = int(sys.argv[1]) if len(sys.argv) > 1 else 50
    for kinds in (KINDS, ODD):
        result = look_over(kinds, how_many)
        sys.stdout.write(printed(result) + "\n\n")
        for one in result.values():
            sys.stdout.writelines(f"  {example}\n" for example in one.examples[:4])
