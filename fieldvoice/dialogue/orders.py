"""What each order does: undo, scratch, say again, and the rest of the commands."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from math import ceil

from fieldvoice.dialogue.carried_out import (
    already_cut,
    next_step,
    plan_to_cut,
    put_on,
    registered,
    take_off,
    tick,
    unread,
)
from fieldvoice.dialogue.cuts import pointed, source_of
from fieldvoice.dialogue.events import Awaited, CautionsRead, Held, Prompting, Resumed, Spoken, Struck
from fieldvoice.dialogue.finishing import (
    ask_lost,
    board_now,
    done,
    layout_told,
    not_taken,
    open_items,
    plan_now,
    waiting,
)
from fieldvoice.dialogue.keeping import leads_away, left_out, order_waits, queue_words, said_at_wall
from fieldvoice.dialogue.layouts import next_piece, rack_of, standing_plan, surface_at_hand, unsettled
from fieldvoice.dialogue.matching import find_surfaces, room_of
from fieldvoice.dialogue.new_boards import is_only_named, is_spare, open_board, open_next_piece, open_piece
from fieldvoice.dialogue.prompting import shown_order
from fieldvoice.dialogue.proposals import propose, set_aside, settle
from fieldvoice.dialogue.reducer import last_change
from fieldvoice.dialogue.state import offcut_called, sources_called
from fieldvoice.dialogue.surfaces import (
    lacks_framing,
    lay_out,
    lay_out_rest,
    not_yet,
    of_a_surface,
    open_surface,
    take_out,
)
from fieldvoice.dialogue.taking_up import asked_again, brought_along
from fieldvoice.dialogue.turn import Turn
from fieldvoice.dialogue.undoing import undo
from fieldvoice.errors import CannotCut, NoRule
from fieldvoice.language.phrases import read_back
from fieldvoice.records.facts import Said, key_of
from fieldvoice.records.fastening import FasteningPlan
from fieldvoice.records.ledger import Call, Doubt, Notice, OpenKind, Standing, Tell
from fieldvoice.records.length import Unit
from fieldvoice.records.meaning import Context, Dimension, Reading, Slot, Topic
from fieldvoice.records.trouble import Hinders, Hindrance
from fieldvoice.records.utterance import HEARD, NEXT_ROOM, NEXT_WALL, OFFCUT, PIECE, THE_LAYOUT, Action, Command

Move = Callable[[Turn, str | None], Turn]


def _scratch(turn: Turn, target: str | None) -> Turn:
    """Takes a thing off the board by its name or place: all that stands or waits of it, whoever called it, so that no
    older value of it comes back. What else was read back is taken: an undo is of this. Behind an order that waits for
    an answer it waits, too.
    """
    if order_waits(turn) and turn.asked is not None:
        return queue_words(turn, in_words(Command(Action.SCRATCH, target))).put(turn.asked, Tell.ANSWER_FIRST)
    turn = settle(turn)
    wanted, board = set((target or "").split()), turn.state.board
    named = [call for call in turn.state.on(board) if wanted and wanted <= _words(call)]
    stand = [call for call in named if call.in_force or call.waits]
    kept = [call for call in named if call.standing is Standing.NOT_TAKEN and call.fact is not None]
    keys = {call.key for call in stand or kept}
    if len(keys) != 1:
        return turn.refuse(Tell.MORE_THAN_ONE if keys else Tell.NOT_THERE, target or "")
    out = [call for call in named if call.key in keys and call in (*stand, *kept)]
    cut = already_cut(turn, board, frozenset(keys))
    turn = turn.did(Struck(board, tuple(call.number for call in out)))
    if isinstance(out[-1].fact, Reading):  # a figure alone behind it may be the right one
        turn = turn.did(Awaited(out[-1].fact.dimension, out[-1].fact.at, sure=False))
    told = (*stand[::-1], *kept)
    return turn.tell(Tell.TAKEN_OUT if stand else Tell.DISMISSED, *told).note(*cut)


def _words(call: Call) -> set[str]:
    """The words that a call can be named by."""
    key = call.key
    parts = [key.name or key.of.value, key.at, key.edge]
    if key.rising is not None:
        parts.append("rising" if key.rising else "falling")
    return {word for part in parts if part is not None for word in str(part).split()}


def _dismiss(turn: Turn, _: str | None) -> Turn:
    """What the speaker called and wasn't taken may be left out, the last one first."""
    kept = [call for call in turn.state.not_taken(turn.state.board) if call.by == turn.who]
    if not kept:
        return turn.refuse(Tell.NOTHING_OPEN)
    return left_out(turn, kept[-1])


def _say_again(turn: Turn, _: str | None) -> Turn:
    if turn.asked is not None:
        return turn.put(turn.asked)
    if turn.mine:
        for call in turn.state.waiting(turn.who):
            turn = turn.tell(Tell.READ_BACK, call)
        return turn
    return turn.note(*turn.state.said) if turn.state.said else turn.tell(Tell.NOTHING_SAID)


def _missing(turn: Turn, _: str | None) -> Turn:
    """What the plan still needs and why; first whatever waits for an answer."""
    name = turn.state.board
    items = open_items(turn.state, name, turn.at, turn.rooms)
    questions = [item for item in items if item.kind is OpenKind.WAITING and item.doubt is not None and not item.unread]
    rest = tuple(item for item in items if item.kind is OpenKind.NOT_TAKEN or item.key is not None)
    told: set[Doubt] = set()
    for doubt, by in ((item.doubt, item.by) for item in questions if item.doubt is not None):
        turn = turn if doubt in told else turn.tell(Tell.WAITING, by or "", doubt, *turn.about(doubt))
        told.update(turn.state.asked_as_one(doubt))
    if rest:
        turn = turn.tell(Tell.DRAFT, *rest)
    surface = name in turn.state.surfaces
    if surface and name not in turn.state.called_surfaces:
        return turn.tell(Tell.SURFACE_NOT_YET, name)
    if pointed(turn.state, name):
        return turn.tell(Tell.NO_PLAN, Hindrance(Hinders.NOT_FOUR_SIDED))
    needs = () if surface else turn.rooms.missing(board_now(turn.state, name, turn.at, doubtful=True))
    for tell, required in ((Tell.NEEDS, True), (Tell.BETTER, False)):
        wanted = tuple(need for need in needs if need.required is required)
        turn = turn.tell(tell, *wanted) if wanted else turn
    asked = ask_lost(turn)
    if asked is not turn:
        return asked
    if questions or rest or needs or (surface and lacks_framing(turn.state, name)):
        return turn
    return turn.tell(Tell.SURFACE_WHOLE if surface else Tell.NOTHING_MISSING, name)


def _fastening(turn: Turn, _: str | None) -> Turn:
    """How many fasteners the board takes, how long and how far apart."""
    found = _fastened(turn)
    if isinstance(found, Turn):
        return found
    asked = found.schedule
    last, edge, field = asked.lengths[-1].value, asked.edge.value, asked.field.value
    return turn.tell(Tell.FASTENERS, found.count, asked.fastener.value, asked.grip.value, last, edge, field)


def _weight(turn: Turn, _: str | None) -> Turn:
    """What the board weighs as it is lifted, and how many lift it at least where there is no machine."""
    found = _fastened(turn)
    if isinstance(found, Turn):
        return found
    return turn.tell(Tell.WEIGHT, ceil(found.hanging.pounds), found.hanging.people, found.hanging.crew.value)


def _fastened(turn: Turn) -> FasteningPlan | Turn:
    """The board's fastening, or the turn that says why there is none."""
    name = turn.state.board
    if name in turn.state.surfaces:
        return turn.tell(Tell.BY_BOARD)
    try:
        return turn.rooms.fasten(plan_now(turn.state, name, turn.at, turn.rooms))
    except CannotCut:
        return turn.tell(Tell.NOT_PLANNED_YET, name)
    except NoRule as unknown:
        return turn.tell(Tell.NO_RULE, unknown.why)


def _read_all(turn: Turn, _: str | None) -> Turn:
    name = turn.state.board
    calls = tuple(turn.state.known(name).values())
    rest = tuple(item for item in (*waiting(turn.state, name), *not_taken(turn.state, name)) if item.call not in calls)
    if not calls and not rest:
        return turn.tell(Tell.NOTHING_YET, name)
    turn = turn.tell(Tell.READ_ALL, name)
    for call in calls:
        turn = turn.tell(Tell.READ_BACK, call)
    return turn.tell(Tell.DRAFT, *rest) if rest else turn


def _settled_then(move: Move) -> Move:
    """A move that goes on without objecting, so that what was read back is taken; not past an open question."""

    def moved(turn: Turn, target: str | None) -> Turn:
        turn = set_aside(turn)
        if turn.asked is not None:
            return turn.put(turn.asked, Tell.ANSWER_FIRST)
        return move(settle(turn), target)

    return moved


def _beside(action: Action, move: Move) -> Move:
    """A move that leaves what was read back as it is, so that a no behind it is about the move. Behind an open question
    it waits.
    """

    def moved(turn: Turn, target: str | None) -> Turn:
        if turn.asked is None:
            return move(turn, target)
        return queue_words(turn, in_words(Command(action, target))).put(turn.asked, Tell.ANSWER_FIRST)

    return moved


def _elsewhere(action: Action, move: Move) -> Move:
    """A move to another board or surface: under an open question it is kept, and so is what is called behind it, which
    belongs there.
    """
    going = _settled_then(move)

    def moved(turn: Turn, target: str | None) -> Turn:
        turn = set_aside(turn)
        return going(turn if turn.asked is None else queue_words(turn, in_words(Command(action, target))), target)

    return moved


def in_words(order: Command) -> str:
    """An order as people say it."""
    if order.action is Action.OFFCUT or str(order.target).startswith(f"{OFFCUT} "):
        return read_back(order, Unit.INCH)
    if order.action is Action.GO_TO_SURFACE or PIECE in str(order.target).split():
        return str(order.target) if order.target in {NEXT_WALL, NEXT_ROOM, THE_LAYOUT} else f"go to {order.target}"
    return " ".join(filter(None, (order.action.value, order.target)))


def _next_board(turn: Turn, _: str | None) -> Turn:
    """Where something keeps the next board back, that it is to be said again: the order isn't carried out behind it."""
    there = _to_next_board(turn)
    if any(note.tell in {Tell.BOARD, Tell.PIECE, Tell.ALL_PIECES} for note in there.notices):
        return there
    return replace(there, notices=(*turn.notices, Notice(Tell.NOT_NEXT_YET), *there.notices[len(turn.notices) :]))


def _to_next_board(turn: Turn) -> Turn:
    """At the next piece of the layout, or at a new board."""
    kept = {name: turn.state.not_taken(name) for name in turn.state.surfaces}
    held = next((name for name, calls in kept.items() if any(of_a_surface(one.fact) for one in calls)), None)
    if held is not None:
        return done(open_surface(turn, held))  # without what was not taken of it it is another wall
    turn = lay_out(turn)
    if turn.asks or lacks_framing(turn.state, turn.state.board):
        return turn
    if _waits_to_be_laid_out(turn):
        return done(turn)  # the board would be none of its pieces
    turn = lay_out_rest(_left(turn))
    if turn.asks:
        return turn
    if (at_piece := open_next_piece(turn)) is not None:
        return at_piece
    plan = standing_plan(turn.state)
    every = plan is not None and {one.name for one in plan.pieces} <= set(turn.state.pieces.values())
    turn = turn.tell(Tell.ALL_PIECES, len(plan.pieces), *unsettled(turn.state)) if plan is not None and every else turn
    if plan is not None and is_spare(turn.state):
        return turn
    if is_only_named(turn.state):
        return turn.tell(Tell.BOARD, turn.state.board, 1)
    numbers = [int(name) for name in turn.state.boards if name.isdigit()]
    return _as_usual(open_board(turn, str(max(numbers, default=0) + 1)))


def at_its_board(turn: Turn, facts: tuple[Said, ...]) -> Turn:
    """The turn at the wall's next board where what only a board has is called at the wall: a width, what is beside an
    edge; with what was called of it before. As it was where the wall can't be laid out yet.
    """
    if turn.asked is not None or turn.state.board not in turn.state.surfaces or not any(map(_of_a_board, facts)):
        return turn
    if any(leads_away(fact) for fact in facts):
        return turn
    there = _to_next_board(settle(set_aside(turn)))
    if there.state.board in there.state.surfaces:
        return turn
    return brought_along(there, {key_of(fact) for fact in facts})


def _of_a_board(fact: Said) -> bool:
    if isinstance(fact, Reading):
        return fact.dimension is Dimension.WIDTH or fact.at in {Slot.TOP, Slot.BOTTOM}
    return isinstance(fact, Context) and fact.topic in {Topic.NEIGHBOR, Topic.CLEARANCE} and not of_a_surface(fact)


def _waits_to_be_laid_out(turn: Turn) -> bool:
    """Whether the wall or ceiling at hand isn't laid out, since something called of it isn't taken yet."""
    name = turn.state.board
    here = name in turn.state.surfaces and standing_plan(turn.state) is None
    return here and bool(open_items(turn.state, name, turn.at, turn.rooms))


def _as_usual(turn: Turn) -> Turn:
    """With the order of measuring that the boards so far show, which is told and can be objected to."""
    habit = shown_order(turn.state)
    return turn if habit is None else propose(turn, (habit,))


def _left(turn: Turn) -> Turn:
    """What stays open on the board that is left, and on the walls that wait to be laid out, is said; else what its cut
    leaves.
    """
    name, surfaces = turn.state.board, turn.state.surfaces
    of_surfaces = open_items(turn.state, surfaces[0], turn.at, turn.rooms) if surfaces else ()
    plan = standing_plan(turn.state)
    piece = None if plan is None else next_piece(turn.state, plan)
    comes = said_at_wall(turn.state, name if piece is None else str(piece.name.surface))
    of_surfaces = tuple(item for item in of_surfaces if item.call not in comes or item.by != turn.who)
    if name in surfaces:
        return turn.tell(Tell.DRAFT, *of_surfaces) if of_surfaces else turn
    board = board_now(turn.state, name, turn.at)
    called = board.widths or board.heights or board.boxes or board.openings or turn.state.not_taken(name)
    items = open_items(turn.state, name, turn.at, turn.rooms) if called else ()
    turn = registered(turn) if called and not items else turn
    return turn.tell(Tell.DRAFT, *items, *of_surfaces) if items or of_surfaces else turn


def _go_to_board(turn: Turn, name: str | None) -> Turn:
    if name is not None and PIECE in name.split():
        return _go_to_piece(turn, name)
    ordered = Command(Action.GO_TO_BOARD, name) in turn.judged.utterance.meanings  # else by its name, and asked about
    if name is None or (ordered and name not in turn.state.boards):
        return turn.refuse(Tell.NO_BOARD, name or "", *turn.state.boards)
    return open_board(turn, name)


def _go_to_piece(turn: Turn, name: str) -> Turn:
    """A piece by its number on the surface that is named with it, else on the one at hand, which is laid out first."""
    turn = lay_out(turn)
    if turn.asks:
        return turn
    of, _, number = name.rpartition(PIECE)
    surface = of.strip()
    meant = find_surfaces(turn.state, surface) if surface else (surface_at_hand(turn.state),)
    if len(meant) > 1:
        return turn.refuse(Tell.WHICH_SURFACE, surface, *meant)
    if not meant:
        return not_yet(turn, surface)
    opened = open_piece(turn, meant[0], int(number))
    return turn.refuse(Tell.NO_PIECE, name) if opened is None else opened


def _off_rack(turn: Turn, name: str) -> Turn:
    return _beside(Action.TAKE_OUT, lambda turn, _: take_off(turn, name))(turn, f"{OFFCUT} {name}")


def _take_out(turn: Turn, target: str | None) -> Turn:
    """A wall or a ceiling, or an offcut that was told."""
    kind, _, name = (target or "").partition(" ")
    return _off_rack(turn, name) if kind == OFFCUT else _elsewhere(Action.TAKE_OUT, take_out)(turn, target)


def _rack(turn: Turn, _: str | None) -> Turn:
    """The offcuts that are at hand, the oldest first, each with the board that is to be cut from it."""
    state = turn.state
    opened = {board: source_of(state, board) for board in state.pieces if board not in state.cut}
    meant = {source.name: board for board, source in opened.items() if source is not None}
    meant |= {offcut_called(state, board) or "": board for board in sources_called(state)}
    there = rack_of(turn.state.cut.values()).offcuts
    return turn.tell(Tell.RACK, *(value for one in there for value in (one, meant.get(one.name, ""))))


def _pieces_left(turn: Turn, _: str | None) -> Turn:
    """How many pieces of the layout aren't boards yet: on the surface at hand, and on all; which boards are begun."""
    plan, here = standing_plan(turn.state), surface_at_hand(turn.state)
    if plan is None:
        return turn.tell(Tell.LAYOUT_OFF)
    left = [str(each.name.surface) for each in plan.pieces if each.name not in set(turn.state.pieces.values())]
    surface = here if here in turn.state.surfaces else ""
    return turn.tell(Tell.PIECES_LEFT, left.count(here), surface, len(left), *unsettled(turn.state))


def _go_to_surface(turn: Turn, name: str | None) -> Turn:
    if name in {NEXT_WALL, NEXT_ROOM}:
        return _go_on(turn, name)
    if name == THE_LAYOUT:
        here = surface_at_hand(turn.state)
        away = here in turn.state.surfaces and here != turn.state.board
        return layout_told(open_surface(turn, here) if away else turn)
    meant = find_surfaces(turn.state, name or "")
    if len(meant) > 1:
        return turn.refuse(Tell.WHICH_SURFACE, name or "", *meant)
    if meant == (turn.state.board,):
        return open_surface(turn, meant[0]).tell(Tell.SURFACE, meant[0], 0)
    return open_surface(turn, meant[0]) if meant else not_yet(turn, name or "")


def _go_on(turn: Turn, name: str) -> Turn:
    """To the surface that was called next, or to the first one of another room."""
    names, here = turn.state.called_surfaces, surface_at_hand(turn.state)
    later = names[names.index(here) + 1 :] if here in names else names
    room = room_of(turn.state, here)
    found = [each for each in later if name == NEXT_WALL or room_of(turn.state, each) != room]
    return open_surface(turn, found[0]) if found else turn.tell(Tell.SURFACE_NOT_YET, name)


def resume(turn: Turn, _: str | None) -> Turn:
    """Listening goes on; how many calls were let go is told."""
    count = turn.state.let_go if turn.state.holding else 0
    turn = turn.did(Resumed()).tell(Tell.LISTENING)
    return turn.tell(Tell.LET_GO, count) if count else turn


def _back(turn: Turn, _: str | None) -> Turn:
    """The speaker's last change, where it was a tick on the board at hand, is taken back."""
    past = last_change(turn.state, turn.who)
    if past is None or past.tick is None or past.board != turn.state.board:
        return turn.refuse(Tell.NOTHING_TO_UNDO)
    return undo(turn)


def _acknowledge(turn: Turn, target: str | None) -> Turn:
    """The cautions of a plan are read, and before there is one there are none to read. Who says no more than that
    something was heard means them right behind being asked to read them.
    """
    name = turn.state.board
    if target == HEARD and not any(note.tell is Tell.READ_CAUTIONS for note in turn.told_last):
        return turn.tell(Tell.NOTHING_OPEN) if turn.asked is None else turn.put(turn.asked)
    plan = plan_to_cut(turn)
    return plan if isinstance(plan, Turn) else cautions_read(turn, name, unread(turn.state, name, plan, turn.at))


def cautions_read(turn: Turn, board: str, cautions: tuple[str, ...]) -> Turn:
    """These cautions of a board are read, each by its key."""
    return turn.did(CautionsRead(board, cautions)).tell(Tell.CAUTIONS_READ)


def _spoken(louder: int, slower: int) -> Move:
    """The read-back so many steps louder and slower."""

    def moved(turn: Turn, _: str | None) -> Turn:
        manner = turn.state.manner.louder(louder).slower(slower)
        return turn.did(Spoken(manner.loudness, manner.slowness)).tell(Tell.AS_LOUD if louder else Tell.AS_SLOW)

    return moved


def _prompted(*, on: bool) -> Move:
    """The places of a board asked for one after another from now on, or no more."""
    return lambda turn, _: turn.did(Prompting(on)).tell(Tell.ONE_BY_ONE if on else Tell.NO_ONE_BY_ONE)


ORDERS: Mapping[Action, Move] = {
    Action.UNDO: lambda turn, _: undo(turn),
    Action.SAY_AGAIN: _say_again,
    Action.MISSING: _missing,
    Action.FASTENING: _fastening,
    Action.WEIGHT: _weight,
    Action.PIECES_LEFT: _pieces_left,
    Action.RACK: _settled_then(_rack),
    Action.SHEETS: _settled_then(lambda turn, _: layout_told(turn)),
    Action.READ_BACK: _read_all,
    Action.DONE: _settled_then(lambda turn, _: done(asked_again(turn))),
    Action.NEXT_BOARD: _elsewhere(Action.NEXT_BOARD, _next_board),
    Action.GO_TO_BOARD: _elsewhere(Action.GO_TO_BOARD, _go_to_board),
    Action.GO_TO_SURFACE: _elsewhere(Action.GO_TO_SURFACE, _go_to_surface),
    Action.TAKE_OUT: _take_out,
    Action.OFFCUT: _beside(Action.OFFCUT, put_on),
    Action.HOLD: lambda turn, _: turn.did(Held()).tell(Tell.HOLDING),
    Action.RESUME: resume,
    Action.HELP: lambda turn, _: turn.tell(Tell.HELP),
    Action.TICK: _settled_then(tick),
    Action.NEXT: _settled_then(next_step),
    Action.BACK: _back,
    Action.ACKNOWLEDGE: _acknowledge,
    Action.LOUDER: _spoken(1, 0),
    Action.QUIETER: _spoken(-1, 0),
    Action.SLOWER: _spoken(0, 1),
    Action.FASTER: _spoken(0, -1),
    Action.PROMPT: _prompted(on=True),
    Action.UNPROMPT: _prompted(on=False),
    Action.SCRATCH: _scratch,
    Action.DISMISS: _dismiss,
}
"""What each order does. Those that go on without objecting take what was read back; the others leave it open."""
