"""Which cautions go with a plan, and which with each of its steps. Nothing here says that a circuit is dead: it repeats
who said so and when.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from fieldvoice.fastening.plans import handling
from fieldvoice.fastening.table import in_force
from fieldvoice.records.board import CircuitWord, Surface
from fieldvoice.records.caution import Care, Caution
from fieldvoice.records.fastening import Crew
from fieldvoice.records.meaning import Circuit
from fieldvoice.records.plan import CutPlan, Method, Step
from fieldvoice.safety import DEAD_LASTS, counting, wired

_DUSTY = frozenset({Method.ROUT, Method.SAW, Method.IN_PLACE})


def at_box(name: str, word: CircuitWord | None) -> Caution:
    """What to heed at a box, by what people said of its circuit. Who is to make it safe is said in `at_boxes`."""
    dead = word is not None and word.state is Circuit.DEAD
    return Caution(Care.AT_BOX, name, word, word.at + DEAD_LASTS if word is not None and dead else None)


def at_step(step: Step, plan: CutPlan, circuits: Mapping[str, CircuitWord], now: datetime) -> Caution | None:
    """What to heed at one step of a plan: at its box, if it is about one."""
    if step.opening is None or step.opening not in wired(plan.board):
        return None
    return at_box(step.opening, counting(circuits, now).get(step.opening))


def at_boxes(plan: CutPlan, circuits: Mapping[str, CircuitWord], now: datetime) -> tuple[Caution, ...]:
    """What to heed at the boxes of the board: a caution for each, and once who is to make them safe."""
    found = [at_box(name, counting(circuits, now).get(name)) for name in wired(plan.board)]
    dead = all(caution.until is not None for caution in found)
    return (*found, Caution(Care.DECIDE if dead else Care.SHUT_OFF)) if found else ()


def cautions(plan: CutPlan, circuits: Mapping[str, CircuitWord], now: datetime) -> tuple[Caution, ...]:
    """What the whole board asks to heed, power first."""
    crews = handling(plan, in_force())
    asked = {
        Care.BEHIND: True,
        Care.KNIFE: bool(plan.cuts or plan.openings),
        Care.DUST: any(opening.method in _DUSTY for opening in plan.openings),
        Care.HEAVY: any(each.crew is not Crew.ONE for each in crews),
        Care.HIGH: plan.board.surface is Surface.CEILING,
        Care.OLD_WALL: True,
    }
    heavy = Caution(Care.HEAVY, handling=crews, unit=plan.board.unit)
    found = (heavy if care is Care.HEAVY else Caution(care) for care, here in asked.items() if here)
    return (*at_boxes(plan, circuits, now), *found)
