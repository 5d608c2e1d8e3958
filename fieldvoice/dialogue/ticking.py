"""Ticking steps: what a step was made from, and what is told when that changes afterward."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime

from fieldvoice.dialogue.circuits import say_run_out
from fieldvoice.dialogue.events import Called, Tick, Ticked, Unticked
from fieldvoice.dialogue.finishing import open_items, plan_now
from fieldvoice.dialogue.state import State, names_source
from fieldvoice.dialogue.turn import Turn
from fieldvoice.errors import CannotCut
from fieldvoice.records.facts import Fact, Key, Of
from fieldvoice.records.ledger import Call, Notice, Tell
from fieldvoice.records.meaning import Edge, Incomplete
from fieldvoice.records.plan import CutPlan, Does, Heed, Step
from fieldvoice.safety import cautions

_ABOUT = frozenset({Of.PLUMB, Of.NEIGHBOR, Of.CLEARANCE})


def fingerprints(plan: CutPlan) -> tuple[str, ...]:
    """What each step does, as a tick remembers it: once any of it changes the tick is off. With it goes what it was
    done by: a cut by its marks, an opening by its own, and to hang the board by all and in its layer; and with each the
    sheet that it is done on. Cautions don't count, nor what is heeded where a plan is shown.
    """
    said: list[tuple[Step, str]] = []
    for step in plan.steps:
        heed = None if step.heed is Heed.OPENING_BEHIND else step.heed
        layer = f" in layer {plan.board.layer}" if step.does is Does.HANG and not plan.board.on_framing else ""
        said.append((step, repr(replace(step, caution=None, heed=heed)) + layer))
    return tuple(
        hashlib.sha256(
            "\n".join((*(text for one, text in said[:at] if _is_done_by(step, one)), own)).encode()
        ).hexdigest()[:16]
        for at, (step, own) in enumerate(said)
    )


def _is_done_by(step: Step, before: Step) -> bool:
    """Whether an earlier step is part of what a step does: of the same cut or opening, or the sheet that is leaned; of
    any, where it is of none.
    """
    if before.does is Does.LEAN or (step.cut is None and step.opening is None):
        return True
    return (step.cut, step.opening) == (before.cut, before.opening)


def done_steps(plan: CutPlan, ticks: tuple[Tick, ...]) -> frozenset[int]:
    """The numbers of the steps that are ticked."""
    done = {tick.step for tick in ticks if not tick.off}
    return frozenset(number for number, does in enumerate(fingerprints(plan), 1) if does in done)


def plan_to_cut(turn: Turn) -> CutPlan | Turn:
    """The settled plan of the board at hand, else the turn that says why there is none."""
    name = turn.state.board
    if open_items(turn.state, name, turn.at, turn.rooms):
        return turn.refuse(Tell.NOT_SETTLED)
    try:
        return plan_now(turn.state, name, turn.at, turn.rooms)
    except CannotCut as why:
        return turn.refuse(Tell.NOT_CUT_FROM, why.why)


def ticks_gone(turn: Turn, before: State) -> Turn:
    """What was ticked and is no step of its board's plan any more, whatever that is by, is told and stays off: whoever
    ticks goes on from there. Of the board at hand, where time may have run out, and of any other that something was
    called or said of.
    """
    state = turn.state
    changed = {*state.calls.changed_since(before.calls)}
    changed |= {board for board in state.ticks if state.words.get(board) != before.words.get(board)}
    for name in sorted(changed & state.ticks.keys() - {state.board}):
        turn = _ticks_gone(turn, name)
    return _ticks_gone(turn, state.board)


def _ticks_gone(turn: Turn, name: str) -> Turn:
    """The same of one board. That there is no plan is told where it is asked for."""
    ticks = [one for one in turn.state.ticks.get(name, ()) if not one.off]
    try:
        now = set(fingerprints(plan_now(turn.state, name, turn.at, turn.rooms))) if ticks else set()
    except CannotCut:
        return turn
    new = [call for event in turn.events if isinstance(event, Called) for call in event.calls if call.board == name]
    now = set() if any(map(names_source, new)) else now  # another sheet leans there, though the steps be the same
    gone = {one.step: one.number for one in ticks if one.step not in now}
    if not gone:
        return turn
    there = turn if name == turn.state.board else turn.tell(Tell.OF_BOARD, *turn.named(name))
    return there.did(Unticked(name, tuple(gone))).tell(Tell.TICKS_OFF, *sorted(gone.values()))


def unread(state: State, name: str, plan: CutPlan, at: datetime) -> tuple[str, ...]:
    """The keys of the cautions of a plan that nobody read as they are now."""
    known = state.read.get(name, frozenset())
    keys = (each.key for each in cautions(plan, state.circuits(name), at))
    return tuple(key for key in keys if key not in known)


def next_step(turn: Turn, _: str | None) -> Turn:
    """The step in hand, the first that isn't ticked, is done."""
    plan = plan_to_cut(turn)
    if isinstance(plan, Turn):
        return plan
    done = done_steps(plan, turn.state.ticks.get(turn.state.board, ()))
    number = next((number for number in range(1, len(plan.steps) + 1) if number not in done), None)
    return turn.tell(Tell.ALL_STEPS_DONE) if number is None else tick(turn, str(number))


def tick(turn: Turn, target: str | None) -> Turn:
    """A step done. Only of a plan that is settled, since nobody has cut from one that isn't, and whose cautions were
    read, whichever way it is told.
    """
    state, name = turn.state, turn.state.board
    plan = plan_to_cut(turn)
    if isinstance(plan, Turn):
        return plan
    number = int(target) if target is not None and target.isdigit() and len(target) < 9 else 0
    if not 1 <= number <= len(plan.steps):
        return turn.refuse(Tell.NO_STEP, str(target), len(plan.steps))
    if unread(state, name, plan, turn.at):
        return say_run_out(turn, name).refuse(Tell.READ_CAUTIONS)
    done = done_steps(plan, state.ticks.get(name, ()))
    if number in done:
        return turn.tell(Tell.STEP_BEFORE, number)
    step = plan.steps[number - 1]
    used = used_by(step, state.settled(name))
    made = Tick(fingerprints(plan)[number - 1], number, turn.who, tuple(used.items()))
    return turn.did(Ticked(name, made)).tell(
        Tell.STEP_DONE, number, *(each for each in range(1, number) if each not in done)
    )


def used_by(step: Step, values: Mapping[Key, Call]) -> dict[Key, Fact]:
    """The facts that a step was made from: a side from the widths, an end from the heights, an opening from its own
    marks. A step that names neither cuts nothing.
    """
    if step.opening is not None:
        keys = [key for key in values if key.name == step.opening]
    elif step.cut is None:
        return {}
    else:
        upright = step.cut in {Edge.LEFT, Edge.RIGHT}
        edges = {Edge.LEFT, Edge.RIGHT} if upright else {Edge.TOP, Edge.BOTTOM}
        read = Of.WIDTH if upright else Of.HEIGHT
        keys = [key for key in values if key.of is read or (key.of in _ABOUT and key.edge in edges)]
    facts = ((key, values[key].fact) for key in keys)
    return {key: fact for key, fact in facts if fact is not None and not isinstance(fact, Incomplete)}


def already_cut(turn: Turn, board: str, keys: frozenset[Key]) -> tuple[Notice, ...]:
    """What to tell when values under those keys go or change: the steps that were done with them."""
    return tuple(
        Notice(Tell.ALREADY_CUT, (key, used, one.by, one.number))
        for one in turn.state.ticks.get(board, ())
        for key, used in one.used
        if key in keys
    )
