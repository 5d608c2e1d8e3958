"""What each order does: undo, scratch, say again, and the rest of the commands."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from fieldvoice.dialogue import wording
from fieldvoice.dialogue.assembly import board_of, unit_of
from fieldvoice.dialogue.events import Dropped, Held, Resumed, Struck, Undone
from fieldvoice.dialogue.fold import last_change
from fieldvoice.dialogue.looking import plan_now
from fieldvoice.dialogue.naming import figures, label
from fieldvoice.dialogue.state import Value, shaken
from fieldvoice.dialogue.taking import ask_open, ask_shaken, open_board, settle
from fieldvoice.dialogue.ticking import already_cut, tick
from fieldvoice.dialogue.turn import Turn
from fieldvoice.dialogue.view import Say
from fieldvoice.errors import CannotCut
from fieldvoice.records.meaning import Action
from fieldvoice.records.plan import Missing
from fieldvoice.safety import at_boxes, counting
from fieldvoice.wording.needs import said


def _undo(turn: Turn, _: str | None) -> Turn:
    """Takes back what was just read back to the speaker, else the speaker's last change."""
    pending = turn.mine
    if pending is not None:
        return turn.did(Dropped(turn.who)).tell(f"Taken back: {_names(turn, pending.values)}.")
    past = last_change(turn.state, turn.who)
    if past is None:
        return turn.refuse(wording.NOTHING_TO_UNDO)
    values = turn.state.facts_of(past.board).values
    left = {value.key: value for value in past.new}
    newer = [key for key, _ in past.old if values.get(key) != left.get(key)]
    if newer:
        by = next((values[key].by for key in newer if key in values), "somebody")
        names = ", ".join(label(key, turn.unit) for key in newer)
        return turn.refuse(f"{names} was changed by {by} since. Say change, with its place.")
    cut = already_cut(turn, past.board, tuple(key for key, _ in past.old))
    turn = turn.did(Undone())
    return turn.tell(_undone(turn, past.board, past.old, past.ticked is not None, past.circuits), *cut)


def _undone(
    turn: Turn,
    board: str,
    old: tuple[tuple[str, Value | None], ...],
    ticked: bool,  # noqa: FBT001 - a fact, not a switch
    circuits: tuple[str, ...],
) -> Say:
    unit = unit_of(turn.state.known(board))
    parts = [
        f"{label(key, unit)} is {'out' if value is None else f'{figures(value.fact, unit)} again'}"
        for key, value in old
    ]
    parts += ["the tick is off"] if ticked else []
    parts += [f"{box}: nobody has said that it is dead and tested" for box in circuits]
    text = f"Undone on board {board}: {'; '.join(parts)}."
    return Say(text, text, safety=bool(circuits))


def _names(turn: Turn, values: tuple[Value, ...]) -> str:
    return ", ".join(label(value.key, turn.unit) for value in values)


def _scratch(turn: Turn, target: str | None) -> Turn:
    """Takes a value off the board by its name or place."""
    wanted = set((target or "").split())
    pending = turn.mine
    if pending is not None and any(wanted <= set(value.key.split()) for value in pending.values):
        return turn.did(Dropped(turn.who)).tell(f"Taken back: {_names(turn, pending.values)}.")
    values = turn.state.facts.values
    found = [key for key in values if wanted and wanted <= set(key.split())]
    if len(found) != 1:
        why = "is more than one thing" if found else "isn't on this board"
        return turn.refuse(f"“{target}” {why}, so nothing was taken out. Say its place and whether width or height.")
    cut = already_cut(turn, turn.state.board, (found[0],))
    turn = turn.did(Struck(turn.state.board, (found[0],)))
    return turn.tell(f"Taken out: {label(found[0], turn.unit)}.", *cut)


def _say_again(turn: Turn, _: str | None) -> Turn:
    pending = turn.mine
    if pending is not None:
        return ask_open(turn, pending)
    return turn.tell(*(turn.state.said or (wording.plain("Nothing was said yet."),)))


def _missing(turn: Turn, _: str | None) -> Turn:
    """What the plan still needs and why; first whatever waits for an answer."""
    waiting = [pending.doubts[0].question for pending in turn.state.pending.values() if pending.doubts]
    items = _needs(turn)
    turn = turn.tell(*(f"Still to answer: {question}" for question in waiting))
    for lead, required in (("Still needed", True), ("Better to know too", False)):
        needs = [said(item, turn.unit) for item in items if item.required is required]
        turn = turn.tell(f"{lead}: {'; '.join(needs)}.") if needs else turn
    if shaken(turn.state.facts.values):
        return ask_shaken(turn)
    return turn if waiting or items else turn.tell(f"Nothing is missing on board {turn.state.board}.")


def _needs(turn: Turn) -> tuple[Missing, ...]:
    name = turn.state.board
    circuits = counting(turn.state.circuits, turn.at)
    return turn.rooms.missing(board_of(name, turn.state.known(name, doubtful=True), circuits))


def _read_all(turn: Turn, _: str | None) -> Turn:
    name = turn.state.board
    values = turn.state.known(name).values()
    says = [wording.read_back(value, None, turn.unit, turn.rooms) for value in values]
    return turn.tell(f"Board {name}.", *says) if says else turn.tell(f"Board {name} has nothing yet.")


def _settled_then(move: Callable[[Turn, str | None], Turn]) -> Callable[[Turn, str | None], Turn]:
    """A move that goes on without objecting, so that what was read back is taken; not past an open question."""

    def moved(turn: Turn, target: str | None) -> Turn:
        pending = turn.mine
        if pending is not None and pending.doubts:
            return turn.ask(wording.answer_first(pending.doubts[0].question))
        return move(settle(turn), target)

    return moved


def _done(turn: Turn, target: str | None) -> Turn:
    """The readings of this board are all called: what to heed at its boxes, then whether there is a plan."""
    turn = _missing(turn, target)
    if turn.asks or any(item.required for item in _needs(turn)):
        return turn
    try:
        plan = plan_now(turn.state, turn.at, turn.rooms)
    except CannotCut as why:
        return turn.tell(str(why))
    heed = at_boxes(plan, turn.state.circuits, turn.at)
    return turn.tell(*(Say(text, text, safety=True) for text in heed), f"The plan has {len(plan.steps)} steps.")


def _next_board(turn: Turn, _: str | None) -> Turn:
    numbers = [int(name) for name in turn.state.boards if name.isdigit()]
    return open_board(turn, str(max(numbers, default=0) + 1))


def _go_to_board(turn: Turn, name: str | None) -> Turn:
    if name is None or name not in turn.state.boards:
        there = ", ".join(turn.state.boards)
        return turn.refuse(f"There is no board {name} yet; there is {there}. Say board {name} to begin it.")
    return open_board(turn, name)


def _hold(turn: Turn, _: str | None) -> Turn:
    return turn.did(Held()).tell(wording.HOLDING)


def resume(turn: Turn, _: str | None) -> Turn:
    """Listening goes on."""
    return turn.did(Resumed()).tell(wording.RESUMED)


def _help(turn: Turn, _: str | None) -> Turn:
    return turn.tell(wording.HELP)


ORDERS: Mapping[Action, Callable[[Turn, str | None], Turn]] = {
    Action.UNDO: _undo,
    Action.SAY_AGAIN: _say_again,
    Action.MISSING: _missing,
    Action.READ_BACK: _read_all,
    Action.DONE: _settled_then(_done),
    Action.NEXT_BOARD: _settled_then(_next_board),
    Action.GO_TO_BOARD: _settled_then(_go_to_board),
    Action.HOLD: _hold,
    Action.RESUME: resume,
    Action.HELP: _help,
    Action.TICK: _settled_then(tick),
    Action.SCRATCH: _scratch,
}
"""What each order does. Those that go on without objecting take what was read back; the others leave it open."""
