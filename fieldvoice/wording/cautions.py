"""What to heed at a plan and at each of its steps. Nothing here says that a circuit is dead: it repeats who said so and
when, and defers to local code and the licensed electrician.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import datetime

from fieldvoice.fastening import handling, in_force
from fieldvoice.records.board import CircuitWord, Surface
from fieldvoice.records.meaning import Circuit
from fieldvoice.records.plan import CutPlan, Method, Step
from fieldvoice.safety import DEAD_LASTS, counting, wired
from fieldvoice.wording import steps as steps_wording
from fieldvoice.wording.fastening import handling_text

DECIDE = "At boxes, local code and the licensed electrician decide."
SHUT_OFF = (
    "Have the circuit shut off, locked or tagged, and tested by someone qualified, with a tester proved on a known "
    f"live source before and after. {DECIDE}"
)
# Find out by asking, looking or testing whether an exposed or a concealed circuit is in reach before the work: OSHA 29
# CFR 1926.416(a)(3); work near one only once it is de-energised or guarded: 1926.416(a)(1); tag what is switched off:
# 1926.417(a). Prove the tester on a known source before and after: NFPA 70E, 120.5.

BEHIND = (
    "Before the blade or a screw goes through, know what is behind: wires, pipes and ducts. Look and ask first; local "
    "code and the licensed trades decide."
)
# Concealed circuits: OSHA 29 CFR 1926.416(a)(3).

KNIFE = (
    "Knife: cut away from yourself, the other hand out of its line, blade drawn in when it is carried; eyes covered."
)
# From memory: eye protection is OSHA 29 CFR 1926.102; the rest is common practice, no source.

DUST = "Gypsum dust: keep it low, cut outdoors or with a vacuum at the tool, and wear a mask that fits."
# Dust of board and compound passes the limits in sanding: NIOSH 99-113. That a router's dust is like it: common
# practice, no source.

HIGH = (
    "Overhead: hold the sheet with a lift or two people; ladders and stilts on a clear, level floor, never near an "
    "open edge. Local rules decide whether stilts may be used."
)
# Federal OSHA neither regulates nor bans stilts in general, and asks for guardrails raised by their height near edges:
# interpretation letter of 1995-03-13; clear, level floor: WAC 296-874-20042. Ladders: 29 CFR 1926.1053, from memory.

OLD_WALL = (
    "Where an old wall is opened: paint from before 1978 may hold lead, and old compound or texture asbestos. Have it "
    "tested before it is cut or sanded; local rules decide who may do that."
)
# EPA's renovation rule covers housing from before 1978 and more than 6 sq ft a room; asbestos in patching compound was
# banned in 1977 and 1978 (16 CFR 1304, from memory).

DEMONSTRATION = (
    "DEMONSTRATION: nobody tested these circuits. Its steps show what a plan looks like after a real test; don't cut "
    "by them."
)


def clock(at: datetime) -> str:
    """The time on the wall."""
    return f"{at.astimezone():%H:%M}"


def with_cautions(plan: CutPlan, circuits: Mapping[str, CircuitWord], now: datetime) -> CutPlan:
    """The plan, each step with the caution that belongs to it."""
    counted = counting(circuits, now)
    boxes = set(wired(plan.board))
    return replace(plan, steps=tuple(replace(step, caution=_at_step(step, boxes, counted)) for step in plan.steps))


def _at_step(step: Step, boxes: Iterable[str], circuits: Mapping[str, CircuitWord]) -> str | None:
    asked = steps_wording.heed(step)
    if step.opening is None or step.opening not in set(boxes):
        return asked
    word = circuits.get(step.opening)
    own = box_caution(step.opening, word)
    if word is None or word.state is not Circuit.DEAD:
        return own  # says all that the cutting room asks at such a box, and a small screen shows it once
    return " ".join(part for part in (own, asked) if part)


def box_caution(name: str, word: CircuitWord | None) -> str:
    """What to heed at a box, by what people said of its circuit. Who is to make it safe is said in `at_boxes`."""
    if word is None or word.state is Circuit.UNKNOWN:
        return f"{name}: nobody has said that it is dead and tested, so no tool goes into it."
    if word.state is Circuit.LIVE:
        return f"{name}: live, said {word.by} at {clock(word.at)}, so no tool goes into it."
    said = f"{name}: “dead and tested” are the words of {word.by} at {clock(word.at)}"
    return f"{said}, and count until {clock(word.at + DEAD_LASTS)}; test again before a tool goes into it."


def at_boxes(plan: CutPlan, circuits: Mapping[str, CircuitWord], now: datetime) -> tuple[str, ...]:
    """What to heed at the boxes of the board: a sentence for each, and once who is to make them safe."""
    counted = counting(circuits, now)
    boxes = wired(plan.board)
    dead = all(name in counted and counted[name].state is Circuit.DEAD for name in boxes)
    found = [box_caution(name, counted.get(name)) for name in boxes]
    return (*found, DECIDE if dead else SHUT_OFF) if found else ()


def cautions(plan: CutPlan, circuits: Mapping[str, CircuitWord], now: datetime) -> tuple[str, ...]:
    """What the whole board asks to heed, power first."""
    found = [*at_boxes(plan, circuits, now), BEHIND]
    if plan.cuts or plan.openings:
        found.append(KNIFE)
    if any(opening.method in {Method.ROUT, Method.SAW, Method.IN_PLACE} for opening in plan.openings):
        found.append(DUST)
    heavy = handling_text(*handling(plan, in_force()))
    if heavy is not None:
        found.append(heavy)
    if plan.board.surface is Surface.CEILING:
        found.append(HIGH)
    found.append(OLD_WALL)
    return tuple(found)
