"""Ticking steps: what a step was made from, and what is told when that changes afterwards."""

from __future__ import annotations

from collections.abc import Mapping

from fieldvoice.dialogue import wording
from fieldvoice.dialogue.assembly import board_of, unit_of
from fieldvoice.dialogue.events import Ticked
from fieldvoice.dialogue.looking import done_steps, plan_now, still_open
from fieldvoice.dialogue.naming import figures, label
from fieldvoice.dialogue.state import Value
from fieldvoice.dialogue.turn import Turn
from fieldvoice.errors import CannotCut
from fieldvoice.records.length import Unit
from fieldvoice.records.meaning import Edge
from fieldvoice.records.plan import Step
from fieldvoice.wording.steps import text


def tick(turn: Turn, target: str | None) -> Turn:
    """A step done. Only of a plan that is settled: nobody has cut from one that isn't."""
    state = turn.state
    missing = turn.rooms.missing(board_of(state.board, state.known(state.board, doubtful=True), {}))
    if still_open(state, missing):
        return turn.refuse("This plan isn't settled yet, so no step was ticked. Say yes to what was read back first.")
    try:
        plan = plan_now(state, turn.at, turn.rooms)
    except CannotCut as why:
        return turn.refuse(f"{wording.NO_STEPS} {why}")
    number = int(target) if target is not None and target.isdigit() else 0
    if not 1 <= number <= len(plan.steps):
        return turn.refuse(f"There is no step {target}; this plan has {len(plan.steps)}.")
    if number in done_steps(plan, state.facts):
        return turn.tell(f"Step {number} was ticked before.")
    step = plan.steps[number - 1]
    used = used_by(step, state.facts.values, unit_of(state.facts.values))
    turn = turn.did(Ticked(state.board, text(step, plan.board.unit), step.cut, step.opening, tuple(used.items())))
    return turn.tell(f"Step {number} done.")


def used_by(step: Step, values: Mapping[str, Value], unit: Unit) -> dict[str, str]:
    """The values that a step was made from, as figures: a side from the widths, an end from the heights, an opening
    from its own marks. A step that names neither cuts nothing.
    """
    if step.opening is not None:
        keys = {step.opening}
    elif step.cut is None:
        return {}
    else:
        upright = step.cut in {Edge.LEFT, Edge.RIGHT}
        edges = (Edge.LEFT, Edge.RIGHT) if upright else (Edge.TOP, Edge.BOTTOM)
        dimension = "width" if upright else "height"
        about = {f"{what} {edge}" for what in ("plumb", "neighbour", "clearance") for edge in edges}
        keys = {key for key in values if key.startswith(dimension) or key in about}
    return {key: figures(values[key].fact, unit) for key in sorted(keys) if key in values}


def already_cut(turn: Turn, board: str, keys: tuple[str, ...]) -> tuple[str, ...]:
    """What to tell when values under those keys go or change: the steps that were done with them."""
    unit = unit_of(turn.state.known(board))
    return tuple(
        f"Already cut with {label(key, unit)} at {tick.used[key]}: {tick.by} ticked “{tick.text}”."
        for tick in turn.state.facts_of(board).ticks
        for key in keys
        if key in tick.used
    )
