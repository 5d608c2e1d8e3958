"""What follows once the plan of a board is settled: its steps are ticked, and what they were made from is told when
it changes; what its cut leaves goes on the rack, by its readings. Offcuts from elsewhere are told onto that, and off
it.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime

from fieldvoice.dialogue.circuits import say_run_out
from fieldvoice.dialogue.cuts import as_cut, cut_by_its_layout, names_given, no_source, source_of, taken_by
from fieldvoice.dialogue.events import Called, PieceCut, Tick, Ticked, Unticked
from fieldvoice.dialogue.finishing import board_now, open_items, plan_now
from fieldvoice.dialogue.layouts import goes_on, laid, standing_plan
from fieldvoice.dialogue.new_boards import laid_anew
from fieldvoice.dialogue.state import State, names_source, offcut_called, sources_called
from fieldvoice.dialogue.surfaces import lay_out_rest, laying_of, tell_layout
from fieldvoice.dialogue.turn import Turn
from fieldvoice.errors import CannotCut, NotPlanned
from fieldvoice.records.board import Offcut
from fieldvoice.records.facts import Fact, Key, Of
from fieldvoice.records.laying import CutPiece
from fieldvoice.records.ledger import Call, Concern, Notice, OpenItem, Tell
from fieldvoice.records.meaning import Edge
from fieldvoice.records.plan import CutPlan, Does, Heed, No, Step
from fieldvoice.records.utterance import OffcutTold
from fieldvoice.safety import cautions
from fieldvoice.stock.rack import told, told_name

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
    return {key: fact for key, fact in facts if isinstance(fact, Fact)}


def already_cut(turn: Turn, board: str, keys: frozenset[Key]) -> tuple[Notice, ...]:
    """What to tell when values under those keys go or change: the steps that were done with them."""
    return tuple(
        Notice(Tell.ALREADY_CUT, (key, used, one.by, one.number))
        for one in turn.state.ticks.get(board, ())
        for key, used in one.used
        if key in keys
    )


def registered(turn: Turn) -> Turn:
    """What the board at hand leaves is put on the rack and its names are told, once its plan is settled; where it is
    open again and no step was ticked, it is taken off.
    """
    return _registered(turn, turn.state.board)


def registered_elsewhere(turn: Turn, before: State) -> Turn:
    """The same for every other board that is cut and of which something is otherwise than `before`, by an undo."""
    changed = set(turn.state.calls.changed_since(before.calls))
    for board in sorted(changed & set(turn.state.cut) - {turn.state.board}):
        turn = _registered(turn, board)
    return turn


def _registered(turn: Turn, name: str) -> Turn:
    state, before = turn.state, turn.state.cut.get(name)
    out = before is not None and before.piece is not None and name not in state.pieces  # its place may come back
    if name in state.surfaces or out:
        return turn
    items = open_items(state, name, turn.at, turn.rooms)
    made = None if any(not _is_test(item) for item in items) else _as_read(turn, name)
    if made == before or (made is None and state.ticks.get(name)):
        return turn
    turn = turn.did(PieceCut(name, made))
    if made is not None and made.left:
        turn = turn.tell(Tell.LEFT_OVER if made.piece is None else Tell.LEAVES, name, *made.left)
    return out_of_it(turn, name, before, made)


def _is_test(item: OpenItem) -> bool:
    """Whether it is the question whether a circuit is dead: whatever is answered, as much is cut off."""
    return item.doubt is not None and item.doubt.concern is Concern.TESTED


def out_of_it(turn: Turn, maker: str, before: CutPiece | None, made: CutPiece | None) -> Turn:
    """The boards that are cut from what a board leaves, or that somebody says it of, are told where that is otherwise
    now, and what these leave themselves goes by it.
    """
    old, new = ({one.name: one for one in (() if cut is None else cut.left)} for cut in (before, made))
    changed = {name for name in {**old, **new} if old.get(name) != new.get(name)}
    changed |= {one.board for one in (before, made) if one is not None and one.is_broken}
    meant = {board: cut.offcut for board, cut in turn.state.cut.items()}
    meant |= {board: offcut_called(turn.state, board) for board in sources_called(turn.state)}
    for board, offcut in meant.items():
        if offcut is not None and offcut in changed and board != maker:
            another = taken_by(turn.state, offcut, board) is not None  # it was told that it can't be cut from that
            turn = _registered(turn if another else turn.tell(Tell.OFFCUT_OTHERWISE, board, offcut), board)
    return turn


def _as_read(turn: Turn, board: str) -> CutPiece | None:
    """By the plan of its readings, None where there is none."""
    try:
        plan = plan_now(turn.state, board, turn.at, turn.rooms)
    except CannotCut:
        return None
    return as_cut(turn.state, board, plan)


def say_source(turn: Turn) -> Turn:
    """Where somebody just said which offcut the board at hand is cut from, its size is told, or why it can't be."""
    state, name = turn.state, turn.state.board
    new = [call for event in turn.events if isinstance(event, Called) for call in event.calls if names_source(call)]
    source = source_of(state, name)
    if offcut_called(state, name) is None or not any(call.board == name for call in new):
        return turn
    board = board_now(state, name, turn.at)
    refused = no_source(state, board)
    if refused is not None:
        return turn.tell(Tell.NO_OFFCUT, refused)
    try:
        cut_by_its_layout(state, board, turn.rooms.solve)
    except NotPlanned as why:
        if why.why.no is No.TOO_BIG_FOR_OFFCUT:
            return turn.tell(Tell.NO_OFFCUT, why.why)
    assert source is not None
    return turn.tell(Tell.FROM_OFFCUT, source)


def put_on(turn: Turn, target: str | None) -> Turn:
    """An offcut is on the rack from now on, of the board that is hung where work is; or why there is none like that."""
    said = OffcutTold.of(target or "")
    board, name = board_now(turn.state, turn.state.board, turn.at), told_name(names_given(turn.state))
    found = told(name, (said.one, said.other), said.edges, board.thickness, board.kind)
    if not isinstance(found, Offcut):
        return turn.refuse(Tell.OFFCUT_ODD, found, said.one, said.other)
    return turn.did(PieceCut(found.name, CutPiece.from_elsewhere(found))).tell(Tell.OFFCUT_IN, found, said.edges)


def take_off(turn: Turn, name: str | None) -> Turn:
    """An offcut is off the rack: one that was told is none any more, and what a board left broke."""
    there = next((one for cut in turn.state.cut.values() for one in cut.left if one.name == name), None)
    told = turn.state.cut.get(name or "")
    if there is None or (told is not None and told.is_broken):
        return turn.refuse(Tell.OFFCUT_NOT_THERE, name or "")
    gone = CutPiece.broken(there) if told is None else None
    return turn.did(PieceCut(there.name, gone)).tell(Tell.OFFCUT_OFF, there)


def rack_changed(turn: Turn, before: State) -> Turn:
    """Where an offcut was told, or is off the rack: who is cut from it is told, and the rest is planned anew if it
    doesn't come out of what there is, or takes fewer feet of sheet now.
    """
    states = (before, turn.state)
    old, new = ({name: one for name, one in state.cut.items() if one.is_told or one.is_broken} for state in states)
    changed = [name for name in {**old, **new} if old.get(name) != new.get(name)]
    for name in changed:
        turn = out_of_it(turn, name, old.get(name), new.get(name))
    return _planned_anew(turn) if changed and not turn.asks else turn


def _planned_anew(turn: Turn) -> Turn:
    plan = standing_plan(turn.state)
    if plan is None or not goes_on(turn.state, plan):
        return lay_out_rest(turn)
    laying = laying_of(turn.state)
    try:
        better = laid(laying)
    except CannotCut:
        return turn
    if better is None or better.feet >= plan.feet:
        return turn
    return tell_layout(laid_anew(turn, laying), better)
