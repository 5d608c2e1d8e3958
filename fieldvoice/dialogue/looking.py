"""What the job looks like now: the state as a view, with the plan through the safety gate."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime

from fieldvoice import safety
from fieldvoice.dialogue import wording
from fieldvoice.dialogue.assembly import board_of, unit_of
from fieldvoice.dialogue.naming import figures, label, note, says
from fieldvoice.dialogue.rooms import Rooms
from fieldvoice.dialogue.state import Facts, State, Tick, Value, shaken
from fieldvoice.dialogue.view import BoxWord, Line, View
from fieldvoice.errors import CannotCut
from fieldvoice.records.board import CircuitWord
from fieldvoice.records.length import Unit
from fieldvoice.records.meaning import Box, Circuit, Context
from fieldvoice.records.plan import Code, CutPlan, Missing, Step, Warning
from fieldvoice.wording import steps as steps_wording


class InQuestion(CannotCut):
    """A board with values that lost entries put in question."""


def plan_now(state: State, at: datetime, rooms: Rooms) -> CutPlan:
    """The plan of the board at hand from what isn't in question, through the gate. Raises `CannotCut`."""
    circuits = safety.counting(state.circuits, at)
    values = state.known(state.board)
    if doubted := shaken(values):
        raise InQuestion(wording.to_confirm(doubted, unit_of(values)))
    board = board_of(state.board, values, circuits)
    plan = safety.guarded(rooms.solve(board), circuits, at)
    return replace(plan, warnings=(*plan.warnings, *_cut_otherwise(state), *_maybe_left_out(state)))


def _maybe_left_out(state: State) -> tuple[Warning, ...]:
    """What no yes can tell: a box or an opening whose entry is lost."""
    return (Warning(Code.MAYBE_LEFT_OUT),) if state.board in state.holed else ()


def _cut_otherwise(state: State) -> tuple[Warning, ...]:
    """What was cut from values that have changed since."""
    values = state.known(state.board)
    unit = unit_of(values)
    return tuple(
        Warning(Code.CUT_SINCE, told=(tick.text, label(key, unit), used, tick.by))
        for tick in state.facts.ticks
        for key, used in tick.used.items()
        if key not in values or not says(values[key].fact, used)
    )


def done_steps(plan: CutPlan, facts: Facts) -> frozenset[int]:
    """The numbers of the steps that are ticked. A tick belongs to what a step said: once that changes it is off."""
    unit = plan.board.unit
    return frozenset(
        number for number, step in enumerate(plan.steps, 1) if any(_is_of(tick, step, unit) for tick in facts.ticks)
    )


def _is_of(tick: Tick, step: Step, unit: Unit) -> bool:
    return (tick.text, tick.cut, tick.opening) == (steps_wording.text(step, unit), step.cut, step.opening)


def still_open(state: State, missing: tuple[Missing, ...]) -> bool:
    """Whether the board at hand isn't settled: something required is missing, only read back or in question."""
    return (
        any(item.required for item in missing)
        or any(pending.board == state.board for pending in state.pending.values())
        or bool(shaken(state.facts.values))
    )


def look(state: State, at: datetime, rooms: Rooms, journal_trouble: str | None = None) -> View:
    """Everything that a surface needs."""
    values = state.known(state.board, doubtful=True)
    unit = unit_of(values)
    circuits = safety.counting(state.circuits, at)
    hole = board_of(state.board, values, circuits)
    missing = rooms.missing(hole)
    plan, trouble = _plan_or_trouble(state, at, rooms, missing)
    room = values.get("room")
    return View(
        room=str(room.fact.value) if room is not None and isinstance(room.fact, Context) else None,
        board=state.board,
        boards=tuple(state.boards),
        unit=unit,
        context=tuple(_line(value, unit) for value in values.values() if isinstance(value.fact, Context)),
        readings=_readings(values, unit, circuits),
        missing=missing,
        last=state.last,
        plan=plan,
        so_far=still_open(state, missing),
        plan_trouble=trouble,
        cautions=safety.cautions(plan, state.circuits, at) if plan is not None else (),
        ticked=done_steps(plan, state.facts) if plan is not None else frozenset(),
        holding=state.holding,
        journal_trouble=journal_trouble,
        hole=hole,
        circuits=tuple(_word(box, word) for box, word in circuits.items()),
    )


def _word(box: str, word: CircuitWord) -> BoxWord:
    until = word.at + safety.DEAD_LASTS if word.state is Circuit.DEAD else None
    return BoxWord(box, word.state, word.by, word.at, until)


def _plan_or_trouble(
    state: State, at: datetime, rooms: Rooms, missing: tuple[Missing, ...]
) -> tuple[CutPlan | None, str | None]:
    """The plan; else why there is none, where that isn't just a reading still missing."""
    try:
        return plan_now(state, at, rooms), None
    except (safety.HeldBack, InQuestion) as why:
        return None, str(why)
    except CannotCut as why:
        return None, None if still_open(state, missing) else str(why)


def _readings(values: Mapping[str, Value], unit: Unit, circuits: Mapping[str, CircuitWord]) -> tuple[Line, ...]:
    return tuple(
        _line(value, unit, circuits.get(value.key)) for value in values.values() if not isinstance(value.fact, Context)
    )


def _line(value: Value, unit: Unit, word: CircuitWord | None = None) -> Line:
    said = f"circuit: {word.state.value}, said {word.by} at {word.at:%H:%M}" if word is not None else None
    if said is None and isinstance(value.fact, Box):
        said = "circuit: unknown"
    return Line(
        label(value.key, unit), figures(value.fact, unit), value.standing, value.by, note(value.fact, unit) or said
    )
