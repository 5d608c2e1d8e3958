"""The gate that keeps a tool out of a box whose circuit isn't said to be dead and tested, and which cautions go with a
plan and with each of its steps.

Nothing here says that a circuit is dead. It repeats who said so and when, and defers to local code and the licensed
electrician. There is no setting: the gate asks for the words of people, and for nothing else.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import UTC, datetime, timedelta

from fieldvoice.errors import HeldBack
from fieldvoice.fastening.plans import handling
from fieldvoice.fastening.table import in_force
from fieldvoice.records.board import Board, CircuitWord, Surface
from fieldvoice.records.fastening import Crew
from fieldvoice.records.meaning import Circuit, OpeningKind
from fieldvoice.records.plan import CutPlan, Method, Step, Tool, Where
from fieldvoice.records.said import Care, Caution

DEAD_LASTS = timedelta(hours=4)
"""How long "dead and tested" counts: half a shift. A breaker can be turned back on behind one's back, so that what was
tested before a break is tested again after it (our own rule, stricter than any we know; no source)."""

ANSWER_LASTS = timedelta(minutes=5)
"""How long the question whether a circuit was tested dead may wait for its yes: that is counted from when it is said,
and the test was before the question (our own rule; no source)."""


def in_time(asked: datetime, now: datetime) -> bool:
    """Whether a yes to that question comes in time, by a clock that wasn't set back since."""
    return timedelta(0) <= now.astimezone(UTC) - asked.astimezone(UTC) <= ANSWER_LASTS


def counting(circuits: Mapping[str, CircuitWord], now: datetime) -> dict[str, CircuitWord]:
    """The words that still count: a "dead and tested" that is older than `DEAD_LASTS`, or from a clock that was set
    back since, doesn't.
    """
    return {box: word for box, word in circuits.items() if word.state is not Circuit.DEAD or _fresh(word, now)}


def is_dead(word: CircuitWord | None, now: datetime) -> bool:
    """Whether somebody's "dead and tested" still counts."""
    return word is not None and word.state is Circuit.DEAD and _fresh(word, now)


def _fresh(word: CircuitWord, now: datetime) -> bool:
    return timedelta(0) <= now.astimezone(UTC) - word.at.astimezone(UTC) <= DEAD_LASTS


def ends(word: CircuitWord) -> datetime:
    """When somebody's "dead and tested" counts no more."""
    return word.at + DEAD_LASTS


def wired(board: Board) -> tuple[str, ...]:
    """The names of everything on a board that a circuit is behind: every box, and lights in ceilings."""
    lights = (opening.name for opening in board.openings if opening.kind is OpeningKind.LIGHT)
    return (*(box.name for box in board.boxes), *lights)


def gate(plan: CutPlan, circuits: Mapping[str, CircuitWord], now: datetime) -> CutPlan:
    """The plan, if no step of it puts a tool into a box that isn't said to be dead and tested.

    Looks at people's words, never at the state that the plan itself carries. Raises `HeldBack`.
    """
    closed = {name for name in wired(plan.board) if not is_dead(circuits.get(name), now)}
    for opening in plan.openings:
        if opening.name in closed and opening.method not in _BY_HAND:
            raise HeldBack(opening.name)
    for step in plan.steps:
        held = _held_box(step, closed)
        if held is not None:
            raise HeldBack(held)
    return plan


_BY_HAND = frozenset({Method.BEFOREHAND, Method.COMPASS})
"""Ways that put no tool into a box: cut on the sheet before it hangs."""


def _held_box(step: Step, closed: Iterable[str]) -> str | None:
    """The closed box that the step would put a tool into: one that cuts on the wall at it or near it, or a router."""
    hot = step.tool is Tool.ROUTER or (step.tool is not None and step.where is Where.WALL)
    about = {*step.near, *((step.opening,) if step.opening is not None else ())}
    return next((name for name in sorted(closed) if hot and (name in about or not about)), None)


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
