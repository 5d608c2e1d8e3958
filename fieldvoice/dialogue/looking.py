"""What the job looks like now: the state as a view, with the plan through the safety gate at this very moment."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime

from fieldvoice import safety
from fieldvoice.dialogue.assembly import unit_of
from fieldvoice.dialogue.carried_out import done_steps, unread
from fieldvoice.dialogue.finishing import board_now, open_items, openings_uncalled, plan_now
from fieldvoice.dialogue.layouts import next_piece, rack_of, standing_plan
from fieldvoice.dialogue.matching import ROOM
from fieldvoice.dialogue.rooms import Rooms
from fieldvoice.dialogue.state import State, has_circuit
from fieldvoice.dialogue.view import Exchange, Line, View
from fieldvoice.errors import CannotCut, NotPlanned
from fieldvoice.records.board import CircuitWord
from fieldvoice.records.facts import Key
from fieldvoice.records.ledger import Call, Concern
from fieldvoice.records.meaning import Circuit, Context, SurfaceCall
from fieldvoice.records.plan import Code, CutBefore, CutPlan, Does, Heed, NoPlan, Warning
from fieldvoice.records.room import name_of
from fieldvoice.records.room_plan import SurfaceAtHand
from fieldvoice.records.said import BoxWord, Care, Caution
from fieldvoice.records.trouble import Hindrance, Trouble, Wrong


def look(
    state: State,
    at: datetime,
    rooms: Rooms,
    journal_trouble: Trouble | None = None,
    *,
    board: str | None = None,
    demonstration: bool = False,
) -> View:
    """Everything that a surface needs of the board at hand, or of `board`."""
    name = board or state.board
    values = state.known(name, doubtful=True)
    unit = unit_of(values)
    counted = safety.counting(state.circuits(name), at)
    items = open_items(state, name, at, rooms)
    surface = name in state.surfaces
    plan, trouble = (None, None) if surface else _plan_or_trouble(state, name, at, rooms, draft=bool(items))
    room = values.get(ROOM)
    return View(
        room=str(room.fact.value) if room is not None and isinstance(room.fact, Context) else None,
        board=name,
        boards=state.boards,
        unit=unit,
        context=tuple(Line(call) for call in values.values() if isinstance(call.fact, Context)),
        readings=_readings(values, counted),
        missing=() if surface else rooms.missing(board_now(state, name, at, doubtful=True)),
        last=_last(state),
        plan=plan,
        draft=bool(items),
        plan_trouble=trouble,
        cautions=_cautions(plan, state, name, at, demonstration=demonstration),
        ticked=done_steps(plan, state.ticks.get(name, ())) if plan is not None else frozenset(),
        holding=state.holding,
        journal_trouble=journal_trouble,
        hole=None if surface else board_now(state, name, at, doubtful=True),
        circuits=tuple(_word(box, word) for box, word in counted.items()),
        acknowledged=plan is not None and not unread(state, name, plan, at),
        open=items,
        demonstration=demonstration,
        room_plan=standing_plan(state),
        rack=rack_of(state.cut.values()).offcuts,
        laid=frozenset(state.pieces),
        surface=_surface_at_hand(state, name) if surface else None,
    )


def _surface_at_hand(state: State, name: str) -> SurfaceAtHand:
    plan = standing_plan(state)
    laid = () if plan is None else plan.surfaces
    its = next((one for one in laid if str(name_of(one.surface)) == name), None)
    ahead = None if plan is None or its is None else next_piece(state, plan)
    called = (call.fact for call in state.known(name, doubtful=True).values())
    return SurfaceAtHand(
        name,
        next((fact for fact in called if isinstance(fact, SurfaceCall)), None),
        its,
        {piece: board for board, piece in state.pieces.items()},
        frozenset(state.cut_pieces),
        ahead.name if ahead is not None and str(ahead.name.surface) == name else None,
    )


def _last(state: State) -> Exchange | None:
    if state.heard is None:
        return None
    heard = state.heard
    return Exchange(heard.words, heard.recognizer, heard.by, state.said, state.asks, state.refused)


def _cautions(
    plan: CutPlan | None, state: State, name: str, at: datetime, *, demonstration: bool
) -> tuple[Caution, ...]:
    if plan is None:
        return ()
    found = safety.cautions(plan, state.circuits(name), at)
    return (Caution(Care.DEMONSTRATION), *found) if demonstration else found


def with_cautions(plan: CutPlan, circuits: Mapping[str, CircuitWord], at: datetime) -> CutPlan:
    """The plan, each step with what is to be heeded at its box."""
    steps = (replace(step, caution=safety.at_step(step, plan, circuits, at)) for step in plan.steps)
    return replace(plan, steps=tuple(steps))


def _word(box: str, word: CircuitWord) -> BoxWord:
    until = word.at + safety.DEAD_LASTS if word.state is Circuit.DEAD else None
    return BoxWord(box, word.state, word.by, word.at, until)


def _plan_or_trouble(
    state: State, name: str, at: datetime, rooms: Rooms, *, draft: bool
) -> tuple[CutPlan | None, Hindrance | Trouble | NoPlan | None]:
    """The plan with its cautions and what is told beside it; else why there is none, where that isn't just a reading
    still missing.
    """
    if lost := _lost(state, name):
        return None, Trouble(Wrong.TO_CONFIRM, calls=lost, unit=unit_of(state.known(name, doubtful=True)))
    try:
        plan = plan_now(state, name, at, rooms)
    except NotPlanned as why:
        return None, None if draft else why.why
    except CannotCut as why:
        return None, why.why
    uncalled = openings_uncalled(state, name)
    warnings = (
        *_from_offcut(plan),
        *plan.warnings,
        *_cut_otherwise(state, name),
        *_maybe_left_out(state, name),
        *uncalled,
    )
    shown = with_cautions(_heeding(plan) if uncalled else plan, state.circuits(name), at)
    return replace(shown, warnings=warnings), None


def _heeding(plan: CutPlan) -> CutPlan:
    """The plan, the opening of the layout that nobody called to be heeded where the board is hung over it."""
    steps = (replace(one, heed=Heed.OPENING_BEHIND) if one.does is Does.HANG else one for one in plan.steps)
    return replace(plan, steps=tuple(steps))


def _lost(state: State, name: str) -> tuple[Call, ...]:
    """The values in question since entries were lost."""
    asked = {doubt.call for doubt in state.doubts if doubt.concern is not Concern.LOST}
    return tuple(call for call in state.in_question(name) if call.number not in asked) if state.losses else ()


def _maybe_left_out(state: State, name: str) -> tuple[Warning, ...]:
    """What no yes can tell: a box or an opening whose entry is lost."""
    return (Warning(Code.MAYBE_LEFT_OUT),) if name in state.holed else ()


def _from_offcut(plan: CutPlan) -> tuple[Warning, ...]:
    """What the board is cut from where that is no whole sheet: its marks are from square edges."""
    if plan.from_offcut is None:
        return ()
    return (Warning(Code.FROM_OFFCUT, values=(plan.sheet.length, plan.sheet.width), about=plan.from_offcut),)


def _cut_otherwise(state: State, name: str) -> tuple[Warning, ...]:
    """What was cut from values that have changed since."""
    values = state.known(name)
    return tuple(
        Warning(Code.CUT_SINCE, before=CutBefore(tick.number, key, used, tick.by))
        for tick in state.ticks.get(name, ())
        for key, used in tick.used
        if key not in values or values[key].fact != used
    )


def _readings(values: Mapping[Key, Call], circuits: Mapping[str, CircuitWord]) -> tuple[Line, ...]:
    return tuple(
        Line(call, has_circuit(call.fact), circuits.get(call.key.name))
        for call in values.values()
        if not isinstance(call.fact, Context)
    )
