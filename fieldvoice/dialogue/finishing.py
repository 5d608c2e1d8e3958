"""When a plan is final: what keeps it a draft, the defaults said aloud, and the last read-back."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from datetime import datetime

from fieldvoice import safety
from fieldvoice.dialogue.assembly import FULL_WIDTH, board_of, unit_of
from fieldvoice.dialogue.circuits import heed_untested
from fieldvoice.dialogue.cuts import cut_by_its_layout, on_its_source, pointed, with_its_rips
from fieldvoice.dialogue.events import Asked, Assumed, Checked, Closed
from fieldvoice.dialogue.keeping import said_at_wall
from fieldvoice.dialogue.layouts import laid, planned, rough
from fieldvoice.dialogue.new_boards import beside_otherwise
from fieldvoice.dialogue.on_the_wall import is_on_its_piece, wanted
from fieldvoice.dialogue.placing import lacking
from fieldvoice.dialogue.prompting import prompt
from fieldvoice.dialogue.rooms import Rooms
from fieldvoice.dialogue.state import State
from fieldvoice.dialogue.surfaces import lay_out_again, laying_of, of_a_surface
from fieldvoice.dialogue.turn import Turn, in_order, read_last
from fieldvoice.errors import CannotCut
from fieldvoice.records.board import Board, Known, Surface
from fieldvoice.records.facts import Key, Of
from fieldvoice.records.ledger import ACROSS, DOWN, ENOUGH, Call, Concern, Doubt, Notice, OpenItem, OpenKind, Tell
from fieldvoice.records.length import ZERO, Length
from fieldvoice.records.meaning import (
    Box,
    Context,
    Coordinate,
    Diagonal,
    Edge,
    Neighbor,
    Opening,
    Plumb,
    Reading,
    Slot,
    SurfaceCall,
    Topic,
    WholeThing,
)
from fieldvoice.records.plan import Code, CutPlan, Need, Warning
from fieldvoice.records.room import RoughOpening, RoughOpeningKind

SAYS_NOTHING_OF_THE_CUT = frozenset({Topic.ROOM, Topic.BOARD, Topic.ORDER, Topic.MARKS_BY, Topic.MEASURING})
"""Context that no cut, sheet or screw depends on. All other is in the last read-back as readings and boxes are."""


def board_now(state: State, name: str, at: datetime, *, doubtful: bool = False) -> Board:
    """The board as it is known now, with the words about circuits that still count."""
    circuits = safety.counting(state.circuits(name), at)
    board = board_of(name, state.known(name, doubtful=doubtful), circuits, state.assumed.get(name, {}))
    return with_its_rips(state, on_its_source(state, board))


def open_items(state: State, name: str, at: datetime, rooms: Rooms) -> tuple[OpenItem, ...]:
    """Everything that keeps the plan of a board a draft, in the order to settle it; walls and ceilings are laid out
    together, so that what is open of one is open of all.
    """
    if name in state.surfaces:
        all_of_them = dict.fromkeys((name, *state.surfaces))
        return tuple(item for each in all_of_them for item in (*waiting(state, each), *not_taken(state, each)))
    open_still = (*waiting(state, name), *not_taken(state, name), *_of_its_surface(state, name), *_lights(state, name))
    open_still += tuple(OpenItem(OpenKind.MISSING, call=call) for call in wanted(state, name))
    return (*open_still, *missing(state, name, at, rooms), *unread(state, name))


def _lights(state: State, name: str) -> tuple[OpenItem, ...]:
    """The lights of the layout that nobody called on this board: each is a circuit, which no hole is cut to unseen."""
    lights = [one for one in _uncalled(state, name) if one.kind is RoughOpeningKind.LIGHT]
    return tuple(OpenItem(OpenKind.MISSING, key=Key(Of.OPENING, name=one.kind.value)) for one in lights)


def _of_its_surface(state: State, name: str) -> tuple[OpenItem, ...]:
    """What is open of the wall or ceiling that a board is a piece of: it may be another piece then. A thing that lies
    on another board keeps that one back alone.
    """
    piece = state.pieces.get(name)
    if piece is None:
        return ()
    surface = str(piece.surface)
    of_boards = said_at_wall(state, surface)
    elsewhere = [one for one in of_boards if is_on_its_piece(state, name, one.fact) is False]
    return tuple(one for one in (*waiting(state, surface), *not_taken(state, surface)) if one.call not in elsewhere)


def waiting(state: State, name: str) -> tuple[OpenItem, ...]:
    """What waits for an answer, or for its speaker to go on; whether a circuit was tested, too."""
    found: list[OpenItem] = []
    seen: set[int] = set()
    for who, one in state.open.items():
        asked = {doubt.call: doubt for doubt in reversed(one.doubts)}
        for number in one.calls:
            call = state.calls[number]
            seen.add(number)
            if call.board == name:
                found.append(OpenItem(OpenKind.WAITING, who, call, asked.get(number)))
        tests = (doubt for doubt in one.doubts if doubt.concern is Concern.TESTED and one.board == name)
        found.extend(OpenItem(OpenKind.WAITING, who, doubt=doubt) for doubt in tests)
    lost = (call for call in state.on(name) if call.waits and call.number not in seen)
    return (*found, *(OpenItem(OpenKind.WAITING, call.by, call, Doubt(Concern.LOST, call.number)) for call in lost))


def not_taken(state: State, name: str) -> tuple[OpenItem, ...]:
    """What was called and not taken; what was put off waits for the part that it lacks."""
    calls = state.not_taken(name)
    put_off = [(call, doubt) for call in calls if call.put_off for doubt in lacking((call,))]
    waits = {call.number for call, _ in put_off}
    kept = (OpenItem(OpenKind.NOT_TAKEN, call.by, call) for call in calls if call.number not in waits)
    return (*(OpenItem(OpenKind.WAITING, call.by, call, doubt) for call, doubt in put_off), *kept)


def missing(state: State, name: str, at: datetime, rooms: Rooms) -> tuple[OpenItem, ...]:
    """What was never measured, and what stands at an edge that nobody spoke of."""
    if pointed(state, name):
        return ()  # no reading of it would make a plan
    board = board_now(state, name, at)
    needs = tuple(OpenItem(OpenKind.MISSING, need=need) for need in rooms.missing(board) if need.required)
    if needs:
        return needs
    edges = tuple(
        OpenItem(OpenKind.MISSING, key=Key(Of.NEIGHBOR, edge=edge))
        for edge, setting in board.edges.items()
        if setting.known is Known.UNKNOWN
    )
    return (*_other_ends(state, name), *edges)


_OPPOSITE = {Slot.TOP: Slot.BOTTOM, Slot.BOTTOM: Slot.TOP, Slot.LEFT: Slot.RIGHT, Slot.RIGHT: Slot.LEFT}


def _other_ends(state: State, name: str) -> tuple[OpenItem, ...]:
    """An end that has no reading, where the one across was called twice: the first may have been its own."""
    values = state.settled(name)
    found = []
    for key, call in values.items():
        twice = any(not new.corrects and old.hearings < 2 for new, old in _line(state, call))
        other = _OPPOSITE.get(key.at) if isinstance(key.at, Slot) else None
        alone = key.of is Of.HEIGHT and key.at is Slot.RIGHT  # nobody measures the far end alone
        if (twice or alone) and other is not None and replace(key, at=other) not in values:
            found.append(OpenItem(OpenKind.MISSING, key=replace(key, at=other)))
    return tuple(found)


def _line(state: State, call: Call) -> Iterator[tuple[Call, Call]]:
    """A call with the one that it took the place of, that one with its own, and so on."""
    while call.replaces is not None and call.replaces in state.calls and call.replaces < call.number:
        old = state.calls[call.replaces]
        yield call, old
        call = old


def unread(state: State, name: str) -> tuple[OpenItem, ...]:
    """What rests on one hearing alone and wasn't read back a second time."""
    calls = heard_once(state, name)
    return (OpenItem(OpenKind.WAITING, calls[-1].by, doubt=_last(calls), unread=calls),) if calls else ()


def heard_once(state: State, name: str) -> tuple[Call, ...]:
    """The values of a board that the last read-back has to name, in the order in which they are: widths from the top
    down, heights from the left, then the rest as called.
    """
    settled = [call for call in state.settled(name).values() if _is_cut_by(call)]
    once = [call for call in settled if call.hearings < 2]
    return tuple(sorted(once or _once_more(settled), key=in_order))


def _once_more(settled: Sequence[Call]) -> Iterator[Call]:
    """The box that was called last, where no answer behind it and no part of the last read-back had room for it once
    more: no fellow on a line of its own speaks for it, so that it is said three times in all. Alone it isn't said twice
    running.
    """
    boxes = (call for call in settled if isinstance(call.fact, Box))
    last = max(boxes, key=lambda call: call.number, default=None)
    if last is not None and _is_checked_once(last) and any(call.checked for call in settled if call != last):
        yield last


_BEFORE_MORE = frozenset({Tell.READ_BACK, Tell.CONFIRMED, Tell.TAKEN_BACK, Tell.DEFAULTS})
"""Behind these alone more is said: nobody is made to wait for what has to be heard."""


def say_together(turn: Turn) -> Turn:
    """Behind a read-back alone, or what a yes or an undo settled, what was called before it is said once more while its
    tape is still at hand, as far as there is time: least said first, and of those the latest.
    """
    name = turn.state.board
    tells = {notice.tell for notice in turn.notices}
    if not turn.spoken or not tells or tells - _BEFORE_MORE or name in turn.state.surfaces or turn.asks:
        return turn
    now = [call.key for call in turn.state.on(name) if call.waits]
    now += [value.key for notice in turn.notices for value in notice.values if isinstance(value, Call)]
    calls = [
        call
        for call in heard_once(turn.state, name)
        if call.again < ENOUGH and call.key not in now and isinstance(call.fact, Reading | Box)
    ]
    said, told = turn, tuple[Call, ...]()
    for call in sorted(calls, key=lambda call: (call.again, -call.number)):
        more = tuple(sorted((*told, call), key=in_order))
        about = (each for each in read_last(turn.state, more) if not isinstance(each, Coordinate))
        then = turn.tell(Tell.TOGETHER, *about)
        if turn.rooms.in_time(prompt(then).notices, turn.unit):
            said, told = then, more
    return said


def _is_cut_by(call: Call) -> bool:
    if isinstance(call.fact, Context):
        return call.fact.topic not in SAYS_NOTHING_OF_THE_CUT
    return isinstance(call.fact, Reading | WholeThing | Diagonal | Plumb)


def _is_checked_once(call: Call) -> bool:
    """Whether it was said twice in all: when it was called, and in another part."""
    return call.checked and call.again < ENOUGH and _is_cut_by(call)


def _last(calls: tuple[Call, ...]) -> Doubt:
    return Doubt(Concern.LAST, calls=tuple(call.number for call in calls))


def plan_now(state: State, name: str, at: datetime, rooms: Rooms) -> CutPlan:
    """The plan of a board from what isn't in question, through the gate. Raises `CannotCut`."""
    plan = cut_by_its_layout(state, board_now(state, name, at), rooms.solve)
    return safety.gate(plan, state.circuits(name), at)


def say_defaults(turn: Turn) -> Turn:
    """Once nothing else is missing, what stands at the edges that nobody spoke of is said aloud; it can be objected
    to by saying what does.
    """
    name = turn.state.board
    if name in turn.state.surfaces:
        return turn
    board = board_now(turn.state, name, turn.at)
    unknown = tuple(edge for edge, setting in board.edges.items() if setting.known is Known.UNKNOWN)
    measured = board.widths or board.heights or board.boxes or board.openings
    if not unknown or not measured or any(need.required for need in turn.rooms.missing(board)):
        return turn
    stands = tuple(board.edges[edge].neighbor for edge in unknown)
    facts = tuple(Context(Topic.NEIGHBOR, stand, edge) for edge, stand in zip(unknown, stands, strict=True))
    return turn.did(Assumed(name, unknown, stands)).tell(Tell.DEFAULTS, *facts)


def say_sheet_of_unit(turn: Turn, before: State) -> Turn:
    """Once a board that was measured is in another unit: which sheet it is cut from, where nobody called one."""
    name, known = turn.state.board, before.known(turn.state.board)
    unit = unit_of(turn.state.known(name))
    if name != before.board or unit is unit_of(known):
        return turn
    measured = any(isinstance(call.fact, Reading | SurfaceCall) for call in known.values())
    sheets = {call.fact.topic for call in known.values() if isinstance(call.fact, Context)} & {
        Topic.SHEET,
        Topic.SHEET_WIDTH,
    }
    if not measured or sheets:
        return turn
    return turn.tell(Tell.SHEET_OF_UNIT, FULL_WIDTH[unit])


def ask_lost(turn: Turn) -> Turn:
    """The next value that lost entries put in question is asked about, unless something of the speaker's is open."""
    placed = {each for one in turn.state.open.values() for each in one.calls}
    lost = [call for call in turn.state.in_question(turn.state.board) if call.number not in placed]
    if not lost or turn.mine:
        return turn
    doubt = Doubt(Concern.LOST, lost[0].number)
    return turn.question(doubt)


def layout_told(turn: Turn) -> Turn:
    """The layout, behind all that is called of walls and ceilings and isn't in it yet."""
    surfaces = turn.state.surfaces
    items = open_items(turn.state, surfaces[0], turn.at, turn.rooms) if surfaces else ()
    items = tuple(item for item in items if item.call is None or of_a_surface(item.call.fact))
    return lay_out_again(turn.tell(Tell.DRAFT, *items) if items else turn)


def done(turn: Turn) -> Turn:
    """The readings of this board are all called: what is still open, in one breath; else the last read-back; else the
    plan.
    """
    turn = say_defaults(turn)
    name = turn.state.board
    items = open_items(turn.state, name, turn.at, turn.rooms)
    rest = tuple(item for item in items if not item.unread)
    if rest:
        return _named(turn, rest)
    if name in turn.state.surfaces:
        return lay_out_again(turn)
    if items:
        part = _part_of(turn, items[0].unread)
        return _asked(turn, _last(part) if _fits(turn, part) else replace(_last(part), told=(ACROSS,)))
    return finish(turn)


def _part_of(turn: Turn, calls: tuple[Call, ...]) -> tuple[Call, ...]:
    """As much of the last read-back as there is time for, least said first: its yes brings the rest. Beside the last of
    it what was said often enough is on the screen, and what was said once before comes once more if there is time,
    boxes first: no fellow on a line of theirs speaks for them.
    """
    wanted = [call for call in calls if call.again < ENOUGH]
    often = tuple(call for call in calls if call not in wanted)
    part = _in_time(turn, (), sorted(wanted, key=_least_said))
    if len(part) < len(wanted):
        return part
    whole = tuple(sorted((*part, *often), key=in_order))
    if part and not _in_seconds(turn, whole):
        return _in_time(turn, (), sorted(wanted, key=_least_said), often)
    settled = turn.state.settled(turn.state.board).values()
    checked = [call for call in settled if _is_checked_once(call) and call not in whole]
    return _in_time(turn, whole, sorted(checked, key=in_order, reverse=True))


def _least_said(call: Call) -> tuple[int, int, tuple[int, int, Length]]:
    """Of those said as often the box that was called last comes first, so that once more is in a later part."""
    return int(call.again), -call.number if isinstance(call.fact, Box) else 0, in_order(call)


def _in_time(
    turn: Turn, part: tuple[Call, ...], calls: Iterable[Call], beside: tuple[Call, ...] = ()
) -> tuple[Call, ...]:
    """The part with those of the calls that it has time for `beside` what is on the screen; one at least."""
    for call in calls:
        more = tuple(sorted((*part, call), key=in_order))
        if not part or _in_seconds(turn, tuple(sorted((*more, *beside), key=in_order))):
            part = more
    return part


def _in_seconds(turn: Turn, calls: tuple[Call, ...]) -> bool:
    values = (value for value in read_last(turn.state, calls) if not isinstance(value, Coordinate))
    notices = (*turn.notices, Notice(Tell.QUESTION, (_last(calls), *values)))
    return turn.rooms.in_time(notices, turn.unit)


def _fits(turn: Turn, part: tuple[Call, ...]) -> bool:
    """Whether there is time for a part: where there isn't, of one thing alone there is for half of it."""
    halves = len(part) == 1 and isinstance(part[0].fact, WholeThing)
    return not halves or _in_seconds(turn, part)


def checked(turn: Turn, doubt: Doubt) -> Turn:
    """Yes to a part of the last read-back: the other half of it, else the next one."""
    turn = turn.did(Closed(turn.who))
    if doubt.told == (ACROSS,):
        return _asked(turn, replace(doubt, told=(DOWN,)))
    return finish(turn.did(Checked(doubt.calls)))


def _asked(turn: Turn, doubt: Doubt) -> Turn:
    """What "done" asks, beside what waits."""
    return turn.did(Asked(turn.state.board, doubt)).put(doubt)


def _named(turn: Turn, items: tuple[OpenItem, ...]) -> Turn:
    """What is open, for whom; what waits for the speaker, or what of theirs may be left out, is asked at once."""
    turn = turn.tell(Tell.DRAFT, *items)
    if turn.asked is not None:
        return turn.put(turn.asked)
    turn = ask_lost(turn)
    if turn.mine:
        return turn
    return ask_left_out(turn)


def ask_left_out(turn: Turn) -> Turn:
    """The first of what the speaker called on this board or its wall and wasn't taken: whether it may be left out."""
    board = turn.state.board
    kept = (*not_taken(turn.state, board), *_of_its_surface(turn.state, board))
    calls = (item.call for item in kept if item.kind is OpenKind.NOT_TAKEN and item.by == turn.who)
    first = next((call for call in calls if call is not None and not call.queued), None)
    if first is None:
        return turn
    return _asked(turn, Doubt(Concern.LEAVE_OUT, first.number))


def finish(turn: Turn) -> Turn:
    """The plan is final where nothing is open: what to heed at its boxes, and how many steps there are."""
    name = turn.state.board
    items = open_items(turn.state, name, turn.at, turn.rooms)
    if items:
        return done(turn) if items[0].unread else _named(turn, items)
    try:
        plan = plan_now(turn.state, name, turn.at, turn.rooms)
    except CannotCut as why:
        return turn.tell(Tell.NO_PLAN, why.why)
    turn = _better(turn)
    turn = heed_untested(turn, name)
    for warning in openings_uncalled(turn.state, name):
        turn = turn.tell(Tell.UNCALLED, warning.about or "", *warning.values)
    other = beside_otherwise(turn.state, name)
    turn = turn.tell(Tell.CUT_OTHERWISE, name, *other) if other else turn
    return _of_no_layout(turn, name).tell(Tell.STEPS, len(plan.steps))


def _of_no_layout(turn: Turn, name: str) -> Turn:
    """That the wall of a board, as it is called now, can't be laid out, or has no place for the board."""
    state, last = turn.state, turn.state.laying
    cut = state.cut.get(name)
    if name not in state.pieces:
        outside = cut.piece if cut is not None else None
        return turn if outside is None else turn.tell(Tell.CUT_OUTSIDE, name, str(outside.surface))
    laying = laying_of(state)
    if last is None or laying.asks_as(last):
        return turn
    try:
        laid(laying)
    except CannotCut as why:
        return turn.tell(Tell.NO_LAYOUT, why.why)
    return turn


def openings_uncalled(state: State, name: str) -> tuple[Warning, ...]:
    """The openings that the layout has on this board and that nobody called on it: they are cut out all the same."""
    return tuple(
        Warning(Code.UNCALLED, each.kind.value, values=(each.left, each.right)) for each in _uncalled(state, name)
    )


def _uncalled(state: State, name: str) -> tuple[RoughOpening, ...]:
    """They, as far as they lie on the board."""
    known = planned(state, name)
    if known is None or not known.openings:
        return ()
    piece = SurfaceCall("", "", known.width, known.height)
    facts = (call.fact for call in state.known(name, doubtful=True).values())
    called = [rough(fact, piece) for fact in facts if isinstance(fact, Opening)]
    alone = (
        each for each in known.openings if not any(each.left < one.right and one.left < each.right for one in called)
    )
    ends = ((each, max(each.left, ZERO), min(each.right, known.width)) for each in alone)
    return tuple(replace(each, left=left, width=right - left) for each, left, right in ends)


def _better(turn: Turn) -> Turn:
    board = board_now(turn.state, turn.state.board, turn.at)
    better = tuple(one for one in turn.rooms.missing(board) if not one.required and one.need is not Need.CIRCUIT)
    return turn.tell(Tell.BETTER, *better) if better else turn


def say_from_floor(turn: Turn, before: State) -> Turn:
    """Behind what was just called from the bottom of a wall's board that hangs above the floor, or stands on the board
    that does so since: that it counts from there. "Bottom" may have been meant as the board's own edge.
    """
    name = turn.state.board
    ups = {call.number for call in turn.state.known(name, doubtful=True).values() if _is_up(call)}
    if name in turn.state.surfaces or not ups or not _hangs_above_floor(turn.state, name):
        return turn
    old = {call.number for call in before.known(name, doubtful=True).values()}
    return turn.tell(Tell.FROM_FLOOR) if ups - old or not _hangs_above_floor(before, name) else turn


def _is_up(call: Call) -> bool:
    match call.fact:
        case Box(y=down):
            return down.start is Edge.BOTTOM
        case Opening(ys=downs):
            return any(each.start is Edge.BOTTOM for each in downs)
    return False


def _hangs_above_floor(state: State, name: str) -> bool:
    board = board_of(name, state.known(name, doubtful=True), {}, state.assumed.get(name, {}))
    return board.surface is Surface.WALL and board.edges[Edge.BOTTOM].neighbor is not Neighbor.FLOOR
